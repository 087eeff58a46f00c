"""Ink of letters beside each other, so that none of it counts twice.

Letters may overlap: where lines are set closer than they are high, or tracking is tight. Thread
that crosses the ink of both there lies over ink once.
"""

from collections.abc import Sequence

from pathgen.crossings import Outlines
from pathgen.model import LetterShape
from pathgen.polygons import ink_beyond, moved, outlines_of

__all__ = ["inks_apart"]

_Placed = tuple[LetterShape, float, float]


def inks_apart(placed: Sequence[_Placed]) -> list[Outlines]:
    """Outlines of the ink of each letter, given with its place; of each that no later one inks."""
    return [
        _beyond(here, [there for there in placed[n + 1 :] if _near(here, there)])
        for n, here in enumerate(placed)
    ]


def _beyond(here: _Placed, others: Sequence[_Placed]) -> Outlines:
    """Ink of a letter that others leave."""
    shape, x, y = here
    if others:
        ink, *beside = [
            [moved(part, 1.0, 0.0, dx, dy) for part in one.ink] for one, dx, dy in (here, *others)
        ]
        left = ink_beyond(ink, [part for parts in beside for part in parts])
        if left is not None:
            return outlines_of((left,))
    return shape.ink_lines.moved(x, y)


def _near(here: _Placed, there: _Placed) -> bool:
    """Whether the boxes of two letters overlap."""
    (left, low, right, high), (left_2, low_2, right_2, high_2) = _box(here), _box(there)
    return left < right_2 and left_2 < right and low < high_2 and low_2 < high


def _box(here: _Placed) -> tuple[float, float, float, float]:
    shape, x, y = here
    lefts, lows, rights, highs = zip(*(part.bounds for part in shape.ink), strict=True)
    return min(lefts) + x, min(lows) + y, max(rights) + x, max(highs) + y
