"""Everything about sewing one letter that does not depend on its neighbours.

Letters drawn alike are sewn alike: a station is worked out once for a shape and its settings, at
the shape's own origin, and kept for the next time.
"""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.crossings import together
from pathgen.model import LetterShape
from pathgen.polygons import area, holds
from pathgen.settings import Settings
from pathgen.stitching.kept import Kept
from pathgen.stitching.links import Bridge, Places, Travel, corners_of, run_costs, travels
from pathgen.stitching.order import Orders, orders
from pathgen.stitching.strokes import Stroke, Way, strokes_of

__all__ = ["Station", "bridges_of", "late_columns", "stations_of"]

# Share of the largest part's area under which a part of a letter is a dot or an accent.
SMALL_SHARE = 0.5


class _Drawn:
    """A letter's strokes, and every way to sew each of them in one list."""

    def __init__(self, shape: LetterShape, strokes: tuple[Stroke, ...], settings: Settings) -> None:
        self.shape, self.strokes = shape, strokes
        self.ways = tuple(way for stroke in strokes for way in stroke.ways)
        sizes = [len(stroke.ways) for stroke in strokes]
        self.owner = np.repeat(np.arange(len(strokes)), sizes)
        self.entries = np.array([way.entry for way in self.ways])
        self.exits = np.array([way.exit for way in self.ways])
        self.corners = corners_of(shape.columns)
        growth = [settings.growth_mm(column.usual_width) for column in shape.columns]
        self.growth_mm = np.repeat(growth, sizes)
        self.on_rail = np.array([way.on_rail for way in self.ways])
        self.lines = together([shape.ink_lines, shape.cover_lines])

    def places(self, other: "_Drawn", apart_mm: tuple[float, float] | None = None) -> Places:
        """Places of travel within the letter, or from it to another one so far off."""
        inks, lines = other.shape.ink_lines.size, other.lines
        entries, corners = other.entries, self.corners
        if apart_mm is not None:
            inks += self.shape.ink_lines.size
            lines = together([self.shape.ink_lines, lines.moved(*apart_mm)])
            entries = entries + apart_mm
            corners = np.concatenate([corners, other.corners + apart_mm])
        return Places(
            exits=self.exits,
            entries=entries,
            exit_growth_mm=self.growth_mm,
            entry_growth_mm=np.where(other.on_rail, other.growth_mm, 0.0),
            corners=corners,
            lines=lines,
            inks=inks,
        )


class Station(NamedTuple):
    """A letter's strokes, every way to sew each of them in one list, and the cheapest order.

    Attributes
    ----------
    drawn : _Drawn
        What bridges to other letters need.
    strokes : tuple of Stroke
        In the order of the columns.
    ways : tuple of Way
        Of all strokes.
    owner : (W,) int
        Stroke that each way belongs to.
    links : Travel
        From each exit to each entry.
    orders : Orders
        The cheapest order of the strokes, for each first and last way.
    """

    drawn: _Drawn
    strokes: tuple[Stroke, ...]
    ways: tuple[Way, ...]
    owner: NDArray[np.int64]
    links: Travel
    orders: Orders


def _station(drawn: _Drawn, links: Travel) -> Station:
    own_cost = run_costs(np.array([way.extra_mm for way in drawn.ways]))
    best = orders(links, drawn.owner, own_cost, late_columns(drawn.shape))
    return Station(drawn, drawn.strokes, drawn.ways, drawn.owner, links, best)


_Pair = tuple[LetterShape, LetterShape, tuple[float, float]]


def _stations(shapes: Sequence[LetterShape], settings: Settings) -> list[Station]:
    """Stations of letters that have columns."""
    drawn = [_Drawn(shape, strokes_of(shape, settings), settings) for shape in shapes]
    links = travels([letter.places(letter) for letter in drawn], settings.join_mm)
    return [_station(letter, link) for letter, link in zip(drawn, links, strict=True)]


stations_of: Kept[LetterShape, Station] = Kept(_stations)
"""Station of each of several letters that have columns, given their shapes and the settings."""


def _bridges(pairs: Sequence[_Pair], settings: Settings) -> list[Bridge]:
    stations = stations_of([shape for a, b, _ in pairs for shape in (a, b)], settings)
    places = [
        here.drawn.places(there.drawn, apart_mm)
        for here, there, (_, _, apart_mm) in zip(stations[::2], stations[1::2], pairs, strict=True)
    ]
    return [
        link.settled(np.ones(there.lines.size - there.inks, dtype=bool))
        for link, there in zip(travels(places, settings.join_mm), places, strict=True)
    ]


bridges_of: Kept[_Pair, Bridge] = Kept(_bridges, most=16384)
"""Travel from one letter to the next, whose columns are all still to be sewn: given the shapes
of both and the way, in mm, from the origin of the first to that of the second. Corners are told
from the origin of the first."""


def late_columns(shape: LetterShape) -> NDArray[np.bool_]:
    """Columns of dots and accents: of parts much smaller than the letter's largest one."""
    areas = [area(part) for part in shape.ink]
    small = [p for p, a in zip(shape.ink, areas, strict=True) if a < SMALL_SHARE * max(areas)]
    middles = np.array([c.centre[len(c.centre) // 2] for c in shape.columns])
    late = np.zeros(len(middles), dtype=bool)
    for part in small:
        late |= holds(part, middles)
    return late & ~late.all()
