"""Where the needle may leave a column away from its ends, so that no travel lies on top of it.

That is where another column of the letter meets it, and where a bow reaches farthest towards the
next letter, as in D and e.
"""

import math
from collections.abc import Iterator, Sequence
from itertools import accumulate, islice

import numpy as np

from pathgen.column import CentreLines
from pathgen.geometry import places_of
from pathgen.model import Column, LetterShape
from pathgen.settings import Settings
from pathgen.stitching.easing import least_apart_mm
from pathgen.stitching.open_strokes import Door, OpenStroke
from pathgen.stitching.rings import RingStroke
from pathgen.stitching.strokes import LetterHoles, Stroke
from pathgen.stitching.underlay import run_ends, underlays
from pathgen.stitching.zigzag import Stitches, zigzags

__all__ = ["doors_of", "strokes_of"]

# Nearer to an end of its column, or to another one, a door saves next to nothing: so much may
# travel go on top of sewn columns unseen.
_FROM_END_MM = 0.8
# Lengths that differ by less than this are the same.
_SAME_MM = 1e-6


def strokes_of(
    shapes: Sequence[LetterShape], centres: CentreLines, settings: Settings
) -> list[tuple[Stroke, ...]]:
    """Columns of each letter with their ways, in the splitter's order.

    All their centre lines are given.
    """
    letter = np.repeat(np.arange(len(shapes)), [len(shape.columns) for shape in shapes])
    sewn = zigzags(centres, letter, settings)
    known = zip(
        centres.columns,
        sewn,
        doors_of(shapes, centres, settings),
        run_ends(centres, settings),
        underlays(centres, settings),
        strict=True,
    )
    return [
        tuple(
            RingStroke(column, number, across, holes, under, settings)
            if column.closed
            else OpenStroke(column, number, across, holes, doors, run, under, settings)
            for number, (column, across, doors, run, under) in enumerate(
                islice(known, len(shape.columns)), 1
            )
        )
        for shape, holes in zip(shapes, _holes(shapes, sewn, settings), strict=True)
    ]


def _holes(
    shapes: Sequence[LetterShape], sewn: Sequence[Stitches], settings: Settings
) -> Iterator[LetterHoles]:
    """Holes of the columns of each letter."""
    xy = np.concatenate([one.xy_mm for one in sewn])
    close, least = np.full(len(xy), settings.close_mm), least_apart_mm(settings)
    sizes, first = (len(one.xy_mm) for one in sewn), 0
    for shape in shapes:
        ends = [0, *accumulate(islice(sizes, len(shape.columns)))]
        span = slice(first, first + ends[-1])
        yield LetterHoles(xy[span], ends, close[span], least)
        first += ends[-1]


def doors_of(
    shapes: Sequence[LetterShape], centres: CentreLines, settings: Settings
) -> list[list[Door]]:
    """Doors of each open column of letters, all their centre lines given. Uses ``sewing``."""
    doors: list[list[Door]] = [[] for _ in centres.columns]
    for k, door in (*_met(shapes, centres), *_outermost(shapes, centres, settings)):
        if all(abs(door.where_mm - other.where_mm) >= _FROM_END_MM for other in doors[k]):
            doors[k].append(door)
    return doors


def _may_be_left(column: Column, where_mm: float) -> bool:
    """Whether a column has ends, and a place along it is far from both."""
    return not column.closed and _FROM_END_MM <= where_mm <= column.where[-1] - _FROM_END_MM


def _met(shapes: Sequence[LetterShape], centres: CentreLines) -> Iterator[tuple[int, Door]]:
    """Where columns are met by others."""
    totals = centres.totals.tolist()
    numbers, stops = list[int](), list[float]()
    first = 0
    for shape in shapes:
        for k, other, share, other_share in shape.meetings:
            met, by = first + k, first + other
            where = share * totals[met]
            if _may_be_left(centres.columns[met], where):
                numbers += [met, by]
                stops += [where, other_share * totals[by]]
        first += len(shape.columns)
    places = places_of(centres.between(np.array(stops), np.array(numbers, dtype=np.int64)))
    for n, at, towards in zip(range(0, len(stops), 2), places[::2], places[1::2], strict=True):
        yield numbers[n], Door(stops[n], at, towards)


def _outermost(
    shapes: Sequence[LetterShape], centres: CentreLines, settings: Settings
) -> Iterator[tuple[int, Door]]:
    """Where the column of each letter that reaches farthest towards the next one does so."""
    sides = {"right-to-left": (-1.0,), "centre-out": (-1.0, 1.0)}.get(settings.sewing, (1.0,))
    ways = [(math.cos(shape.turn_rad), math.sin(shape.turn_rad)) for shape in shapes]
    ends = np.cumsum(centres.sizes)
    sizes = iter(centres.sizes)
    many = np.array([sum(islice(sizes, len(shape.columns))) for shape in shapes])
    first = np.cumsum(many) - many
    (x, y), (way_x, way_y) = centres.points.T, np.repeat(ways, many, axis=0).T
    ahead = x * way_x + y * way_y
    for side in sides:
        # Of rungs that reach as far, whatever the last bits say, the first.
        reach = np.maximum.reduceat(side * ahead, first) - _SAME_MM
        far = np.flatnonzero(side * ahead >= np.repeat(reach, many))
        rungs = far[far.searchsorted(first)]
        places = places_of(centres.points[rungs])
        where = centres.where[rungs].tolist()
        columns = ends.searchsorted(rungs, side="right").tolist()
        for k, along, at, way in zip(columns, where, places, ways, strict=True):
            if _may_be_left(centres.columns[k], along):
                off = side * centres.columns[k].usual_width
                yield k, Door(along, at, (at[0] + off * way[0], at[1] + off * way[1]))
