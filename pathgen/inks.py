"""Ink of letters beside each other, so that none of it counts twice.

Letters may overlap: where lines are set closer than they are high, or tracking is tight. Thread
that crosses the ink of both there lies over ink once.
"""

from collections.abc import Sequence
from itertools import combinations

from pathgen.crossings import Outlines, together
from pathgen.model import LetterShape
from pathgen.polygons import ink_beyond, moved, outlines_of

__all__ = ["ink_beside", "inks_apart", "lines_beside"]

_Placed = tuple[LetterShape, float, float]


def inks_apart(placed: Sequence[_Placed]) -> list[Outlines]:
    """Outlines of the ink of each letter, given with its place; of each that no later one inks."""
    return [ink_beside(here, placed[n + 1 :]) for n, here in enumerate(placed)]


def lines_beside(placed: Sequence[_Placed]) -> Outlines:
    """Outlines of the ink of letters, given with their places, as one shape, then of each cover."""
    lines = [shape.lines.moved(x, y) for shape, x, y in placed]
    if any(_near(here, there) for here, there in combinations(placed, 2)):
        lines = [
            together([ink.lumped(1), shape.cover_lines.moved(x, y)])
            for ink, (shape, x, y) in zip(inks_apart(placed), placed, strict=True)
        ]
    return together(lines, shared=1)


def ink_beside(here: _Placed, others: Sequence[_Placed]) -> Outlines:
    """Outlines of the ink of a letter that others leave."""
    shape, x, y = here
    others = [there for there in others if _near(here, there)]
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
    (left, low, right, high), (left_2, low_2, right_2, high_2) = here[0].box, there[0].box
    x, y = there[1] - here[1], there[2] - here[2]
    return left < right_2 + x and left_2 + x < right and low < high_2 + y and low_2 + y < high
