"""Small plans built by hand, without font or planner: what the writers are tried on.

Letters are bars and rings whose rails, needle points and counts can be checked on paper.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from shapely.geometry import Polygon

from pathgen.model import Column, Count, FaceFacts, Finding, Letter, LetterShape, Level, Plan
from pathgen.needles import Arrive, Part, Side, needle_table
from pathgen.polygons import band, filled, outlines_of
from pathgen.settings import Cloth, Needle, Settings, Thread

FACE = FaceFacts(
    name="Quayside Bars Regular",
    source="quayside-bars.ttf",
    units_per_em=1000,
    cap_height_fu=700.0,
    x_height_fu=500.0,
)

THREAD_MM_PER_SEWN_MM = 1.3
"""Invented; only the sums are tested."""


def bar(x0, y0, x1, y1, width):
    """A straight column from one point to another."""
    start, end = np.array([x0, y0], float), np.array([x1, y1], float)
    across = np.array([-(end - start)[1], (end - start)[0]]) / math.dist(start, end) * width / 2
    middle = start + (end - start) * np.linspace(0.0, 1.0, 9)[:, None]
    return Column(left=middle + across, right=middle - across)


def ring(x, y, radius, width):
    """A closed column around a point, counter-clockwise."""
    turn = np.linspace(0.0, 2.0 * math.pi, 49)
    way = np.column_stack([np.cos(turn), np.sin(turn)])
    middle = np.array([x, y])
    return Column(
        left=middle + way * (radius - width / 2),
        right=middle + way * (radius + width / 2),
        closed=True,
    )


def _columns(sign: str, x: float, y: float, height: float) -> tuple[float, list[Column]]:
    """Advance and columns of a letter drawn at a place."""
    stroke = 0.16 * height
    if sign == "I":
        return 0.4 * height, [bar(x + 0.2 * height, y, x + 0.2 * height, y + height, stroke)]
    if sign == "T":
        top = y + height - stroke / 2
        return 0.8 * height, [
            bar(x + 0.05 * height, top, x + 0.75 * height, top, stroke),
            bar(x + 0.4 * height, y, x + 0.4 * height, y + height - 0.7 * stroke, stroke),
        ]
    return 1.0 * height, [ring(x + 0.5 * height, y + height / 2, 0.45 * height, 0.7 * stroke)]


@dataclass
class _Rows:
    """Needle rows being gathered."""

    rows: list

    def add(self, xy, part, where, side=Side.CENTRE, arrive=Arrive.SEW):
        """One penetration."""
        thread, line, letter, column = where
        x, y = xy
        self.rows.append((x, y, part, arrive, thread, line, letter, column, side))


def _sew(rows: _Rows, column: Column, where, settings: Settings, *, first: bool, last: bool):
    """Tie-in, underlay, zigzag and tie-off of one column, by the plainest rules."""
    centre = column.centre
    inner = centre[2:-2]
    if first:
        rows.add(inner[0], Part.TIE_IN, where, arrive=Arrive.TRIM if rows.rows else Arrive.JUMP)
        for step in (0.3, 0.0):
            rows.add(inner[0] + (inner[1] - inner[0]) * step, Part.TIE_IN, where)
    else:
        rows.add(inner[0], Part.TRAVEL, where)
    for point in (*inner, *inner[::-1]):
        rows.add(point, Part.UNDERLAY, where)
    rows.add(centre[1], Part.TRAVEL, where)
    length = float(np.hypot(*np.diff(centre, axis=0).T).sum())
    halves = 2 * max(1, round(length / settings.spacing_mm))
    at = np.linspace(0.0, len(centre) - 1, halves + 1)
    grow = 1.0 + 2.0 * settings.pull_mm / column.widths.mean()
    for index, place in enumerate(at):
        rail = column.left if index % 2 == 0 else column.right
        ticks = np.arange(len(centre))
        edge = np.array([np.interp(place, ticks, rail[:, i]) for i in (0, 1)])
        mid = np.array([np.interp(place, ticks, centre[:, i]) for i in (0, 1)])
        side = Side.LEFT if index % 2 == 0 else Side.RIGHT
        rows.add(mid + (edge - mid) * grow, Part.ZIGZAG, where, side)
    if last:
        for step in (0.3, 0.0):
            rows.add(centre[-2] + (centre[-3] - centre[-2]) * step, Part.TIE_OFF, where)


def settings_for(height_mm: float = 5.0, **changes) -> Settings:
    """Settings with values from each kind of origin."""
    base = {
        "height_mm": height_mm,
        "thread": Thread(label="40 wt", tex=26.7, least_column_mm=0.8),
        "needle": Needle(size=75, number=11),
        "cloth": Cloth(name="stable twill", thickness_mm=0.5, steady=True),
        "spacing_mm": 0.5,
        "pull_mm": 0.2,
        "underlay": "centre-run",
        "line_spacing_mm": 1.6 * height_mm,
        "least_column_mm": 0.8,
        "origins": {"height_mm": "option", "spacing_mm": "recipe", "pull_mm": "recipe"},
    }
    return Settings(**(base | changes))


def specimen(
    lines: Sequence[str] = ("ITO",),
    height_mm: float = 5.0,
    *,
    findings: Sequence[Finding] | None = None,
    written: dict | None = None,
    **changes,
) -> Plan:
    """A whole plan of the letters I, T and O (anything else is drawn as O).

    Parameters
    ----------
    written : dict, optional
        Letter drawn to the text shown for it, for awkward texts.
    """
    settings = settings_for(height_mm, **changes)
    rows, letters = _Rows([]), []
    for line, text in enumerate(lines, start=1):
        x, y = 0.0, -(line - 1) * settings.line_spacing_mm
        for index, sign in enumerate(text, start=1):
            advance, columns = (
                _columns(sign, x, y, height_mm) if sign != " " else (height_mm / 2, [])
            )
            x += advance
            if not columns:
                continue
            ink = (
                filled([r for c in columns for r in _rings(c)])
                if len(columns) > 1
                else _ink(columns[0])
            )
            shown = (written or {}).get(sign, sign)
            letters.append(
                Letter(
                    line=line,
                    index=index,
                    text=shown,
                    shape=LetterShape(
                        ink=ink,
                        columns=tuple(columns),
                        ink_lines=outlines_of(ink),
                        cover_lines=outlines_of([band(c.left, c.right) for c in columns]),
                        bare_share=0.0,
                    ),
                )
            )
            for number, column in enumerate(columns, start=1):
                last = number == len(columns)
                _sew(rows, column, (1, line, index, number), settings, first=number == 1, last=last)
    table = needle_table(len(rows.rows))
    table[:] = rows.rows
    found = tuple(_findings(letters) if findings is None else findings)
    return Plan(
        lines=tuple(lines),
        face=FACE,
        settings=settings,
        letters=tuple(letters),
        needles=table,
        counts=_counts(lines, letters, table, found),
        findings=found,
        sew_s=len(table) / settings.speed_spm * 60.0,
    )


def _rings(column: Column):
    """Outline of a straight column."""
    return [np.concatenate([column.left, column.right[::-1]])]


def _ink(column: Column):
    """Filled outline of one column."""
    if not column.closed:
        return filled(_rings(column))
    return (Polygon(column.right, [column.left]),)


def _findings(letters) -> list[Finding]:
    """One finding of each level, and one kind that stands in every letter."""
    spots = [tuple(map(float, letter.columns[0].centre[4])) for letter in letters]
    first, spot = letters[0], spots[0]
    place = {"line": first.line, "letter": first.index, "column": 1}
    found = [
        Finding(
            code="crowded-points",
            level=Level.STOP,
            at_mm=spot,
            measured=0.21,
            limit=0.3,
            advice="sew larger or open the spacing",
            **place,
        )
    ]
    found += [
        Finding(
            code="narrow-column",
            level=Level.CHECK,
            at_mm=at,
            line=letter.line,
            letter=letter.index,
            column=1,
            measured=0.7 + 0.01 * i,
            limit=0.8,
            advice="widened to the least column; a heavier face would keep its shape",
        )
        for i, (letter, at) in enumerate(zip(letters, spots, strict=True))
    ]
    found.append(
        Finding(
            code="outside-recipe",
            level=Level.NOTE,
            at_mm=(0.0, 0.0),
            measured=5.0,
            limit=6.0,
            advice="settings were carried over from the nearest height",
        )
    )
    return found


def _counts(lines, letters, table, findings) -> tuple[Count, ...]:
    """Columns, letters, lines, the thread and the whole, each counted from the table anew."""
    sewn = np.zeros(len(table))
    step = np.hypot(np.diff(table["x_mm"]), np.diff(table["y_mm"]))
    sewn[1:] = np.where(table["arrive"][1:] == Arrive.SEW, step, 0.0)

    def count(scope, columns, mask, concerns, **where):
        widths = np.concatenate([c.widths for c in columns]) if columns else np.array([np.nan])
        along = sum(float(c.where[-1]) for c in columns)
        across = sum(float(np.trapezoid(c.widths, c.where)) for c in columns)
        part = table["part"][mask]
        return Count(
            scope=scope,
            by_part=tuple(int((part == p).sum()) for p in Part),
            trims=int((table["arrive"][mask] == Arrive.TRIM).sum()),
            sewn_mm=float(sewn[mask].sum()),
            thread_mm=float(sewn[mask].sum()) * THREAD_MM_PER_SEWN_MM,
            narrowest_column_mm=min((float(np.median(c.widths)) for c in columns), default=np.nan),
            width_least_mm=float(widths.min()),
            width_mean_mm=across / along if columns else np.nan,
            width_most_mm=float(widths.max()),
            findings=sum(map(concerns, findings)),
            **where,
        )

    out = []
    for letter in letters:
        here = (table["line"] == letter.line) & (table["letter"] == letter.index)
        for number, column in enumerate(letter.columns, start=1):
            mask = here & (table["column"] == number)
            at = (letter.line, letter.index, number)
            concerns = lambda f, at=at: (f.line, f.letter, f.column) == at  # noqa: E731
            where = dict(zip(("line", "letter", "column"), at, strict=True))
            out.append(
                count("column", [column], mask, concerns, thread=1, text=letter.text, **where)
            )
    for letter in letters:
        here = (table["line"] == letter.line) & (table["letter"] == letter.index)
        concerns = lambda f, at=(letter.line, letter.index): (f.line, f.letter) == at  # noqa: E731
        where = {"line": letter.line, "letter": letter.index, "text": letter.text}
        out.append(count("letter", letter.columns, here, concerns, thread=1, **where))
    for line, text in enumerate(lines, start=1):
        columns = [c for letter in letters if letter.line == line for c in letter.columns]
        concerns = lambda f, line=line: f.line == line  # noqa: E731
        mask = table["line"] == line
        out.append(count("line", columns, mask, concerns, thread=1, line=line, text=text))
    every = [c for letter in letters for c in letter.columns]
    everything = np.ones(len(table), dtype=bool)
    out.append(count("thread", every, everything, lambda f: True, thread=1))
    out.append(count("whole", every, everything, lambda f: True, text=" / ".join(lines)))
    return tuple(out)
