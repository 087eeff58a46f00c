"""Bays that the thread will close: the open mouths of c, e, s and a, the slots of n and E.

A bay is a pocket between the outline of a letter and its convex hull. Discs that touch both of
its walls tell how wide it is (they are those of the medial axis of the pocket). The narrowest of
those that have room enough behind them is its door: the mouth of a c, any place of a slot that is
even, and in a V not its point. What is left of it after growth is held against the thickness of
the thread. A c whose mouth is closed is an o.

Source of the discs: the largest one that touches a wall at p with normal n and reaches q has
radius |q - p|^2 / (2 n (q - p)), as in the shrinking ball of Ma, Bae and Choi, "3D medial axis
point approximation using nearest neighbors and the normal field", The Visual Computer 28, 2012.
"""

from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points, along, at_distances, cross, left_normals, signed_area
from pathgen.model import Finding, Letter, LetterShape, Level
from pathgen.polygons import pockets
from pathgen.review.growth import growth_mm
from pathgen.review.levels import SHUT_THREADS
from pathgen.settings import GAP_THREADS, Settings

__all__ = ["Bay", "bays_of", "closing_bays"]

_STEP_HEIGHTS = 0.02
"""Walls are looked at this far apart, in letter heights: gaps are found to 0.01 mm at 5 mm."""

_MOST_PLACES = 2000
"""A wall is looked at in no more places than this: each is held against all others."""

_LEAST_AREA_HEIGHTS2 = 0.03
"""Smaller pockets, such as the nook of a serif, may close: nobody reads them. In squares of the
letter height."""

_LEAST_ROOM = 0.5
"""A door has at least this share of its pocket behind it: what is cut off in the point of a V, or
in the corner of an e, does not close the bay (placeholder)."""

_FACING = -0.5
"""Cosine of the normals of two walls from which on they face each other: 120 degrees apart."""


class Bay(NamedTuple):
    """A bay of a letter: how wide its narrowest place is as drawn, and where."""

    gap_mm: float
    at_mm: tuple[float, float]


def closing_bays(letters: Sequence[Letter], settings: Settings) -> Iterator[Finding]:
    """One finding a bay whose gap, as sewn, is thinner than two threads.

    To be checked where it is thinner than one; a note else, as a bay is open to one side.
    """
    thread_mm = settings.thread.diameter_mm
    limit = GAP_THREADS * thread_mm
    for letter in letters:
        bays = bays_of(letter.shape, settings.height_mm)
        if not bays:
            continue
        growth = growth_mm(letter.shape, settings)
        for bay in bays:
            gap = bay.gap_mm - 2.0 * growth
            if gap < limit:
                shut = gap < SHUT_THREADS * thread_mm
                yield Finding(
                    code="closing-bay",
                    level=Level.CHECK if shut else Level.NOTE,
                    at_mm=(letter.at_mm[0] + bay.at_mm[0], letter.at_mm[1] + bay.at_mm[1]),
                    line=letter.line,
                    letter=letter.index,
                    measured=gap,
                    limit=limit,
                    advice="take a finer thread, less allowance, a larger height or an opener face",
                )


@lru_cache(maxsize=1024)
def bays_of(shape: LetterShape, height_mm: float) -> tuple[Bay, ...]:
    """Bays of a letter as drawn, mm from its own origin."""
    found = []
    least = _LEAST_AREA_HEIGHTS2 * height_mm**2
    for polygon in shape.ink:
        for wall in pockets(polygon, least):
            bay = _door(wall, _STEP_HEIGHTS * height_mm)
            if bay is not None:
                found.append(bay)
    return tuple(found)


def _door(wall: Points, step_mm: float) -> Bay | None:
    """Narrowest place of a pocket with room enough behind it; None if there is none."""
    long = float(along(wall)[-1])
    count = min(max(8, round(long / step_mm)), _MOST_PLACES)
    points = at_distances(wall, (np.arange(count) + 0.5) * long / count)
    normals = left_normals(points)
    radius, other = _discs(points, normals)
    here = np.arange(count)
    faces = (normals * normals[other]).sum(axis=1) < _FACING
    room = _room_between(points, np.minimum(here, other), np.maximum(here, other))
    doors = np.flatnonzero(faces & (radius > 0.0) & (room >= _LEAST_ROOM * signed_area(wall)))
    if not len(doors):
        return None
    at = doors[radius[doors].argmin()]
    x, y = points[at] + radius[at] * normals[at]
    return Bay(gap_mm=2.0 * float(radius[at]), at_mm=(float(x), float(y)))


def _discs(points: Points, normals: Points) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Radius of the largest disc that touches each point, and the point that it reaches.

    A radius of 0 where no wall is ahead.
    """
    x, y = points.T
    dx, dy = x[None, :] - x[:, None], y[None, :] - y[:, None]
    ahead = dx * normals[:, :1] + dy * normals[:, 1:]
    radii = np.full(dx.shape, np.inf)
    np.divide(dx * dx + dy * dy, 2.0 * ahead, out=radii, where=ahead > 1e-9)
    other = radii.argmin(axis=1)
    radius = radii[np.arange(len(points)), other]
    return np.where(np.isfinite(radius), radius, 0.0), other


def _room_between(
    points: Points, first: NDArray[np.int64], last: NDArray[np.int64]
) -> NDArray[np.float64]:
    """Area between the wall from a first to a last point and the straight way back."""
    steps = np.append(0.0, np.cumsum(cross(points[:-1], points[1:])))
    return (steps[last] - steps[first] + cross(points[last], points[first])) / 2.0
