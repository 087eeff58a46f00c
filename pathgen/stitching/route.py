"""One needle path through all letters, at the least cost.

Letters are sewn line by line, in the order that the settings ask for. Which way a letter is
begun and ended is weighed along the whole text (dynamic programming over the letters, after
Viterbi), with the cheapest order inside each letter from `order`. Where the next column is near
the needle travels there by a run; else the thread is tied off, cut, and tied in again.
"""

import math
from bisect import bisect, insort
from collections.abc import Sequence
from functools import lru_cache
from itertools import groupby, pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.arrivals import too_far
from pathgen.geometry import Place
from pathgen.model import Letter, LetterShape
from pathgen.settings import Settings
from pathgen.sewing import Sewing, in_place, joined, sewing_of
from pathgen.stitching.links import NEVER, Bridge, Chosen, Costs, always_cut, cut_at
from pathgen.stitching.longest import none_too_long
from pathgen.stitching.rows import heaped_across, without_heaps
from pathgen.stitching.sewn import Asked, LetterSewn, letters_sewn
from pathgen.stitching.stations import Station, bridges_of, stations_of
from pathgen.stretches import Came, Hole, Stretch, came_from

__all__ = ["Ends", "bridge", "route", "sew", "way_costs"]


class _Stop(NamedTuple):
    """A letter on the way, its station, the entry and exit that are taken, and cut columns."""

    letter: Letter
    station: Station
    ends: tuple[int, int]
    cut: frozenset[int]


Ends = tuple[int | None, int | None]
"""Entry by which the first letter must be begun, and exit by which the last one is ended; None
for the cheapest."""


def way_costs(letters: Sequence[Letter], settings: Settings) -> Costs:
    """Least cost of letters, (E, X), for each entry of the first and each exit of the last.

    Costs are relative to the cheapest; letters without a column are passed over.
    """
    ordered = _in_sewing_order([letter for letter in letters if letter.shape.columns], settings)
    stations = stations_of([letter.shape for letter in ordered], settings)
    bridges = _bridges(ordered, settings)
    reach = stations[0].orders.cost
    for here, bridge in zip(stations[1:], bridges, strict=True):
        arrive = (reach[:, :, None] + bridge.cost).min(axis=1)
        reach = (arrive[:, :, None] + here.orders.cost).min(axis=1)
        reach = np.minimum(reach - reach.min(), NEVER)
    return reach


def bridge(a: Letter, b: Letter, settings: Settings) -> Bridge:
    """Travel from one letter with columns to another."""
    return bridges_of([_apart(a, b)], settings)[0]


def route(
    letters: Sequence[Letter], settings: Settings, ends: Ends = (None, None)
) -> NDArray[np.void]:
    """Needle table of a text, as in `sew`."""
    return sew(letters, settings, ends).needles


def sew(letters: Sequence[Letter], settings: Settings, ends: Ends = (None, None)) -> Sewing:
    """Needle table of a text, with the stretches of its letters.

    Parameters
    ----------
    letters : sequence of Letter
        In reading order; each with its columns in mm.
    settings : Settings
        Uses ``sewing``, ``join_mm``, ``on_top_mm``, ``run_mm`` and what zigzag and underlay use.
    ends : Ends
        How the first and the last letter must be begun and ended.

    Returns
    -------
    Sewing
        Empty when no letter has a column.

    Notes
    -----
    Runs may cut a corner or leave a needle heap, so that they come out longer over bare cloth
    or on top than they were weighed; where they would pass ``join_mm`` or ``on_top_mm``, the
    letters about it are weighed again without such a run.
    """
    ordered = _in_sewing_order([letter for letter in letters if letter.shape.columns], settings)
    stations = stations_of([letter.shape for letter in ordered], settings)
    bridges = _bridges(ordered, settings)
    chosen = _ends(stations, bridges, ends)
    cuts: list[frozenset[int]] = [frozenset()] * len(ordered)
    while True:
        ways = _paths(bridges, chosen)
        stops = [_Stop(*stop) for stop in zip(ordered, stations, chosen, cuts, strict=True)]
        sewn = _sewn(stops, ways, settings)
        far = [n for n, one in enumerate(sewn) if one.too_far]
        if not far:
            sewing = joined(ordered, [one.stretch for one in sewn])
            if not heaped_across(sewing):
                return sewing
            sewing = _without_heaps(ordered, sewn, settings)
            far, inside = _come_too_far(sewing, ordered, settings)
            if not far and not inside:
                return sewing
            for n, column in inside:
                cuts[n] |= {column}
        for n in far:
            bridges[n - 1] = cut_at(bridges[n - 1], chosen[n - 1][1], chosen[n][0])
        chosen = _chosen_anew(stations, bridges, chosen, ways) if far else chosen


def _without_heaps(
    ordered: Sequence[Letter], sewn: Sequence[LetterSewn], settings: Settings
) -> Sewing:
    """All letters, whose runs make no heaps together either."""
    heaped = [Stretch(one.stretch.shape, settings, one.heaped, None) for one in sewn]
    table = without_heaps(in_place(ordered, heaped), settings)
    return sewing_of(none_too_long(table, settings.longest_stitch_mm), ordered, settings)


def _come_too_far(
    sewing: Sewing, ordered: Sequence[Letter], settings: Settings
) -> tuple[list[int], list[tuple[int, int]]]:
    """Letters, numbered from 0, and columns inside letters that are reached too far, as sewn."""
    number = {(letter.line, letter.index): n for n, letter in enumerate(ordered)}
    begun = sewing.needles["column"][sewing.starts[:-1]].tolist()
    places = too_far(sewing.needles, ordered, settings)
    far = [(number[line, index], column) for line, index, column in places]
    return (
        [n for n, column in far if column == begun[n]],
        [(n, column) for n, column in far if column != begun[n]],
    )


def _paths(bridges: Sequence[Bridge], chosen: Sequence[tuple[int, int]]) -> list[Chosen]:
    """The way from each letter to the next."""
    pairs = zip(bridges, pairwise(chosen), strict=True)
    return [_way(bridge, left, entered) for bridge, ((_, left), (entered, _)) in pairs]


_way = lru_cache(maxsize=8192)(Bridge.path)
"""The way of an exit and an entry."""


def _chosen_anew(
    stations: Sequence[Station],
    bridges: Sequence[Bridge],
    chosen: Sequence[tuple[int, int]],
    ways: Sequence[Chosen],
) -> list[tuple[int, int]]:
    """Entries and exits weighed again, but for those on both sides of a cut."""
    cuts = [0, *(n for n, way in enumerate(ways, 1) if way.cut), len(stations)]
    anew: list[tuple[int, int]] = []
    for first, end in pairwise(cuts):
        ends = (chosen[first][0], chosen[end - 1][1])
        anew += _ends(stations[first:end], bridges[first : end - 1], ends)
    return anew


def _sewn(stops: Sequence[_Stop], ways: Sequence[Chosen], settings: Settings) -> list[LetterSewn]:
    """Letters one after the other, by given ways from each to the next."""
    asked: list[Asked] = []
    before: tuple[Letter, Hole] | None = None
    for number, (here, station, (first, last), cut) in enumerate(stops):
        fastened = number == len(ways) or ways[number].cut
        came: Came | None = None
        corner: tuple[Place, ...] = ()
        if before is not None and not ways[number - 1].cut:
            came = came_from(*before, here)
            dx, dy = came.apart_mm
            corner = tuple([(x + dx, y + dy) for x, y in ways[number - 1].corner])
        asked.append(Asked(here.shape, first, last, came, corner, fastened, cut))
        before = here, station.last_hole(first, last, fastened=fastened)
    return letters_sewn(asked, settings)


def _in_sewing_order(letters: Sequence[Letter], settings: Settings) -> list[Letter]:
    """Letters as the settings want them sewn, line by line."""
    out: list[Letter] = []
    for _, line in groupby(letters, key=lambda letter: letter.line):
        row = list(line)
        if settings.sewing != "reading":
            row.sort(key=lambda letter: _along(letter, settings))
        if settings.sewing == "right-to-left":
            row.reverse()
        if settings.sewing == "centre-out":
            half = len(row) // 2
            row = [*row[half:], *row[:half][::-1]]
        out += row
    return out


def _bridges(ordered: Sequence[Letter], settings: Settings) -> list[Bridge]:
    """Travel from each letter to the next; cut where a letter sewn before stands between them.

    As between a word that is read leftwards and the word after it.
    """
    found = bridges_of([_apart(a, b) for a, b in pairwise(ordered)], settings)
    places = [_along(letter, settings) for letter in ordered]
    if places == sorted(places):
        return found
    sewn: list[_Along] = []
    for n, (here, after) in enumerate(pairwise(places)):
        insort(sewn, here)
        place = bisect(sewn, after)
        if here[0] == after[0] and here not in sewn[max(0, place - 1) : place + 1]:
            found[n] = always_cut(found[n])
    return found


_Along = tuple[int, float, float]
"""Where a letter stands: its line, how far around the arc, and how far along its own baseline."""


def _along(letter: Letter, settings: Settings) -> _Along:
    """Where a letter stands, letters from left to right in rising order."""
    (x, y), turn = letter.at_mm, letter.shape.turn_rad
    right = turn if settings.arc_side == "below" else -turn
    return letter.line, right, x * math.cos(turn) + y * math.sin(turn) + _middle_mm(letter.shape)


def _middle_mm(shape: LetterShape) -> float:
    """Middle of the box about a letter's ink, along the letter's baseline."""
    left, low, right, top = shape.box
    x, y = (left + right) / 2.0, (low + top) / 2.0
    return x * math.cos(shape.turn_rad) + y * math.sin(shape.turn_rad)


# Distances between letters are taken to this many decimals of a mm, so that the same pair is
# joined alike wherever it stands.
APART_DECIMALS = 6


def _apart(a: Letter, b: Letter) -> tuple[LetterShape, LetterShape, tuple[float, float]]:
    """Shapes of two letters, and the way from the one to the other."""
    (x, y), (to_x, to_y) = a.at_mm, b.at_mm
    return a.shape, b.shape, (round(to_x - x, APART_DECIMALS), round(to_y - y, APART_DECIMALS))


class _Reached(NamedTuple):
    """Cheapest ways from the first letter to each exit of a letter.

    Attributes
    ----------
    costs : bytes
        Of each, int64, relative to the cheapest, so that they never outgrow 64 bits.
    best : int
        The cheapest exit.
    entries : list of int
        By which entry each exit is come to.
    exits : list of int
        By which exit of the letter before each entry is come to.
    """

    costs: bytes
    best: int
    entries: list[int]
    exits: list[int]


def _through(here: Station, arrive: Costs, exits: list[int], first: int | None = None) -> _Reached:
    """A letter whose entries are come to at these costs; it may have to be begun by one of them."""
    through = arrive[:, None] + here.orders.cost
    if first is not None:
        through[np.arange(len(through)) != first] = NEVER
    reach = np.minimum.reduce(through, axis=0)
    best = int(reach.argmin())
    costs = (reach - reach[best]).tobytes()
    return _Reached(costs, best, through.argmin(axis=0).tolist(), exits)


@lru_cache(maxsize=4096)
def _begun(here: Station, first: int | None) -> _Reached:
    """The first letter."""
    return _through(here, np.zeros(len(here.orders.cost), dtype=np.int64), [], first)


@lru_cache(maxsize=8192)
def _onward(costs: bytes, bridge: Bridge, here: Station) -> _Reached:
    """A letter that comes after one whose exits are reached at these costs."""
    across = np.frombuffer(costs, np.int64)[:, None] + bridge.cost
    arrive = np.minimum.reduce(across, axis=0)
    return _through(here, arrive, across.argmin(axis=0).tolist())


def _ends(
    stations: Sequence[Station], bridges: Sequence[Bridge], asked: Ends
) -> list[tuple[int, int]]:
    """First entry and last exit of each letter on the cheapest path."""
    if not stations:
        return []
    reached = [_begun(stations[0], asked[0])]
    for bridge, here in zip(bridges, stations[1:], strict=True):
        reached.append(_onward(reached[-1].costs, bridge, here))
    last = reached[-1].best if asked[1] is None else asked[1]
    ends: list[tuple[int, int]] = []
    for one in reversed(reached):
        first = one.entries[last]
        ends.append((first, last))
        last = one.exits[first] if one.exits else 0
    return ends[::-1]
