"""The form of a trial panel, to be printed and filled in beside the sewn one.

An upright sheet in real mm: what was planned, a map of bars and rings with their numbers and of the
letters, all at true size, and a box for everything that is to be measured or told.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from pathgen.model import Plan
from pathgen.polygons import rings_of
from pathgen.writers.plot_page import drawing_bounds, fitted, text_width, wrapped
from pathgen.writers.plot_paths import ring_path
from pathgen.writers.plot_style import FAINT, INK, INK_FILL, PAPER, QUIET, TEXT
from pathgen.writers.plot_svg_pen import (
    Element,
    document,
    group,
    path,
    rectangle,
    sheet,
    short,
    words,
)
from pathgen.writers.wording import CAUTION, amount, grouped_thousands

__all__ = ["Mark", "trial_form"]

WIDTH_MM, HEIGHT_MM = 210.0, 297.0
"""A4 upright (ISO 216); the sheet grows where more letters are asked for."""

MARGIN_MM = 12.0
INNER_MM = WIDTH_MM - 2.0 * MARGIN_MM
ROW_MM = 5.6
"""Height of a line that is written in by hand."""

BLOCKS = 3
"""Columns that the table of bars is set in."""

WORD_MM, SMALL_MM = 2.9, 2.3

HOW = (
    "Drawn: width of a bar, or of a ring's counter, in mm.",
    "Edge: across the middle of the bar, from outermost thread to outermost thread. Holes: from"
    " needle hole to needle hole, best seen from the back with a loupe. Measure to 0.05 mm.",
    "Counter: the opening of a ring across its middle; write closed where there is none left.",
    "Read: yes or no, by someone who does not know the text, at the distance it will be read from.",
    "Then fill in date, edge, holes, counter and read in {name}.form.csv: mm, or inches with the"
    " sign, point or comma. Leave empty what was not measured.",
)


class Mark(NamedTuple):
    """A bar or ring on the map: its number, its size, and its middle in plan mm."""

    number: int
    label: str
    x_mm: float
    y_mm: float


def trial_form(
    name: str,
    gauges: Plan,
    letters: Plan,
    marks: Sequence[Mark],
    rows: Sequence[Mapping[str, str]],
) -> str:
    """The form as an SVG 1.1 document.

    Parameters
    ----------
    name : str
        Of the panel.
    gauges, letters : Plan
        Bars and rings; letters, a line a height.
    marks : sequence of Mark
        Every bar and ring.
    rows : sequence of mapping
        The rows of the table that goes with the form.
    """
    blocks = [*_head(name, gauges), _maps(name, gauges, letters, marks)]
    bars = [row for row in rows if row["kind"] == "bar"]
    rings = [row for row in rows if row["kind"] == "ring"]
    blocks += [_gauge_table(bars, rings), _letter_table(letters), _notes(name)]
    height = max(HEIGHT_MM, 2.0 * MARGIN_MM + sum(block.height for block in blocks))
    out = sheet(WIDTH_MM, height, f"Form of trial panel {name}", "To be filled in by hand.")
    out.add(rectangle(0.0, 0.0, WIDTH_MM, height, id="page", fill=PAPER))
    y = MARGIN_MM
    for block in blocks:
        block.element.move(short(MARGIN_MM), short(y))
        out.add(block.element)
        y += block.height
    return document(out)


class _Block(NamedTuple):
    """A part of the sheet, drawn from its own upper left corner."""

    element: Element
    height: float


def _head(name: str, gauges: Plan) -> Iterator[_Block]:
    """Name, what was planned, and lines to write on."""
    out = group("head", "What was planned")
    out.add(
        words(
            "Trial panel" if name == "trial" else f"Trial panel {name}",
            0.0,
            5.0,
            5.2,
            font_weight="bold",
        )
    )
    s = gauges.settings
    facts = (
        f"{s.thread.name}, {amount(round(s.thread.tex, 1), 'tex')}",
        f"needle {s.needle.label}",
        s.cloth.name,
        f"spacing {amount(s.spacing_mm)}",
        f"allowance {amount(s.pull_mm)} a side",
        f"bars and rings {grouped_thousands(gauges.whole.stitches)} stitches",
    )
    for row, line in enumerate(wrapped(", ".join(facts), WORD_MM, INNER_MM, 2)):
        out.add(words(line, 0.0, 10.2 + row * 3.8, WORD_MM, fill=QUIET))
    x = 0.0
    for label, wide in (("date", 34), ("machine", 48), ("speed", 30), ("backing", 42), ("by", 32)):
        out.add(words(label, x, 21.0, WORD_MM))
        start = x + 2.0 + 1.75 * len(label)
        line = f"M{short(start)} 21.6H{short(x + wide - 3.0)}"
        out.add(path(line, fill="none", stroke=TEXT, stroke_width=0.15))
        x += wide
    yield _Block(out, 26.0)


def _maps(name: str, gauges: Plan, letters: Plan, marks: Sequence[Mark]) -> _Block:
    """Bars and rings with their numbers, and the letters, at true size."""
    out = group("map", "Bars, rings and letters at true size")
    left, top = 9.0, 8.0
    out.add(
        words("Bars and rings at true size, with their numbers", left, 2.4, SMALL_MM, fill=QUIET)
    )
    bounds = drawing_bounds(gauges)
    out.add(_ink(gauges, left - min(0.0, bounds.x0), top + bounds.y1 + 1.0))
    for mark in marks:
        x, y = left + mark.x_mm, top + bounds.y1 + 1.0 - mark.y_mm
        out.add(words(f"{mark.number}", x - 5.2, y - 4.0, SMALL_MM, fill=TEXT))
    deep = bounds.height + 4.0
    out.add(_arrow(3.0, top + 2.0, top + deep - 2.0))
    beside, high = _letter_map(letters, name, deep + top + 4.0)
    out.add(beside)
    return _Block(out, max(deep + top + 4.0, high))


BESIDE_MM = 106.0
"""Where the letters begin, beside the bars."""


def _letter_map(letters: Plan, name: str, below: float) -> tuple[Element, float]:
    """The letters at true size, and where they end: beside the bars, or below them, or left out."""
    out = group("", "Letters at true size")
    bounds = drawing_bounds(letters)
    fits = bounds.width <= INNER_MM - BESIDE_MM
    if not fits and bounds.width > INNER_MM - 6.0:
        said = f"The letters are wider than this sheet: see {name}.letters.svg"
        out.add(words(said, INNER_MM, 2.4, SMALL_MM, text_anchor="end", fill=QUIET))
        return out, 0.0
    top = 8.0 if fits else below + 4.0
    across = INNER_MM - bounds.width if fits else 6.0
    said = "Letters at true size, with the height of capitals in mm"
    end = INNER_MM if fits else text_width(said, SMALL_MM)
    out.add(words(said, end, top - 5.6, SMALL_MM, text_anchor="end", fill=QUIET))
    y = top + bounds.y1 + 1.0
    out.add(_ink(letters, across - bounds.x0, y))
    for line in letters.by_line:
        said, foot = f"{line.settings.height_mm:g}", y + line.down_mm
        out.add(words(said, across - 2.0, foot, SMALL_MM, text_anchor="end", fill=QUIET))
    return out, top + bounds.height + 4.0


def _ink(plan: Plan, x: float, y: float) -> Element:
    """Ink of a plan at true size, its origin at a point."""
    out = group("", "", transform=f"translate({short(x)} {short(y)})")
    data = "".join(
        ring_path(ring) for letter in plan.letters for one in letter.ink for ring in rings_of(one)
    )
    out.add(path(data, fill=INK_FILL, stroke=INK, stroke_width=0.12, fill_rule="evenodd"))
    return out


def _arrow(x: float, top: float, foot: float) -> Element:
    """Arrow that says which way the panel lies on the cloth."""
    out = group("grain", "Along the cloth: grain of a weave, wales of a knit")
    line = f"M{short(x)} {short(foot)}V{short(top)}M{short(x - 1.2)} {short(top + 2.4)}"
    line += f"L{short(x)} {short(top)}L{short(x + 1.2)} {short(top + 2.4)}"
    out.add(path(line, fill="none", stroke=TEXT, stroke_width=0.3))
    middle = (top + foot) / 2.0
    turn = f"rotate(-90 {short(x - 1.6)} {short(middle)})"
    said = "along the cloth (grain, wales)"
    out.add(words(said, x - 1.6, middle, SMALL_MM, text_anchor="middle", transform=turn))
    return out


def _gauge_table(bars: Sequence[Mapping[str, str]], rings: Sequence[Mapping[str, str]]) -> _Block:
    """A line for each bar, in blocks, and one for each ring beside them."""
    out = group("bars-and-rings", "Widths of bars, counters of rings")
    deep = -(-len(bars) // BLOCKS)
    stretches = [bars[n * deep : (n + 1) * deep] for n in range(BLOCKS)]
    gap = 4.0
    wide = (INNER_MM - BLOCKS * gap - 34.0) / BLOCKS
    for number, stretch in enumerate(stretches):
        x = number * (wide + gap)
        out.add(_lined(stretch, x, wide, ("edge", "holes")))
    out.add(_lined(rings, BLOCKS * (wide + gap), 34.0, ("counter",)))
    return _Block(out, (deep + 1) * ROW_MM + 5.0)


def _lined(
    rows: Sequence[Mapping[str, str]], x: float, wide: float, fields: tuple[str, ...]
) -> Element:
    """Rows with number and drawn size, and boxes for what is measured."""
    out = group("", "")
    box = (wide - 19.0) / len(fields)
    out.add(words("no.", x + 6.0, 3.4, SMALL_MM, text_anchor="end", fill=QUIET))
    out.add(words("drawn", x + 17.0, 3.4, SMALL_MM, text_anchor="end", fill=QUIET))
    for place, field in enumerate(fields):
        at = x + 19.0 + (place + 0.5) * box
        out.add(words(field, at, 3.4, SMALL_MM, text_anchor="middle", fill=QUIET))
    for place, row in enumerate(rows, 1):
        y = place * ROW_MM
        out.add(words(row["number"], x + 6.0, y + 2.6, WORD_MM, text_anchor="end"))
        out.add(words(row["drawn_mm"], x + 17.0, y + 2.6, WORD_MM, text_anchor="end", fill=QUIET))
        for column in range(len(fields)):
            out.add(_box(x + 19.0 + column * box, y - 1.2, box, ROW_MM))
    return out


def _box(x: float, y: float, wide: float, high: float) -> Element:
    """A box to write in."""
    return rectangle(x, y, wide, high, fill="none", stroke=FAINT, stroke_width=0.2)


def _letter_table(letters: Plan) -> _Block:
    """A box for each letter: read or not."""
    out = group("letters", "Letters that were read")
    out.add(words("Read? yes or no", 0.0, 2.6, SMALL_MM, fill=QUIET))
    signs = max(len(line.text) for line in letters.by_line)
    left, top, high = 14.0, 5.0, 7.4
    wide = min(13.0, (INNER_MM - left) / max(signs, 1))
    for row, line in enumerate(letters.by_line):
        y = top + row * high
        said = f"{line.settings.height_mm:g} mm"
        out.add(words(said, left - 2.0, y + 4.6, WORD_MM, text_anchor="end"))
        for letter in (one for one in letters.letters if one.line == row + 1):
            x = left + (letter.index - 1) * wide
            out.add(_box(x, y, wide, high))
            sign = fitted(letter.text, SMALL_MM, wide / 2.0)
            out.add(words(sign, x + 0.9, y + 2.9, SMALL_MM, fill=QUIET))
    return _Block(out, top + len(letters.by_line) * high + 6.0)


def _notes(name: str) -> _Block:
    """How to measure, and the caution."""
    out = group("notes", "How to measure")
    y = 2.0
    for said in (*HOW, " ".join(CAUTION)):
        for line in wrapped(said.format(name=name), SMALL_MM, INNER_MM):
            out.add(words(line, 0.0, y, SMALL_MM, fill=TEXT))
            y += 3.4
        y += 0.8
    return _Block(out, y)
