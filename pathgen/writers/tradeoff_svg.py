"""Likeness against stitches, for all settings that were tried on a text: what more stitches buy.

Each try is a dot, with underlay a ring; the line joins those that no other beats in both. Limits
of the verdict are drawn across. SVG 1.1 in mm.
"""

import math
from collections.abc import Sequence
from typing import NamedTuple

from pathgen.sewnlook import ReadingLimits
from pathgen.verdicts import Tried
from pathgen.writers.plot_page import fitted, wrapped
from pathgen.writers.plot_style import EDGE, FAINT, HAIR_MM, PAPER, QUIET, TEXT
from pathgen.writers.plot_svg_pen import (
    Element,
    circle,
    document,
    group,
    path,
    rectangle,
    sheet,
    short,
    words,
)
from pathgen.writers.wording import CAUTION, amount

__all__ = ["tradeoff_svg"]

WIDTH_MM, HEIGHT_MM = 210.0, 148.0
"""A5 lying (ISO 216)."""

LEFT_MM, RIGHT_MM, TOP_MM, FOOT_MM = 24.0, 12.0, 30.0, 36.0
TYPE_MM = 3.0
STEPS = (1.0, 2.0, 5.0)
LEAST_STITCHES, LEAST_LIKENESS = 10.0, 0.005
"""Spans that the axes have at least, as where all settings are given and one try is left."""

LINE, MARK = "#0a5c94", "#a32100"


class _Frame(NamedTuple):
    """What the drawing's box shows: stitches from left to right, likeness upward."""

    least: float
    most: float
    low: float
    high: float

    def at(self, stitches: float, likeness: float) -> tuple[float, float]:
        wide, tall = WIDTH_MM - LEFT_MM - RIGHT_MM, HEIGHT_MM - TOP_MM - FOOT_MM
        x = LEFT_MM + wide * (stitches - self.least) / (self.most - self.least)
        return x, TOP_MM + tall * (self.high - likeness) / (self.high - self.low)


def tradeoff_svg(
    title: str,
    tried: Sequence[Tried],
    front: Sequence[Tried],
    marks: Sequence[tuple[str, Tried]],
    limits: ReadingLimits,
) -> str:
    """Plot of tried settings.

    Parameters
    ----------
    title : str
        What was tried on.
    tried, front : sequence of Tried
        All, and those that none beats; at least one of each.
    marks : sequence of (str, Tried)
        Those to be named.
    limits : ReadingLimits
        Likeness from which a text reads well, and still reads.
    """
    out = sheet(WIDTH_MM, HEIGHT_MM, title, "Likeness against stitches for the settings tried.")
    out.add(rectangle(0.0, 0.0, WIDTH_MM, HEIGHT_MM, id="page", fill=PAPER))
    inner = WIDTH_MM - LEFT_MM - RIGHT_MM
    out.add(words(fitted(title, 5.0, inner), LEFT_MM, 14.0, 5.0, font_weight="bold", fill=TEXT))
    said = "Each dot is one choice of spacing, allowance and underlay (rings: with underlay)."
    out.add(words(said, LEFT_MM, 20.0, TYPE_MM, fill=QUIET))
    frame = _frame([*tried, *(one for _, one in marks)])
    out.add(_axes(frame, tried[0].reading.origin))
    out.add(_limits(frame, limits))
    out.add(_dots(frame, tried, front))
    out.add(_marks(frame, marks))
    for row, line in enumerate(wrapped(" ".join(CAUTION), TYPE_MM, inner, 3)):
        y = HEIGHT_MM - 13.0 + row * 4.2
        out.add(words(line, LEFT_MM, y, TYPE_MM, fill=QUIET))
    return document(out)


def _frame(tried: Sequence[Tried]) -> _Frame:
    """Box around all tries, out to whole steps."""
    stitches = [float(one.stitches) for one in tried]
    likeness = [one.reading.likeness for one in tried]
    step = _step(max(stitches) - min(stitches), LEAST_STITCHES)
    rise = _step(max(likeness) - min(likeness), LEAST_LIKENESS)
    return _Frame(
        math.floor(min(stitches) / step) * step,
        (math.floor(max(stitches) / step) + 1) * step,
        math.floor(min(likeness) / rise) * rise,
        (math.floor(max(likeness) / rise) + 1) * rise,
    )


def _step(span: float, least: float) -> float:
    """A round step of which about five make a span, that is taken to have a least size."""
    span = max(span, least)
    power = 10.0 ** math.floor(math.log10(span / 5.0))
    return min((s * power for s in (*STEPS, 10.0)), key=lambda s: abs(span / s - 5.0))


def _axes(frame: _Frame, origin: str) -> Element:
    """Grid with figures."""
    out = group("axes", "Stitches from left to right, likeness upward")
    lines = []
    x0, y0 = frame.at(frame.least, frame.low)
    x1, y1 = frame.at(frame.most, frame.high)
    step = _step((frame.most - frame.least) * 0.8, LEAST_STITCHES)
    rise = _step((frame.high - frame.low) * 0.8, LEAST_LIKENESS)
    for n in range(round((frame.most - frame.least) / step) + 1):
        value = frame.least + n * step
        x, _ = frame.at(value, frame.low)
        lines.append(f"M{short(x)} {short(y0)}V{short(y1)}")
        said = amount(value, "")
        out.add(words(said, x, y0 + 5.0, TYPE_MM, text_anchor="middle", fill=QUIET))
    decimals = max(0, -math.floor(math.log10(rise) + 1e-9))
    for n in range(round((frame.high - frame.low) / rise) + 1):
        value = frame.low + n * rise
        _, y = frame.at(frame.least, value)
        lines.append(f"M{short(x0)} {short(y)}H{short(x1)}")
        said = f"{value:.{decimals}f}"
        out.add(words(said, x0 - 2.0, y + 1.0, TYPE_MM, text_anchor="end", fill=QUIET))
    out.add(path("".join(lines), fill="none", stroke=FAINT, stroke_width=HAIR_MM))
    out.add(words("stitches", x1, y0 + 10.0, TYPE_MM, text_anchor="end", fill=TEXT))
    said = f"likeness to the letters as drawn ({origin})"
    out.add(words(said, x0, y1 - 2.0, TYPE_MM, fill=TEXT))
    return out


def _limits(frame: _Frame, limits: ReadingLimits) -> Element:
    """Lines from which a text reads well, and still reads, where they lie in the box."""
    out = group("limits", "Limits of the verdict")
    named = (("reads well", limits.text_well_likeness), ("still reads", limits.text_least_likeness))
    for name, value in named:
        if frame.low < value < frame.high:
            x0, y = frame.at(frame.least, value)
            x1, _ = frame.at(frame.most, value)
            line = f"M{short(x0)} {short(y)}H{short(x1)}"
            out.add(path(line, fill="none", stroke=TEXT, stroke_width=0.25, stroke_dasharray="2 1"))
            said = f"{name} from here up (fitted, not measured)"
            out.add(words(said, x1, y - 1.2, TYPE_MM, text_anchor="end", fill=TEXT))
    return out


def _dots(frame: _Frame, tried: Sequence[Tried], front: Sequence[Tried]) -> Element:
    """All tries, and the line of those that none beats."""
    out = group("tries", f"{len(tried)} choices of settings")
    way = [frame.at(one.stitches, one.reading.likeness) for one in front]
    line = "M" + "L".join(f"{short(x)} {short(y)}" for x, y in way)
    out.add(path(line, fill="none", stroke=LINE, stroke_width=0.5, stroke_linejoin="round"))
    for one in tried:
        x, y = frame.at(one.stitches, one.reading.likeness)
        fill = EDGE if one.underlay == "none" else PAPER
        out.add(circle(x, y, 0.8, fill=fill, stroke=LINE, stroke_width=0.25))
    return out


def _marks(frame: _Frame, marks: Sequence[tuple[str, Tried]]) -> Element:
    """Named tries: a letter by the dot, and what it stands for below the axes."""
    out = group("marks", "Named choices")
    top = HEIGHT_MM - FOOT_MM + 10.5
    for number, (name, one) in enumerate(marks):
        x, y = frame.at(one.stitches, one.reading.likeness)
        out.add(circle(x, y, 1.5, fill="none", stroke=MARK, stroke_width=0.5))
        sign = name[0].upper()
        look: dict[str, str | float] = {"font_weight": "bold", "fill": MARK}
        shift = -2.6 if number % 2 == 0 else 4.8
        out.add(words(sign, x, y + shift, TYPE_MM, text_anchor="middle", **look))
        said = (
            f"{sign}: {name}, {one.stitches} stitches; spacing {amount(one.spacing_mm)}, allowance"
            f" {amount(one.pull_mm)}, underlay {one.underlay.replace('-', ' ')}"
        )
        out.add(words(said, LEFT_MM, top + number * 4.4, TYPE_MM, **look))
    return out
