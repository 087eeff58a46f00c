"""Give crowded needle points room: the trade's short stitches.

On the inside of a bend, and where a column turns about a corner, the points of one rail come too
close: thread piles up and the needle cuts the cloth. Such points step back into the column,
each only as far as it takes to keep the least stitch from the points sewn before it, so that
inside a bend about every second stitch becomes a short one. Nothing is left out, and the
outer rail is as dense as asked.

limit: in a bend of a column under about 0.65 mm, as sewn, there may be no place with all the
room; points then keep 0.85 of it at least (measured on the tests' faces from 3 mm up).
"""

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points
from pathgen.settings import Settings

__all__ = ["eased", "least_apart_mm", "stepped_back"]

# Deepest step back, in widths of the column there: farther on are the other side's points.
_DEEPEST_WIDTHS = 0.75
# Places tried on the way in.
_TRIED = 25
# How many points sewn before are looked at, and of the first ones when a ring comes round: in a
# zigzag only near ones can be close.
_LOOK_BACK = 16
_COMING_ROUND = 8
# Where the asked spacing itself is under the least stitch, points keep this share of it.
_SPACING_SHARE = 0.8


def least_apart_mm(settings: Settings) -> float:
    """Distance that the points of a zigzag keep. Uses ``least_stitch_mm``, ``spacing_mm``."""
    return min(settings.least_stitch_mm, _SPACING_SHARE * settings.spacing_mm)


def eased(
    points: Points, inward: Points, widths_mm: NDArray[np.float64], settings: Settings
) -> Points:
    """Points of a zigzag, the crowded ones stepped back.

    Parameters
    ----------
    points : (N, 2) float
        In sewing order. In a ring the last lies on the first, and steps back from it.
    inward : (N, 2) float
        Unit vectors from each point across the column.
    widths_mm : (N,) float
        Width of the column, as sewn, at each point.
    settings : Settings
        Uses ``least_stitch_mm`` and ``spacing_mm``.
    """
    least = least_apart_mm(settings)
    first = _first_crowded(points, least)
    if first is None:
        return points
    placed = points.copy()
    for k in range(first, len(points)):
        before = placed[max(0, k - _LOOK_BACK) : k]
        if k > len(points) - _LOOK_BACK > 1:
            before = np.concatenate([placed[:_COMING_ROUND], before])
        placed[k] = stepped_back(points[k], widths_mm[k] * inward[k], before, least)
    return placed


def stepped_back(point: Points, across_mm: Points, others: Points, least_mm: float) -> Points:
    """Point moved across its column, (2,), as little as gives it room from the others, (N, 2).

    ``across_mm`` leads to the other side. Where nowhere has room enough, the roomiest place.
    """
    step = others - point
    if np.min(np.hypot(step[:, 0], step[:, 1])) >= least_mm:
        return point
    tried = point + np.linspace(0.0, _DEEPEST_WIDTHS, _TRIED)[:, None] * across_mm
    apart = np.hypot(*(tried[:, None] - others[None]).transpose(2, 0, 1)).min(axis=1)
    roomy = np.flatnonzero(apart >= least_mm)
    return np.asarray(tried[roomy[0] if len(roomy) else apart.argmax()])


def _first_crowded(points: Points, least: float) -> int | None:
    """Index of the first point too near one before it; None where all have room."""
    count = len(points)
    before = np.arange(count)[:, None] - np.arange(1, _LOOK_BACK)
    step = points[:, None] - points[np.maximum(before, 0)]
    near = (before >= 0) & ((step * step).sum(axis=2) < least * least)
    crowded = np.flatnonzero(near.any(axis=1))
    if len(crowded):
        return int(crowded[0])
    closes = np.hypot(*(points[-1] - points[0])) < least
    return count - 1 if closes else None
