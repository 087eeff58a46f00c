"""Where the needle may leave a column away from its ends, so that no travel lies on top of it.

That is where another column of the letter meets it, and where a bow reaches farthest towards the
next letter, as in D and e.
"""

import math
from collections.abc import Iterator, Sequence
from itertools import accumulate, pairwise

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import between
from pathgen.model import Column, LetterShape
from pathgen.settings import Settings
from pathgen.stitching.open_strokes import Door, OpenStroke
from pathgen.stitching.rings import RingStroke
from pathgen.stitching.strokes import Stroke
from pathgen.stitching.zigzag import zigzags

__all__ = ["doors_of", "strokes_of"]

# Nearer to an end of its column, or to another one, a door saves next to nothing: so much may
# travel go on top of sewn columns unseen.
_FROM_END_MM = 0.8
# Lengths that differ by less than this are the same.
_SAME_MM = 1e-6


def strokes_of(shapes: Sequence[LetterShape], settings: Settings) -> list[tuple[Stroke, ...]]:
    """Columns of each letter with their ways, in the splitter's order."""
    sewn = zigzags([shape.columns for shape in shapes], settings)
    ends = [0, *accumulate(len(shape.columns) for shape in shapes)]
    return [
        tuple(
            RingStroke(column, number, sewn[first:last], settings)
            if column.closed
            else OpenStroke(column, number, sewn[first:last], doors, settings)
            for number, (column, doors) in enumerate(
                zip(shape.columns, doors_of(shape, settings), strict=True), 1
            )
        )
        for shape, (first, last) in zip(shapes, pairwise(ends), strict=True)
    ]


def doors_of(shape: LetterShape, settings: Settings) -> list[list[Door]]:
    """Doors of each open column. Uses ``sewing``."""
    columns = shape.columns
    doors: list[list[Door]] = [[] for _ in columns]
    for k, door in (*_met(shape), *_outermost(shape, settings)):
        far = min(door.where_mm, columns[k].where[-1] - door.where_mm) >= _FROM_END_MM
        apart = all(abs(door.where_mm - d.where_mm) >= _FROM_END_MM for d in doors[k])
        if far and apart and not columns[k].closed:
            doors[k].append(door)
    return doors


def _met(shape: LetterShape) -> Iterator[tuple[int, Door]]:
    """Where columns are met by others."""
    for k, other, share, other_share in shape.meetings:
        where = share * float(shape.columns[k].where[-1])
        yield k, Door(where, _at(shape.columns[other], other_share))


def _outermost(shape: LetterShape, settings: Settings) -> Iterator[tuple[int, Door]]:
    """Where the column that reaches farthest towards the next letter does so."""
    ahead = np.array([math.cos(shape.turn_rad), math.sin(shape.turn_rad)])
    sides = {"right-to-left": (-1.0,), "centre-out": (-1.0, 1.0)}.get(settings.sewing, (1.0,))
    for side in sides:
        reach = [side * (column.centre @ ahead) for column in shape.columns]
        k = _first_farthest(np.array([far.max() for far in reach]))
        column, rung = shape.columns[k], _first_farthest(reach[k])
        x, y = (column.centre[rung] + side * column.usual_width * ahead).tolist()
        yield k, Door(float(column.where[rung]), (x, y))


def _first_farthest(reach_mm: NDArray[np.float64]) -> int:
    """Which is farthest; of those that are as far, whatever the last bits say, the first."""
    return int((reach_mm >= reach_mm.max() - _SAME_MM).argmax())


def _at(column: Column, share: float) -> tuple[float, float]:
    """Place on a centre line."""
    ((x, y),) = between(column.centre, column.where, np.array([share * column.where[-1]])).tolist()
    return x, y
