"""Bays that the thread will close: the open mouths of c, e, s and a, the slots of n and E.

A bay is a pocket between the outline of a letter and its convex hull. Discs that touch both of
its walls tell how wide it is (they are those of the medial axis of the pocket). Where the way
from its widest disc to the open has a narrower place, that is its mouth; a bay that only widens
outward is as wide as its widest disc. What is left of that after growth is held against the
thickness of the thread. A closed mouth makes c an o.

Source of the discs: the largest one that touches a wall at p with normal n and reaches q has
radius |q - p|^2 / (2 n (q - p)), as in the shrinking ball of Ma, Bae and Choi, "3D medial axis
point approximation using nearest neighbors and the normal field", The Visual Computer 28, 2012.
"""

from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points, along, at_distances, left_normals
from pathgen.model import Finding, Letter, LetterShape, Level
from pathgen.polygons import pockets
from pathgen.review.growth import growth_mm
from pathgen.review.levels import gap_level
from pathgen.settings import GAP_THREADS, Settings

__all__ = ["Bay", "bays_of", "closing_bays"]

_STEP_HEIGHTS = 0.02
"""Walls are looked at this far apart, in letter heights: gaps are found to 0.01 mm at 5 mm."""

_LEAST_AREA_HEIGHTS2 = 0.03
"""Smaller pockets, such as the nook of a serif, may close: nobody reads them."""

_FACING = -0.5
"""Cosine of the normals of two walls from which on they face each other: 120 degrees apart."""


class Bay(NamedTuple):
    """A bay of a letter: how wide its narrowest place is as drawn, and where."""

    gap_mm: float
    at_mm: tuple[float, float]


def closing_bays(letters: Sequence[Letter], settings: Settings) -> Iterator[Finding]:
    """One finding a bay whose gap, as sewn, is thinner than two threads."""
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
                level = min(gap_level(gap, limit, thread_mm), Level.CHECK)
                yield Finding(
                    code="closing-bay",
                    level=level,
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
    for polygon in shape.ink:
        for wall in pockets(polygon, _LEAST_AREA_HEIGHTS2 * height_mm**2):
            bay = _narrowest(wall, _STEP_HEIGHTS * height_mm)
            if bay is not None:
                found.append(bay)
    return tuple(found)


def _narrowest(wall: Points, step_mm: float) -> Bay | None:
    """Narrowest place on the way into a pocket; None if its walls never face each other."""
    count = max(8, round(float(along(wall)[-1]) / step_mm))
    points = at_distances(wall, (np.arange(count) + 0.5) * float(along(wall)[-1]) / count)
    normals = left_normals(points)
    radius, faces = _discs(points, normals)
    centres = points + radius[:, None] * normals
    edge, to = wall[0] - wall[-1], centres - wall[-1]
    inside = edge[0] * to[:, 1] - edge[1] * to[:, 0] > 0.0
    kept = np.flatnonzero(faces & inside)
    if len(kept) < 2:
        return None
    radii = radius[kept]
    widest = int(radii.argmax())
    ways = (int(radii[: widest + 1].argmin()), widest + int(radii[widest:].argmin()))
    at = kept[max(ways, key=lambda i: radii[i])]
    x, y = centres[at]
    return Bay(gap_mm=2.0 * float(radius[at]), at_mm=(float(x), float(y)))


def _discs(points: Points, normals: Points) -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
    """Radius of the largest disc that touches each point, and whether its walls face each other.

    A radius of 0 where no wall is ahead.
    """
    x, y = points.T
    dx, dy = x[None, :] - x[:, None], y[None, :] - y[:, None]
    ahead = dx * normals[:, :1] + dy * normals[:, 1:]
    radii = np.full(dx.shape, np.inf)
    np.divide(dx * dx + dy * dy, 2.0 * ahead, out=radii, where=ahead > 1e-9)
    other = radii.argmin(axis=1)
    radius = radii[np.arange(len(points)), other]
    faces = (normals * normals[other]).sum(axis=1) < _FACING
    found = np.isfinite(radius)
    return np.where(found, radius, 0.0), faces & found
