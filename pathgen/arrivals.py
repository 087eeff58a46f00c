"""Travel from one column to the next as the needle table has it, and how much of it shows.

Travel shows where it crosses bare cloth, and on top of columns that are already sewn. Under
columns that are sewn later it is out of sight. A column of which the table has no row counts as
sewn before. Only the letters that it leaves and comes to are looked at: a third one is in the way
only where letters overlap, or where columns have grown onto it.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from itertools import accumulate, pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.crossings import lengths_inside_each, lengths_under_any
from pathgen.geometry import Points, along, spans
from pathgen.inks import lines_beside
from pathgen.kept import Kept
from pathgen.model import Column, Letter, LetterShape
from pathgen.needles import Arrive, Part, places_mm
from pathgen.polygons import distances
from pathgen.settings import Settings
from pathgen.stretches import way_mm

__all__ = ["Arrival", "Shown", "arrivals", "too_far"]

# Lengths that differ by less than this are the same.
_SAME_MM = 1e-6


class _End(NamedTuple):
    """Where travel begins or ends.

    Attributes
    ----------
    letter : Letter
        The letter that it leaves or comes to.
    column : int
        That letter's column, from 1.
    on_rail : bool
        Whether it is a hole of zigzag.
    stitch : (2, 2) float
        Its place, and the other end of the stitch there.
    """

    letter: Letter
    column: int
    on_rail: bool
    stitch: Points

    @property
    def stroke(self) -> Column:
        """That column."""
        return self.letter.shape.columns[self.column - 1]

    def growth_mm(self, settings: Settings) -> float:
        """How far it has grown beyond its rails."""
        return settings.growth_mm(self.stroke.usual_width)

    def grown_mm(self, settings: Settings) -> float:
        """How much of the travel is under thread by which the column has grown beyond its ink."""
        crossed = 1.0
        if self.on_rail:
            here, onward = self.stitch
            crossed += _turned_inwards(self.stroke, here - self.letter.at_mm, onward - here)
        return crossed * self.growth_mm(settings)


class Shown(NamedTuple):
    """How much of a travel shows.

    Attributes
    ----------
    bare_mm, on_top_mm : (K,) float
        How much of each stitch is over bare cloth, and on top of columns sewn before.
    bare, on_top : float
        How much of all.
    """

    bare_mm: NDArray[np.float64]
    on_top_mm: NDArray[np.float64]
    bare: float
    on_top: float


class Arrival(NamedTuple):
    """Travel to a column.

    Attributes
    ----------
    place : tuple of int
        Line, letter and column that it comes to.
    legs : (K, 2, 2) float
        Its stitches.
    shown : Shown
        How much of it shows, were the letters' columns as wide as their ink.
    ends : (_End, _End)
        Where it begins and ends.
    settings : Settings
        What it is sewn with.
    """

    place: tuple[int, int, int]
    legs: NDArray[np.float64]
    shown: Shown
    ends: tuple[_End, _End]
    settings: Settings

    @property
    def grown_mm(self) -> float:
        """How much of the bare cloth is under the letters' own thread.

        By that columns have grown beyond their ink. Travel crosses it once from the middle of a
        column, twice from a rail across the column, and not at all from a rail outwards.
        """
        return sum(end.grown_mm(self.settings) for end in self.ends)

    @property
    def bare(self) -> float:
        """All of it over bare cloth, mm."""
        return max(0.0, self.shown.bare - self.grown_mm)

    def bare_beyond(self, limit_mm: float) -> float:
        """As `bare`, but 0 where it is not more than that: sooner told.

        Wide thread on thin strokes may seem to cover all of it. A point of it farther from the ink
        than that thread reaches shows that it does not.
        """
        if self.shown.bare <= limit_mm:
            return 0.0
        bare = self.bare
        if bare <= limit_mm:
            bare = self._beyond_thread_mm()
        return bare if bare > limit_mm else 0.0

    def _beyond_thread_mm(self) -> float:
        """From the thread of the column that it leaves to its farthest point, and on to the next.

        At least so much of it is over bare cloth.
        """
        points = self.legs[1:, 0]
        if not len(points):
            return 0.0
        away = np.full(len(points), np.inf)
        for letter in {end.letter for end in self.ends}:
            for part in letter.shape.ink:
                np.minimum(away, distances(part, points - letter.at_mm), out=away)
        far = float(away.max())
        return sum(max(0.0, far - end.growth_mm(self.settings)) for end in self.ends)

    @property
    def on_top(self) -> float:
        """All of it on top of columns sewn before, mm."""
        return self.shown.on_top


def arrivals(
    needles: NDArray[np.void], letters: Sequence[Letter], settings: Settings, over_mm: float
) -> Iterator[Arrival]:
    """Travel between columns that no trim parts, longer than ``over_mm``, in sewing order.

    Uses ``pull_mm`` and ``least_column_mm``.
    """
    ways = _ways(needles, letters, settings, over_mm)
    shown = _shown([way.question for way in ways], settings)
    for way, found in zip(ways, shown, strict=True):
        letter, column, *_ = way.ends[1]
        place = (letter.line, letter.index, column)
        yield Arrival(place, way.legs, found, way.ends, settings)


def too_far(
    needles: NDArray[np.void], letters: Sequence[Letter], settings: Settings
) -> list[tuple[int, int, int]]:
    """Columns (line, letter, column) reached by travel beyond ``join_mm`` or ``on_top_mm``."""
    join_mm, on_top_mm = settings.join_mm, settings.on_top_mm
    return [
        travel.place
        for travel in arrivals(needles, letters, settings, min(join_mm, on_top_mm))
        if travel.bare_beyond(join_mm + _SAME_MM) or travel.on_top > on_top_mm + _SAME_MM
    ]


# Places are taken to this many decimals of a mm, so that the same travel on the same letters is
# measured alike, and once, wherever they stand.
_DECIMALS = 10

_Placed = tuple[tuple[LetterShape, float, float], ...]
_Question = tuple[_Placed, bytes, tuple[bool, ...]]
"""Letters with their places, the legs of a travel, and which columns are still to be sewn."""


class _Way(NamedTuple):
    """Travel: its stitches, where it begins and ends, and what is asked of it."""

    legs: NDArray[np.float64]
    ends: tuple[_End, _End]
    question: _Question


def _ways(
    needles: NDArray[np.void], letters: Sequence[Letter], settings: Settings, over_mm: float
) -> list[_Way]:
    """From the last row of each column to the first row of the next that is no travel."""
    xy, starts = places_mm(needles), _starts(needles)
    begins, rows = _travelled(needles, starts, along(xy), over_mm)
    if not len(begins):
        return []
    by_place = {(letter.line, letter.index): letter for letter in letters}
    leaves, comes = _ends(needles, begins, by_place), _ends(needles, rows, by_place)
    which, row = spans(begins, rows)
    legs = xy[row[:, None] + (0, 1)]
    origins = np.array([letter.at_mm for letter, _, _ in leaves])
    told = (legs - origins[which, None]).round(_DECIMALS) + 0.0
    cuts = accumulate((rows - begins).tolist(), initial=0)
    first = dict(zip(_columns(needles, starts), starts.tolist(), strict=True))
    ways = []
    for left, come_to, before, (one, last) in zip(
        leaves, comes, begins.tolist(), pairwise(cuts), strict=True
    ):
        ends = _End(*left, legs[one]), _End(*come_to, legs[last - 1, ::-1])
        if last == one + 1 and _is_first_stitch(ends[1], settings):
            continue
        placed, unsewn = _beside(ends, first, before)
        ways.append(_Way(legs[one:last], ends, (placed, told[one:last].tobytes(), unsewn)))
    return ways


def _starts(needles: NDArray[np.void]) -> NDArray[np.intp]:
    """Rows with which a column begins."""
    new = np.ones(len(needles), dtype=bool)
    line, letter, column = (needles[name] for name in _COLUMN)
    new[1:] = column[1:] != column[:-1]
    new[1:] |= (letter[1:] != letter[:-1]) | (line[1:] != line[:-1])
    return new.nonzero()[0]


_COLUMN = ("line", "letter", "column")


def _columns(needles: NDArray[np.void], rows: NDArray[np.intp]) -> list[tuple[int, int, int]]:
    """Line, letter and column of some rows."""
    return list(zip(*[needles[name][rows].tolist() for name in _COLUMN], strict=True))


def _travelled(
    needles: NDArray[np.void],
    starts: NDArray[np.intp],
    where: NDArray[np.float64],
    over_mm: float,
) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Rows between which travel is longer than that, given how far along the thread all are."""
    settled = (needles["part"] != int(Part.TRAVEL)).nonzero()[0]
    begins = starts[1:][needles["arrive"][starts[1:]] == int(Arrive.SEW)] - 1
    rows = settled[settled.searchsorted(begins + 1)]
    far = where[rows] - where[begins] > over_mm
    return begins[far], rows[far]


def _ends(
    needles: NDArray[np.void],
    rows: NDArray[np.intp],
    by_place: Mapping[tuple[int, int], Letter],
) -> list[tuple[Letter, int, bool]]:
    """Letter and column of some rows, and whether each is a hole of zigzag."""
    zigzag = (needles["part"][rows] == int(Part.ZIGZAG)).tolist()
    return [
        (by_place[line, index], column, on_rail)
        for (line, index, column), on_rail in zip(_columns(needles, rows), zigzag, strict=True)
    ]


def _beside(
    ends: Sequence[_End], first: Mapping[tuple[int, int, int], int], before: int
) -> tuple[_Placed, tuple[bool, ...]]:
    """Letters of a travel with their places, and which of their columns begin after a row.

    Given the first row of each column.
    """
    here, there = (end.letter for end in ends)
    near = [here] if there is here else [here, there]
    placed = tuple([(letter.shape, *way_mm(here, letter)) for letter in near])
    unsewn = [
        first.get((letter.line, letter.index, number), -1) > before
        for letter in near
        for number in range(1, letter.shape.cover_lines.size + 1)
    ]
    return placed, tuple(unsewn)


def _is_first_stitch(end: _End, settings: Settings) -> bool:
    """Whether a stitch to this end is a column's own first, begun in its first hole."""
    if not end.on_rail:
        return False
    (x, y), (at_x, at_y) = end.stitch[1].tolist(), end.letter.at_mm
    stroke, growth, near = end.stroke, end.growth_mm(settings), settings.same_hole_mm
    for k in (0, -1):
        (left_x, left_y), (right_x, right_y) = stroke.left[k].tolist(), stroke.right[k].tolist()
        share = growth / max(math.hypot(left_x - right_x, left_y - right_y), 1e-9)
        out_x, out_y = share * (left_x - right_x), share * (left_y - right_y)
        holes = ((left_x + out_x, left_y + out_y), (right_x - out_x, right_y - out_y))
        if any(math.dist((x - at_x, y - at_y), hole) < near for hole in holes):
            return True
    return False


def _turned_inwards(column: Column, place: Points, step: Points) -> float:
    """How far a step, (2,), from a place on a rail turns across the column: 1; -1 for outwards."""
    step_x, step_y = step.tolist()
    off = column.centre - place
    x, y = off.T
    off_x, off_y = off[(x * x + y * y).argmin()].tolist()
    size = math.hypot(off_x, off_y) * math.hypot(step_x, step_y)
    return (off_x * step_x + off_y * step_y) / size if size > 0.0 else 0.0


# Covers overlap where columns meet: thread under several, and more than there is ink, is looked at
# again.
_TWICE_MM = 0.005


def _measured(asked: Sequence[_Question], settings: Settings) -> list[Shown]:
    """How much shows of each travel."""
    legs = [np.frombuffer(legs).reshape(-1, 2, 2) for _, legs, _ in asked]
    lines = [lines_beside(placed) for placed, _, _ in asked]
    cuts = [*accumulate([len(some) for some in legs], initial=0)]
    owns = [slice(*ends) for ends in pairwise(cuts)]
    total, inked = np.zeros((2, cuts[-1]))
    under, later = np.zeros((2, max(len(unsewn) for _, _, unsewn in asked), cuts[-1]))
    answers = lengths_inside_each(list(zip(legs, lines, strict=True)))
    for (_, _, unsewn), lengths, own in zip(asked, answers, owns, strict=True):
        total[own], inked[own] = lengths[:2]
        under[: len(unsewn), own] = lengths[2:]
        later[: len(unsewn), own] = np.array(unsewn)[:, None]
    np.minimum(inked, total, out=inked)
    over = under * later
    hidden = over.sum(axis=0)
    twice = (under.sum(axis=0) > inked + _TWICE_MM) & ((over > 0.0).sum(axis=0) > 1)
    again = [
        (segments[twice[own]], outlines, (False, *unsewn))
        for segments, outlines, (_, _, unsewn), own in zip(legs, lines, asked, owns, strict=True)
        if twice[own].any()
    ]
    if again:
        hidden[twice] = lengths_under_any(again)
    shown = np.stack([total - inked, inked - np.minimum(hidden, inked)])
    # Each has arrays of its own, as it is kept by itself.
    return [_told(shown[:, own].copy()) for own in owns]


def _told(shown: NDArray[np.float64]) -> Shown:
    """What is over bare cloth, and what is on top, (2, K)."""
    shown.flags.writeable = False
    return Shown(*shown, *shown.sum(axis=1).tolist())


_shown: Kept[_Question, Shown] = Kept(_measured, most=8192)
