"""Everything about sewing one letter that does not depend on its neighbours.

Letters drawn alike are sewn alike: a station is worked out once for a shape and its settings, at
the shape's own origin, and kept for the next time.
"""

from collections.abc import Sequence
from functools import lru_cache
from itertools import accumulate, pairwise

import numpy as np
from numpy.typing import NDArray

from pathgen.column import CentreLines
from pathgen.crossings import together
from pathgen.inks import ink_beside
from pathgen.kept import Kept
from pathgen.model import LetterShape
from pathgen.needles import Part
from pathgen.polygons import area, holds
from pathgen.settings import Settings
from pathgen.stitching.doors import strokes_of
from pathgen.stitching.legs import Places, Spokes, corners_of
from pathgen.stitching.links import (
    NEVER,
    Bridge,
    Chosen,
    Limits,
    Travel,
    bridges,
    run_costs,
    travels,
)
from pathgen.stitching.order import Ways, orders
from pathgen.stitching.strokes import Stroke, Way
from pathgen.stretches import Hole

__all__ = ["Station", "bridges_of", "late_columns", "stations_of"]

# Share of the largest part's area under which a part of a letter is a dot or an accent.
SMALL_SHARE = 0.5


def _ways(letters: Sequence[Sequence[Stroke]]) -> list[Ways]:
    """Ways of all strokes of each letter in one table."""
    extra = np.array(
        [mm for strokes in letters for each in strokes for row in each.extra_mm for mm in row]
    )
    never = extra == np.inf
    extra[never] = 0.0
    costs = run_costs(extra)
    costs[never] = NEVER
    ways, first = [], 0
    for strokes in letters:
        entry_of, exit_of, own = _owned(tuple([(len(s.entries), len(s.exits)) for s in strokes]))
        cost = np.full(own.shape, NEVER)
        last = first + sum([len(s.entries) * len(s.exits) for s in strokes])
        cost[own] = costs[first:last]
        ways.append(Ways(entry_of, exit_of, cost))
        first = last
    return ways


@lru_cache(maxsize=1024)
def _owned(
    sizes: tuple[tuple[int, int], ...],
) -> tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.bool_]]:
    """Which stroke each entry and each exit belongs to, given how many each stroke has.

    And whether an entry and an exit belong to the same one, (E, X).
    """
    entry_of, exit_of = (
        np.repeat(np.arange(len(sizes)), many) for many in zip(*sizes, strict=True)
    )
    return entry_of, exit_of, entry_of[:, None] == exit_of


def _inside(
    shapes: Sequence[LetterShape],
    centres: CentreLines,
    letters: Sequence[Sequence[Stroke]],
    settings: Settings,
) -> list[Places]:
    """Places of travel within each letter, given the centre lines of all columns."""
    strokes = [stroke for each in letters for stroke in each]
    growth = np.array([settings.growth_mm(stroke.column.usual_width) for stroke in strokes])
    entries = np.array([place for stroke in strokes for place in stroke.entries])
    exits = np.array([place for stroke in strokes for place in stroke.exits])
    on_rail = np.array([on_rail for stroke in strokes for on_rail in stroke.on_rail])
    entry_growth = growth.repeat([len(stroke.entries) for stroke in strokes]) * on_rail
    exit_growth = growth.repeat([len(stroke.exits) for stroke in strokes])
    corners = corners_of(centres, [len(each) for each in letters])
    begun = _spans([sum([len(stroke.entries) for stroke in each]) for each in letters])
    ended = _spans([sum([len(stroke.exits) for stroke in each]) for each in letters])
    return [
        Places(
            exits=exits[x],
            entries=entries[e],
            exit_growth_mm=exit_growth[x],
            entry_growth_mm=entry_growth[e],
            corners=turns,
            lines=shape.lines,
        )
        for shape, turns, e, x in zip(shapes, corners, begun, ended, strict=True)
    ]


def _spans(counts: Sequence[int]) -> list[slice]:
    """So many each, one after the other."""
    return [slice(*span) for span in pairwise(accumulate(counts, initial=0))]


class Station:
    """A letter's strokes and the cheapest order to sew them.

    Attributes
    ----------
    shape : LetterShape
        The letter.
    strokes : tuple of Stroke
        In the order of the columns.
    ways : Ways
        Entries and exits of all strokes.
    inside : Places
        Of travel within the letter.
    links : Travel or None
        From each exit to each entry; None for one column.
    spokes : Spokes
        Of the letter, for travel from and to others.
    orders : Orders
        The cheapest order of the strokes, for each first entry and last exit.
    """

    def __init__(
        self,
        shape: LetterShape,
        strokes: tuple[Stroke, ...],
        ways: Ways,
        inside: Places,
        links: tuple[Travel | None, Spokes],
        reach: tuple[float, float],
    ) -> None:
        self.shape, self.strokes, self.ways, self.inside = shape, strokes, ways, inside
        self.links, self.spokes = links
        self.orders = orders(self.links, ways, late_columns(shape))
        self._reach = reach
        self._holes = np.concatenate([stroke.holes for stroke in strokes])
        self._known: dict[tuple[int, int], Way] = {}
        self._orders: dict[tuple[int, int], list[tuple[int, int]]] = {}
        self._through: dict[tuple[int, int], list[tuple[Way, Chosen]]] = {}
        self._ends: dict[tuple[int, int, bool], Hole] = {}

    def across(self, other: "Station", apart_mm: tuple[float, float]) -> Places:
        """Places of travel from this letter to another one so far off."""
        here, there, apart = self.inside, other.inside, np.array(apart_mm)
        beside = ink_beside((self.shape, 0.0, 0.0), [(other.shape, *apart_mm)])
        # Where letters stand clear of each other, legs about the one are not over the other.
        (left, right), (low, high) = self._reach, other._reach
        clear = right < low + apart_mm[0] or high + apart_mm[0] < left
        return Places(
            exits=here.exits,
            entries=there.entries + apart,
            exit_growth_mm=here.exit_growth_mm,
            entry_growth_mm=there.entry_growth_mm,
            corners=np.concatenate([here.corners, there.corners + apart]),
            lines=together([beside.lumped(1), there.lines.moved(*apart_mm).lumped(2)]),
            known=(self.spokes, other.spokes) if clear else None,
        )

    def order(self, first: int, last: int) -> list[tuple[int, int]]:
        """Entry and exit of all columns in sewing order, from a first entry to a last exit."""
        if (first, last) not in self._orders:
            self._orders[first, last] = self.orders.between(first, last)
        return self._orders[first, last]

    def through(self, first: int, last: int) -> list[tuple[Way, Chosen]]:
        """Ways of all columns in that order, and the travel that leads to each but the first."""
        found = self._through.get((first, last))
        if found is None:
            found = self._through[first, last] = []
            unsewn = np.ones(len(self.strokes), dtype=bool)
            travel, left = _NO_TRAVEL, -1
            for entry, exit_ in self.order(first, last):
                if found and self.links is not None:
                    travel = self.links.corner(left, entry, unsewn)
                way, left = self.way(entry, exit_), exit_
                found.append((way, travel))
                unsewn[way.stroke.number - 1] = False
        return found

    def last_hole(self, first: int, last: int, *, fastened: bool) -> Hole:
        """Where the letter ends that is sewn in that order, its thread tied off or not."""
        found = self._ends.get((first, last, fastened))
        if found is None:
            way = self.way(*self.order(first, last)[-1])
            part, (x, y) = Part.ZIGZAG, way.exit
            if fastened:
                part, (x, y) = Part.TIE_OFF, way.tie_off[-1].tolist()
            found = self._ends[first, last, fastened] = x, y, int(part), way.stroke.number
        return found

    def way(self, entry: int, exit: int) -> Way:
        """Way from one of all entries to one of all exits of the same column."""
        if (entry, exit) not in self._known:
            k = int(self.ways.exit_of[exit])
            entries, exits = self.ways.spans[k]
            self._known[entry, exit] = Way(
                self.strokes[k], entry - int(entries.start), exit - int(exits.start), self._holes
            )
        return self._known[entry, exit]


_NO_TRAVEL = Chosen(cut=False, corner=())


def _limits(settings: Settings) -> Limits:
    return Limits(settings.join_mm, settings.on_top_mm)


_Pair = tuple[LetterShape, LetterShape, tuple[float, float]]


def _reaches(inside: Sequence[Places]) -> list[tuple[float, float]]:
    """How far letters, their entries, exits and corners reach to the left and to the right."""
    places = [(each.lines.vertices, each.exits, each.entries, each.corners) for each in inside]
    x = np.concatenate([points for some in places for points in some])[:, 0]
    begins = [*accumulate([sum(map(len, some)) for some in places], initial=0)][:-1]
    low, high = (end.reduceat(x, begins).tolist() for end in (np.minimum, np.maximum))
    return list(zip(low, high, strict=True))


def _stations(shapes: Sequence[LetterShape], settings: Settings) -> list[Station]:
    """Stations of letters that have columns."""
    centres = CentreLines([column for shape in shapes for column in shape.columns])
    strokes = strokes_of(shapes, centres, settings)
    inside = _inside(shapes, centres, strokes, settings)
    links = travels(inside, _limits(settings))
    found = (shapes, strokes, _ways(strokes), inside, links, _reaches(inside))
    return [Station(*each) for each in zip(*found, strict=True)]


stations_of: Kept[LetterShape, Station] = Kept(_stations)
"""Station of each of several letters that have columns, given their shapes and the settings."""


def _bridges(pairs: Sequence[_Pair], settings: Settings) -> list[Bridge]:
    stations = stations_of([shape for a, b, _ in pairs for shape in (a, b)], settings)
    places = [
        here.across(there, apart_mm)
        for here, there, (_, _, apart_mm) in zip(stations[::2], stations[1::2], pairs, strict=True)
    ]
    return bridges(places, _limits(settings))


bridges_of: Kept[_Pair, Bridge] = Kept(_bridges, most=16384)
"""Travel from one letter to the next, whose columns are all still to be sewn: given the shapes
of both and the way, in mm, from the origin of the first to that of the second. Corners are told
from the origin of the first."""


def late_columns(shape: LetterShape) -> NDArray[np.bool_]:
    """Columns of dots and accents: of parts much smaller than the letter's largest one."""
    if len(shape.ink) == 1:
        return np.zeros(len(shape.columns), dtype=bool)
    areas = [area(part) for part in shape.ink]
    small = [p for p, a in zip(shape.ink, areas, strict=True) if a < SMALL_SHARE * max(areas)]
    middles = np.array([c.centre[len(c.centre) // 2] for c in shape.columns])
    late = np.zeros(len(middles), dtype=bool)
    for part in small:
        late |= holds(part, middles)
    return late & ~late.all()
