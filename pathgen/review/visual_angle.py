"""How large letters look from a distance.

The height of a letter is told as the angle that it takes up in the eye. Capitals need 16 minutes
of arc to be read and 20 to 22 to be read with ease (ISO 9241-3 as quoted; NUREG-0700 revision 2,
guideline 1.3.1-4).
"""

import math

__all__ = ["READABLE_ARCMIN", "arcmin", "farthest_mm"]

READABLE_ARCMIN = 16.0
"""Least angle of capitals that are to be read."""


def arcmin(height_mm: float, distance_mm: float) -> float:
    """Angle that a height takes up from a distance, in minutes of arc.

    Examples
    --------
    >>> round(arcmin(7.2722, 5000.0), 3)
    5.0
    """
    return 60.0 * math.degrees(2.0 * math.atan(height_mm / (2.0 * distance_mm)))


def farthest_mm(height_mm: float) -> float:
    """Farthest distance from which capitals of a height are large enough to be read."""
    return height_mm / (2.0 * math.tan(math.radians(READABLE_ARCMIN / 120.0)))
