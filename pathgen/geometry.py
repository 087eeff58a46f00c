"""Arithmetic of polylines: arrays of points, shape (N, 2), numpy only.

Nothing here knows about letters, needles or millimetres; lengths come out in the unit that
went in. Zero-length pieces are allowed everywhere and never give NaN.
"""

import math
from bisect import bisect_right
from collections.abc import Iterable, Sequence
from itertools import accumulate, combinations, pairwise

import numpy as np
from numpy.typing import NDArray

__all__ = [
    "Box",
    "Lines",
    "Place",
    "Points",
    "along",
    "along_each",
    "along_places",
    "angle_deg",
    "at_distances",
    "between",
    "boxes_near",
    "cross",
    "distances",
    "left_normals",
    "length",
    "lengths",
    "middle",
    "neighbours",
    "place_of",
    "placed",
    "places_between",
    "places_of",
    "signed_area",
    "spans",
    "tangents",
    "turned",
    "turns_deg",
    "unit",
]

Points = NDArray[np.float64]
"""(N, 2) float64: x to the right, y up."""

Place = tuple[float, float]
"""x and y as plain numbers: quicker than arrays for fewer places than about ten."""


def lengths(points: Points) -> NDArray[np.float64]:
    """Lengths of the N - 1 pieces of a polyline."""
    step = points[1:] - points[:-1]
    return np.hypot(step[:, 0], step[:, 1])


def length(points: Points) -> float:
    """Length of a polyline; 0 for one point or none."""
    return float(lengths(points).sum()) if len(points) > 1 else 0.0


def along(points: Points) -> NDArray[np.float64]:
    """Distance from the first point to each of the N points, measured along the polyline."""
    where = np.zeros(len(points))
    lengths(points).cumsum(out=where[1:])
    return where


def at_distances(points: Points, distances: NDArray[np.float64]) -> Points:
    """Points of a polyline at the given distances from its start, clamped to its ends."""
    return between(points, along(points), distances)


def between(points: Points, where: NDArray[np.float64], stops: NDArray[np.float64]) -> Points:
    """Points (M, 2) at the given stops, straight between points (N, 2) that lie at ``where``."""
    # As complex numbers x + iy, so that both coordinates are found in one search.
    plane = np.ascontiguousarray(points).view(np.complex128)[:, 0]
    return np.interp(stops, where, plane).view(np.float64).reshape(-1, 2)


def place_of(point: Points) -> Place:
    """One point, (2,), as plain numbers."""
    x, y = point.tolist()
    return x, y


def places_of(points: Points) -> list[Place]:
    """Points as plain numbers."""
    return [(x, y) for x, y in points.tolist()]


def along_places(line: Sequence[Place]) -> list[float]:
    """As `along`, to the last bit, in plain numbers."""
    # The size of a complex number is the same hypot as numpy's; that of math may round otherwise.
    steps = [abs(complex(to_x - x, to_y - y)) for (x, y), (to_x, to_y) in pairwise(line)]
    return list(accumulate(steps, initial=0.0))


def places_between(
    line: Sequence[Sequence[float]], where: Sequence[float], stops: Iterable[float]
) -> list[Place]:
    """As `between`, to the last bit, in plain numbers; no stop lies before the first point."""
    places: list[Place] = []
    last = len(line) - 1
    for stop in stops:
        k = bisect_right(where, stop) - 1
        x, y = line[k]
        if k < last:
            to_x, to_y = line[k + 1]
            per, off = 1.0 / (where[k + 1] - where[k]), stop - where[k]
            x, y = (to_x - x) * per * off + x, (to_y - y) * per * off + y
        places.append((x, y))
    return places


def along_each(points: Points, sizes: Sequence[int]) -> list[NDArray[np.float64]]:
    """As `along`, for lines of so many points, one after the other."""
    steps = lengths(points)
    found = []
    for first, last in pairwise(accumulate(sizes, initial=0)):
        where = np.zeros(last - first)
        steps[first : last - 1].cumsum(out=where[1:])
        found.append(where)
    return found


class Lines:
    """Many polylines asked at once: quicker than one by one where they are short.

    Parameters
    ----------
    points : (N, D) float
        Of all lines, one line after the other.
    where : sequence of array of float
        How far along its line each point lies; at least one line.

    Attributes
    ----------
    points : (N, D) float
        As given.
    sizes : list of int
        Points of each line.
    where : (N,) float
        How far along its line each point lies.
    totals : (L,) float
        Length of each line.
    """

    def __init__(self, points: NDArray[np.float64], where: Sequence[NDArray[np.float64]]) -> None:
        self.points, self.sizes = points, [len(line) for line in where]
        self._plane = np.ascontiguousarray(points.T)
        self.where = np.concatenate(where)
        self._last = np.array(list(accumulate(self.sizes))) - 1
        self.totals = self.where[self._last]
        # Each line moved on past the one before it, so that all are searched at once.
        self._apart = 1.0 + float(self.totals.max())
        self._moved = self.where + np.repeat(self._apart * np.arange(len(where)), self.sizes)

    def between(
        self,
        stops: NDArray[np.float64],
        line: NDArray[np.int64],
        points: NDArray[np.float64] | None = None,
    ) -> NDArray[np.float64]:
        """Points (M, D) at stops (M,) along lines of given numbers (M,), as `between`.

        To the last bit; no stop lies beyond the ends of its line. Other points (N, D) may stand
        in for those of the lines, as those of rails.
        """
        where = self.where
        # Long rows are quicker than short ones.
        plane = self._plane if points is None else np.ascontiguousarray(points.T)
        spot = self._moved.searchsorted(stops + self._apart * line, side="right") - 1
        at = where[spot]
        while (over := at > stops).any():  # the same but for bits lost to moving
            spot -= over
            at = where[spot]
        after = np.minimum(spot + 1, self._last[line])
        begin, step = plane.take(spot, axis=1), where[after] - at
        step[step == 0.0] = np.inf  # at its end no way leads on
        ahead = (plane.take(after, axis=1) - begin) * (1.0 / step)
        return (ahead * (stops - at) + begin).T


def unit(vectors: Points) -> Points:
    """Vectors scaled to length 1; a zero vector stays zero."""
    size = np.hypot(vectors[..., 0], vectors[..., 1])
    return np.divide(
        vectors, size[..., None], out=np.zeros_like(vectors), where=size[..., None] > 0.0
    )


def tangents(points: Points) -> Points:
    """Unit direction of travel at each of the N points (N at least 2).

    Central differences inside, one-sided at the ends; where both neighbours coincide, zero.
    """
    return unit(np.gradient(points, axis=0))


def left_normals(points: Points) -> Points:
    """Unit vectors to the left of travel at each of the N points (N at least 2)."""
    ahead = tangents(points)
    return np.column_stack([-ahead[:, 1], ahead[:, 0]])


def cross(u: Points, v: Points) -> NDArray[np.float64]:
    """Cross products of plane vectors: positive where ``v`` points to the left of ``u``."""
    return np.asarray(u[..., 0] * v[..., 1] - u[..., 1] * v[..., 0])


def angle_deg(u: Points, v: Points) -> float:
    """Angle between two vectors, 0 to 180 degrees; 0 if one has no length."""
    return abs(math.degrees(math.atan2(u[0] * v[1] - u[1] * v[0], u[0] * v[0] + u[1] * v[1])))


def turns_deg(points: Points) -> NDArray[np.float64]:
    """Turn at each of the N - 2 inner points of a polyline, degrees, positive to the left."""
    step = points[1:] - points[:-1]
    ahead, back = step[1:], step[:-1]
    return np.degrees(np.arctan2(cross(back, ahead), (back * ahead).sum(axis=1)))


def turned(points: Points, turn_rad: float) -> Points:
    """Points turned counter-clockwise about the origin."""
    c, s = np.cos(turn_rad), np.sin(turn_rad)
    return points @ np.array([[c, s], [-s, c]])


def placed(points: Points, scale: float, turn_rad: float, x: float, y: float) -> Points:
    """Points scaled, turned counter-clockwise about the origin, then moved by (x, y)."""
    larger = points * scale
    return (turned(larger, turn_rad) if turn_rad else larger) + np.array([x, y])


def neighbours(
    points: Points, radius: float, groups: NDArray[np.int64] | None = None
) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
    """Pairs of different points no farther apart than ``radius``, and their distances.

    Points are sorted into square cells of that side; each is compared with those after it in
    its own cell and the next, and with three cells of the row above. Cost grows with points and
    pairs, not with their square.

    Parameters
    ----------
    points : (N, 2) float
    radius : float
        Above 0.
    groups : (N,) int, optional
        From 0: only points of the same group are paired, as if each group had been asked for.

    Returns
    -------
    pairs : (P, 2) int
        Each pair once, the lower index first, in no promised order.
    distances : (P,) float
        Their distances.
    """
    if len(points) < 2:
        return np.zeros((0, 2), dtype=np.int64), np.zeros(0)
    plane = np.ascontiguousarray(points.T)  # long rows are quicker than short ones
    x, y = ((plane - plane.min(axis=1)[:, None]) / radius).astype(np.int64)
    if groups is not None:  # one above the other, an empty row of cells between them
        y += groups * (int(y.max()) + 2)
    across = int(x.max()) + 3
    key = y * across + x + 1
    order = key.argsort(kind="stable")
    key = key[order]
    cells = np.concatenate([key + across - 1, key + 2, key + across + 2])
    above, *last = key.searchsorted(cells).reshape(3, -1)
    first = np.concatenate([np.arange(1, len(key) + 1), above])
    one, other = spans(first, np.concatenate(last))
    one, other = order[one % len(points)], order[other]
    distances = np.hypot(*(plane[:, one] - plane[:, other]))
    near = distances <= radius
    one, other = one[near], other[near]
    return np.array([np.minimum(one, other), np.maximum(one, other)]).T, distances[near]


def distances(points: Points, begins: Points, ends: Points) -> NDArray[np.float64]:
    """Distance of each of N points from each of M straight pieces, (N, M).

    Examples
    --------
    >>> distances(np.array([[1.0, 2.0], [5.0, 0.0]]), np.zeros((1, 2)), np.array([[2.0, 0.0]]))
    array([[2.],
           [3.]])
    """
    way = ends - begins
    square = np.maximum((way * way).sum(axis=1), np.finfo(float).tiny)
    off = points[:, None] - begins
    share = np.clip((off * way).sum(axis=2) / square, 0.0, 1.0)
    off -= share[..., None] * way
    return np.asarray(np.hypot(off[..., 0], off[..., 1]))


def spans(
    first: NDArray[np.int64], last: NDArray[np.int64]
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """All whole numbers of N spans, the last one of each left out, span by span.

    Returns
    -------
    which, number : (M,) int
        The span, from 0, and the number.
    """
    many = last - first
    which = np.repeat(np.arange(len(many)), many)
    before = np.cumsum(many) - many
    return which, np.arange(len(which)) + np.repeat(first - before, many)


Box = tuple[float, float, float, float]
"""Least x and y, greatest x and y."""

# Up to so many boxes, each is held against each sooner than they are sorted.
_FEW_BOXES = 24


def boxes_near(boxes: Sequence[Box], reach: float) -> list[tuple[int, int]]:
    """Pairs of boxes that are no farther apart than ``reach`` in x and in y, each pair once.

    Boxes are sorted along the axis on which fewer of them overlap, so that cost grows with their
    number where they stand in a row or in rows.
    """
    if len(boxes) <= _FEW_BOXES:
        return [
            (i, j)
            for (i, a), (j, b) in combinations(enumerate(boxes), 2)
            if a[0] <= b[2] + reach
            and b[0] <= a[2] + reach
            and a[1] <= b[3] + reach
            and b[1] <= a[3] + reach
        ]
    found = []
    low, high = np.array(boxes)[:, :2], np.array(boxes)[:, 2:] + reach
    for axis in (0, 1):
        order = np.argsort(low[:, axis], kind="stable")
        last = np.searchsorted(low[order, axis], high[order, axis], side="right")
        found.append((int(last.sum()), axis, order, last))
    _, _, order, last = min(found, key=lambda one: one[:2])
    one, other = (order[k] for k in spans(np.arange(1, len(order) + 1), last))
    near = ((low[one] <= high[other]) & (low[other] <= high[one])).all(axis=1)
    pairs = np.sort(np.stack([one, other], axis=1)[near])
    return [(a, b) for a, b in pairs.tolist()]


def middle(values: NDArray[np.float64]) -> float:
    """Value that half of the values do not exceed; of two in the middle, the larger.

    numpy's own median would load its masked arrays first, at every start of the tool.
    """
    return float(np.sort(values)[len(values) // 2])


def signed_area(ring: Points) -> float:
    """Area inside a ring by the shoelace formula; positive when counter-clockwise.

    The ring may repeat its first point at the end or not.
    """
    if len(ring) < 3:
        return 0.0
    # Seen from the first point, the edges that meet there add nothing.
    x, y = (ring - ring[0]).T
    return 0.5 * float(np.dot(x[:-1], y[1:]) - np.dot(y[:-1], x[1:]))
