"""Fasten the thread: a few short stitches on the centre line, under the cover.

Three penetrations each: in, a tie length along the column, and most of the way back. They lie
inside the column they belong to, away from its very end, so that the zigzag hides them; and
no two of them share a hole, nor do the tie-in and the tie-off of a column that is entered
and left at the same end. Of several places near the end they take that with most room.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from pathgen.column import CentreLine
from pathgen.geometry import Points, between
from pathgen.model import Column

__all__ = [
    "IN_FROM_END_MM",
    "OFF_FROM_END_MM",
    "TIE_MM",
    "Ties",
    "roomiest",
    "tie",
    "tie_from",
    "ties",
]

# Length of a tie stitch (common practice: a few stitches under 1 mm, no published source).
TIE_MM = 0.6
# How far from the hole it came from the second tie stitch ends: more than the 0.1 mm within
# which holes count as one heap.
SHIFT_MM = 0.15
# Where the three penetrations lie, from the first on.
_STITCHES_MM = np.array([0.0, TIE_MM, SHIFT_MM])
# How far a tie keeps from the end of its column.
IN_FROM_END_MM = 0.30
OFF_FROM_END_MM = 0.60

# How much farther in a tie may lie where there is more room, in this order of preference.
_FARTHER_MM = (0.0, 0.15, 0.3, 0.45, 0.6, 0.75)
# Holes nearer than this crowd a tie: about half a blade.
_CROWD_MM = 0.35

Ties = NDArray[np.float64]
"""(N, 3, 2) float64: several ties, three penetrations each."""


def tie(column: Column, from_end_mm: float, *, at_last: bool) -> Points:
    """Three penetrations near the first or the last rung of a column, (3, 2).

    All lengths shrink together in a column shorter than twice what a tie takes.
    """
    return _ties(column, [from_end_mm], at_last=at_last)[0]


def ties(column: Column | CentreLine, from_end_mm: float, *, at_last: bool) -> Ties:
    """The tie at the end of a column, then those a little farther in."""
    most = float(column.where[-1]) - IN_FROM_END_MM - TIE_MM
    more = [from_end_mm + farther for farther in _FARTHER_MM[1:]]
    return _ties(column, [from_end_mm, *(far for far in more if far <= most)], at_last=at_last)


def _ties(column: Column | CentreLine, from_end_mm: Sequence[float], *, at_last: bool) -> Ties:
    """Ties so far from the end of a column."""
    total = float(column.where[-1])
    shrink = min(1.0, total / (2.0 * (TIE_MM + OFF_FROM_END_MM)))
    stops = shrink * (np.array(from_end_mm)[:, None] + _STITCHES_MM).ravel()
    points = between(column.centre, column.where, total - stops if at_last else stops)
    return points.reshape(-1, 3, 2)


def tie_from(column: Column, where_mm: float, ahead: float) -> Points:
    """Three penetrations beside a place on the centre line, (3, 2), forwards (1) or back (-1).

    All lengths shrink together, as in `tie`, and where the column ends too soon.
    """
    total = float(column.where[-1])
    room = total - where_mm if ahead > 0.0 else where_mm
    shrink = min(1.0, total / (2.0 * (TIE_MM + OFF_FROM_END_MM)), room / (TIE_MM + IN_FROM_END_MM))
    stops = shrink * (IN_FROM_END_MM + _STITCHES_MM)
    return between(column.centre, column.where, where_mm + ahead * stops)


def roomiest(places: Ties, holes: Points) -> Points:
    """Of several ties the first whose worst crowded penetration has fewest holes about it."""
    x, y = (places[:, :, None, axis] - holes[:, axis] for axis in (0, 1))
    crowd = (x * x + y * y < _CROWD_MM * _CROWD_MM).sum(axis=2).max(axis=1)
    return np.asarray(places[int(crowd.argmin())])
