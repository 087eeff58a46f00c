"""Points and vectors as complex numbers x + iy.

Joints and ends deal with a few points at a time, for which plain numbers are faster than arrays,
and one that holds both coordinates reads like the vector that it is. So does an array of them.
"""

import cmath
import math
from collections.abc import Sequence
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points

__all__ = ["Places", "angle_deg", "as_places", "as_points", "as_vector", "places_of", "turn"]

Places = NDArray[np.complex128]
"""Points as an array of complex numbers."""

Some = TypeVar("Some", complex, Places)


def as_places(points: Points) -> Places:
    """Rows of points (N, 2) as complex numbers (N,)."""
    return np.ascontiguousarray(points).view(np.complex128)[:, 0]


def places_of(points: Points) -> list[complex]:
    """The same as a list of plain numbers."""
    places: list[complex] = as_places(points).tolist()
    return places


def as_points(places: Places | Sequence[complex]) -> Points:
    """Complex numbers as rows of points."""
    return np.asarray(places, dtype=np.complex128).reshape(-1, 1).view(np.float64)


def as_vector(vector: complex) -> Points:
    """One complex number as an array (2,)."""
    return np.array([vector.real, vector.imag])


def turn(u: Some, v: Some) -> Some:
    """Dot product of two vectors, and i times their cross product."""
    return u.conjugate() * v


def angle_deg(u: complex, v: complex) -> float:
    """Angle between two vectors, 0 to 180 degrees; 0 if one has no length."""
    return abs(math.degrees(cmath.phase(turn(u, v))))
