"""Narrow places dimensioned: the width, as sewn, of columns that the thread hardly fills.

The narrowest column of a letter has a dimension across it, where it is to be checked; where no
letter has such a column, the narrowest of the plan has one, so that a reader sees what it is.
"""

from collections.abc import Sequence
from functools import lru_cache
from operator import attrgetter
from typing import NamedTuple

import numpy as np

from pathgen.geometry import Points
from pathgen.model import Column, Letter, Level, Plan
from pathgen.writers.plot_labels import Asked
from pathgen.writers.plot_page import Page, text_width
from pathgen.writers.plot_style import ALARM, HAIR_MM, PAPER
from pathgen.writers.plot_svg_pen import Element, group, labels, path, shorts

__all__ = ["Narrow", "narrow_asked", "narrow_dimensions", "narrow_places"]

SIZE_MM, TICK_MM = 2.1, 0.7

MOST = 12
"""Places dimensioned on a page: more could not be read."""


class Narrow(NamedTuple):
    """A narrow column: how wide it is sewn, and its edges at the middle rung, plan mm."""

    width_mm: float
    left: Points
    right: Points
    line: int
    letter: int


def narrow_places(plan: Plan) -> tuple[Narrow, ...]:
    """The narrowest column of each letter that has one to be checked, else that of the plan."""
    named = {
        (f.line, f.letter, f.column)
        for f in plan.findings
        if f.code == "narrow-column" and f.level != Level.NOTE
    }
    found: dict[tuple[int, int], tuple[float, Letter, Column]] = {}
    for letter in plan.letters:
        columns = letter.shape.columns
        if named:
            place = (letter.line, letter.index)
            columns = tuple(c for n, c in enumerate(columns, 1) if (*place, n) in named)
        if columns:
            column = min(columns, key=_usual_width)
            pull_mm = plan.by_line[letter.line - 1].settings.pull_mm
            width = column.usual_width + 2.0 * pull_mm
            found[letter.line, letter.index] = width, letter, column
    places = sorted((width, *place) for place, (width, _, _) in found.items())
    chosen = [found[line, letter] for _, line, letter in places[: MOST if named else 1]]
    return tuple(_narrow(*place) for place in chosen)


_usual_width = attrgetter("usual_width")


def _narrow(width_mm: float, letter: Letter, column: Column) -> Narrow:
    """The narrow place of a letter."""
    left, right = _edges(column, width_mm)
    here = np.array(letter.at_mm)
    return Narrow(width_mm, left + here, right + here, letter.line, letter.index)


@lru_cache(maxsize=1024)
def _edges(column: Column, width_mm: float) -> tuple[Points, Points]:
    """Ends of a rung as wide as a column is sewn, across the rung nearest its usual width."""
    widths = column.widths
    inner = slice(len(widths) // 4, max(len(widths) // 4 + 1, 3 * len(widths) // 4))
    rung = inner.start + int(np.abs(widths[inner] - column.usual_width).argmin())
    across = (column.left[rung] - column.right[rung]) / max(widths[rung], 1e-9)
    middle = (column.left[rung] + column.right[rung]) / 2.0
    return middle + across * width_mm / 2.0, middle - across * width_mm / 2.0


def narrow_asked(plan: Plan, page: Page) -> tuple[list[tuple[str, Points]], Asked]:
    """The width of each narrow place on a page, its ends on paper, and the labels for them."""
    size = SIZE_MM * page.label_unit
    shown = []
    for place in narrow_places(plan):
        ends = np.stack([place.left, place.right])
        if page.holds(ends).all():
            shown.append((f"{place.width_mm:.2f}", page.on_paper(ends)))
    spots = np.array([ends.mean(axis=0) for _, ends in shown]).reshape(-1, 2)
    sizes = np.array([(text_width(said, size), size) for said, _ in shown]).reshape(-1, 2)
    return shown, Asked(spots, sizes, line=False)


def narrow_dimensions(
    shown: Sequence[tuple[str, Points]], places: Sequence[tuple[float, float]], page: Page
) -> Element:
    """A short dimension line across each narrow place, and its width in mm beside it."""
    out = group("narrow-places", "Narrow places: width of the column as sewn, mm", fill=ALARM)
    size = SIZE_MM * page.label_unit
    edge, face = group("", "", stroke=PAPER, stroke_width=size * 0.35), group("", "")
    lines = "".join(_line(ends, TICK_MM * page.label_unit) for _, ends in shown)
    if lines:
        said = [text for text, _ in shown]
        at = [(x, y + size * 0.36) for x, y in places]
        out.add(path(lines, fill="none", stroke=ALARM, stroke_width=1.6 * HAIR_MM))
        for layer in (edge, face):
            layer.add(labels(said, at, size, text_anchor="middle"))
            out.add(layer)
    return out


def _line(ends: Points, tick: float) -> str:
    """A line with a stroke across each end."""
    ahead = ends[1] - ends[0]
    across = np.array([-ahead[1], ahead[0]]) / max(float(np.hypot(*ahead)), 1e-9) * tick
    strokes = [(ends[0], ends[1])] + [(end - across, end + across) for end in ends]
    at = shorts(*np.array(strokes).ravel().tolist())
    return "M%s %sL%s %s" * len(strokes) % tuple(at)
