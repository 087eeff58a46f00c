"""The ways to sew a column with two ends.

Zigzag alone goes across, from either end. A run underneath lets it begin elsewhere: a run to the
far end first, and the zigzag comes back. Where another column meets this one there is a door, by
which the needle may leave: the column is sewn from one end as far as the door; a run under what
is still bare leads on to the other end, and the zigzag comes back from there. The holes of the
zigzag are the same in any way.
"""

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points, between
from pathgen.model import Column
from pathgen.needles import Part, Side
from pathgen.settings import Settings
from pathgen.stitching.easing import least_apart_mm, stepped_back
from pathgen.stitching.strokes import Piece, Stroke, holes_beside
from pathgen.stitching.ties import IN_FROM_END_MM, OFF_FROM_END_MM, tie_from, ties
from pathgen.stitching.underlay import RunEnds, Underlay, run_between, underlay
from pathgen.stitching.zigzag import Stitches

__all__ = ["Door", "OpenStroke"]

# Holes that each part of a column sewn in two keeps at least.
_LEAST_HOLES = 3


class Door(NamedTuple):
    """Where another column meets this one.

    Attributes
    ----------
    where_mm : float
        Along this column's centre line.
    towards : tuple of float
        Place on the other column.
    """

    where_mm: float
    towards: tuple[float, float]


class OpenStroke(Stroke):
    """Column with two ends.

    Its entries are the first and the last rung, or where the underlay begins there, and, where
    a run fits and is no underlay, both ends of it; its exits are the first rung, the last, and
    the doors.
    """

    def __init__(
        self,
        column: Column,
        number: int,
        sewn: Sequence[Stitches],
        doors: Sequence[Door],
        run: RunEnds | None,
        settings: Settings,
    ) -> None:
        self.column, self.number, self._settings = column, number, settings
        self._across, self._sewn = sewn[number - 1], sewn
        self.holes = holes = self._across.xy_mm
        self._ends_mm = (0.0, 0.0) if run is None else run.where_mm
        inner = [] if run is None else [d for d in doors if self._splits(d)]
        self._doors = [door.where_mm for door in inner]
        self._holes = [self._hole(door) for door in inner]
        laid, self._leads = self._laid(run)
        places = [holes[0], holes[-1]] if laid is None else list(laid)
        # An underlay along the centre line begins where a run would.
        self._run_first = len(places)
        if run is not None and settings.underlay == "centre-run":
            self._run_first = 0
        elif run is not None:
            places += [run.first, run.last]
        self.entries = np.array(places)
        self.on_rail = np.arange(len(places)) < (2 if laid is None else 0)
        self.exits = holes[[0, -1, *self._holes]]
        self._start, self.extra_mm = self._weighed()

    def _laid(self, run: RunEnds | None) -> tuple[tuple[Points, Points] | None, bool]:
        """Where the underlay is begun at either end, and whether it leads to the other one."""
        settings = self._settings
        if settings.underlay == "none":
            return None, False
        if settings.underlay == "centre-run":
            return (None, False) if run is None else ((run.first, run.last), True)
        under = self._under()
        if not len(under.from_first):
            return None, False
        return (under.from_first[0], under.from_last[0]), not under.returns

    def _under(self) -> Underlay:
        return underlay(self.column, self._settings)

    def _centre(self, stops_mm: NDArray[np.float64]) -> Points:
        return between(self.column.centre, self.column.where, stops_mm)

    def _splits(self, door: Door) -> bool:
        """Whether the column can be sewn in two parts that meet at the door."""
        first, last = self._ends_mm
        least = self._settings.least_stitch_mm
        if not first + least < door.where_mm < last - least:
            return False
        return len(self._across.xy_mm) >= 2 * _LEAST_HOLES + 1

    def _hole(self, door: Door) -> int:
        """Hole at which a column is left at a door: nearest to it, on the door's side."""
        ((x, y),) = self._centre(np.array([door.where_mm])).tolist()
        ahead_x, ahead_y = door.towards[0] - x, door.towards[1] - y
        far = math.hypot(ahead_x, ahead_y)
        share = min(1.0, self.column.usual_width / 2.0 / far) if far > 0.0 else 0.0
        off = self._across.xy_mm - (x + share * ahead_x, y + share * ahead_y)
        away = np.hypot(off[:, 0], off[:, 1])
        away[self._across.side == int(Side.CENTRE)] = np.inf
        away[:_LEAST_HOLES] = away[-_LEAST_HOLES:] = np.inf
        return int(away.argmin())

    def _weighed(self) -> tuple[NDArray[np.intp], NDArray[np.float64]]:
        """For each entry and exit, the end at which the way begins, and the runs that it takes."""
        first, last = self._ends_mm
        here = [[math.inf] * len(self.entries) for _ in (0, 1)]
        for end in (0, 1):
            if self._run_first + end < len(self.entries):
                here[1 - end][self._run_first + end] = last - first
            here[end][end] = 0.0
        on = [
            [math.inf, 0.0, *(last - door for door in self._doors)],
            [0.0, math.inf, *(door - first for door in self._doors)],
        ]
        # An underlay that leads to the other end turns the zigzag round.
        if self._leads:
            on.reverse()
        ways = np.array(here)[:, :, None] + np.array(on)[:, None]
        return ways.argmin(axis=0), ways.min(axis=0)

    def sewn(self, entry: int, exit: int) -> tuple[Piece, ...]:
        """Penetrations from one entry to one exit."""
        start = int(self._start[entry, exit])
        pieces = []
        if start != entry:
            pieces.append(self._run(self._ends_mm[entry % 2], self._ends_mm[start]))
        under = self._under()
        laid = under.from_last if start else under.from_first
        if len(laid):
            pieces.append(Piece(Part.UNDERLAY, laid))
        at_last = bool(start) ^ self._leads
        points, side = self._across.backwards() if at_last else self._across
        if exit < 2:
            return (*pieces, Piece(Part.ZIGZAG, points, side))
        hole = self._holes[exit - 2]
        here = len(points) - 1 - hole if at_last else hole
        seam, seam_side = points[:here], side[:here]
        # The thread that would lead on into the door's hole ends just beside it.
        begin = points[here : here + 1]
        beside = holes_beside(self._sewn, self.number)
        keep = [(points, least_apart_mm(self._settings)), (beside, self._settings.close_mm)]
        (close,) = stepped_back(begin, points[here - 1] - begin, keep)
        if close is not None:
            seam = np.concatenate([seam, close[None]])
            seam_side = np.append(seam_side, side[here])
        return (
            *pieces,
            Piece(Part.ZIGZAG, seam, seam_side),
            self._run(self._doors[exit - 2], self._ends_mm[not at_last]),
            Piece(Part.ZIGZAG, points[here:][::-1], side[here:][::-1]),
        )

    def _run(self, from_mm: float, to_mm: float) -> Piece:
        return Piece(Part.TRAVEL, run_between(self.column, from_mm, to_mm, self._settings))

    def ties_in(self, entry: int) -> Sequence[Points]:
        """Beside the end that is entered."""
        return ties(self.column, IN_FROM_END_MM, at_last=entry % 2 == 1)

    def ties_off(self, exit: int) -> Sequence[Points]:
        """Beside the end that is left, or on either side of the door."""
        if exit >= 2:
            where = self._doors[exit - 2]
            return [tie_from(self.column, where, ahead) for ahead in (-1.0, 1.0)]
        return ties(self.column, OFF_FROM_END_MM, at_last=exit == 1)
