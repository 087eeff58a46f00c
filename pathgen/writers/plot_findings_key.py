"""What the numbered markers mean: the findings' key, in as many columns as there is width for."""

from functools import lru_cache
from typing import NamedTuple

from pathgen.model import Plan
from pathgen.writers.plot_block import HEADING_MM, ROW_MM, TYPE_MM, heading, row_y
from pathgen.writers.plot_page import wrapped
from pathgen.writers.plot_signs import markers
from pathgen.writers.plot_style import QUIET
from pathgen.writers.plot_svg_pen import Element, group, words
from pathgen.writers.wording import FindingGroup, finding_groups, plural

__all__ = ["findings_height", "findings_key"]

MOST_LINES = 5
MARKER_MM = 6.5
"""What a finding's marker takes beside its words."""

GAP_MM = 1.2
"""Between two findings."""

COLUMN_MM, GUTTER_MM = 66.0, 6.0
"""Least width of a column of the key, and between two."""

FEW = 3
"""Kinds of findings that stay in one column."""


class FindingText(NamedTuple):
    """A finding group broken into lines; the first is its name."""

    found: FindingGroup
    lines: tuple[str, ...]

    @property
    def height(self) -> float:
        """What it takes with the gap below, on A4."""
        return len(self.lines) * ROW_MM + GAP_MM


def _column_width(plan: Plan, width: float, unit: float) -> float:
    """Width of each column of the key."""
    fits = int((width + GUTTER_MM * unit) / ((COLUMN_MM + GUTTER_MM) * unit))
    kinds = len(finding_groups(plan))
    count = max(1, min(fits, kinds)) if kinds > FEW else 1
    return (width - (count - 1) * GUTTER_MM * unit) / count


@lru_cache(maxsize=1)  # asked for on every sheet that is tried
def _facts(plan: Plan) -> tuple[tuple[FindingGroup, str, str, str], ...]:
    """Each kind of finding: its name, what was found where, and what to do."""
    out = []
    for found in finding_groups(plan):
        facts = "; ".join(said for said in (found.figures, found.places) if said)
        name = f"{found.level.word}: {found.name}"
        out.append((found, name, facts, found.worst.advice))
    return tuple(out)


def _texts(plan: Plan, width: float, unit: float) -> list[FindingText]:
    """The findings broken to the width of a column."""
    texts, inner, size = [], width - MARKER_MM * unit, TYPE_MM * unit
    for found, name, facts, advice in _facts(plan):
        lines = [*wrapped(facts, size, inner, 2)] if facts else []
        lines += wrapped(advice, size, inner, 3) if advice else ()
        texts.append(FindingText(found=found, lines=(name, *lines[:MOST_LINES])))
    return texts


@lru_cache(maxsize=4)
def _columns(plan: Plan, width: float, unit: float) -> tuple[tuple[FindingText, ...], ...]:
    """The findings column by column, the gravest first, columns about equally high."""
    column = _column_width(plan, width, unit)
    texts = _texts(plan, column, unit)
    count = round((width + GUTTER_MM * unit) / (column + GUTTER_MM * unit))
    even = sum(text.height for text in texts) / count
    out: list[list[FindingText]] = [[] for _ in range(count)]
    done = 0.0
    for text in texts:
        out[min(count - 1, int((done + text.height / 2.0) / even))].append(text)
        done += text.height
    return tuple(map(tuple, out))


def findings_height(plan: Plan, width: float, unit: float) -> float:
    """Height that the key takes in a width, heading included."""
    columns = _columns(plan, width, unit)
    return (HEADING_MM + max(sum(text.height for text in column) for column in columns)) * unit


def findings_key(plan: Plan, x: float, y: float, width: float, unit: float, most: float) -> Element:
    """The key, its upper left corner at a point of the page, at most so high."""
    out = group("findings-key", "Findings, the gravest first")
    for item in heading("Findings", x, y, width, unit):
        out.add(item)
    columns = _columns(plan, width, unit)
    step = _column_width(plan, width, unit) + GUTTER_MM * unit
    top, last = row_y(y, 0, unit), y + most - 2.0 * ROW_MM * unit
    shown = 0
    for number, column in enumerate(columns):
        base = top
        for text in column:
            if base + (len(text.lines) - 1) * ROW_MM * unit > last:
                break
            _finding(out, text, x + number * step, base, unit)
            base += text.height * unit
            shown += 1
    hidden = sum(map(len, columns)) - shown
    told = f"and {plural(hidden, 'more kind')}: see the plot of one page" if hidden else ""
    if not any(columns):
        told = "none"
    if told:
        at = top if not shown else y + most - ROW_MM * unit
        out.add(words(told, x, at, TYPE_MM * unit, fill=QUIET))
    return out


def _finding(out: Element, text: FindingText, x: float, base: float, unit: float) -> None:
    """One kind of finding: its marker and its lines."""
    size = TYPE_MM * unit
    spot = (x + 2.2 * unit, base - size * 0.35)
    out.add(markers([text.found], [spot], [unit * 0.92]))
    for row, line in enumerate(text.lines):
        look = {"font_weight": "bold"} if row == 0 else {"fill": QUIET}
        out.add(words(line, x + MARKER_MM * unit, base + row * ROW_MM * unit, size, **look))
