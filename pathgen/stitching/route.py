"""One needle path through all letters, at the least cost.

Letters are sewn in reading order, line by line. Which column of a letter comes first and which
last is weighed along the whole text (dynamic programming over the letters, after Viterbi), with
the cheapest way inside each letter from `order`. Where the next column is near the needle
travels there by a run; else the thread is tied off, cut, and tied in again.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points
from pathgen.model import Letter
from pathgen.settings import Settings
from pathgen.stitching.links import Costs, Travel, travel
from pathgen.stitching.order import Ways, ways
from pathgen.stitching.rows import Visit, needle_rows
from pathgen.stitching.strokes import FIRST, LAST, Stroke, strokes_of

__all__ = ["route"]


@dataclass(frozen=True, slots=True, eq=False)
class _Station:
    """A letter on the way: its strokes and where each can be entered and left.

    Entry 2 k + e is stroke k entered at its end e; the exit of the same number is where the
    needle then leaves it.
    """

    letter: Letter
    strokes: tuple[Stroke, ...]
    entries: Points
    exits: Points
    links: Travel
    ways: Ways


def route(letters: Sequence[Letter], settings: Settings) -> NDArray[np.void]:
    """Needle table of a text.

    Parameters
    ----------
    letters : sequence of Letter
        In sewing order; each with its columns in mm.
    settings : Settings
        Uses ``join_mm``, ``run_mm`` and what zigzag and underlay use.

    Returns
    -------
    structured array of NEEDLE_TABLE
        Empty when no letter has a column.
    """
    stations = [_station(letter, settings) for letter in letters if letter.columns]
    bridges = [_bridge(a, b, settings) for a, b in pairwise(stations)]
    return needle_rows(list(_visits(stations, bridges)), settings)


def _station(letter: Letter, settings: Settings) -> _Station:
    """Everything about one letter that does not depend on its neighbours."""
    strokes = strokes_of(letter, settings)
    entries = np.array([s.entry(e) for s in strokes for e in (FIRST, LAST)])
    exits = np.array([s.exit(e) for s in strokes for e in (FIRST, LAST)])
    links = travel(exits, entries, letter.ink, letter.covers, settings)
    return _Station(letter, strokes, entries, exits, links, ways(links, len(strokes)))


def _bridge(a: _Station, b: _Station, settings: Settings) -> Travel:
    """Travel from one letter to the next, whose columns are all still to be sewn."""
    ink = (*a.letter.ink, *b.letter.ink)
    return travel(a.exits, b.entries, ink, b.letter.covers, settings)


def _visits(stations: Sequence[_Station], bridges: Sequence[Travel]) -> Iterator[Visit]:
    """Columns in sewing order along the cheapest way through all letters."""
    needle_at = -1
    for i, (first, last) in enumerate(_ends(stations, bridges)):
        here = stations[i]
        way = here.ways.routes(first, last)
        cut = i == 0 or bool(bridges[i - 1].trims[needle_at, first])
        yield Visit(here.letter, here.strokes[first // 2], first % 2, cut)
        for before, entry in pairwise(way):
            cut = bool(here.links.trims[before, entry])
            yield Visit(here.letter, here.strokes[entry // 2], entry % 2, cut)
        needle_at = last


def _ends(stations: Sequence[_Station], bridges: Sequence[Travel]) -> list[tuple[int, int]]:
    """First and last entry of each letter on the cheapest way.

    Costs are taken relative to the cheapest so far, so they never outgrow 64 bits.
    """
    first_of: list[NDArray[np.intp]] = []
    last_of: list[NDArray[np.intp]] = []
    reach: Costs = np.zeros(0, dtype=np.int64)
    for i, here in enumerate(stations):
        arrive = np.zeros(len(here.entries), dtype=np.int64)
        if i > 0:
            unsewn = np.ones((1, len(here.strokes)), dtype=bool)
            across = reach[:, None] + bridges[i - 1].costs(unsewn)[0]
            last_of.append(across.argmin(axis=0))
            arrive = across.min(axis=0)
        through = arrive[:, None] + here.ways.cost
        first_of.append(through.argmin(axis=0))
        reach = through.min(axis=0)
        reach = reach - reach.min()
    ends: list[tuple[int, int]] = []
    last = int(reach.argmin()) if stations else 0
    for i in reversed(range(len(stations))):
        first = int(first_of[i][last])
        ends.append((first, last))
        last = int(last_of[i - 1][first]) if i > 0 else 0
    return ends[::-1]
