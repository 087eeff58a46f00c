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

from pathgen.arrivals import arrivals
from pathgen.model import Letter, LetterShape
from pathgen.settings import Settings
from pathgen.stitching.links import BARE_WEIGHT, NEVER, Bridge, Chosen, Costs
from pathgen.stitching.rows import Visit, needle_rows
from pathgen.stitching.stations import Station, bridges_of, stations_of

__all__ = ["Ends", "bridge", "route", "way_costs"]


class _Stop(NamedTuple):
    """A letter on the way and its station."""

    letter: Letter
    station: Station


Ends = tuple[int | None, int | None]
"""Entry by which the first letter must be begun, and exit by which the last one is ended; None
for the cheapest."""


def way_costs(letters: Sequence[Letter], settings: Settings) -> Costs:
    """Least cost of letters, (E, X), for each entry of the first and each exit of the last.

    Costs are relative to the cheapest; letters without a column are passed over.
    """
    ordered = _in_sewing_order([letter for letter in letters if letter.shape.columns], settings)
    stations = stations_of([letter.shape for letter in ordered], settings)
    bridges = bridges_of([_apart(a, b) for a, b in pairwise(ordered)], settings)
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
    """Needle table of a text.

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
    structured array of NEEDLE_TABLE
        Empty when no letter has a column.

    Notes
    -----
    Runs may cut a corner or leave a needle heap, so that they come out longer over bare cloth
    or on top than they were weighed; where they would pass ``join_mm`` or ``on_top_mm``, the
    thread is cut after all.
    """
    ordered = _in_sewing_order([letter for letter in letters if letter.shape.columns], settings)
    stations = stations_of([letter.shape for letter in ordered], settings)
    stops = [_Stop(*stop) for stop in zip(ordered, stations, strict=True)]
    bridges = bridges_of([_apart(a, b) for a, b in pairwise(ordered)], settings)
    visits = list(_visits(stops, bridges, ends))
    table = needle_rows(visits, settings)
    near = min(settings.join_mm, settings.on_top_mm)
    # Thread over bare cloth is weighed double.
    most = min(BARE_WEIGHT * (settings.join_mm - SLACK_MM), settings.on_top_mm - SLACK_MM)
    near_limit = {v.place for v in visits if v.seen_mm > most}
    far = {
        travel.place
        for travel in arrivals(table, ordered, settings, near, near_limit)
        if travel.bare > settings.join_mm + SAME_MM or travel.on_top > settings.on_top_mm + SAME_MM
    }
    if not far:
        return table
    return needle_rows([v._replace(cut=v.cut or v.place in far) for v in visits], settings)


# Lengths that differ by less than this are the same.
SAME_MM = 1e-6
# How much longer than weighed a run may come out (0.2 mm was the most seen).
SLACK_MM = 0.6


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
    bounds = [part.bounds for part in letter.shape.ink]
    return letter.at_mm[0] + (min(b[0] for b in bounds) + max(b[2] for b in bounds)) / 2.0


# Distances between letters are taken to this many decimals of a mm, so that the same pair is
# joined alike wherever it stands.
APART_DECIMALS = 6


def _apart(a: Letter, b: Letter) -> tuple[LetterShape, LetterShape, tuple[float, float]]:
    """Shapes of two letters, and the way from the one to the other."""
    dx, dy = (
        round(there - here, APART_DECIMALS) for here, there in zip(a.at_mm, b.at_mm, strict=True)
    )
    return a.shape, b.shape, (dx, dy)


def _visits(stops: Sequence[_Stop], bridges: Sequence[Bridge], asked: Ends) -> Iterator[Visit]:
    """Columns in sewing order along the cheapest way through all letters."""
    ends = _ends([stop.station for stop in stops], bridges, asked)
    for i, (first, last) in enumerate(ends):
        letter, here = stops[i]
        way = Chosen(cut=True, corner=NOWHERE, seen_mm=0.0)
        if i > 0:
            way = bridges[i - 1].path(ends[i - 1][1], first)
            way = way._replace(corner=way.corner + stops[i - 1].letter.at_mm)
        unsewn = np.ones(len(here.strokes), dtype=bool)
        left: int | None = None
        for entry, exit_ in here.orders.between(first, last):
            if left is not None:
                way = here.links.corner(left, entry, unsewn)
                way = way._replace(corner=way.corner + letter.at_mm)
            yield Visit(letter, here.way(entry, exit_), *way)
            unsewn[here.ways.exit_of[exit_]] = False
            left = exit_


NOWHERE = np.zeros((0, 2))


def _ends(
    stations: Sequence[Station], bridges: Sequence[Bridge], asked: Ends
) -> list[tuple[int, int]]:
    """First entry and last exit of each letter on the cheapest path.

    Costs are taken relative to the cheapest so far, so they never outgrow 64 bits.
    """
    first_of: list[NDArray[np.intp]] = []
    last_of: list[NDArray[np.intp]] = []
    reach: Costs = np.zeros(0, dtype=np.int64)
    for i, here in enumerate(stations):
        arrive = np.zeros(len(here.orders.cost), dtype=np.int64)
        if i > 0:
            across = reach[:, None] + bridges[i - 1].cost
            last_of.append(across.argmin(axis=0))
            arrive = across.min(axis=0)
        through = arrive[:, None] + here.orders.cost
        if i == 0 and asked[0] is not None:
            through[np.arange(len(through)) != asked[0]] = NEVER
        first_of.append(through.argmin(axis=0))
        reach = through.min(axis=0)
        reach = reach - reach.min()
    ends: list[tuple[int, int]] = []
    last = int(reach.argmin()) if stations else 0
    last = last if asked[1] is None else asked[1]
    for i in reversed(range(len(stations))):
        first = int(first_of[i][last])
        ends.append((first, last))
        last = int(last_of[i - 1][first]) if i > 0 else 0
    return ends[::-1]
