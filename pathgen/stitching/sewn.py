"""One letter as it is sewn: its stretch of the needle table.

It depends on the letter, on how it is begun and ended, and on the hole that the needle comes from;
so it is made once for each of these, and kept for the next time.
"""

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.arrivals import Arrival, arrivals
from pathgen.kept import Kept
from pathgen.model import LetterShape
from pathgen.needles import Part
from pathgen.settings import Settings
from pathgen.stitching.longest import none_too_long_each
from pathgen.stitching.rows import Visit, needle_rows, without_heaps_each
from pathgen.stitching.stations import Station, stations_of
from pathgen.stretches import Came, Stretch, side_by_side, with_hole

__all__ = ["Asked", "LetterSewn", "is_too_far", "letters_sewn"]

MOST_KEPT = 8192
"""Letters that are kept for a setting, each with how it is come to and left: about 10 kB each."""

# Lengths that differ by less than this are the same.
SAME_MM = 1e-6


class Asked(NamedTuple):
    """How a letter is sewn.

    Attributes
    ----------
    shape : LetterShape
        The letter.
    first, last : int
        Its entry and its exit, as its station numbers them.
    came : Came or None
        Where the needle comes from; None for a thread that comes down afresh.
    corner : tuple of (float, float)
        Where the travel from there turns, from the letter's own origin; one place or none.
    near_limit : bool
        Whether that travel is nearly as long as it may be.
    fastened : bool
        Whether the thread is tied off at the end.
    cut : frozenset of int
        Columns before which the thread has to be cut.
    """

    shape: LetterShape
    first: int
    last: int
    came: Came | None
    corner: tuple[tuple[float, float], ...]
    near_limit: bool
    fastened: bool
    cut: frozenset[int]


class LetterSewn(NamedTuple):
    """What comes of it.

    Attributes
    ----------
    stretch : Stretch
        Its penetrations.
    heaped : structured array of NEEDLE_TABLE
        The same before points of runs left heaps.
    too_far : bool
        Whether the travel to it came out too long: the thread has to be cut before it.
    """

    stretch: Stretch
    heaped: NDArray[np.void]
    too_far: bool


def _letters_sewn(asked: Sequence[Asked], settings: Settings) -> list[LetterSewn]:
    """Letters sewn; where travel inside one comes out too far, the thread is cut after all."""
    stations = stations_of([one.shape for one in asked], settings)
    visits = [list(_visits(*each)) for each in zip(asked, stations, strict=True)]
    sewn: dict[int, LetterSewn] = {}
    anew = list(range(len(asked)))
    while anew:
        some = [visits[n] for n in anew]
        found = _sewn(some, [asked[n] for n in anew], settings)
        far = dict(zip(anew, _too_far(some, found, settings), strict=True))
        for n, one in zip(anew, found, strict=True):
            begun = visits[n][0].way.stroke.number
            sewn[n] = one._replace(too_far=begun in far[n])
            far[n].discard(begun)
            visits[n] = [v._replace(cut=v.cut or v.way.stroke.number in far[n]) for v in visits[n]]
        anew = [n for n in anew if far[n]]
    return [one for _, one in sorted(sewn.items())]


letters_sewn: Kept[Asked, LetterSewn] = Kept(_letters_sewn, most=MOST_KEPT)
"""Letters sewn with some settings."""


def _visits(asked: Asked, station: Station) -> Iterator[Visit]:
    """The letter's columns in sewing order."""
    unsewn = np.ones(len(station.strokes), dtype=bool)
    left: int | None = None
    for entry, exit_ in station.order(asked.first, asked.last):
        way = station.way(entry, exit_)
        if left is None:
            corner = np.array(asked.corner).reshape(-1, 2)
            yield Visit(way, asked.came is None, corner, asked.near_limit)
        else:
            chosen = station.links.corner(left, entry, unsewn)
            cut = chosen.cut or way.stroke.number in asked.cut
            yield Visit(way, cut, chosen.corner, chosen.near_limit)
        unsewn[station.ways.exit_of[exit_]] = False
        left = exit_


def _sewn(
    visits: Sequence[Sequence[Visit]], asked: Sequence[Asked], settings: Settings
) -> list[LetterSewn]:
    """Rows of letters, their runs out of heaps."""
    starts = [one.came.at_mm if one.came else () for one in asked]
    heaped = needle_rows(visits, starts, [one.fastened for one in asked], settings)
    free = without_heaps_each(heaped)
    led = [with_hole(rows, one.came) for rows, one in zip(free, asked, strict=True)]
    return [
        LetterSewn(
            Stretch(one.shape, settings, rows[int(one.came is not None) :], one.came),
            before,
            too_far=False,
        )
        for one, before, rows in zip(
            asked, heaped, none_too_long_each(led, settings.longest_stitch_mm), strict=True
        )
    ]


def _doubtful(visits: Sequence[Visit], came: Came | None, settings: Settings) -> Iterator[int]:
    """Columns that are reached by travel near its limit, or that turns too near to be sewn there.

    It turns once on the way, and at the entry where a run leads on under the column.
    """
    needle = came.at_mm if came else None
    for visit in visits:
        entry, turns = visit.way.entry.tolist(), visit.corner.tolist()
        runs_on = visit.way.sewn[0].part == Part.TRAVEL
        stops = [*([needle] if needle else []), *turns, *([entry] if turns or runs_on else [])]
        short = any(math.dist(*leg) < settings.least_stitch_mm for leg in pairwise(stops))
        if visit.near_limit or short:
            yield visit.way.stroke.number
        needle = visit.way.exit.tolist()


def is_too_far(travel: Arrival, settings: Settings) -> bool:
    """Whether travel passes ``join_mm`` or ``on_top_mm``."""
    return travel.bare > settings.join_mm + SAME_MM or travel.on_top > settings.on_top_mm + SAME_MM


def _too_far(
    visits: Sequence[Sequence[Visit]], sewn: Sequence[LetterSewn], settings: Settings
) -> list[set[int]]:
    """Columns of letters that are reached by more bare cloth, or sewn columns, than they may be.

    Runs may cut a corner or leave a heap, so that they come out longer there than they were
    weighed.
    """
    far: list[set[int]] = [set() for _ in visits]
    near = [
        list(_doubtful(each, one.stretch.came, settings))
        for each, one in zip(visits, sewn, strict=True)
    ]
    looked = [n for n, columns in enumerate(near) if columns]
    if not looked:
        return far
    beside = side_by_side([sewn[n].stretch for n in looked])
    of = {own.index: n for own, n in zip(beside.own, looked, strict=True)}
    for travel in arrivals(
        beside.needles,
        beside.letters,
        settings,
        min(settings.join_mm, settings.on_top_mm),
        {(own.line, own.index, column) for own in beside.own for column in near[of[own.index]]},
    ):
        _, index, column = travel.place
        if is_too_far(travel, settings):
            far[of[index]].add(column)
    return far
