"""The ways in which one column can be sewn.

A column is entered at one of its ends and left at the same or the other one. Zigzag alone goes
across; a centre run underneath goes there and the zigzag comes back. Where the sewing order
gains by it, a run that is otherwise not needed makes the other two ways possible: under a bare
zigzag one run brings the needle to the far end first, and over a centre run a second one brings
it back. A ring may be entered at several places around it.
"""

from typing import NamedTuple

import numpy as np

from pathgen.geometry import Points, length
from pathgen.model import Column, LetterShape
from pathgen.needles import Side
from pathgen.settings import Settings
from pathgen.stitching.easing import least_apart_mm, stepped_back
from pathgen.stitching.ties import IN_FROM_END_MM, OFF_FROM_END_MM, tie
from pathgen.stitching.underlay import centre_run, underlay
from pathgen.stitching.zigzag import Stitches, zigzag

__all__ = ["Stroke", "Way", "strokes_of"]

# Places around a ring at which it may be entered.
RING_DOORS = 8


class Way(NamedTuple):
    """One way to sew a column.

    Attributes
    ----------
    travel : (N, 2) float
        Run under the cover that only brings the needle to the far end; empty for none.
    underlay : (N, 2) float
        Centre run in sewing order; empty for none.
    zigzag : Stitches
        In sewing order.
    enters_at_last, leaves_at_last : bool
        Whether that happens at the last rung, rather than at the first.
    """

    travel: Points
    underlay: Points
    zigzag: Stitches
    enters_at_last: bool
    leaves_at_last: bool

    @property
    def entry(self) -> Points:
        """First penetration, ties aside, (2,)."""
        for points in (self.travel, self.underlay):
            if len(points):
                return points[0]
        return self.zigzag.xy_mm[0]

    @property
    def exit(self) -> Points:
        """Last penetration, ties aside, (2,)."""
        return self.zigzag.xy_mm[-1]

    @property
    def extra_mm(self) -> float:
        """Thread in the run that only the sewing order needs."""
        return length(self.travel)


class Stroke(NamedTuple):
    """One column with the ways to sew it.

    Attributes
    ----------
    column : Column
        Rails in mm; a ring starts at its first rung.
    number : int
        Of the column in its letter, from 1.
    ways : tuple of Way
        At least one.
    """

    column: Column
    number: int
    ways: tuple[Way, ...]

    def tie_in(self, way: Way) -> Points:
        """Three penetrations that fasten the thread where the column is entered."""
        return self._tie(way, IN_FROM_END_MM, way.enters_at_last)

    def tie_off(self, way: Way) -> Points:
        """Three penetrations that fasten the thread where the column is left."""
        return self._tie(way, OFF_FROM_END_MM, way.leaves_at_last)

    def _tie(self, way: Way, from_end_mm: float, at_last: bool) -> Points:
        column = _from_door(self.column, way.exit) if self.column.closed else self.column
        return tie(column, from_end_mm, at_last=at_last)


def strokes_of(shape: LetterShape, settings: Settings) -> tuple[Stroke, ...]:
    """Columns of a letter with their needle points, in the splitter's order."""
    return tuple(
        Stroke(column, number, _ways(column, settings))
        for number, column in enumerate(shape.columns, 1)
    )


_NONE = np.zeros((0, 2))


def _ways(column: Column, settings: Settings) -> tuple[Way, ...]:
    """All ways to sew a column."""
    across, under = zigzag(column, settings), underlay(column, settings)
    if column.closed:
        return _ring_ways(across, under.from_first, settings)
    laid = settings.underlay == "centre-run"
    run = under.from_first if laid else centre_run(column, settings)
    back, nur = across.backwards(), run[::-1]
    first, last = under.from_first, under.from_last
    # Underlay and zigzag each lead to the other end; an underlay that returns, or none, leads
    # nowhere, so that the needle is at the far end when the zigzag is done.
    if under.returns or not len(first):
        plain = [Way(_NONE, first, across, False, True), Way(_NONE, last, back, True, False)]
        more = [Way(run, last, back, False, False), Way(nur, first, across, True, True)]
    else:
        plain = [Way(_NONE, first, back, False, False), Way(_NONE, last, across, True, True)]
        more = [Way(run, last, across, False, True), Way(nur, first, back, True, False)]
    return tuple([*plain, *more] if len(run) else plain)


def _ring_ways(across: Stitches, under: Points, settings: Settings) -> tuple[Way, ...]:
    """Once around from each of several doors.

    The zigzag's holes stay what they are; only where the round begins moves on, and the last
    point closes it a step back from the first.
    """
    holes, sides = across.xy_mm[:-1], across.side[:-1]
    on_left = np.flatnonzero(sides == Side.LEFT)
    doors = on_left[np.arange(RING_DOORS) * len(on_left) // RING_DOORS]
    ways = []
    for door in dict.fromkeys(doors.tolist()):
        round_ = np.concatenate([holes[door:], holes[:door]])
        close = stepped_back(round_[0], round_[1] - round_[0], round_, least_apart_mm(settings))
        points = np.concatenate([round_, close[None]])
        side = np.concatenate([sides[door:], sides[:door], sides[door : door + 1]])
        run = _rolled(under, points[0])
        ways.append(Way(_NONE, run, Stitches(points, side), False, False))
    return tuple(ways)


def _rolled(ring: Points, start: Points) -> Points:
    """Closed run begun at its point nearest to ``start``, and ended there."""
    return _begun_at(ring, _nearest(ring, start)) if len(ring) > 1 else ring


def _from_door(column: Column, door: Points) -> Column:
    """Closed column begun at the rung nearest to a door."""
    first = _nearest(column.left, door)
    return Column(
        left=_begun_at(column.left, first), right=_begun_at(column.right, first), closed=True
    )


def _nearest(ring: Points, place: Points) -> int:
    """Index of the point of a closed ring that is nearest to a place."""
    return int(np.hypot(*(ring[:-1] - place).T).argmin())


def _begun_at(ring: Points, first: int) -> Points:
    """Closed ring, its last point the first again, begun at another of its points."""
    turned = np.roll(ring[:-1], -first, axis=0)
    return np.concatenate([turned, turned[:1]])
