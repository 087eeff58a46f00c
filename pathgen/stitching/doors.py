"""Where the columns of a letter meet: there the needle may leave one for another out of sight."""

from collections.abc import Sequence

import numpy as np

from pathgen.geometry import between
from pathgen.model import Column
from pathgen.settings import Settings
from pathgen.stitching.open_strokes import Door, OpenStroke
from pathgen.stitching.rings import RingStroke
from pathgen.stitching.strokes import Stroke

__all__ = ["doors_of", "strokes_of"]

# Places along each column that are looked at.
_LOOKED_AT = 17
# Columns meet where their centre lines come this near, in half widths of both.
_MEET_SHARE = 1.3
# Nearer to an end of its column, or to another one, a door saves next to nothing: so much may
# travel go on top of sewn columns unseen.
_FROM_END_MM = 0.8
# With more columns than this in a letter, the doors would make its orders too many to weigh.
_MOST_COLUMNS = 6


def strokes_of(columns: Sequence[Column], settings: Settings) -> tuple[Stroke, ...]:
    """Columns of a letter with their ways, in the splitter's order."""
    doors = doors_of(columns)
    return tuple(
        RingStroke(column, number, settings)
        if column.closed
        else OpenStroke(column, number, doors[number - 1], settings)
        for number, column in enumerate(columns, 1)
    )


def doors_of(columns: Sequence[Column]) -> list[list[Door]]:
    """Where each open column is met by another one, away from its ends."""
    doors: list[list[Door]] = [[] for _ in columns]
    if not 1 < len(columns) <= _MOST_COLUMNS:
        return doors
    shares = np.linspace(0.0, 1.0, _LOOKED_AT)
    stops = [shares * column.where[-1] for column in columns]
    lines = np.array([between(c.centre, c.where, s) for c, s in zip(columns, stops, strict=True)])
    flat = lines.reshape(-1, 2)
    gap = np.hypot(*(flat[:, None] - flat).transpose(2, 0, 1))
    gap = gap.reshape(len(columns), _LOOKED_AT, len(columns), _LOOKED_AT)
    for k, column in enumerate(columns):
        total = float(column.where[-1])
        if column.closed or total < 2.0 * _FROM_END_MM:
            continue
        for other in range(len(columns)):
            if other == k:
                continue
            here, there = divmod(int(gap[k, :, other].argmin()), _LOOKED_AT)
            reach = _MEET_SHARE * (column.usual_width + columns[other].usual_width) / 2.0
            reach += total / (2 * _LOOKED_AT)
            where = float(stops[k][here])
            far = min(where, total - where) >= _FROM_END_MM
            apart = all(abs(where - door.where_mm) >= _FROM_END_MM for door in doors[k])
            if gap[k, here, other, there] <= reach and far and apart:
                x, y = lines[other, there].tolist()
                doors[k].append(Door(where, (x, y)))
    return doors
