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

from pathgen.geometry import Place, place_of
from pathgen.model import Column
from pathgen.needles import Part, Side
from pathgen.settings import Settings
from pathgen.stitching.easing import stepped_back
from pathgen.stitching.strokes import LetterHoles, Piece, Stroke
from pathgen.stitching.ties import IN_FROM_END_MM, OFF_FROM_END_MM, Ties, tie_from, ties
from pathgen.stitching.underlay import RunEnds, Underlay, run_between
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
    at : tuple of float
        Place there.
    towards : tuple of float
        Place on the other column.
    """

    where_mm: float
    at: Place
    towards: Place


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
        across: Stitches,
        letter: LetterHoles,
        doors: Sequence[Door],
        run: RunEnds | None,
        under: Underlay,
        settings: Settings,
    ) -> None:
        self.column, self.number, self._settings = column, number, settings
        self._across, self._letter, self._under = across, letter, under
        self.holes = holes = across.xy_mm
        self._ends_mm = (0.0, 0.0) if run is None else run.where_mm
        inner = () if run is None else tuple([door for door in doors if self._splits(door)])
        self._doors = tuple([door.where_mm for door in inner])
        self._holes = tuple([self._hole(door) for door in inner])
        self.exits = tuple([place_of(holes[k]) for k in (0, -1, *self._holes)])
        laid = len(under.from_first) > 0
        self._leads = laid and not under.returns
        self.entries = self.exits[:2]
        if laid:
            self.entries = place_of(under.from_first[0]), place_of(under.from_last[0])
        self.on_rail = (not laid, not laid)
        self._begun_here = self.extra_mm = self._runs()
        if run is not None:
            whole = run.where_mm[1] - run.where_mm[0]
            there = tuple([tuple([whole + mm for mm in on]) for on in self._begun_here[::-1]])
            if settings.underlay == "centre-run":  # it begins where a run would
                ways = zip(self._begun_here, there, strict=True)
                self.extra_mm = tuple([tuple(map(min, *both)) for both in ways])
            else:
                self.entries += (run.first, run.last)
                self.on_rail += (False, False)
                self.extra_mm += there

    def _splits(self, door: Door) -> bool:
        """Whether the column can be sewn in two parts that meet at the door."""
        first, last = self._ends_mm
        least = self._settings.least_stitch_mm
        if not first + least < door.where_mm < last - least:
            return False
        return len(self.holes) >= 2 * _LEAST_HOLES + 1

    def _hole(self, door: Door) -> int:
        """Hole at which a column is left at a door: nearest to it, on the door's side."""
        (x, y), (to_x, to_y) = door.at, door.towards
        ahead_x, ahead_y = to_x - x, to_y - y
        far = math.hypot(ahead_x, ahead_y)
        share = min(1.0, self.column.usual_width / 2.0 / far) if far > 0.0 else 0.0
        off_x, off_y = (
            self.holes[:, 0] - (x + share * ahead_x),
            self.holes[:, 1] - (y + share * ahead_y),
        )
        away = np.hypot(off_x, off_y)
        away[self._across.side == int(Side.CENTRE)] = np.inf
        away[:_LEAST_HOLES] = away[-_LEAST_HOLES:] = np.inf
        return int(away.argmin())

    def _runs(self) -> tuple[tuple[float, ...], ...]:
        """What run it takes to each exit for a way that begins its zigzag at either end."""
        first, last = self._ends_mm
        on = (
            (math.inf, 0.0, *[last - door for door in self._doors]),
            (0.0, math.inf, *[door - first for door in self._doors]),
        )
        # An underlay that leads to the other end turns the zigzag round.
        return on[::-1] if self._leads else on

    def _begins(self, entry: int, exit: int) -> int:
        """End at which the zigzag of a way begins."""
        if entry >= 2:
            return 3 - entry
        here = self._begun_here[entry][exit] == self.extra_mm[entry][exit]
        return entry if here else 1 - entry

    def sewn(self, entry: int, exit: int) -> tuple[Piece, ...]:
        """Penetrations from one entry to one exit."""
        start = self._begins(entry, exit)
        pieces = []
        if start != entry:
            pieces.append(self._run(self._ends_mm[entry % 2], self._ends_mm[start]))
        laid = self._under.from_last if start else self._under.from_first
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
        begin = points[here]
        keep = self._letter.apart_mm(self.number)
        close = stepped_back(begin, points[here - 1] - begin, self._letter.xy_mm, keep)
        if close is not None:
            seam = np.concatenate([seam, close[None]])
            seam_side = side[: here + 1]
        return (
            *pieces,
            Piece(Part.ZIGZAG, seam, seam_side),
            self._run(self._doors[exit - 2], self._ends_mm[not at_last]),
            Piece(Part.ZIGZAG, points[here:][::-1], side[here:][::-1]),
        )

    def _run(self, from_mm: float, to_mm: float) -> Piece:
        return Piece(Part.TRAVEL, run_between(self.column, from_mm, to_mm, self._settings))

    def ties_in(self, entry: int) -> Ties:
        """Beside the end that is entered."""
        return ties(self.column, IN_FROM_END_MM, at_last=entry % 2 == 1)

    def ties_off(self, exit: int) -> Ties:
        """Beside the end that is left, or on either side of the door."""
        if exit >= 2:
            where = self._doors[exit - 2]
            return np.array([tie_from(self.column, where, ahead) for ahead in (-1.0, 1.0)])
        return ties(self.column, OFF_FROM_END_MM, at_last=exit == 1)
