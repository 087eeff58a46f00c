"""Everything about sewing one letter that does not depend on its neighbours.

Letters drawn alike are sewn alike: a station is worked out once for a shape and its settings, at
the shape's own origin, and kept for the next time.
"""

from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points
from pathgen.model import LetterShape
from pathgen.polygons import Outlines, area, holds, outlines_of, simplified, together
from pathgen.settings import Settings
from pathgen.stitching.links import Bridge, Travel, corners_of, run_costs, travel
from pathgen.stitching.order import Orders, orders
from pathgen.stitching.strokes import Stroke, Way, strokes_of

__all__ = ["Station", "bridge_of", "late_columns", "station_of"]

# Share of the largest part's area under which a part of a letter is a dot or an accent.
SMALL_SHARE = 0.5
# How far the outline that travel is weighed against may lie off the true one.
ROUGH_MM = 0.01


class Station(NamedTuple):
    """A letter's strokes, and every way to sew each of them in one list.

    Attributes
    ----------
    strokes : tuple of Stroke
        In the order of the columns.
    ways : tuple of Way
        Of all strokes.
    owner : (W,) int
        Stroke that each way belongs to.
    entries, exits, corners : (W, 2), (W, 2), (C, 2) float
        Where each way begins and ends, and where travel may turn.
    ink, covers : Outlines
        The letter's ink, roughened by up to `ROUGH_MM`, and what each column covers.
    links : Travel
        From each exit to each entry.
    orders : Orders
        The cheapest order of the strokes, for each first and last way.
    """

    strokes: tuple[Stroke, ...]
    ways: tuple[Way, ...]
    owner: NDArray[np.int64]
    entries: Points
    exits: Points
    corners: Points
    ink: Outlines
    covers: Outlines
    links: Travel
    orders: Orders


@lru_cache(maxsize=1024)
def station_of(shape: LetterShape, settings: Settings) -> Station:
    """Station of a letter that has columns."""
    strokes = strokes_of(shape, settings)
    ways = tuple(way for stroke in strokes for way in stroke.ways)
    owner = np.repeat(np.arange(len(strokes)), [len(stroke.ways) for stroke in strokes])
    entries, exits = np.array([w.entry for w in ways]), np.array([w.exit for w in ways])
    corners = corners_of(shape.columns)
    ink = outlines_of([simplified(part, ROUGH_MM) for part in shape.ink])
    covers = outlines_of(shape.covers)
    links = travel(exits, entries, corners, ink, covers, settings)
    own_cost = run_costs(np.array([way.extra_mm for way in ways]))
    best = orders(links, owner, own_cost, late_columns(shape))
    return Station(strokes, ways, owner, entries, exits, corners, ink, covers, links, best)


@lru_cache(maxsize=4096)
def bridge_of(
    a: LetterShape, b: LetterShape, apart_mm: tuple[float, float], settings: Settings
) -> Bridge:
    """Travel from one letter to the next, whose columns are all still to be sewn.

    ``apart_mm`` is the way from the origin of ``a`` to that of ``b``; corners are told from
    the origin of ``a``.
    """
    here, there = station_of(a, settings), station_of(b, settings)
    links = travel(
        here.exits,
        there.entries + apart_mm,
        np.concatenate([here.corners, there.corners + apart_mm]),
        together([here.ink, there.ink.moved(*apart_mm)]),
        there.covers.moved(*apart_mm),
        settings,
    )
    return links.settled(np.ones(there.covers.size, dtype=bool))


def late_columns(shape: LetterShape) -> NDArray[np.bool_]:
    """Columns of dots and accents: of parts much smaller than the letter's largest one."""
    areas = [area(part) for part in shape.ink]
    small = [p for p, a in zip(shape.ink, areas, strict=True) if a < SMALL_SHARE * max(areas)]
    middles = np.array([c.centre[len(c.centre) // 2] for c in shape.columns])
    late = np.zeros(len(middles), dtype=bool)
    for part in small:
        late |= holds(part, middles)
    return late & ~late.all()
