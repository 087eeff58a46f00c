"""Where the columns of a letter meet: there the needle may leave one for another out of sight."""

import numpy as np

from pathgen.geometry import between
from pathgen.model import Column, LetterShape
from pathgen.settings import Settings
from pathgen.stitching.open_strokes import Door, OpenStroke
from pathgen.stitching.rings import RingStroke
from pathgen.stitching.strokes import Stroke

__all__ = ["doors_of", "strokes_of"]

# Nearer to an end of its column, or to another one, a door saves next to nothing: so much may
# travel go on top of sewn columns unseen.
_FROM_END_MM = 0.8


def strokes_of(shape: LetterShape, settings: Settings) -> tuple[Stroke, ...]:
    """Columns of a letter with their ways, in the splitter's order."""
    doors = doors_of(shape)
    return tuple(
        RingStroke(column, number, settings)
        if column.closed
        else OpenStroke(column, number, doors[number - 1], settings)
        for number, column in enumerate(shape.columns, 1)
    )


def doors_of(shape: LetterShape) -> list[list[Door]]:
    """Where each open column is met by another one, away from its ends."""
    columns = shape.columns
    doors: list[list[Door]] = [[] for _ in columns]
    for k, other, share, other_share in shape.meetings:
        total = float(columns[k].where[-1])
        where = share * total
        if columns[k].closed or min(where, total - where) < _FROM_END_MM:
            continue
        if all(abs(where - door.where_mm) >= _FROM_END_MM for door in doors[k]):
            doors[k].append(Door(where, _at(columns[other], other_share)))
    return doors


def _at(column: Column, share: float) -> tuple[float, float]:
    """Place on a centre line."""
    ((x, y),) = between(column.centre, column.where, np.array([share * column.where[-1]])).tolist()
    return x, y
