"""Travel from one column to the next as the needle table has it, and how much of it shows.

Travel shows where it crosses bare cloth, and on top of columns that are already sewn. Under
columns that are sewn later it is out of sight. A column of which the table has no row counts as
sewn before. Only the letters that it leaves and comes to are looked at: a third one is in the way
only where letters overlap, or where columns have grown onto it.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.crossings import lengths_inside_each, lengths_under_any, together
from pathgen.geometry import Points, along
from pathgen.inks import inks_apart
from pathgen.kept import Kept
from pathgen.model import Column, Letter, LetterShape
from pathgen.needles import Arrive, Part, places_mm
from pathgen.settings import Settings
from pathgen.stretches import way_mm

__all__ = ["Arrival", "arrivals", "too_far"]

# Lengths that differ by less than this are the same.
_SAME_MM = 1e-6


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
    needles: NDArray[np.void], letters: Sequence[Letter], settings: Settings, over_mm: float
) -> Iterator[Arrival]:
    """Travel between columns that no trim parts, longer than ``over_mm``, in sewing order.

    Uses ``pull_mm`` and ``least_column_mm``.
    """
    places = np.stack([needles[k].astype(np.int64) for k in ("line", "letter", "column")], axis=1)
    changes = np.flatnonzero((places[1:] != places[:-1]).any(axis=1)) + 1
    ways = list(_ways(needles, letters, settings, over_mm, places, changes))
    starts = [0, *changes.tolist()] if ways else []
    first = {tuple(place): row for place, row in zip(places[starts].tolist(), starts, strict=True)}
    shown = _shown([_question(way, first) for way in ways], settings)
    for way, (bare_mm, on_top_mm) in zip(ways, shown, strict=True):
        line, letter, column = places[way.row].tolist()
        yield Arrival((line, letter, column), way.legs, bare_mm, on_top_mm, way.grown_mm)


def too_far(
    needles: NDArray[np.void], letters: Sequence[Letter], settings: Settings
) -> list[tuple[int, int, int]]:
    """Columns (line, letter, column) reached by travel beyond ``join_mm`` or ``on_top_mm``."""
    join_mm, on_top_mm = settings.join_mm, settings.on_top_mm
    return [
        travel.place
        for travel in arrivals(needles, letters, settings, min(join_mm, on_top_mm))
        if travel.bare > join_mm + _SAME_MM or travel.on_top > on_top_mm + _SAME_MM
    ]


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
    begins = changes[arrive[changes] == int(Arrive.SEW)] - 1
    rows = settled[np.searchsorted(settled, begins + 1)]
    xy, zigzag = places_mm(needles), (part == int(Part.ZIGZAG)).tolist()
    where = along(xy)
    far = where[rows] - where[begins] > over_mm
    by_place = {(letter.line, letter.index): letter for letter in letters}
    for before, row in zip(begins[far].tolist(), rows[far].tolist(), strict=True):
        legs = np.concatenate([xy[before:row], xy[before + 1 : row + 1]], axis=1).reshape(-1, 2, 2)
        if _is_first_stitch(legs, by_place, places[row].tolist(), zigzag[row], settings):
            continue
        near, grown_mm = [], 0.0
        for end, (here, onward) in ((before, legs[0]), (row, legs[-1][::-1])):
            line, index, number = places[end].tolist()
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
    step_x, step_y = step.tolist()
    off = column.centre - place
    x, y = off.T
    off_x, off_y = off[(x * x + y * y).argmin()].tolist()
    size = math.hypot(off_x, off_y) * math.hypot(step_x, step_y)
    return (off_x * step_x + off_y * step_y) / size if size > 0.0 else 0.0


# Places are taken to this many decimals of a mm, so that the same travel on the same letters is
# measured alike, and once, wherever they stand.
_DECIMALS = 10

_Lengths = NDArray[np.float64]
_Question = tuple[tuple[tuple[LetterShape, float, float], ...], bytes, tuple[bool, ...]]
"""Letters with their places, the legs of a travel, and which columns are still to be sewn."""


def _question(way: _Way, first: Mapping[tuple[int, ...], int]) -> _Question:
    """What is asked of a travel, given the first row of each column."""
    here = way.near[0]
    legs = (way.legs - here.at_mm).round(_DECIMALS) + 0.0
    placed = tuple([(letter.shape, *way_mm(here, letter)) for letter in way.near])
    unsewn = tuple(
        [
            first.get((letter.line, letter.index, number), -1) > way.before
            for letter in way.near
            for number in range(1, letter.shape.cover_lines.size + 1)
        ]
    )
    return placed, legs.tobytes(), unsewn


# Covers overlap where columns meet: thread under several, and more than there is ink, is looked at
# again.
_TWICE_MM = 0.005


def _measured(asked: Sequence[_Question], settings: Settings) -> list[tuple[_Lengths, _Lengths]]:
    """How much of each leg is over bare cloth, and on top of columns sewn before."""
    legs = [np.frombuffer(legs).reshape(-1, 2, 2) for _, legs, _ in asked]
    covers = [[shape.cover_lines.moved(x, y) for shape, x, y in placed] for placed, _, _ in asked]
    both = [
        together([together(inks_apart(placed)).lumped(1), *lines])
        for (placed, _, _), lines in zip(asked, covers, strict=True)
    ]
    found = []
    for segments, lines, (_, _, unsewn), lengths in zip(
        legs, covers, asked, lengths_inside_each(list(zip(legs, both, strict=True))), strict=True
    ):
        total, under = lengths[0], lengths[2:]
        inked = np.minimum(lengths[1], total)
        over = under[list(unsewn)]
        hidden = over.sum(axis=0)
        twice = (under.sum(axis=0) > inked + _TWICE_MM) & ((over > 0.0).sum(axis=0) > 1)
        if twice.any():
            hidden[twice] = lengths_under_any(segments[twice], together(lines), unsewn)
        found.append((total - inked, inked - np.minimum(hidden, inked)))
    for lengths in (each for two in found for each in two):
        lengths.flags.writeable = False
    return found


_shown: Kept[_Question, tuple[_Lengths, _Lengths]] = Kept(_measured, most=8192)
