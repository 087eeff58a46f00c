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
    """Boxes or lines on paper, kept by squares.

    Parameters
    ----------
    square : float
        Side of the squares.
    reach : float
        Each is kept in every square that comes as near to it, so that whoever asks what is within
        that reach looks into one square only.
    """

    def __init__(self, square: float, reach: float) -> None:
        """Nothing yet."""
        self._square = square
        self._reach = reach
        self._kept: set[Span] = set()
        self._in_square: defaultdict[tuple[float, float], list[Span]] = defaultdict(list)

    def add(self, span: Span) -> None:
        """Keep one more; the same once more is nothing new."""
        if span in self._kept:
            return
        self._kept.add(span)
        x0, y0, x1, y1 = span
        across, down = self._steps(x0, x1), self._steps(y0, y1)
        for square in product(across, down):
            self._in_square[square].append(span)

    def around(self, x: float, y: float, reach: float) -> list[Span]:
        """All that come as near to a point, and some others, each once."""
        side, near = self._square, self._in_square
        if reach <= self._reach:
            return near.get((x // side, y // side), [])
        squares = product(self._steps(x - reach, x + reach), self._steps(y - reach, y + reach))
        return list(dict.fromkeys(span for square in squares for span in near.get(square, ())))

    def _steps(self, one: float, other: float) -> range:
        """The squares that come near to a stretch across or down the paper."""
        low, high = (one, other) if one <= other else (other, one)
        side, reach = self._square, self._reach
        return range(int((low - reach) // side), int((high + reach) // side) + 1)
