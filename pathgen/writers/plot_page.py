"""The page of the plot: its size, the drawing's scale, and how much room words take.

The smallest sheet that shows the stitches well enough is taken, A4 to A0 lying (ISO 216).
Where even the largest is too small, the page grows. Widths of words are estimated on the wide
side, from a wide common face, because the reader's sans-serif is not known.
"""

import unicodedata
from collections.abc import Callable
from functools import cache
from typing import NamedTuple

import numpy as np

from pathgen.geometry import Points
from pathgen.model import Plan
from pathgen.needles import places_mm

__all__ = [
    "SCALES",
    "SHEETS",
    "Bounds",
    "Page",
    "Sheet",
    "chosen_page",
    "drawing_bounds",
    "fitted",
    "fitting_scale",
    "text_width",
    "wanted_scale",
    "wrapped",
]

SCALES = (1, 2, 3, 4, 5, 6, 8, 10, 12, 16, 20)
"""How many times sewn size the lettering may be drawn."""


class Sheet(NamedTuple):
    """A sheet of paper, lying."""

    name: str
    width_mm: float
    height_mm: float

    @property
    def type_scale(self) -> float:
        """How much larger words are than on A4: large sheets are read from farther away."""
        return float(np.sqrt(self.width_mm / SHEETS[0].width_mm))


SHEETS = (
    Sheet(name="A4", width_mm=297.0, height_mm=210.0),
    Sheet(name="A3", width_mm=420.0, height_mm=297.0),
    Sheet(name="A2", width_mm=594.0, height_mm=420.0),
    Sheet(name="A1", width_mm=841.0, height_mm=594.0),
    Sheet(name="A0", width_mm=1189.0, height_mm=841.0),
)
"""ISO 216, series A, lying."""


class Bounds(NamedTuple):
    """An upright box in plan mm, y up."""

    x0: float
    y0: float
    x1: float
    y1: float

    @property
    def width(self) -> float:
        """From left to right."""
        return self.x1 - self.x0

    @property
    def height(self) -> float:
        """From foot to top."""
        return self.y1 - self.y0


def bounds_of(points: Points) -> Bounds:
    """Box around points; an empty box at the origin for none."""
    if not len(points):
        return Bounds(x0=0.0, y0=0.0, x1=0.0, y1=0.0)
    (x0, y0), (x1, y1) = points.min(axis=0), points.max(axis=0)
    return Bounds(x0=float(x0), y0=float(y0), x1=float(x1), y1=float(y1))


def drawing_bounds(plan: Plan) -> Bounds:
    """Box around all ink and all needle points."""
    boxes = [p.bounds for letter in plan.letters for p in letter.ink]
    corners = np.array(boxes, dtype=float).reshape(-1, 2)
    needles = places_mm(plan.needles)
    return bounds_of(np.concatenate([corners, needles]))


class Page(NamedTuple):
    """The page and where the enlarged lettering stands on it.

    Attributes
    ----------
    width, height : float
        Of the page, mm on paper.
    unit : float
        Factor for every size of type and margin.
    scale : int
        Times sewn size.
    bounds : Bounds
        Of the drawing, plan mm.
    left, top : float
        Where the box's upper left corner lies on paper.
    zone_top, zone_foot : float
        The band of the page that belongs to the drawing.
    strip_top : float
        Upper edge of the strip of rulers, below that band or in its foot.
    capital_mm : float
        Height of capitals on paper.
    """

    width: float
    height: float
    unit: float
    scale: int
    bounds: Bounds
    left: float
    top: float
    zone_top: float
    zone_foot: float
    strip_top: float
    capital_mm: float

    @property
    def margin(self) -> float:
        """Free edge all round."""
        return MARGIN_MM * self.unit

    @property
    def label_unit(self) -> float:
        """Factor for the signs inside the drawing: smaller where letters are small on paper."""
        return self.unit * min(1.0, max(0.6, self.capital_mm / (LABEL_CAPITAL_MM * self.unit)))

    @property
    def origin(self) -> tuple[float, float]:
        """Where the plan's origin lies on paper."""
        return (
            self.left - self.bounds.x0 * self.scale,
            self.top + self.bounds.y1 * self.scale,
        )

    def on_paper(self, points: Points) -> Points:
        """Plan points (N, 2), y up, as points on paper, y down."""
        return np.array(self.origin) + points * np.array([self.scale, -self.scale])


MARGIN_MM = 13.0

LABEL_CAPITAL_MM = 24.0
"""Capitals on paper from which labels have their full size, on A4."""


def fitting_scale(bounds: Bounds, width: float, height: float) -> int:
    """The largest scale at which a box fits a space; 0 if none does."""
    fits = (s for s in SCALES if bounds.width * s <= width and bounds.height * s <= height)
    return max(fits, default=0)


_NARROW, _SLIM, _WIDE = set("iljI.,:;|!'` ·"), set('ftr()[]-/"*'), set("mwMW@%&")


def text_width(text: str, size: float) -> float:
    """Width of a line of text, estimated on the wide side, in the unit of ``size``."""
    return size * sum(_sign_width(sign) for sign in text)


@cache
def _sign_width(sign: str) -> float:
    """Width of one sign in ems, as in DejaVu Sans (measured) or a whole em for the unknown."""
    if sign in _NARROW:
        return 0.36
    if sign in _SLIM:
        return 0.45
    if sign in _WIDE:
        return 1.0
    if sign.isascii():
        return 0.72 if sign.isupper() else 0.645
    if unicodedata.category(sign) in ("Mn", "Me", "Cf"):
        return 0.0
    return 0.75 if unicodedata.category(sign)[0] in "LP" and ord(sign) < 0x1100 else 1.05


def fitted(text: str, size: float, width: float) -> str:
    """Text cut with an ellipsis so that it takes no more than a width."""
    if text_width(text, size) <= width:
        return text
    kept = text
    while kept and text_width(kept + "…", size) > width:
        kept = kept[:-1]
    return kept.rstrip() + "…"


def wrapped(text: str, size: float, width: float, most: int = 99) -> list[str]:
    """Text broken between words, and inside those too long, into lines of at most a width.

    The last of ``most`` lines is cut with an ellipsis if more would follow.
    """
    lines, space = [""], text_width(" ", size)
    taken = 0.0
    for word in text.split():
        for piece, wide in _pieces(word, size, width):
            if not lines[-1] or taken + space + wide <= width:
                taken += (space if lines[-1] else 0.0) + wide
                lines[-1] = f"{lines[-1]} {piece}".lstrip()
            else:
                taken = wide
                lines.append(piece)
    if len(lines) > most:
        lines = [*lines[: most - 1], fitted(" ".join(lines[most - 1 :]), size, width)]
    return lines


def _pieces(word: str, size: float, width: float) -> list[tuple[str, float]]:
    """A word with its width, or its parts where it is wider than a line."""
    whole = text_width(word, size)
    if whole <= width or len(word) < 2:
        return [(word, whole)]
    kept = max(1, int(len(word) * width / whole * 0.8))
    return [*_pieces(word[:kept], size, width), *_pieces(word[kept:], size, width)]


SIDE_MM, HEAD_MM, FOOT_MM = 24.0, 9.0, 13.0
"""Kept free beside, above and below the lettering, on A4: dimensions and labels."""

MOST_GROWN = 0.6
"""Share of a sheet's height up to which long notes may not cramp the drawing: the page grows."""


STRIP_WIDTH_MM = 88.0
"""Width on either side of the drawing that the strip of rulers needs to stand there, on A4."""

Height = Callable[[Sheet], float]
"""A height in mm that something takes on a sheet."""


LEAST_CAPITAL_MM, LEAST_PITCH_MM = 22.0, 1.2
"""Capitals and spacing on paper are to be this large, or a larger sheet is taken."""

WHOLE_SHEETS = 2
"""The smaller sheets, which stay whole; larger ones are cut to the height that is needed."""

MOST_SPARE = 0.35
"""Free share of the drawing's band on a sheet that is cut."""


def wanted_scale(height_mm: float, spacing_mm: float) -> float:
    """Least scale at which capitals and stitches are large enough on paper to be looked over."""
    wanted = min(LEAST_CAPITAL_MM / height_mm, SCALES[-1])
    return max(wanted, min(LEAST_PITCH_MM / spacing_mm, 3.0))


def _step_up(wanted: float) -> int:
    """The next scale that may be drawn."""
    return next(scale for scale in SCALES if scale >= wanted)


def chosen_page(
    bounds: Bounds, capital_mm: float, wanted: float, header: Height, rest: Height, strip: Height
) -> Page:
    """The smallest sheet that shows the drawing at a wanted scale, and the place on it.

    Parameters
    ----------
    bounds : Bounds
        Of the drawing, plan mm.
    capital_mm : float
        Height of capitals as sewn.
    wanted : float
        Scale to be reached if any sheet allows it.
    header, rest, strip : functions of a sheet
        Heights that the head, all that stands below the drawing, and the strip of rulers take
        on it. The strip stands beside a slim drawing if that can then be larger, else below.
    """
    for sheet in SHEETS:
        unit, width = sheet.type_scale, sheet.width_mm - 2.0 * MARGIN_MM * sheet.type_scale
        around = (HEAD_MM + FOOT_MM) * unit
        free = sheet.height_mm - header(sheet) - rest(sheet) - 2.0 * MARGIN_MM * unit
        enough = bounds.height * _step_up(wanted) + around + strip(sheet)
        free = max(free, min(enough, MOST_GROWN * sheet.height_mm))
        edge = max(STRIP_WIDTH_MM * unit, bounds.width + SIDE_MM * unit)
        beside = fitting_scale(bounds, width - 2.0 * edge, free - around)
        below = fitting_scale(bounds, width - 2.0 * SIDE_MM * unit, free - strip(sheet) - around)
        if max(below, beside) >= wanted:
            break
    scale = max(below, beside, 1)
    taken = strip(sheet) if scale > beside else 0.0
    zone = max(free - taken, bounds.height * scale + around)
    if sheet not in SHEETS[:WHOLE_SHEETS]:
        zone = min(zone, max(bounds.height * scale * (1.0 + MOST_SPARE), strip(sheet)) + around)
    page_width = max(sheet.width_mm, bounds.width * scale + 2.0 * (MARGIN_MM + SIDE_MM) * unit)
    zone_top = MARGIN_MM * unit + header(sheet)
    spare = zone - bounds.height * scale - around
    return Page(
        width=page_width,
        height=zone_top + zone + taken + rest(sheet) + MARGIN_MM * unit,
        unit=unit,
        scale=scale,
        bounds=bounds,
        left=(page_width - bounds.width * scale) / 2.0,
        top=zone_top + HEAD_MM * unit + spare / 2.0,
        zone_top=zone_top,
        zone_foot=zone_top + zone,
        strip_top=zone_top + zone + taken - strip(sheet),
        capital_mm=capital_mm * scale,
    )
