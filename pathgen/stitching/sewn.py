"""One letter as it is sewn: its stretch of the needle table.

It depends on the letter, on how it is begun and ended, and on the hole that the needle comes from;
so it is made once for each of these, and kept for the next time.
"""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.arrivals import too_far
from pathgen.geometry import Place
from pathgen.kept import Kept
from pathgen.model import LetterShape
from pathgen.settings import Settings
from pathgen.stitching.longest import none_too_long
from pathgen.stitching.rows import Visit, needle_rows, without_heaps_each
from pathgen.stitching.stations import Station, stations_of
from pathgen.stretches import Came, Stretch, one_by_one

__all__ = ["Asked", "LetterSewn", "letters_sewn"]

MOST_KEPT = 8192
"""Letters that are kept for a setting, each with how it is come to and left: about 10 kB each."""


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
    fastened : bool
        Whether the thread is tied off at the end.
    cut : frozenset of int
        Columns before which the thread has to be cut.
    """

    shape: LetterShape
    first: int
    last: int
    came: Came | None
    corner: tuple[Place, ...]
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
    visits = [_visits(*each) for each in zip(asked, stations, strict=True)]
    sewn: dict[int, LetterSewn] = {}
    anew = list(range(len(asked)))
    while anew:
        found = _sewn([visits[n] for n in anew], [asked[n] for n in anew], settings)
        sewn.update(zip(anew, [one for one, _ in found], strict=True))
        far = {n: columns for n, (_, columns) in zip(anew, found, strict=True) if columns}
        anew = list(far)
        for n, columns in far.items():
            visits[n] = [v._replace(cut=v.cut or v.way.stroke.number in columns) for v in visits[n]]
    return [one for _, one in sorted(sewn.items())]


letters_sewn: Kept[Asked, LetterSewn] = Kept(_letters_sewn, most=MOST_KEPT)
"""Letters sewn with some settings."""


def _visits(asked: Asked, station: Station) -> list[Visit]:
    """The letter's columns in sewing order."""
    visits = [
        Visit(way, cut or way.stroke.number in asked.cut, corner)
        for way, (cut, corner) in station.through(asked.first, asked.last)
    ]
    visits[0] = visits[0]._replace(cut=asked.came is None, corner=asked.corner)
    return visits


def _sewn(
    visits: Sequence[Sequence[Visit]], asked: Sequence[Asked], settings: Settings
) -> list[tuple[LetterSewn, set[int]]]:
    """Letters laid out, their runs out of heaps; and which columns inside are reached too far.

    Travel is weighed from turn to turn. Laid out in stitches it may come out longer: where a turn
    is too near for the least stitch, or a point moved out of a heap.
    """
    starts = [one.came.at_mm if one.came else () for one in asked]
    heaped = needle_rows(visits, starts, [one.fastened for one in asked], settings)
    free = without_heaps_each(heaped, settings)
    parts = [(one.shape, rows, one.came) for one, rows in zip(asked, free, strict=True)]
    table, own, letters = one_by_one(parts, [0.0] * len(parts))
    table = none_too_long(table, settings.longest_stitch_mm)
    far: dict[int, set[int]] = {letter.index: set() for letter in own}
    for _, index, column in too_far(table, letters, settings):
        far[index].add(column)
    numbers = list(far)
    firsts, lasts = (table["letter"].searchsorted(numbers, side) for side in ("left", "right"))
    table["line"] = table["letter"] = 0
    found = []
    for one, letter, before, first, last, (begun, *_) in zip(
        asked, own, heaped, firsts.tolist(), lasts.tolist(), visits, strict=True
    ):
        stretch = Stretch(one.shape, settings, table[first:last], one.came)
        columns = far[letter.index]
        number = begun.way.stroke.number
        found.append((LetterSewn(stretch, before, number in columns), columns - {number}))
    return found
