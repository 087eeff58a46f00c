"""The outline of one polygon, made ready for triangles.

Everything inside this room is measured in ems from the lower left corner of the ink, snapped
to a fine grid, each ring from its lowest point on. So the columns do not depend on the size
or the place of the polygon, nor on where its rings start: the triangles of evenly spaced
points are full of ties (four points on a circle), and a last bit would tip them. Versions of GEOS
decide them differently too; in a plane that leans a little there are none.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from pathgen.columns.plane import places_of
from pathgen.geometry import Points, cross
from pathgen.polygons import Polygon, rings_of, solid

__all__ = ["Outline", "leant", "settled", "traced"]

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

# How much the plane leans in which triangles are sought: far more than the grid, far less than
# anyone sees. It is stretched and squeezed along 26 and 116 degrees, which strokes rarely have.
LEAN = -(2.0**-16)  # -30 %: same; +30 %: same


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
    places : list of complex
        The points again, x + iy.
    turns_deg : list of float
        The turns again.
    ink : Polygon
        The same rings as a polygon.
    width_em : float
        Mean stroke width: twice the area over the perimeter.
    origin, em
        How to go back: ``origin + points * em``.
    leaning : Polygon
        The rings in the plane that leans, to be cut into triangles. The height of each point is
        its number.
    """

    points: Points
    after: NDArray[np.int64]
    before: NDArray[np.int64]
    turn_deg: NDArray[np.float64]
    places: list[complex]
    turns_deg: list[float]
    ink: Polygon
    width_em: float
    origin: Points
    em: float
    leaning: Polygon

    @property
    def pinched(self) -> bool:
        """Whether two rings, or two places of one, meet in a point."""
        return len(set(self.places)) < len(self.places)


def traced(polygon: Polygon, em: float) -> Outline | None:
    """Outline of a polygon in ems; None if nothing is left of it on the grid."""
    drawn = rings_of(polygon)
    origin = drawn[0].min(axis=0)
    rings = [settled((ring - origin) / em) for ring in drawn]
    if len(rings[0]) < 3:
        return None
    holes = sorted((ring for ring in rings[1:] if len(ring) > 2), key=lambda r: r[0].tolist())
    rings = [rings[0], *holes]
    corners, ends = np.concatenate(rings), np.array([len(ring) for ring in rings]).cumsum()
    edges = corners.take(_after(ends), axis=0) - corners
    sizes = np.hypot(edges[:, 0], edges[:, 1])
    around = float(sizes.sum())
    width = max(float(cross(corners, edges).sum()), 0.0) / around
    step = min(max(STEP_WIDTHS * width, STEP_LEAST_EM), STEP_MOST_EM)
    step = max(step, around / MOST_POINTS)
    # The slack keeps an edge of exactly n steps at n pieces, whatever its last bit.
    pieces = np.maximum(1.0, np.ceil(sizes / step - 1e-9)).astype(np.int64)
    points = _densified(corners, edges, pieces)
    return _outline(points, pieces.cumsum()[ends - 1], width, origin, em)


def settled(ring: Points) -> Points:
    """Ring snapped to the grid, without repeated points, from its lowest, leftmost on."""
    snapped = np.rint(ring * GRID_PER_EM) / GRID_PER_EM
    step = snapped - np.concatenate([snapped[-1:], snapped[:-1]])
    moves = (step[:, 0] != 0.0) | (step[:, 1] != 0.0)
    if not moves.all():
        snapped = snapped[moves]
    if len(snapped) < 3:
        return snapped
    # Complex numbers are ordered by their real part, then by the other.
    first = int((snapped[:, 1] + 1j * snapped[:, 0]).argmin())
    return np.concatenate([snapped[first:], snapped[:first]])


def leant(points: Points) -> Points:
    """Points in the plane that leans."""
    x, y = points.T
    out = points.copy()
    out[:, 0] += LEAN * (4.0 * x + 5.0 * y)
    return out


def _after(ends: NDArray[np.int64]) -> NDArray[np.int64]:
    """Next point of each on its ring, for rings laid end to end that stop before ``ends``."""
    after = np.arange(1, int(ends[-1]) + 1)
    after[ends - 1] = [0, *ends[:-1]]
    return after


def _densified(corners: Points, edges: Points, pieces: NDArray[np.int64]) -> Points:
    """Corners and the points that cut the edge after each into so many pieces."""
    corner = np.arange(len(corners)).repeat(pieces)
    piece = np.arange(len(corner)) - (pieces.cumsum() - pieces).take(corner)
    share = (piece / pieces.take(corner))[:, None]
    return corners.take(corner, axis=0) + share * edges.take(corner, axis=0)


def _outline(
    points: Points, ends: NDArray[np.int64], width: float, origin: Points, em: float
) -> Outline:
    """Rings laid end to end, with each point's neighbours and turn."""
    after = _after(ends)
    before = np.empty_like(after)
    before[after] = np.arange(len(points))
    ahead = points.take(after, axis=0) - points
    back = ahead.take(before, axis=0)
    (bx, by), (ax, ay) = back.T, ahead.T
    turn = np.degrees(np.arctan2(bx * ay - by * ax, bx * ax + by * ay))
    leaning = np.empty((len(points), 3))
    leaning[:, :2], leaning[:, 2] = leant(points), np.arange(len(points))
    rings = [slice(first, end) for first, end in pairwise([0, *ends.tolist()])]
    return Outline(
        points=points,
        after=after,
        before=before,
        turn_deg=turn,
        places=places_of(points),
        turns_deg=turn.tolist(),
        ink=solid([points[ring] for ring in rings]),
        width_em=width,
        origin=origin,
        em=em,
        leaning=solid([leaning[ring] for ring in rings]),
    )
