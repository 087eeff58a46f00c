"""Shapes as grey pictures: how much of each pixel is covered, numpy only.

Along a few sample lines a pixel, the edges that are crossed are put in order; each adds or takes
one turn, and what is wound around is covered (the non-zero rule, as fonts are filled). So many
overlapping pieces are one shape without any union. Along a line the cover is exact.
"""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points

__all__ = ["Window", "edges_of", "pictures"]

# Sample lines a pixel: a level edge is true to a twelfth of a pixel.
_LINES = 6


class Window(NamedTuple):
    """The part of the plane that is pictured, in pixels: its left foot and its size."""

    x: int
    y: int
    width: int
    height: int


def edges_of(rings: Sequence[Points]) -> NDArray[np.float64]:
    """Edges of closed rings, (E, 2, 2): start and end of each."""
    if not rings:
        return np.zeros((0, 2, 2))
    return np.concatenate([np.stack([r, np.roll(r, -1, axis=0)], axis=1) for r in rings])


def pictures(
    edges: NDArray[np.float64], owner: NDArray[np.int64], count: int, window: Window
) -> NDArray[np.float64]:
    """Coverage of several shapes, one picture each.

    Parameters
    ----------
    edges : (E, 2, 2) float
        Edges of closed rings in pixels, y up. Rings of one shape that overlap must run the same
        way round, and a hole the other way.
    owner : (E,) int
        Which shape each edge belongs to, from 0.
    count : int
        How many shapes.
    window : Window
        What lies outside it is cut off.

    Returns
    -------
    (count, H, W) float
        Share of each pixel that is covered, 0 to 1; the first row is the lowest.
    """
    line, x, turn = _crossings(edges, owner, window)
    order = np.lexsort((x, line))
    line, x, turn = line[order], np.clip(x[order], 0.0, window.width), turn[order]
    # Each ring is closed, so that the turns of every line add up to none.
    after = np.cumsum(turn)
    enters, leaves = (after != 0) & (after == turn), (after == 0) & (turn != 0)
    size = window.width + 2
    step = np.zeros(count * window.height * size)
    for ends, sign in ((enters, 1.0), (leaves, -1.0)):
        pixel = np.floor(x[ends]).astype(np.int64)
        share = x[ends] - pixel
        at = line[ends] // _LINES * size + pixel
        step += np.bincount(at, sign * (1.0 - share), minlength=len(step))
        step += np.bincount(at + 1, sign * share, minlength=len(step))
    cover = np.cumsum(step.reshape(count, window.height, size), axis=2)[:, :, : window.width]
    return np.clip(cover / _LINES, 0.0, 1.0)


def _crossings(
    edges: NDArray[np.float64], owner: NDArray[np.int64], window: Window
) -> tuple[NDArray[np.int64], NDArray[np.float64], NDArray[np.int64]]:
    """Line, place along it, and turn (1 upward, -1 downward) of each crossing of an edge.

    Lines are numbered through all pictures; several belong to each row of pixels.
    """
    lines = window.height * _LINES
    start, end = edges[:, 0] - (window.x, window.y), edges[:, 1] - (window.x, window.y)
    low = np.minimum(start[:, 1], end[:, 1]) * _LINES - 0.5
    high = np.maximum(start[:, 1], end[:, 1]) * _LINES - 0.5
    first = np.clip(np.ceil(low), 0, lines).astype(np.int64)
    crossed = np.clip(np.ceil(high), 0, lines).astype(np.int64) - first
    edge = np.repeat(np.arange(len(edges)), crossed)
    line = np.arange(len(edge)) + np.repeat(first - np.cumsum(crossed) + crossed, crossed)
    rise = end[:, 1] - start[:, 1]
    slope = np.divide(end[:, 0] - start[:, 0], rise, out=np.zeros_like(rise), where=rise != 0.0)
    x = start[edge, 0] + ((line + 0.5) / _LINES - start[edge, 1]) * slope[edge]
    return owner[edge] * lines + line, x, np.where(rise > 0.0, 1, -1)[edge]
