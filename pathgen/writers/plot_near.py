"""What stands near a place on paper, so that a label is held against its neighbours only.

Without it the labels of a long text would be held against all others, in time that grows with
the square of their number.
"""

from collections import defaultdict
from itertools import product

__all__ = ["Near", "Span"]

Span = tuple[float, float, float, float]
"""A box on paper, told by two opposite corners, or a line, told by its two ends: x, y, x, y."""


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
        self._kept: set[Span] = set()
        self._in_square: defaultdict[tuple[float, float], list[Span]] = defaultdict(list)

    def add(self, span: Span) -> None:
        """Keep one more; the same once more is nothing new."""
        if span not in self._kept:
            self._kept.add(span)
            for square in self._squares(span):
                self._in_square[square].append(span)

    def around(self, span: Span) -> list[Span]:
        """All in the squares that the box around a span reaches into, each once."""
        squares = self._squares(span)
        if len(squares) == 1:
            return self._in_square.get(squares[0], [])
        return list(dict.fromkeys(s for square in squares for s in self._in_square.get(square, ())))

    def _squares(self, span: Span) -> list[tuple[float, float]]:
        """The squares that the box around a span reaches into."""
        side = self._square
        x0, y0, x1, y1 = span
        left, right, top, foot = x0 // side, x1 // side, y0 // side, y1 // side
        if left == right and top == foot:
            return [(left, top)]
        return list(product(_steps(left, right), _steps(top, foot)))


def _steps(one: float, other: float) -> list[float]:
    """Whole numbers from one to another, whichever is less."""
    low, high = (one, other) if one <= other else (other, one)
    return [low + step for step in range(int(high - low) + 1)]
