"""What stands near a place on paper, so that a label is held against its neighbours only.

Without it the labels of a long text would be held against all others, in time that grows with
the square of their number.
"""

import math
from collections import defaultdict
from collections.abc import Iterator
from itertools import product

import numpy as np
from numpy.typing import NDArray

__all__ = ["Near"]


class Near:
    """Boxes or lines on paper, each told by two opposite corners or by its two ends.

    Parameters
    ----------
    square : float
        Side of the squares by which they are kept.
    """

    def __init__(self, square: float) -> None:
        """Nothing yet."""
        self._square = square
        self._all: list[tuple[float, float, float, float]] = []
        self._in_square: defaultdict[tuple[int, int], list[int]] = defaultdict(list)

    def add(self, x0: float, y0: float, x1: float, y1: float) -> None:
        """Keep one more."""
        for square in self._squares(x0, y0, x1, y1):
            self._in_square[square].append(len(self._all))
        self._all.append((x0, y0, x1, y1))

    def around(self, x0: float, y0: float, x1: float, y1: float) -> NDArray[np.float64]:
        """All that may reach into a box, in the order they were added, (4, N)."""
        squares = self._squares(x0, y0, x1, y1)
        found = sorted({n for square in squares for n in self._in_square.get(square, ())})
        return np.array([self._all[n] for n in found]).reshape(-1, 4).T

    def _squares(self, x0: float, y0: float, x1: float, y1: float) -> Iterator[tuple[int, int]]:
        """The squares that a box reaches into."""
        return product(self._steps(x0, x1), self._steps(y0, y1))

    def _steps(self, a: float, b: float) -> range:
        return range(math.floor(min(a, b) / self._square), math.floor(max(a, b) / self._square) + 1)
