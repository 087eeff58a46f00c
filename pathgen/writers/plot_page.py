"""The page of the plot: where the drawing stands on it, and how much room words take.

Widths of words are estimated on the wide side, from a wide common face, because the reader's
sans-serif is not known.
"""

import unicodedata
from functools import cache, lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points
from pathgen.model import LetterShape, Plan

__all__ = [
    "SCALES",
    "SHEETS",
    "Bounds",
    "Page",
    "Sheet",
    "Stretch",
    "drawing_bounds",
    "fitted",
    "ink_boxes",
    "text_width",
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


def drawing_bounds(plan: Plan) -> Bounds:
    """Box around all ink and all needle points."""
    boxes = ink_boxes(plan)
    if len(plan.needles):
        xs, ys = plan.needles["x_mm"], plan.needles["y_mm"]
        boxes.append(Bounds(*(float(v) for v in (xs.min(), ys.min(), xs.max(), ys.max()))))
    if not boxes:
        return Bounds(x0=0.0, y0=0.0, x1=0.0, y1=0.0)
    x0, y0, x1, y1 = zip(*boxes, strict=True)
    return Bounds(x0=min(x0), y0=min(y0), x1=max(x1), y1=max(y1))


def ink_boxes(plan: Plan) -> list[Bounds]:
    """Box around each part of the ink, letter by letter."""
    return [
        Bounds(
            x0 + letter.at_mm[0], y0 + letter.at_mm[1], x1 + letter.at_mm[0], y1 + letter.at_mm[1]
        )
        for letter in plan.letters
        for x0, y0, x1, y1 in _boxes(letter.shape)
    ]


@lru_cache(maxsize=4096)
def _boxes(shape: LetterShape) -> tuple[Bounds, ...]:
    """Box around each part of a letter's ink, from its own origin."""
    return tuple(Bounds(*polygon.bounds) for polygon in shape.ink)


class Stretch(NamedTuple):
    """A part of the drawing, all that lies from one x to another, and where it stands.

    Attributes
    ----------
    x0, x1 : float
        What belongs to it, plan mm.
    left, top : float
        Where (x0, top of the drawing's box) lies on paper.
    """

    x0: float
    x1: float
    left: float
    top: float


_Measures = NDArray[np.float64]


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
    stretches : tuple of Stretch
        The parts of the drawing that stand on this page, from left to right.
    of_all : tuple of int
        Place of the first of them among all stretches of the drawing, from 0, and how many
        there are in all.
    zone_top, zone_foot : float
        The band of the page that belongs to the drawing.
    strip_top, strip_foot : float
        Edges of the strip of rulers, below that band or in its foot.
    capital_mm : float
        Height of capitals on paper.
    sheet : tuple of int
        Which sheet of how many this is.
    with_notes : bool
        Whether the notes stand on it.
    """

    width: float
    height: float
    unit: float
    scale: int
    bounds: Bounds
    stretches: tuple[Stretch, ...]
    of_all: tuple[int, int]
    zone_top: float
    zone_foot: float
    strip_top: float
    strip_foot: float
    capital_mm: float
    sheet: tuple[int, int] = (1, 1)
    with_notes: bool = True

    @property
    def margin(self) -> float:
        """Free edge all round."""
        return MARGIN_MM * self.unit

    @property
    def label_unit(self) -> float:
        """Factor for the signs inside the drawing: smaller where letters are small on paper."""
        return self.unit * min(1.0, max(0.6, self.capital_mm / (LABEL_CAPITAL_MM * self.unit)))

    @property
    def is_whole(self) -> bool:
        """Whether the drawing stands on this page in one piece."""
        return self.of_all[1] == 1

    @property
    def origin(self) -> tuple[float, float]:
        """Where the plan's origin lies on paper, or would lie, seen from the first stretch."""
        return self.origin_of(self.stretches[0])

    def origin_of(self, stretch: Stretch) -> tuple[float, float]:
        """Where the plan's origin lies on paper, or would lie, seen from a stretch."""
        return (
            stretch.left - stretch.x0 * self.scale,
            stretch.top + self.bounds.y1 * self.scale,
        )

    def box_of(self, stretch: Stretch) -> tuple[float, float, float, float]:
        """Left, top, right and foot of a stretch on paper."""
        return (
            stretch.left,
            stretch.top,
            stretch.left + (stretch.x1 - stretch.x0) * self.scale,
            stretch.top + self.bounds.height * self.scale,
        )

    def on_paper(self, points: Points) -> Points:
        """Plan points (N, 2), y up, as points on paper, y down; each in its stretch."""
        out = np.empty((len(points), 2))
        out[:, 0], out[:, 1] = self.both_on_paper(points[:, 0], points[:, 1])
        return out

    def both_on_paper(self, xs: _Measures, ys: _Measures) -> tuple[_Measures, _Measures]:
        """The same for x and y apart, (N,) each, which takes less time for many points."""
        origins = [self.origin_of(stretch) for stretch in self.stretches]
        if len(origins) == 1:
            ((x, y),) = origins
            return x + xs * self.scale, y + ys * -self.scale
        x_of, y_of = np.array(origins)[self._stretch_of(xs)].T
        return x_of + xs * self.scale, y_of + ys * -self.scale

    def holds(self, points: Points) -> NDArray[np.bool_]:
        """Which of the plan points (N, 2) lie in a stretch of this page."""
        first, count = self.of_all
        held = np.ones(len(points), dtype=bool)
        if first > 0:
            held &= points[:, 0] >= self.stretches[0].x0
        if first + len(self.stretches) < count:
            held &= points[:, 0] < self.stretches[-1].x1
        return held

    def _stretch_of(self, xs: _Measures) -> NDArray[np.int64]:
        """Place of each point's stretch on this page; those of other pages go to the nearest."""
        ends = np.array([stretch.x1 for stretch in self.stretches[:-1]])
        return np.searchsorted(ends, xs, side="right")


MARGIN_MM = 13.0

LABEL_CAPITAL_MM = 20.0
"""Capitals on paper from which labels have their full size, on A4."""


_NARROW, _SLIM, _WIDE = set("iljI.,:;|!'` ·"), set('ftr()[]-/"*'), set("mwMW@%&")


@lru_cache(maxsize=4096)
def text_width(text: str, size: float) -> float:
    """Width of a line of text, estimated on the wide side, in the unit of ``size``."""
    return size * sum(map(_sign_width, text))


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
    ems, kept = 0.0, 0
    for sign in text:
        ems += _sign_width(sign)
        if size * (ems + _sign_width("…")) > width:
            break
        kept += 1
    return text[:kept].rstrip() + "…"


def wrapped(text: str, size: float, width: float, most: int = 99) -> list[str]:
    """Text broken between words, and inside those too long, into lines of at most a width.

    The last of ``most`` lines is cut with an ellipsis if more would follow.
    """
    return list(_wrapped(text, size, width, most))


@lru_cache(maxsize=1024)
def _wrapped(text: str, size: float, width: float, most: int) -> tuple[str, ...]:
    """The same; most texts are measured for several sheets, and come again on the next plot."""
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
    return tuple(lines)


def _pieces(word: str, size: float, width: float) -> list[tuple[str, float]]:
    """A word with its width, or its parts where it is wider than a line."""
    whole = text_width(word, size)
    if whole <= width or len(word) < 2:
        return [(word, whole)]
    kept = max(1, int(len(word) * width / whole * 0.8))
    return [*_pieces(word[:kept], size, width), *_pieces(word[kept:], size, width)]
