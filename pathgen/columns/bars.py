"""Bars: contours of four corners that are a stroke as they stand.

Plain letters are drawn with many of them. Their two long sides are the rails, so they need no
triangles; the column is what the triangles would give.
"""

import math

import numpy as np
from numpy.typing import NDArray

from pathgen.columns.blobs import ROUND, roundness
from pathgen.columns.branches import CORNER_DEG
from pathgen.columns.ends import EDGE_LEAN_DEG, EDGE_LEAST_EM
from pathgen.columns.rails import Rails
from pathgen.columns.rungs import eased, evened
from pathgen.geometry import Points, signed_area, turns_deg, unit

__all__ = ["bar"]

# A bar's sides are at least so many times as long as its ends.
LONG = 2.0  # -30 %: same; +30 %: same

# Its long sides are no farther than this from parallel, degrees; a sharper wedge may be a tip.
TAPER_DEG = 15.0  # -30 %: same; +30 %: same


def bar(ring: Points) -> Rails | None:
    """The column of a contour that is a plain bar; None for any other.

    Parameters
    ----------
    ring : (N, 2) float
        A closed contour in ems, counter-clockwise, first point not repeated.
    """
    if len(ring) != 4 or (turns_deg(np.concatenate([ring, ring[:2]])) < CORNER_DEG).any():
        return None
    sides = np.roll(ring, -1, axis=0) - ring
    sizes = np.hypot(sides[:, 0], sides[:, 1])
    # Counter-clockwise from the near end, the first side is the right one, the third the left.
    start = 0 if sizes[0] + sizes[2] > sizes[1] + sizes[3] else 1
    ring, sides, sizes = (np.roll(each, -start, axis=0) for each in (ring, sides, sizes))
    unit_sides = sides / sizes[:, None]
    ahead = unit(unit_sides[0] - unit_sides[2])
    if (
        sizes[[0, 2]].min() < LONG * sizes[[1, 3]].max()
        or sizes[[1, 3]].min() < EDGE_LEAST_EM
        or (np.abs(unit_sides[[1, 3]] @ ahead) > math.sin(math.radians(EDGE_LEAN_DEG))).any()
        or unit_sides[0] @ ahead < math.cos(math.radians(TAPER_DEG / 2.0))
        or roundness(signed_area(ring), float(sizes.sum())) > ROUND
    ):
        return None
    rails = _squared(ring[[3, 2]], ring[[0, 1]], ahead)
    return eased(evened(rails, float(sizes[[1, 3]].mean())))


def _squared(left: Points, right: Points, ahead: Points) -> Rails:
    """Two straight rails with a rung at either end, and square ones as near as there is room."""
    a, b = left @ ahead, right @ ahead
    inner = np.array([max(a[0], b[0]), min(a[1], b[1])])
    return Rails(_with(left, a, inner), _with(right, b, inner))


def _with(rail: Points, run: NDArray[np.float64], inner: NDArray[np.float64]) -> Points:
    """A straight rail with the points added that have come so far."""
    share = (inner - run[0]) / (run[1] - run[0])
    return np.concatenate([rail[:1], rail[0] + share[:, None] * (rail[1] - rail[0]), rail[1:]])
