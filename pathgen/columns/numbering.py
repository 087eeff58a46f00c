"""Numbers of outline points, told by their places.

Triangles come back from the polygon as coordinates. Each of them is, bit by bit, that of an
outline point; the bits of x and y are mixed into one whole number, so that one search finds all.
"""

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points

__all__ = ["Numbering"]

# An odd number without pattern: the golden section's share of 2**64 (Knuth, "The Art of Computer
# Programming", volume 3, section 6.4).
_MIX = np.uint64(0x9E3779B97F4A7C15)


class Numbering:
    """Finds points among others by their exact places."""

    def __init__(self, points: Points) -> None:
        self._points = points
        keys = _keys(points)
        self._order = keys.argsort()
        self._keys = keys.take(self._order)

    @property
    def repeats(self) -> bool:
        """Whether two points are the same."""
        return bool((self._keys[1:] == self._keys[:-1]).any())

    def of(self, places: Points) -> NDArray[np.int64] | None:
        """Number of the point at each place (N, 2); None if there is none at one."""
        found = self._keys.searchsorted(_keys(places))
        numbers = self._order.take(found, mode="clip")
        return numbers if (self._points.take(numbers, axis=0) == places).all() else None


def _keys(points: Points) -> NDArray[np.uint64]:
    """A whole number for each place; the same for no two others, but for a chance in 2**64."""
    x, y = np.ascontiguousarray(points).view(np.uint64).T
    return x * _MIX + y
