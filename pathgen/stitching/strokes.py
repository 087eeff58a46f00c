"""The ways in which one column can be sewn.

A column is entered at one of its ends and left at the same or the other one. Zigzag alone goes
across; a centre run underneath goes there and the zigzag comes back. Where the sewing order
gains by it, a run that is otherwise not needed makes the other two ways possible: under a bare
zigzag one run brings the needle to the far end first, and over a centre run a second one brings
it back. A ring may be entered at several places around it.
"""

from collections.abc import Callable
from functools import cached_property, partial
from typing import NamedTuple

import numpy as np

from pathgen.geometry import Points
from pathgen.model import Column, LetterShape
from pathgen.needles import Side
from pathgen.settings import Settings
from pathgen.stitching.ties import IN_FROM_END_MM, OFF_FROM_END_MM, tie
from pathgen.stitching.underlay import RunEnds, centre_run, run_ends, underlay
from pathgen.stitching.zigzag import Stitches, closing, ring_holes, round_from, zigzag

__all__ = ["Sewn", "Stroke", "Way", "strokes_of"]

# Places around a ring at which it may be entered.
RING_DOORS = 8


class Sewn(NamedTuple):
    """Penetrations of one column, ties aside, in sewing order.

    Attributes
    ----------
    travel : (N, 2) float
        Run under the cover that only brings the needle to the far end; empty for none.
    underlay : (N, 2) float
        Underlay; empty for none.
    zigzag : Stitches
        The cover.
    """

    travel: Points
    underlay: Points
    zigzag: Stitches


class Way:
    """One way to sew a column.

    Parameters
    ----------
    entry, exit : (2,) float
        First and last penetration, ties aside.
    on_rail : bool
        Whether the entry lies on a rail, rather than under the cover.
    extra_mm : float
        Thread in the run that only the sewing order needs.
    enters_at_last, leaves_at_last : bool
        Whether that happens at the last rung, rather than at the first.
    sew : callable
        Makes the penetrations: only the ways that are taken need them.
    """

    def __init__(
        self,
        entry: Points,
        exit: Points,
        *,
        on_rail: bool,
        sew: Callable[[], Sewn],
        extra_mm: float = 0.0,
        enters_at_last: bool = False,
        leaves_at_last: bool = False,
    ) -> None:
        self.entry, self.exit, self.on_rail, self._sew = entry, exit, on_rail, sew
        self.extra_mm = extra_mm
        self.enters_at_last, self.leaves_at_last = enters_at_last, leaves_at_last

    @cached_property
    def sewn(self) -> Sewn:
        """Its penetrations."""
        return self._sew()


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
    return _ring_ways(column, settings) if column.closed else _open_ways(column, settings)


class _Open(NamedTuple):
    """A column with two ends, and what its ways have in common.

    Attributes
    ----------
    across : Stitches
        Zigzag from the first rung to the last.
    run : RunEnds or None
        Where a centre run would begin and end.
    laid : tuple of two (2,) float, or None
        Where the underlay begins if begun at the first rung, and if at the last.
    leads : bool
        Whether the underlay leads to the other end, rather than back.
    """

    column: Column
    settings: Settings
    across: Stitches
    run: RunEnds | None
    laid: tuple[Points, Points] | None
    leads: bool

    def way(self, enters_at_last: bool, detour: bool) -> Way:
        """Way that begins at one end, with or without a run to the other end first."""
        laid_at_last = enters_at_last ^ detour
        zigzag_at_last = laid_at_last ^ self.leads
        begin = self.across.xy_mm[-1 if zigzag_at_last else 0]
        on_rail, extra = True, 0.0
        if detour and self.run is not None:
            begin, on_rail, extra = self.run.at(enters_at_last), False, self.run.length_mm
        elif self.laid is not None:
            begin, on_rail = self.laid[laid_at_last], False
        return Way(
            begin,
            self.across.xy_mm[0 if zigzag_at_last else -1],
            on_rail=on_rail,
            extra_mm=extra,
            enters_at_last=enters_at_last,
            leaves_at_last=not zigzag_at_last,
            sew=partial(self._sewn, enters_at_last, detour),
        )

    def _sewn(self, enters_at_last: bool, detour: bool) -> Sewn:
        laid_at_last = enters_at_last ^ detour
        run = centre_run(self.column, self.settings) if detour else _NONE
        under = underlay(self.column, self.settings)
        back = laid_at_last ^ self.leads
        return Sewn(
            run[::-1] if enters_at_last else run,
            under.from_last if laid_at_last else under.from_first,
            self.across.backwards() if back else self.across,
        )


def _open_ways(column: Column, settings: Settings) -> tuple[Way, ...]:
    """From each end, and, where a run under the cover fits, with a detour to the other first."""
    run = run_ends(column, settings)
    laid, leads = None if run is None else (run.first, run.last), run is not None
    if settings.underlay != "centre-run":
        under = underlay(column, settings)
        there = len(under.from_first) > 0
        laid = (under.from_first[0], under.from_last[0]) if there else None
        leads = there and not under.returns
    open_ = _Open(column, settings, zigzag(column, settings), run, laid, leads)
    detours = (False,) if run is None else (False, True)
    return tuple(open_.way(at_last, detour) for detour in detours for at_last in (False, True))


def _ring_ways(column: Column, settings: Settings) -> tuple[Way, ...]:
    """Once around from each of several doors.

    The zigzag's holes stay what they are; only where the round begins moves on, and the last
    point closes it a step back from the first.
    """
    holes = ring_holes(column, settings)
    under = underlay(column, settings).from_first
    on_left = np.flatnonzero(holes.side == Side.LEFT)
    doors = on_left[np.arange(RING_DOORS) * len(on_left) // RING_DOORS]
    ways = []
    for door in dict.fromkeys(doors.tolist()):
        begin = under[_nearest(under, holes.xy_mm[door])] if len(under) > 1 else holes.xy_mm[door]
        close = closing(holes, door, settings)
        exit_ = holes.xy_mm[door - 1] if close is None else close
        sew = partial(_round, holes, under, door, settings)
        ways.append(Way(begin, exit_, on_rail=len(under) < 2, sew=sew))
    return tuple(ways)


def _round(holes: Stitches, under: Points, door: int, settings: Settings) -> Sewn:
    """Penetrations of a ring from one of its doors."""
    return Sewn(_NONE, _rolled(under, holes.xy_mm[door]), round_from(holes, door, settings))


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
