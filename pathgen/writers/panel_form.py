"""The form that goes with a panel of samples: what was planned, and boxes for what was sewn.

A4 upright, to be printed at 100 %, in as many pages as the rows take. Each row shows its
lettering at true size, its recipe and the verdict foretold, and has boxes to tick and lines to
write on; what is planned stands beside what is to be measured.
"""

from collections.abc import Sequence
from itertools import islice
from typing import NamedTuple

from pathgen.model import Letter, Plan
from pathgen.polygons import rings_of
from pathgen.settings import Settings
from pathgen.verdicts import Reading
from pathgen.writers.leftovers import numbered
from pathgen.writers.plot_page import fitted, wrapped
from pathgen.writers.plot_style import FAINT, HAIR_MM, QUIET, TEXT
from pathgen.writers.plot_svg_pen import (
    Element,
    Page,
    document,
    group,
    path,
    rectangle,
    sheet,
    short,
    words,
)
from pathgen.writers.reading_words import VERDICT_WORDS, reading_facts
from pathgen.writers.wording import CAUTION, amount, grouped_thousands

__all__ = ["FormRow", "panel_forms"]

WIDE_MM, HIGH_MM, MARGIN_MM = 210.0, 297.0, 14.0
HEAD_MM, FOOT_MM = 40.0, 17.0
ROW_MM = 31.0
BESIDE_MM = 79.0
"""Longest lettering that stands beside its boxes."""

TYPE_MM, SMALL_MM = 2.9, 2.5
BOX_MM = 3.6
INNER_MM = WIDE_MM - 2.0 * MARGIN_MM
RIGHT_MM = 96.0
"""From the left edge to the boxes of a row."""


class FormRow(NamedTuple):
    """One row of a panel.

    Attributes
    ----------
    number : int
        From 1, from top to bottom.
    settings : Settings
        What it is sewn with.
    down_mm : float
        How far its baseline lies below the first.
    letters : tuple of Letter
        In their places.
    stitches : int
        How many it takes.
    width_mm : float
        Between its outermost needle points.
    stem_of : str
        Letter whose longest column is to be measured.
    stem_mm : float
        Width of that column as planned, allowance included.
    reading : Reading
        Whether it can be read.
    label : str
        What is sewn beside it; empty for nothing.
    """

    number: int
    settings: Settings
    down_mm: float
    letters: tuple[Letter, ...]
    stitches: int
    width_mm: float
    stem_of: str
    stem_mm: float
    reading: Reading
    label: str = ""


def panel_forms(plan: Plan, rows: Sequence[FormRow]) -> list[str]:
    """The pages of the form as SVG 1.1 documents.

    Where a row's lettering is too long to stand beside its boxes, the boxes stand below it.
    """
    room = int((HIGH_MM - 2.0 * MARGIN_MM - HEAD_MM - FOOT_MM) / _row_height(rows))
    left = iter(rows)
    pages = list(iter(lambda: list(islice(left, room)), []))
    high = _row_height(rows)
    return [_page(plan, page, high, n, len(pages)) for n, page in enumerate(pages, 1)]


def _row_height(rows: Sequence[FormRow]) -> float:
    """Height of every row."""
    if max(row.width_mm for row in rows) <= BESIDE_MM:
        return ROW_MM
    return ROW_MM + 6.0 + 1.6 * max(row.settings.height_mm for row in rows)


def _page(plan: Plan, rows: Sequence[FormRow], high: float, number: int, count: int) -> str:
    """One page."""
    text = plan.lines[0]
    about = "Form for a panel of samples: what is planned, and boxes for what was sewn."
    title = numbered(f"Samples: {text}", "page", number, count)
    out = sheet(WIDE_MM, HIGH_MM, title, about)
    out.add(rectangle(0.0, 0.0, WIDE_MM, HIGH_MM, fill="#ffffff"))
    out.add(_head(plan, number, count))
    for place, row in enumerate(rows):
        out.add(_row(row, MARGIN_MM + HEAD_MM + place * high, high))
    _foot(out)
    return document(out)


def _head(plan: Plan, number: int, count: int) -> Element:
    """What is tried, and lines for when, by whom and on what."""
    out = group("head", "", fill=TEXT)
    right = WIDE_MM - MARGIN_MM
    title = fitted(f"Samples: {plan.lines[0]}", 6.0, INNER_MM - 20.0)
    out.add(words(title, MARGIN_MM, MARGIN_MM + 5.0, 6.0, font_weight="bold"))
    if count > 1:
        page = f"page {number} of {count}"
        out.add(words(page, right, MARGIN_MM + 5.0, SMALL_MM, text_anchor="end", fill=QUIET))
    cloth = plan.settings.cloth.name
    about = f"{plan.face.name}, planned for {cloth}. Print at 100 %: lettering is at true size."
    out.add(words(about, MARGIN_MM, MARGIN_MM + 10.6, TYPE_MM, fill=QUIET))
    third = INNER_MM / 3.0
    labels = (("date", "operator", "machine"), ("cloth", "backing", "thread, as on the cone"))
    for line, names in enumerate(labels):
        for place, name in enumerate(names):
            x, y = MARGIN_MM + place * third, MARGIN_MM + 20.0 + line * 9.0
            out.add(_blank(name, x, y, third - 5.0))
    rule = f"M{short(MARGIN_MM)} {short(MARGIN_MM + HEAD_MM - 5.0)}H{short(right)}"
    out.add(path(rule, fill="none", stroke=TEXT, stroke_width=0.3))
    return out


def _blank(name: str, x: float, y: float, width: float) -> Element:
    """A label and a line to write on."""
    out = group("", "")
    out.add(words(name, x, y, SMALL_MM, fill=QUIET))
    start = x + len(name) * SMALL_MM * 0.56 + 1.5
    line = f"M{short(start)} {short(y + 0.6)}H{short(x + width)}"
    out.add(path(line, fill="none", stroke=TEXT, stroke_width=HAIR_MM))
    return out


def _row(row: FormRow, top: float, high: float) -> Element:
    """One row: lettering and plan at the left, boxes at the right."""
    top_boxes, foot_mm = top + high - ROW_MM, top + high
    s = row.settings
    out = group(f"row-{row.number}", f"Row {row.number}", fill=TEXT)
    share = min(1.0, INNER_MM / max(row.width_mm, 1.0))
    name = f"Row {row.number}: {amount(s.height_mm)}, {s.thread.name}"
    name += f"; labelled {row.label}" if row.label else ""
    name += f" (drawn at {100.0 * share:.0f} %)" if share < 1.0 else ""
    out.add(words(name, MARGIN_MM, top + 3.0, TYPE_MM * 1.1, font_weight="bold"))
    base = top + 5.0 + max(s.height_mm * share, 2.0) * 1.25
    out.add(_lettering(row, MARGIN_MM, base, share))
    recipe = (
        f"spacing {amount(s.spacing_mm)}, allowance {amount(s.pull_mm)} a side,"
        f" underlay {s.underlay.replace('-', ' ')}, needle {s.needle.label},"
        f" {grouped_thousands(row.stitches)} stitches"
    )
    told = wrapped(recipe, SMALL_MM, RIGHT_MM - MARGIN_MM - 6.0, 2)
    told += wrapped(_foretold(row.reading), SMALL_MM, RIGHT_MM - MARGIN_MM - 6.0, 2)
    foot = foot_mm - 3.5 - (len(told) - 1) * 3.3
    for place, line in enumerate(told):
        out.add(words(line, MARGIN_MM, foot + place * 3.3, SMALL_MM, fill=QUIET))
    _boxes(out, row, top_boxes)
    rule = f"M{short(MARGIN_MM)} {short(foot_mm - 1.6)}H{short(WIDE_MM - MARGIN_MM)}"
    out.add(path(rule, fill="none", stroke=FAINT, stroke_width=HAIR_MM))
    return out


def _foretold(reading: Reading) -> str:
    """The verdict and the weightiest of what it rests on."""
    facts = reading_facts(reading)[:2]
    return f"foretold: {VERDICT_WORDS[reading.verdict]}; {'; '.join(facts)}"


def _lettering(row: FormRow, x: float, base: float, share: float) -> Element:
    """Ink of a row, its left end and baseline at a place."""
    left = min((part.bounds[0] for letter in row.letters for part in letter.ink), default=0.0)
    dx, dy = x - left * share, base - row.down_mm * share
    data = "".join(
        "M"
        + " ".join(f"{short(px * share + dx)} {short(dy - py * share)}" for px, py in ring.tolist())
        + "Z"
        for letter in row.letters
        for polygon in letter.ink
        for ring in rings_of(polygon)
    )
    return path(data, fill=TEXT, fill_rule="evenodd") if data else group("", "")


def _boxes(out: Element, row: FormRow, top: float) -> None:
    """Boxes to tick, measures to write down beside the planned ones, and remarks."""
    x, y = RIGHT_MM, top + 3.0
    for label in ("legible", "with effort", "not legible"):
        look: dict[str, str | float] = {"fill": "none", "stroke": TEXT, "stroke_width": 0.25}
        out.add(rectangle(x, y - BOX_MM + 0.7, BOX_MM, BOX_MM, **look))
        out.add(words(label, x + BOX_MM + 1.4, y, TYPE_MM))
        x += 32.0
    measures = (
        ("capitals", amount(round(row.settings.height_mm, 2))),
        (f"stem of {row.stem_of}", amount(round(row.stem_mm, 2))),
        ("whole width", amount(round(row.width_mm, 1))),
    )
    for place, (name, planned) in enumerate(measures):
        left, line = RIGHT_MM + place * 34.0, top + 11.5
        out.add(words(name, left, line - 2.4, SMALL_MM, fill=QUIET))
        out.add(words(f"planned {planned}", left, line + 1.0, SMALL_MM, fill=QUIET))
        rule = f"M{short(left)} {short(line + 6.6)}h22"
        out.add(path(rule, fill="none", stroke=TEXT, stroke_width=HAIR_MM))
        out.add(words("mm", left + 23.0, line + 6.6, SMALL_MM, fill=QUIET))
    out.add(_blank("remarks", RIGHT_MM, top + ROW_MM - 4.6, WIDE_MM - MARGIN_MM - RIGHT_MM))


def _foot(out: Page) -> None:
    """The caution."""
    lines = wrapped(" ".join(CAUTION), SMALL_MM, INNER_MM, 3)
    for place, line in enumerate(lines):
        y = HIGH_MM - MARGIN_MM - (len(lines) - 1 - place) * 3.4
        out.add(words(line, MARGIN_MM, y, SMALL_MM, fill=TEXT))
