"""Where columns of a letter meet, their holes are kept from falling side by side.

A needle that comes down a hair beside a hole splits the thread in it. Columns are laid out one by
one, so that where two overlap, holes of both may fall together by chance. Then that of the later
column steps back into it, as short stitches do, just so far that the threads do not touch: less
than the thread's own thickness, under which the cover stays what it is.
"""

import math

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points, neighbours
from pathgen.settings import Settings
from pathgen.stitching.easing import DEEPEST_WIDTHS, first_room, least_apart_mm

__all__ = ["kept_apart"]

# How far a hole moves at most, in distances that it has to keep.
_MOST = 2.0
# Holes that keep the distance but for the last bits are apart.
_SAME_MM = 1e-9


def kept_apart(
    holes: Points,
    across_mm: Points,
    column: NDArray[np.int64],
    letter: NDArray[np.int64],
    settings: Settings,
) -> Points:
    """Holes of columns, those too near to holes of another column of their letter moved.

    Parameters
    ----------
    holes : (N, 2) float
        Of all columns.
    across_mm : (N, 2) float
        From each hole to the other side of its column.
    column, letter : (N,) int
        Which column and which letter each belongs to.
    settings : Settings
        Uses ``thread``, ``least_stitch_mm`` and ``spacing_mm``.

    Returns
    -------
    (N, 2) float
        Holes of a column keep its least distance from one another. Where a hole has no room
        near its place, it stays there.
    """
    least, limit = least_apart_mm(settings), settings.close_mm
    pairs, _ = neighbours(holes, limit - _SAME_MM, letter)
    pairs = pairs[column[pairs[:, 0]] != column[pairs[:, 1]]]
    if not len(pairs):
        return holes
    points = holes.copy()
    # No hole farther off is in the way.
    reach = _MOST * limit + least
    for pair in sorted(pairs.tolist()):
        for k in pair[::-1]:
            if math.dist(points[pair[0]], points[pair[1]]) >= limit - _SAME_MM:
                break
            step = points - points[k]
            near = (step[:, 0] ** 2 + step[:, 1] ** 2 < reach * reach) & (letter == letter[k])
            near[k] = False
            keep = np.where(column[near] == column[k], least, limit)
            share = first_room(points[k], across_mm[k], points[near], keep)
            far = share * math.hypot(*across_mm[k]) > _MOST * limit
            if share <= DEEPEST_WIDTHS and not far:
                points[k] += share * across_mm[k]
    return points
