"""The outline of one polygon, made ready for triangles.

Everything inside this room is measured in ems from the lower left corner of the ink, snapped
to a fine grid, each ring from its lowest point on. So the columns do not depend on the size
or the place of the polygon, nor on where its rings start: the triangles of evenly spaced
points are full of ties (four points on a circle), and a last bit would tip them.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points, cross, signed_area
from pathgen.polygons import Polygon, rings_of, solid

__all__ = ["Outline", "settled", "traced"]

# Fineness of the snapping grid; 4,000 steps to the unit of the finest font (16,384 per em).
GRID_PER_EM = 2.0**26  # -30 %: alike; +30 %: alike

# Distance between outline points, in mean stroke widths: near enough that triangles span the
# stroke instead of running along it.
STEP_WIDTHS = 0.5  # -30 %: 10 lost, cover -0.02; +30 %: 3 lost

# The same, bounded in ems: finer costs time, coarser loses the shape of curves.
STEP_LEAST_EM = 1.0 / 150.0  # -30 %: same; +30 %: same
STEP_MOST_EM = 1.0 / 20.0  # -30 %: alike; +30 %: 1 lost

# About as many points are added to an outline at most, however long it is.
MOST_POINTS = 4000  # -30 %: same; +30 %: same


@dataclass(frozen=True, slots=True, eq=False)
class Outline:
    """Rings of a polygon with points added along long edges; ink on the left of travel.

    Attributes
    ----------
    points : (N, 2) float
        In ems, ring after ring.
    after, before : (N,) int
        Next and last point on the same ring.
    turn_deg : (N,) float
        Turn at each point: positive at convex corners, negative at hollow ones.
    ink : Polygon
        The same rings as a polygon.
    width_em : float
        Mean stroke width: twice the area over the perimeter.
    origin, em
        How to go back: ``origin + points * em``.
    """

    points: Points
    after: NDArray[np.int64]
    before: NDArray[np.int64]
    turn_deg: NDArray[np.float64]
    ink: Polygon
    width_em: float
    origin: Points
    em: float

    @property
    def pinched(self) -> bool:
        """Whether two rings, or two places of one, meet in a point."""
        keys = np.sort(_keys(self.points))
        return bool((keys[1:] == keys[:-1]).any())


def _keys(points: Points) -> NDArray[np.complex128]:
    """One sortable number a point."""
    return points[:, 0] + 1j * points[:, 1]


def traced(polygon: Polygon, em: float) -> Outline | None:
    """Outline of a polygon in ems; None if nothing is left of it on the grid."""
    drawn = rings_of(polygon)
    origin = drawn[0].min(axis=0)
    rings = [settled((ring - origin) / em) for ring in drawn]
    if len(rings[0]) < 3:
        return None
    holes = sorted((ring for ring in rings[1:] if len(ring) > 2), key=lambda r: r[0].tolist())
    rings = [rings[0], *holes]
    area = sum(signed_area(ring) for ring in rings)
    edges = [np.concatenate([ring[1:], ring[:1]]) - ring for ring in rings]
    sizes = [np.hypot(edge[:, 0], edge[:, 1]) for edge in edges]
    around = sum(float(size.sum()) for size in sizes)
    width = 2.0 * max(area, 0.0) / around
    step = min(max(STEP_WIDTHS * width, STEP_LEAST_EM), STEP_MOST_EM)
    step = max(step, around / MOST_POINTS)
    dense = [_densified(*parts, step) for parts in zip(rings, edges, sizes, strict=True)]
    return _outline(dense, width, origin, em)


def settled(ring: Points) -> Points:
    """Ring snapped to the grid, without repeated points, from its lowest, leftmost on."""
    snapped = np.round(ring * GRID_PER_EM) / GRID_PER_EM
    before = np.concatenate([snapped[-1:], snapped[:-1]])
    snapped = snapped[(snapped != before).any(axis=1)]
    if len(snapped) < 3:
        return snapped
    first = int(np.lexsort((snapped[:, 0], snapped[:, 1]))[0])
    return np.concatenate([snapped[first:], snapped[:first]])


def _densified(ring: Points, edges: Points, sizes: NDArray[np.float64], step: float) -> Points:
    """Ring with points added so that no edge is longer than ``step``."""
    # The slack keeps an edge of exactly n steps at n pieces, whatever its last bit.
    pieces = np.maximum(1, np.ceil(sizes / step - 1e-9)).astype(int)
    corner = np.repeat(np.arange(len(ring)), pieces)
    piece = np.arange(len(corner)) - np.repeat(np.cumsum(pieces) - pieces, pieces)
    return ring[corner] + (piece / pieces[corner])[:, None] * edges[corner]


def _outline(rings: list[Points], width: float, origin: Points, em: float) -> Outline:
    """Rings laid end to end, with each point's neighbours and turn."""
    points = np.concatenate(rings)
    after = np.arange(1, len(points) + 1)
    ends = np.cumsum([len(ring) for ring in rings])
    after[ends - 1] = np.concatenate([[0], ends[:-1]])
    before = np.zeros_like(after)
    before[after] = np.arange(len(points))
    back, ahead = points - points[before], points[after] - points
    turn = np.degrees(np.arctan2(cross(back, ahead), (back * ahead).sum(axis=1)))
    return Outline(points, after, before, turn, solid(rings), width, origin, em)
