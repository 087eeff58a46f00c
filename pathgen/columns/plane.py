"""Single points and vectors as complex numbers x + iy.

Joints and ends deal with a few points at a time, for which plain numbers are faster than arrays,
and one that holds both coordinates reads like the vector that it is.
"""

import cmath
import math
from collections.abc import Sequence

import numpy as np

from pathgen.geometry import Points

__all__ = ["angle_deg", "as_points", "as_vector", "places_of", "turn"]


def places_of(points: Points) -> list[complex]:
    """Rows of points as complex numbers."""
    places: list[complex] = np.ascontiguousarray(points).view(np.complex128)[:, 0].tolist()
    return places


def as_points(places: Sequence[complex]) -> Points:
    """Complex numbers as rows of points."""
    return np.array(places, dtype=np.complex128).view(np.float64).reshape(-1, 2)


def as_vector(vector: complex) -> Points:
    """One complex number as an array (2,)."""
    return np.array([vector.real, vector.imag])


def turn(u: complex, v: complex) -> complex:
    """Dot product of two vectors, and i times their cross product."""
    return u.conjugate() * v


def angle_deg(u: complex, v: complex) -> float:
    """Angle between two vectors, 0 to 180 degrees; 0 if one has no length."""
    return abs(math.degrees(cmath.phase(turn(u, v))))
