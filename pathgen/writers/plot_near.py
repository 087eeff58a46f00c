"""What stands near a place on paper, so that a label is held against its neighbours only.

Without it the labels of a long text would be held against all others, in time that grows with
the square of their number.
"""

from collections.abc import Iterator
from itertools import product
from typing import NamedTuple

__all__ = ["Met", "Near", "Span"]

Span = tuple[float, float, float, float]
"""A box on paper, told by two opposite corners, or a line, told by its two ends: x, y, x, y."""


class Met(NamedTuple):
    """Boxes of labels, and lines to them, each once."""

    boxes: dict[Span, None]
    lines: dict[Span, None]


class Near:
    """Labels and the lines to them, kept by squares.

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
        self._met: dict[tuple[float, float], Met] = {}

    def add(self, box: Span, line: Span | None = None) -> None:
        """Keep one more box, and the line that leads into it."""
        x0, y0, x1, y1 = box
        if line is not None:
            spot_x, spot_y = line[:2]
            x0, x1 = min(x0, spot_x), max(x1, spot_x)
            y0, y1 = min(y0, spot_y), max(y1, spot_y)
        met = self._met
        for square in self._squares(x0, y0, x1, y1):
            if square not in met:
                met[square] = Met({}, {})
            boxes, lines = met[square]
            boxes[box] = None
            if line is not None:
                lines[line] = None

    def around(self, x: float, y: float, reach: float) -> Met:
        """All that come as near to a point, and some others."""
        if reach <= self._reach:
            return self._met.get((x // self._square, y // self._square), _NOTHING)
        found = Met({}, {})
        for square in self._squares(x - reach, y - reach, x + reach, y + reach):
            here = self._met.get(square, _NOTHING)
            found.boxes.update(here.boxes)
            found.lines.update(here.lines)
        return found

    def _squares(self, x0: float, y0: float, x1: float, y1: float) -> Iterator[tuple[int, int]]:
        """The squares that come near to a box."""
        side, reach = self._square, self._reach
        across = range(int((x0 - reach) // side), int((x1 + reach) // side) + 1)
        return product(across, range(int((y0 - reach) // side), int((y1 + reach) // side) + 1))


_NOTHING = Met({}, {})
