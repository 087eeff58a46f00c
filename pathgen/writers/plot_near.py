"""What stands near a place on paper, so that a label is held against its neighbours only.

Without it the labels of a long text would be held against all others, in time that grows with
the square of their number.
"""

import math
from collections import defaultdict
from collections.abc import Iterator
from itertools import product
from typing import NamedTuple

__all__ = ["Near", "Span"]


class Span(NamedTuple):
    """A box on paper, told by two opposite corners, or a line, told by its two ends."""

    x0: float
    y0: float
    x1: float
    y1: float


class Near:
    """Boxes or lines on paper.

    Parameters
    ----------
    square : float
        Side of the squares by which they are kept.
    """

    def __init__(self, square: float) -> None:
        """Nothing yet."""
        self._square = square
        self._in_square: defaultdict[tuple[int, int], list[Span]] = defaultdict(list)

    def add(self, span: Span) -> None:
        """Keep one more."""
        for square in self._squares(span):
            self._in_square[square].append(span)

    def around(self, span: Span) -> set[Span]:
        """All that may reach into the box around a span."""
        return {one for square in self._squares(span) for one in self._in_square.get(square, ())}

    def _squares(self, span: Span) -> Iterator[tuple[int, int]]:
        """The squares that the box around a span reaches into."""
        x0, y0, x1, y1 = span
        return product(self._steps(x0, x1), self._steps(y0, y1))

    def _steps(self, a: float, b: float) -> range:
        low, high = (a, b) if a < b else (b, a)
        return range(math.floor(low / self._square), math.floor(high / self._square) + 1)
