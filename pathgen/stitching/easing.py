"""Give crowded needle points room: the trade's short stitches.

On the inside of a bend, where a column turns about a corner, and where it passes over itself, the
points of a zigzag come too close: thread piles up and the needle cuts the cloth. Such points step
back into the column, each only as far as it takes to keep the least stitch from all others,
so that inside a bend about every second stitch becomes a short one. Points with room enough,
such as those on the outside, stay where they are, and so do the ends. Where a narrow column
has no place left for a point, it is left out: the thread would only pile up there.
"""

import math
from collections.abc import Iterable, Sequence
from itertools import pairwise, repeat

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points, neighbours, spans
from pathgen.settings import Settings

__all__ = ["DEEPEST_WIDTHS", "eased", "first_room", "least_apart_mm", "stepped_back"]

# Deepest step back, in widths of the column there: farther on are the other side's points.
DEEPEST_WIDTHS = 0.75
# Where the asked spacing itself is under the least stitch, points keep this share of it.
_SPACING_SHARE = 0.8
# Points whose distances to the others of their column are told at once.
_AT_ONCE = 512
# Two points at just the least distance have room, whatever the last bits say.
_ROOM = 1.0 - 5e-10


def least_apart_mm(settings: Settings) -> float:
    """Distance that the points of a zigzag keep. Uses ``least_stitch_mm``, ``spacing_mm``."""
    return min(settings.least_stitch_mm, _SPACING_SHARE * settings.spacing_mm)


def eased(
    points: Points,
    across_mm: Points,
    column: NDArray[np.int64],
    closed: Sequence[bool],
    least_mm: float,
) -> tuple[Points, NDArray[np.bool_]]:
    """Points of the zigzag of several columns, the crowded ones stepped back.

    Parameters
    ----------
    points : (N, 2) float
        In sewing order, one column after the other.
    across_mm : (N, 2) float
        From each point to the other side of its column.
    column : (N,) int
        Which column each belongs to, from 0.
    closed : sequence of bool
        Whether each column goes around a ring, so that it has no ends.
    least_mm : float
        Distance that points of a column keep.

    Returns
    -------
    points : (N, 2) float
        No two of those of a column that are kept nearer than ``least_mm``.
    kept : (N,) bool
        Which are not left out.
    """
    crowded = _crowded(points, column, least_mm)
    kept = np.ones(len(points), dtype=bool)
    if not len(crowded):
        return points, kept
    beside = _beside_ways(points, across_mm, column, crowded, least_mm)
    places, steps = points[crowded].tolist(), across_mm[crowded].tolist()
    starts = column.searchsorted(np.arange(len(closed) + 1))
    firsts, starts = crowded.searchsorted(starts).tolist(), starts.tolist()
    numbers = crowded.tolist()
    for k, (first, last) in enumerate(pairwise(firsts)):
        if first == last:
            continue
        found: list[Sequence[float]] = []
        own = [n - starts[k] for n in numbers[first:last]]
        for n in _ends_first(own, starts[k + 1] - starts[k], closed=closed[k]):
            n += first
            others = beside[n] + found
            share = _first_free(_bars(places[n], steps[n], others, repeat(least_mm)))
            if share <= DEEPEST_WIDTHS:
                (x, y), (ax, ay) = places[n], steps[n]
                places[n] = [x + share * ax, y + share * ay]
                found.append(places[n])
            else:
                kept[numbers[n]] = False
    moved = points.copy()
    moved[crowded] = places
    return moved, kept


def stepped_back(
    point: Points, across_mm: Points, others: Points, apart_mm: NDArray[np.float64]
) -> Points | None:
    """A point moved across its column, as little as gives it room from others.

    Parameters
    ----------
    point, across_mm : (2,) float
        From the point to the other side of its column.
    others : (N, 2) float
        Other points.
    apart_mm : (N,) float
        How far to keep from each of them.

    Returns
    -------
    (2,) float or None
        None where nowhere has room enough.
    """
    off = others - point
    # No point farther off is in the way.
    reach_mm = DEEPEST_WIDTHS * math.hypot(*across_mm.tolist()) + apart_mm
    near = np.hypot(off[:, 0], off[:, 1]) < reach_mm
    share = first_room(point, across_mm, others[near], apart_mm[near])
    return point + share * across_mm if share <= DEEPEST_WIDTHS else None


def _ends_first(crowded: Sequence[int], count: int, *, closed: bool) -> list[int]:
    """Order in which crowded points find their places: the corners of both ends, then on.

    Numbers are places in the list of the crowded ones.
    """
    order = list(range(len(crowded)))
    corners = () if closed else (0, count - 1, 1, count - 2)
    first = [crowded.index(k) for k in corners if k in crowded]
    return [*first, *(n for n in order if n not in first)] if first else order


def _beside_ways(
    points: Points,
    across: Points,
    column: NDArray[np.int64],
    crowded: NDArray[np.int64],
    least_mm: float,
) -> list[list[list[float]]]:
    """For each crowded point, the others of its column that are not and bar part of its way."""
    settled = np.ones(len(points), dtype=bool)
    settled[crowded] = False
    settled = settled.nonzero()[0]
    first, last = (
        column[settled].searchsorted(column[crowded], side=side) for side in ("left", "right")
    )
    beside: list[list[list[float]]] = [[] for _ in crowded]
    for i in range(0, len(crowded), _AT_ONCE):
        which, other = spans(first[i : i + _AT_ONCE], last[i : i + _AT_ONCE])
        here, there = crowded[i + which], settled[other]
        # As in `_bars`.
        (dx, dy), (ax, ay) = (points[here] - points[there]).T, across[here].T
        off, lead = dx * dx + dy * dy - least_mm * least_mm, ax * dx + ay * dy
        near = (lead * lead > (ax * ax + ay * ay) * off).nonzero()[0]
        for n, place in zip(which[near].tolist(), points[there[near]].tolist(), strict=True):
            beside[i + n].append(place)
    return beside


_Bar = tuple[float, float]
"""From which to which share of its way across a point would be too near to another one."""


def _bars(
    point: Sequence[float],
    across: Sequence[float],
    others: Iterable[Sequence[float]],
    apart_mm: Iterable[float],
) -> list[_Bar]:
    """Bars of others, each with its distance, in plain numbers: most columns have few."""
    (x, y), (ax, ay) = point, across
    size = ax * ax + ay * ay
    bars = []
    for (other_x, other_y), apart in zip(others, apart_mm, strict=False):
        dx, dy = x - other_x, y - other_y
        off, lead = dx * dx + dy * dy - apart * apart, ax * dx + ay * dy
        if off < 0.0 or lead < 0.0:
            root = lead * lead - size * off
            if root > 0.0:
                root = math.sqrt(root)
                bars.append(((-lead - root) / size, (-lead + root) / size))
    return bars


def first_room(
    point: Points, across_mm: Points, others: Points, apart_mm: NDArray[np.float64]
) -> float:
    """Share of the way across at which a point, (2,), first keeps apart from others, (N, 2).

    As `stepped_back`, for a few others with a distance each.
    """
    return _first_free(
        _bars(point.tolist(), across_mm.tolist(), others.tolist(), apart_mm.tolist())
    )


def _first_free(bars: Sequence[_Bar]) -> float:
    """First share, from 0 on, that no bar covers."""
    share = 0.0
    for start, end in sorted(bars):
        if start > share:
            break
        share = max(share, end)
    return share


def _crowded(points: Points, column: NDArray[np.int64], least_mm: float) -> NDArray[np.int64]:
    """Points that are too near to another one of their column, in rising order."""
    pairs, distances = neighbours(points, least_mm, column)
    return np.bincount(pairs[distances < least_mm * _ROOM].ravel()).nonzero()[0]
