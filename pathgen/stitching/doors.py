"""Where the needle may leave a column away from its ends, so that no travel lies on top of it.

That is where another column of the letter meets it, and where a bow reaches farthest towards the
next letter, as in D and e.
"""

import math
from collections.abc import Iterator, Sequence
from itertools import accumulate, pairwise

import numpy as np

from pathgen.geometry import between
from pathgen.model import Column, LetterShape
from pathgen.settings import Settings
from pathgen.stitching.open_strokes import Door, OpenStroke
from pathgen.stitching.rings import RingStroke
from pathgen.stitching.strokes import Stroke
from pathgen.stitching.underlay import run_ends
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
    runs = run_ends([column for shape in shapes for column in shape.columns], settings)
    ends = [0, *accumulate(len(shape.columns) for shape in shapes)]
    return [
        tuple(
            RingStroke(column, number, sewn[first:last], settings)
            if column.closed
            else OpenStroke(column, number, sewn[first:last], doors, run, settings)
            for number, (column, doors, run) in enumerate(
                zip(shape.columns, doors_of(shape, settings), runs[first:last], strict=True), 1
            )
        )
        for shape, (first, last) in zip(shapes, pairwise(ends), strict=True)
    ]


def doors_of(shape: LetterShape, settings: Settings) -> list[list[Door]]:
    """Doors of each open column. Uses ``sewing``."""
    doors: list[list[Door]] = [[] for _ in shape.columns]
    for k, door in (*_met(shape), *_outermost(shape, settings)):
        if all(abs(door.where_mm - other.where_mm) >= _FROM_END_MM for other in doors[k]):
            doors[k].append(door)
    return doors


def _may_be_left(column: Column, where_mm: float) -> bool:
    """Whether a column has ends, and a place along it is far from both."""
    return not column.closed and _FROM_END_MM <= where_mm <= column.where[-1] - _FROM_END_MM


def _met(shape: LetterShape) -> Iterator[tuple[int, Door]]:
    """Where columns are met by others."""
    for k, other, share, other_share in shape.meetings:
        where = share * float(shape.columns[k].where[-1])
        if _may_be_left(shape.columns[k], where):
            yield k, Door(where, _at(shape.columns[other], other_share))


def _outermost(shape: LetterShape, settings: Settings) -> Iterator[tuple[int, Door]]:
    """Where the column that reaches farthest towards the next letter does so."""
    ahead = np.array([math.cos(shape.turn_rad), math.sin(shape.turn_rad)])
    sides = {"right-to-left": (-1.0,), "centre-out": (-1.0, 1.0)}.get(settings.sewing, (1.0,))
    centres = np.concatenate([column.centre for column in shape.columns])
    for side in sides:
        reach = side * (centres @ ahead)
        # Of rungs that reach as far, whatever the last bits say, the first.
        rung, k = int((reach >= reach.max() - _SAME_MM).argmax()), 0
        while rung >= len(shape.columns[k].centre):
            rung, k = rung - len(shape.columns[k].centre), k + 1
        column = shape.columns[k]
        where = float(column.where[rung])
        if _may_be_left(column, where):
            x, y = (column.centre[rung] + side * column.usual_width * ahead).tolist()
            yield k, Door(where, (x, y))


def _at(column: Column, share: float) -> tuple[float, float]:
    """Place on a centre line."""
    ((x, y),) = between(column.centre, column.where, np.array([share * column.where[-1]])).tolist()
    return x, y
