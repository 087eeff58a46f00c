"""What stands near a place on paper, so that a label is held against its neighbours only.

Without it the labels of a long text would be held against all others, in time that grows with
the square of their number.
"""

from collections import defaultdict
from collections.abc import Iterator
from itertools import product
from math import floor
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
        self._in_square: defaultdict[tuple[int, int], list[tuple[Span, Span]]] = defaultdict(list)

    def add(self, span: Span) -> None:
        """Keep one more."""
        box = _around(span)
        for square in self._squares(box):
            self._in_square[square].append((box, span))

    def around(self, span: Span) -> set[Span]:
        """All whose boxes meet the box around a span."""
        box = _around(span)
        x0, y0, x1, y1 = box
        return {
            one
            for square in self._squares(box)
            for (left, top, right, foot), one in self._in_square.get(square, ())
            if left <= x1 and right >= x0 and top <= y1 and foot >= y0
        }

    def _squares(self, box: Span) -> Iterator[tuple[int, int]]:
        """The squares that a box reaches into."""
        x0, y0, x1, y1 = box
        return product(self._steps(x0, x1), self._steps(y0, y1))

    def _steps(self, low: float, high: float) -> range:
        return range(floor(low / self._square), floor(high / self._square) + 1)


def _around(span: Span) -> Span:
    """The upright box around a span, its lower corner first."""
    x0, y0, x1, y1 = span
    if x0 <= x1 and y0 <= y1:
        return span
    return Span(min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))
