"""Travel from one column to the next as the needle table has it, and how much of it shows.

Travel shows where it crosses bare cloth, and on top of columns that are already sewn. Under
columns that are sewn later it is out of sight. A column of which the table has no row counts as
sewn before. Only the letters that it leaves and comes to are looked at: a third one is in the way
only where letters overlap, or where columns have grown onto it.
"""

from collections.abc import Container, Iterator, Mapping, Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.crossings import lengths_inside_each, lengths_under_any, together
from pathgen.geometry import Points
from pathgen.inks import inks_apart
from pathgen.model import Column, Letter, LetterShape
from pathgen.needles import Arrive, Part, places_mm
from pathgen.settings import Settings

__all__ = ["Arrival", "arrivals"]


class Arrival(NamedTuple):
    """Travel to a column.

    Attributes
    ----------
    place : tuple of int
        Line, letter and column that it comes to.
    legs : (K, 2, 2) float
        Its stitches.
    bare_mm, on_top_mm : (K,) float
        How much of each is over bare cloth, and on top of columns sewn before.
    grown_mm : float
        How much of the bare cloth is under the letters' own thread, by which columns have grown
        beyond their ink. Travel crosses that once from the middle of a column, twice from a rail
        across the column, and not at all from a rail outwards.
    """

    place: tuple[int, int, int]
    legs: NDArray[np.float64]
    bare_mm: NDArray[np.float64]
    on_top_mm: NDArray[np.float64]
    grown_mm: float

    @property
    def bare(self) -> float:
        """All of it over bare cloth, mm."""
        return max(0.0, float(self.bare_mm.sum()) - self.grown_mm)

    @property
    def on_top(self) -> float:
        """All of it on top of columns sewn before, mm."""
        return float(self.on_top_mm.sum())


def arrivals(
    needles: NDArray[np.void],
    letters: Sequence[Letter],
    settings: Settings,
    over_mm: float,
    only: Container[tuple[int, ...]] | None = None,
) -> Iterator[Arrival]:
    """Travel between columns that no trim parts, longer than ``over_mm``, in sewing order.

    Uses ``pull_mm`` and ``least_column_mm``; ``only`` are the columns (line, letter, column)
    that are asked for, if not all.
    """
    places = np.stack([needles[k].astype(np.int64) for k in ("line", "letter", "column")])
    changes = np.flatnonzero((places[:, 1:] != places[:, :-1]).any(axis=0)) + 1
    asked = changes
    if only is not None:
        kept = [tuple(place) in only for place in places[:, changes].T.tolist()]
        asked = changes[np.array(kept, dtype=bool)]
    ways = list(_ways(needles, letters, settings, over_mm, places, asked))
    starts = [0, *changes.tolist()] if len(needles) else []
    first = {tuple(places[:, row].tolist()): row for row in starts}
    for way in ways:
        unsewn = tuple(
            first.get((letter.line, letter.index, number), -1) > way.before
            for letter in way.near
            for number in range(1, letter.shape.cover_lines.size + 1)
        )
        line, letter, column = places[:, way.row].tolist()
        yield Arrival((line, letter, column), way.legs, *_shown_mm(way, unsewn), way.grown_mm)


class _Way(NamedTuple):
    """Where travel begins and ends: rows of the needle table, and letters."""

    before: int
    row: int
    legs: NDArray[np.float64]
    grown_mm: float
    near: list[Letter]


def _ways(
    needles: NDArray[np.void],
    letters: Sequence[Letter],
    settings: Settings,
    over_mm: float,
    places: NDArray[np.int64],
    changes: NDArray[np.intp],
) -> Iterator[_Way]:
    """From the last row of each column to the first row of the next that is no travel."""
    arrive, part = needles["arrive"], needles["part"]
    settled = np.flatnonzero(part != int(Part.TRAVEL))
    sewn = changes[arrive[changes] == int(Arrive.SEW)]
    rows = settled[np.searchsorted(settled, sewn)]
    xy, zigzag = places_mm(needles), (part == int(Part.ZIGZAG)).tolist()
    by_place = {(letter.line, letter.index): letter for letter in letters}
    for before, row in zip((sewn - 1).tolist(), rows.tolist(), strict=True):
        legs = np.stack([xy[before:row], xy[before + 1 : row + 1]], axis=1)
        step = legs[:, 1] - legs[:, 0]
        if np.hypot(step[:, 0], step[:, 1]).sum() <= over_mm:
            continue
        if _is_first_stitch(legs, by_place, places[:, row].tolist(), zigzag[row], settings):
            continue
        near, grown_mm = [], 0.0
        for end, (here, onward) in ((before, legs[0]), (row, legs[-1][::-1])):
            line, index, number = places[:, end].tolist()
            letter = by_place[line, index]
            if letter not in near:
                near.append(letter)
            column = letter.shape.columns[number - 1]
            crossed = 1.0
            if zigzag[end]:
                crossed += _turned_inwards(column, here - letter.at_mm, onward - here)
            grown_mm += crossed * settings.growth_mm(column.usual_width)
        yield _Way(before, row, legs, grown_mm, near)


def _is_first_stitch(
    legs: NDArray[np.float64],
    by_place: Mapping[tuple[int, int], Letter],
    place: tuple[int, int, int],
    zigzag: bool,
    settings: Settings,
) -> bool:
    """Whether this is a column's own first stitch, as the needle was in its first hole before."""
    if len(legs) != 1 or not zigzag:
        return False
    line, index, number = place
    letter = by_place[line, index]
    column = letter.shape.columns[number - 1]
    left, right = column.left[[0, -1]], column.right[[0, -1]]
    across = (left - right) / np.maximum(column.widths[[0, -1], None], 1e-9)
    grown = settings.growth_mm(column.usual_width) * across
    holes = np.concatenate([left + grown, right - grown]) - (legs[0][0] - letter.at_mm)
    return bool(np.hypot(holes[:, 0], holes[:, 1]).min() < settings.same_hole_mm)


def _turned_inwards(column: Column, place: Points, step: Points) -> float:
    """How far a step, (2,), from a place on a rail turns across the column: 1; -1 for outwards."""
    off = column.centre - place
    away = np.hypot(off[:, 0], off[:, 1])
    nearest = int(away.argmin())
    size = float(away[nearest] * np.hypot(*step))
    return float(off[nearest] @ step) / size if size > 0.0 else 0.0


# Places are taken to this many decimals of a mm, so that the same travel on the same letters is
# measured alike, and once, wherever they stand.
_DECIMALS = 10

_Lengths = NDArray[np.float64]
_Placed = tuple[tuple[LetterShape, float, float], ...]


def _shown_mm(way: _Way, unsewn: tuple[bool, ...]) -> tuple[_Lengths, _Lengths]:
    """How much of each leg is over bare cloth, and on top of columns sewn before."""
    origin = np.array(way.near[0].at_mm)
    legs = np.round(way.legs - origin, _DECIMALS) + 0.0
    placed = tuple(
        (letter.shape, *(np.round(letter.at_mm - origin, _DECIMALS) + 0.0).tolist())
        for letter in way.near
    )
    return _shown(placed, legs.tobytes(), unsewn)


# Covers overlap where columns meet: thread under more of them than there is ink is looked at again.
_TWICE_MM = 0.005


@lru_cache(maxsize=8192)
def _shown(placed: _Placed, legs: bytes, unsewn: tuple[bool, ...]) -> tuple[_Lengths, _Lengths]:
    """As `_shown_mm`, of letters in their places."""
    segments = np.frombuffer(legs).reshape(-1, 2, 2)
    covers = [shape.cover_lines.moved(x, y) for shape, x, y in placed]
    total, *inside = lengths_inside_each([(segments, together([*inks_apart(placed), *covers]))])[0]
    inked = np.minimum(np.sum(inside[: -len(unsewn)], axis=0), total)
    under = np.array(inside[-len(unsewn) :])
    hidden = under[list(unsewn)].sum(axis=0)
    twice = (under.sum(axis=0) > inked + _TWICE_MM) & (hidden > 0.0)
    if twice.any():
        hidden[twice] = lengths_under_any(segments[twice], together(covers), unsewn)
    shown = total - inked, inked - np.minimum(hidden, inked)
    for lengths in shown:
        lengths.flags.writeable = False
    return shown
