"""The ways to sew a ring.

A ring may be entered at several doors around it. From there it is sewn once around, or the needle
first runs on under what the zigzag covers afterwards, by the shorter way, to another door, so
that it leaves where the next column is near.
"""

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from pathgen.column import CentreLine
from pathgen.geometry import Points, along, length, middle, place_of, places_of
from pathgen.model import Column
from pathgen.needles import Part, Side
from pathgen.settings import Settings
from pathgen.stitching.strokes import LetterHoles, Piece, Stroke
from pathgen.stitching.ties import IN_FROM_END_MM, OFF_FROM_END_MM, Ties, ties
from pathgen.stitching.underlay import Underlay, run_between
from pathgen.stitching.zigzag import Stitches, closing, round_from

__all__ = ["RING_DOORS", "RingStroke"]

# Places around a ring at which it may be entered and left.
RING_DOORS = 8


class RingStroke(Stroke):
    """Closed column.

    Its entries are the doors, first on the rail or where the underlay begins, then all again
    under the cover; its exits are the doors. The zigzag's holes stay what they are; only where
    the round begins moves on, and the last point closes it a step back from the first. In a ring
    too small for that the round ends in the door, and begins with the hole after it.
    """

    def __init__(
        self,
        column: Column,
        number: int,
        around: Stitches,
        letter: LetterHoles,
        under: Underlay,
        settings: Settings,
    ) -> None:
        self.column, self.number, self._settings = column, number, settings
        holes = self._holes = around
        self.holes = holes.xy_mm
        self._under = under.from_first
        # Doors open outwards: from the inner rail travel would go across the ring.
        outer = Side.LEFT if length(column.left) > length(column.right) else Side.RIGHT
        outside = (holes.side == int(outer)).nonzero()[0].tolist()
        # In the tightest ring none has been left room there.
        outside = outside or list(range(len(holes.side)))
        doors = [outside[k * len(outside) // RING_DOORS] for k in range(RING_DOORS)]
        self._doors = doors = list(dict.fromkeys(doors))
        places = self.holes[doors]
        away = np.hypot(*(column.centre[:-1, None] - places).transpose(2, 0, 1))
        self._rungs = away.argmin(axis=0).tolist()
        keep = letter.apart_mm(number)
        self._closes = closing(holes, doors, letter.xy_mm, keep)
        laid = len(self._under) > 1
        if laid:
            begins = self._under[[_nearest(self._under, place) for place in places]]
        else:
            begun = [door + (end is None) for door, end in zip(doors, self._closes, strict=True)]
            begins = self.holes.take(begun, axis=0, mode="wrap")
        self.entries = [*places_of(begins), *places_of(column.centre[self._rungs])]
        self.on_rail = [not laid] * len(doors) + [False] * len(doors)
        self.exits = [
            place_of(place if close is None else close)
            for place, close in zip(places, self._closes, strict=True)
        ]
        self.extra_mm = _arcs(column.where[self._rungs].tolist(), float(column.where[-1]))

    def sewn(self, entry: int, exit: int) -> tuple[Piece, ...]:
        """Penetrations from one entry to one exit."""
        door = self._doors[exit]
        pieces = []
        if entry >= len(self._doors):
            pieces.append(Piece(Part.TRAVEL, self._arc(entry - len(self._doors), exit)))
        if len(self._under) > 1:
            first = _nearest(self._under, self._holes.xy_mm[door])
            pieces.append(Piece(Part.UNDERLAY, _begun_at(self._under, first)))
        return (
            *pieces,
            Piece(Part.ZIGZAG, *round_from(self._holes, door, self._closes[exit])),
        )

    def _arc(self, entry: int, exit: int) -> Points:
        """Run under the ring from one door to another, by the shorter way."""
        first = self._rungs[entry]
        ring = _begun(self.column, first)
        on = float(self.column.where[self._rungs[exit]] - self.column.where[first])
        total = float(ring.where[-1])
        ahead = on % total
        return run_between(ring, 0.0 if ahead <= total / 2.0 else total, ahead, self._settings)

    def ties_in(self, entry: int) -> Ties:
        """Beside the door that is entered."""
        at = self._rungs[entry % len(self._doors)]
        return ties(_begun(self.column, at), IN_FROM_END_MM, at_last=False)

    def ties_off(self, exit: int) -> Ties:
        """Beside the door that is left."""
        at = self._rungs[exit]
        return ties(_begun(self.column, at), OFF_FROM_END_MM, at_last=False)


def _arcs(where_mm: Sequence[float], total_mm: float) -> list[list[float]]:
    """Run that each way takes, (2 D, D): none from a door to itself, else the shorter way."""
    none = [[math.inf] * len(where_mm) for _ in where_mm]
    arcs = [
        [min(abs(there - here), total_mm - abs(there - here)) for there in where_mm]
        for here in where_mm
    ]
    for door, _ in enumerate(where_mm):
        none[door][door], arcs[door][door] = 0.0, math.inf
    return [*none, *arcs]


def _nearest(ring: Points, place: Points) -> int:
    """Index of the point of a closed ring that is nearest to a place."""
    return int(np.hypot(*(ring[:-1] - place).T).argmin())


def _begun(column: Column, first: int) -> CentreLine:
    """Centre line of a closed column begun at another of its rungs."""
    centre, widths = (_begun_at(each, first) for each in (column.centre, column.widths))
    return CentreLine(centre, along(centre), middle(widths))


def _begun_at(ring: NDArray[np.float64], first: int) -> NDArray[np.float64]:
    """Closed ring, its last point the first again, begun at another of its points."""
    return np.concatenate([ring[first:-1], ring[: first + 1]])
