"""One needle path through all letters, at the least cost.

Letters are sewn line by line, in the order that the settings ask for. Which way a letter is
begun and ended is weighed along the whole text (dynamic programming over the letters, after
Viterbi), with the cheapest order inside each letter from `order`. Where the next column is near
the needle travels there by a run; else the thread is tied off, cut, and tied in again.
"""

from collections.abc import Iterator, Sequence
from itertools import groupby, pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points
from pathgen.model import Letter
from pathgen.polygons import area, holds
from pathgen.settings import Settings
from pathgen.stitching.links import Costs, Travel, corners_of, run_costs, travel
from pathgen.stitching.order import Orders, orders
from pathgen.stitching.rows import Visit, needle_rows
from pathgen.stitching.strokes import Stroke, Way, strokes_of

__all__ = ["route"]


class _Station(NamedTuple):
    """A letter on the way: every way to sew each of its columns, in one list.

    ``owner`` tells which stroke each way belongs to; ``entries`` and ``exits`` where it begins
    and ends.
    """

    letter: Letter
    strokes: tuple[Stroke, ...]
    ways: tuple[Way, ...]
    owner: NDArray[np.int64]
    entries: Points
    exits: Points
    links: Travel
    orders: Orders


def route(letters: Sequence[Letter], settings: Settings) -> NDArray[np.void]:
    """Needle table of a text.

    Parameters
    ----------
    letters : sequence of Letter
        In reading order; each with its columns in mm.
    settings : Settings
        Uses ``sewing``, ``join_mm``, ``run_mm`` and what zigzag and underlay use.

    Returns
    -------
    structured array of NEEDLE_TABLE
        Empty when no letter has a column.
    """
    ordered = _in_sewing_order([letter for letter in letters if letter.columns], settings)
    stations = [_station(letter, settings) for letter in ordered]
    bridges = [_bridge(a, b, settings) for a, b in pairwise(stations)]
    return needle_rows(list(_visits(stations, bridges)), settings)


def _in_sewing_order(letters: Sequence[Letter], settings: Settings) -> list[Letter]:
    """Letters as the settings want them sewn, line by line."""
    out: list[Letter] = []
    for _, line in groupby(letters, key=lambda letter: letter.line):
        row = list(line)
        if settings.sewing != "reading":
            row.sort(key=lambda letter: (_middle_mm(letter), letter.index))
        if settings.sewing == "right-to-left":
            row.reverse()
        if settings.sewing == "centre-out":
            half = len(row) // 2
            row = [*row[half:], *row[:half][::-1]]
        out += row
    return out


def _middle_mm(letter: Letter) -> float:
    """Middle of a letter's ink from left to right."""
    bounds = [shape.bounds for shape in letter.ink]
    return (min(b[0] for b in bounds) + max(b[2] for b in bounds)) / 2.0


def _station(letter: Letter, settings: Settings) -> _Station:
    """Everything about one letter that does not depend on its neighbours."""
    strokes = strokes_of(letter, settings)
    ways = tuple(way for stroke in strokes for way in stroke.ways)
    owner = np.repeat(np.arange(len(strokes)), [len(stroke.ways) for stroke in strokes])
    entries, exits = np.array([w.entry for w in ways]), np.array([w.exit for w in ways])
    corners = corners_of(letter.columns)
    links = travel(exits, entries, corners, letter.ink, letter.covers, settings)
    own_cost = run_costs(np.array([way.extra_mm for way in ways]))
    return _Station(
        letter,
        strokes,
        ways,
        owner,
        entries,
        exits,
        links,
        orders(links, owner, own_cost, _late(letter)),
    )


def _late(letter: Letter) -> NDArray[np.bool_]:
    """Columns of dots and accents: of parts much smaller than the letter's largest one."""
    areas = [area(shape) for shape in letter.ink]
    small = [shape for shape, a in zip(letter.ink, areas, strict=True) if a < _SMALL * max(areas)]
    middles = np.array([c.centre[len(c.centre) // 2] for c in letter.columns])
    late = np.zeros(len(middles), dtype=bool)
    for shape in small:
        late |= holds(shape, middles)
    return late & ~late.all()


# Share of the largest part's area under which a part of a letter is a dot or an accent.
_SMALL = 0.5


def _bridge(a: _Station, b: _Station, settings: Settings) -> Travel:
    """Travel from one letter to the next, whose columns are all still to be sewn."""
    ink = (*a.letter.ink, *b.letter.ink)
    corners = corners_of((*a.letter.columns, *b.letter.columns))
    return travel(a.exits, b.entries, corners, ink, b.letter.covers, settings)


def _visits(stations: Sequence[_Station], bridges: Sequence[Travel]) -> Iterator[Visit]:
    """Columns in sewing order along the cheapest way through all letters."""
    needle_at = -1
    for i, (first, last) in enumerate(_ends(stations, bridges)):
        here = stations[i]
        unsewn = np.ones(len(here.strokes), dtype=bool)
        hop = (True, NOWHERE) if i == 0 else _hop(bridges[i - 1], needle_at, first, unsewn)
        yield _visit(here, first, *hop)
        for before, way in pairwise(here.orders.between(first, last)):
            unsewn[here.owner[before]] = False
            yield _visit(here, way, *_hop(here.links, before, way, unsewn))
        needle_at = last


NOWHERE = np.zeros((0, 2))


def _hop(links: Travel, row: int, entry: int, unsewn: NDArray[np.bool_]) -> tuple[bool, Points]:
    """Whether the thread is cut on the way, and where the way turns."""
    cut, _, corner = links.path(row, entry, unsewn)
    return cut, corner


def _visit(station: _Station, way: int, cut: bool, corner: Points) -> Visit:
    stroke = station.strokes[station.owner[way]]
    return Visit(station.letter, stroke, station.ways[way], cut, corner)


def _ends(stations: Sequence[_Station], bridges: Sequence[Travel]) -> list[tuple[int, int]]:
    """First and last way of each letter on the cheapest path.

    Costs are taken relative to the cheapest so far, so they never outgrow 64 bits.
    """
    first_of: list[NDArray[np.intp]] = []
    last_of: list[NDArray[np.intp]] = []
    reach: Costs = np.zeros(0, dtype=np.int64)
    for i, here in enumerate(stations):
        arrive = np.zeros(len(here.ways), dtype=np.int64)
        if i > 0:
            unsewn = np.ones((1, len(here.strokes)), dtype=bool)
            across = reach[:, None] + bridges[i - 1].costs(unsewn)[0]
            last_of.append(across.argmin(axis=0))
            arrive = across.min(axis=0)
        through = arrive[:, None] + here.orders.cost
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
