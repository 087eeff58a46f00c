"""Letters as drawn, pictured once for all that are held against them."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points, turned
from pathgen.model import LetterShape
from pathgen.polygons import rings_of
from pathgen.review.likeness import CAPITAL_PX, WINDOW, smoothed, standard, window_for
from pathgen.review.raster import Window, edges_of, pictures

__all__ = ["Drawing", "alphabet_of", "drawing_of", "drawn_pictures", "drawn_rows", "same_letter"]

# Signs that many faces draw alike, so that readers take them by their neighbours.
_TWINS = ("Il1|", "O0")


@dataclass(frozen=True, slots=True, eq=False)
class Drawing:
    """A letter as drawn, in pixels from the middle of its ink on the baseline; its own cache key.

    Attributes
    ----------
    text : str
        The letter.
    edges_px : (E, 2, 2) float
        Edges of its outline.
    middle_px : float
        Where that middle lies, from the letter's origin.
    """

    text: str
    edges_px: NDArray[np.float64]
    middle_px: float

    @property
    def window(self) -> Window:
        """Window that holds it."""
        if not len(self.edges_px):
            return WINDOW
        (left, foot), (_, top) = self.edges_px.min(axis=(0, 1)), self.edges_px.max(axis=(0, 1))
        return window_for(float(left), float(foot), float(top))


def alphabet_of(letters: Mapping[str, Sequence[Points]], capital: float) -> tuple[Drawing, ...]:
    """Drawings from the contours of letters and the height of a capital, in one unit."""
    scale = CAPITAL_PX / capital
    return tuple(
        _drawing(text, [ring * scale for ring in rings]) for text, rings in letters.items()
    )


@lru_cache(maxsize=4096)
def drawing_of(shape: LetterShape, text: str, height_mm: float) -> Drawing:
    """A letter's own drawing, set upright."""
    scale = CAPITAL_PX / height_mm
    rings = [turned(r * scale, -shape.turn_rad) for ink in shape.ink for r in rings_of(ink)]
    return _drawing(text, rings)


def _drawing(text: str, rings: Sequence[Points]) -> Drawing:
    edges = edges_of(rings)
    if not len(edges):
        return Drawing(text, edges, 0.0)
    across = edges[:, :, 0]
    middle = float(across.min() + across.max()) / 2.0
    return Drawing(text, edges - (middle, 0.0), middle)


@lru_cache(maxsize=64)
def drawn_pictures(drawings: tuple[Drawing, ...], window: Window) -> NDArray[np.float64]:
    """Smoothed pictures of several letters, (N, H, W), in one batch."""
    counts = [len(drawing.edges_px) for drawing in drawings]
    edges = np.concatenate([np.zeros((0, 2, 2)), *(d.edges_px for d in drawings)])
    owner = np.repeat(np.arange(len(counts)), counts)
    return smoothed(pictures(edges, owner, len(counts), window))


@lru_cache(maxsize=64)
def drawn_rows(drawings: tuple[Drawing, ...], window: Window) -> NDArray[np.float64]:
    """The same as `standard` makes them."""
    return standard(drawn_pictures(drawings, window))


def same_letter(a: str, b: str) -> bool:
    """Whether taking one for the other does no harm to reading."""
    return a.casefold() == b.casefold() or any(a in twins and b in twins for twins in _TWINS)
