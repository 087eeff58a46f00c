"""One letter as it is sewn: its stretch of the needle table.

It depends on the letter, on how it is begun and ended, and on the hole that the needle comes from;
so it is made once for each of these, and kept for the next time.
"""

from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.arrivals import arrivals
from pathgen.model import LetterShape
from pathgen.settings import Settings
from pathgen.stitching.longest import none_too_long
from pathgen.stitching.rows import Visit, needle_rows, without_heaps
from pathgen.stitching.stations import Station
from pathgen.stretches import Came, Stretch, side_by_side, with_hole

__all__ = ["Asked", "LetterSewn", "LettersSewn", "letters_sewn"]

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
    """

    shape: LetterShape
    first: int
    last: int
    came: Came | None
    corner: tuple[tuple[float, float], ...]
    near_limit: bool
    fastened: bool


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


class LettersSewn:
    """Letters sewn with the same settings; those asked for last are kept."""

    def __init__(self, settings: Settings) -> None:
        self._settings = settings
        self._known: dict[Asked, LetterSewn] = {}

    def __call__(self, asked: Asked, station: Station) -> LetterSewn:
        """A letter, with its station."""
        found = self._known.pop(asked, None)
        if found is None:
            found = _letter_sewn(asked, station, self._settings)
            if len(self._known) >= MOST_KEPT:
                del self._known[next(iter(self._known))]
        self._known[asked] = found
        return found


letters_sewn = lru_cache(maxsize=8)(LettersSewn)
"""What is kept for some settings."""


def _letter_sewn(asked: Asked, station: Station, settings: Settings) -> LetterSewn:
    """A letter sewn; where travel inside it comes out too far, the thread is cut after all."""
    visits = list(_visits(asked, station))
    sewn = _sewn(visits, asked, settings)
    far = _too_far(visits, sewn.stretch)
    inside = far - {visits[0].way.stroke.number}
    if inside:
        cut = [v._replace(cut=v.cut or v.way.stroke.number in inside) for v in visits]
        sewn = _sewn(cut, asked, settings)
    return sewn._replace(too_far=far != inside)


def _visits(asked: Asked, station: Station) -> Iterator[Visit]:
    """The letter's columns in sewing order."""
    unsewn = np.ones(len(station.strokes), dtype=bool)
    left: int | None = None
    for entry, exit_ in station.orders.between(asked.first, asked.last):
        way = station.way(entry, exit_)
        if left is None:
            corner = np.array(asked.corner).reshape(-1, 2)
            yield Visit(way, asked.came is None, corner, asked.near_limit)
        else:
            yield Visit(way, *station.links.corner(left, entry, unsewn))
        unsewn[station.ways.exit_of[exit_]] = False
        left = exit_


def _sewn(visits: Sequence[Visit], asked: Asked, settings: Settings) -> LetterSewn:
    """Rows of a letter, its runs out of heaps."""
    came = asked.came
    start = came.at_mm if came else ()
    heaped = needle_rows(visits, start, settings, fastened=asked.fastened)
    led = with_hole(without_heaps(heaped), came)
    rows = none_too_long(led, settings.longest_stitch_mm)[int(came is not None) :]
    return LetterSewn(Stretch(asked.shape, settings, rows, came), heaped, too_far=False)


def _too_far(visits: Sequence[Visit], stretch: Stretch) -> set[int]:
    """Columns that are reached by more bare cloth, or sewn columns, than they may be.

    Runs may cut a corner or leave a heap, so that they come out longer there than they were
    weighed.
    """
    settings = stretch.settings
    looked = [v.way.stroke.number for v in visits if v.near_limit]
    if not looked:
        return set()
    beside = side_by_side([stretch])
    (own,) = beside.own
    return {
        travel.place[2]
        for travel in arrivals(
            beside.needles,
            beside.letters,
            settings,
            min(settings.join_mm, settings.on_top_mm),
            {(own.line, own.index, number) for number in looked},
        )
        if travel.bare > settings.join_mm + SAME_MM or travel.on_top > settings.on_top_mm + SAME_MM
    }
