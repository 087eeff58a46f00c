"""What it costs to travel from where one column is left to where the next is entered.

Travel goes straight, or around one corner on the centre line of a column, so that it can stay
on ink. What it costs is compared in this order: a trim, thread over bare cloth, thread over
columns already sewn, all thread. The four are packed into one whole number, so that a sum of
costs is a sum of numbers and equal ways are equal on every machine.
"""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.crossings import Outlines, lengths_inside_each
from pathgen.geometry import Points, between
from pathgen.model import Column

__all__ = [
    "NEVER",
    "Bridge",
    "Chosen",
    "Costs",
    "Places",
    "Travel",
    "corners_of",
    "run_costs",
    "travels",
]

Costs = NDArray[np.int64]

# A hundredth of a mm is the smallest difference that counts; one travel is at most 2^14 of
# them (164 mm, far over any jump), so 16 travels fit below the next more weighty field.
_PER_MM = 100.0
_MOST = (1 << 14) - 1
_BITS = 18

# Lengths that differ by less than this are the same.
_SAME_MM = 1e-9

NEVER = 1 << 60
"""More than any cost; the sum of two still fits in 64 bits."""

# Where on a column's centre line travel may turn, as shares of its length.
_CORNER_SHARES = np.array([0.15, 0.5, 0.85])
# Paths between all columns by all corners take memory that grows with the fourth power of the
# number of columns: 200 MB for these.
MOST_TURNING = 20
# Costs worked out at once: 16 MB.
_AT_ONCE = 2_000_000


class Travel:
    """Travel from R exits to E entries by P paths each: straight, or around a corner.

    Parameters
    ----------
    total_mm : (A, B, P) float
        Length of each path between the A different exits and the B different entries.
    inked_mm : (A, B, P) float
        How much of it is not over bare cloth.
    under_mm : (A, B, P, columns) float
        How much of it each column covers.
    join_mm : float
        Longest travel over bare cloth; beyond it the thread is cut.
    corners : (P, 2) float
        Where each path turns; NaN for the straight one.
    exit_of, entry_of : list of int, optional
        Which of the different exits each of the R is, and which of the entries each of the E;
        left out where all are different.
    """

    def __init__(
        self,
        total_mm: NDArray[np.float64],
        inked_mm: NDArray[np.float64],
        under_mm: NDArray[np.float64],
        join_mm: float,
        corners: Points,
        exit_of: Sequence[int] | None = None,
        entry_of: Sequence[int] | None = None,
    ) -> None:
        inked = np.minimum(inked_mm, total_mm)
        bare = total_mm - inked
        trims = bare > join_mm + _SAME_MM
        self._inked = np.where(trims, 0.0, inked)
        self._under = under_mm
        self._corners = corners
        self._exit_of = list(range(len(total_mm)) if exit_of is None else exit_of)
        self._entry_of = list(range(total_mm.shape[1]) if entry_of is None else entry_of)
        # Trim and bare cloth weigh the same whatever is sewn: packed once.
        bare[trims] = 0.0
        self._fixed = ((trims.astype(np.int64) << _BITS) + _whole(bare)) << _BITS
        self._total = _whole(total_mm)

    def costs(self, unsewn: NDArray[np.bool_]) -> Costs:
        """Cost of the cheapest path while the given columns are still to be sewn.

        Parameters
        ----------
        unsewn : (S, columns) bool
            Which columns will later cover what lies under them, in each of S situations.

        Returns
        -------
        (S, R, E) int64
        """
        step = max(1, _AT_ONCE // max(1, self._total.size))
        blocks = [
            self._paths(unsewn[i : i + step]).min(axis=-1) for i in range(0, len(unsewn), step)
        ]
        cheapest = blocks[0] if len(blocks) == 1 else np.concatenate(blocks)
        return cheapest.take(self._exit_of, axis=1).take(self._entry_of, axis=2)

    def onward(self, row: int, unsewn: NDArray[np.bool_]) -> Costs:
        """Cost of the cheapest path from one exit to each entry, (E,), as in `costs`."""
        paths = self._paths(unsewn[None], (self._exit_of[row],))[0]
        return paths.min(axis=-1).take(self._entry_of)

    def settled(self, unsewn: NDArray[np.bool_]) -> "Bridge":
        """Cheapest path of each pair while the given columns are still to be sewn."""
        costs = self._paths(unsewn[None])[0]
        best, cost = costs.argmin(axis=-1), costs.min(axis=-1)
        rows, entries = self._exit_of, self._entry_of
        path = best.take(rows, axis=0).take(entries, axis=1)
        return Bridge(cost.take(rows, axis=0).take(entries, axis=1), path, self._corners)

    def corner(self, row: int, entry: int, unsewn: NDArray[np.bool_]) -> "Chosen":
        """The way of one pair."""
        at = (self._exit_of[row], self._entry_of[entry])
        costs = self._paths(unsewn[None], at)[0]
        best = int(costs.argmin())
        return chosen(int(costs[best]), self._corners[best])

    def _paths(self, unsewn: NDArray[np.bool_], at: tuple[int, ...] | None = None) -> Costs:
        """Cost of every path between different places, (S, A, B, P).

        For one exit, (S, B, P); for one pair, (S, P).
        """
        where: tuple[int, ...] | slice = slice(None) if at is None else at
        inked, under = self._inked[where], self._under[where]
        flat = unsewn.astype(np.float64) @ under.reshape(-1, under.shape[-1]).T
        over = inked - np.minimum(flat.reshape(len(unsewn), *inked.shape), inked)
        return ((self._fixed[where] + _whole(over)) << _BITS) + self._total[where]


class Bridge(NamedTuple):
    """Travel between two letters.

    Attributes
    ----------
    cost : (R, E) int64
        Of the cheapest path from each exit of the one to each entry of the other.
    best : (R, E) int
        Which path that is.
    corners : (P, 2) float
        Where each path turns; NaN for the straight one.
    """

    cost: Costs
    best: NDArray[np.intp]
    corners: Points

    def path(self, row: int, entry: int) -> "Chosen":
        """The way of one pair."""
        return chosen(int(self.cost[row, entry]), self.corners[self.best[row, entry]])


class Chosen(NamedTuple):
    """A way from one column to the next.

    Attributes
    ----------
    cut : bool
        Whether the thread is cut.
    corner : (1, 2) or (0, 2) float
        Where the way turns.
    bare_mm : float
        How much of it is over bare cloth.
    """

    cut: bool
    corner: Points
    bare_mm: float


def chosen(cost: int, corner: Points) -> Chosen:
    """What a cost means, and where the way turns, (2,), NaN for nowhere."""
    cut = cost >= 1 << 3 * _BITS
    bare = (cost >> 2 * _BITS & _MOST) / _PER_MM
    return Chosen(cut, corner[None][[] if cut or np.isnan(corner[0]) else [0]], bare)


def _whole(length_mm: NDArray[np.float64]) -> Costs:
    """Whole hundredths of a mm."""
    return np.minimum(np.rint(_PER_MM * length_mm), _MOST).astype(np.int64)


def run_costs(lengths_mm: NDArray[np.float64]) -> Costs:
    """Cost of thread that stays out of sight, for each of the given lengths."""
    return _whole(lengths_mm)


def corners_of(columns: Sequence[Column]) -> Points:
    """Where travel may turn: a few points on the centre line of each column.

    Nowhere for more than `MOST_TURNING` columns: travel goes straight there.
    """
    turns = [np.zeros((0, 2))]
    if len(columns) > MOST_TURNING:
        return turns[0]
    for column in columns:
        stops = _CORNER_SHARES * column.where[-1]
        turns.append(between(column.centre, column.where, stops))
    return np.concatenate(turns)


class Places(NamedTuple):
    """Between what to travel, and over what.

    Attributes
    ----------
    exits, entries : (R, 2), (E, 2) float
        Where travel begins and ends.
    exit_growth_mm, entry_growth_mm : (R,), (E,) float
        How far outside the ink each lies: so much of a travel is under the letters' own thread.
    corners : (C, 2) float
        Where it may turn.
    lines : Outlines
        First the ink, where travel is not over bare cloth, then what each column covers once it
        is sewn.
    inks : int
        How many of the lines' shapes are ink.
    """

    exits: Points
    entries: Points
    exit_growth_mm: NDArray[np.float64]
    entry_growth_mm: NDArray[np.float64]
    corners: Points
    lines: Outlines
    inks: int


def travels(asked: Sequence[Places], join_mm: float) -> list[Travel]:
    """Travel from every exit to every entry, for each of the asked places."""
    different = [
        (
            _distinct(np.column_stack([places.exits, places.exit_growth_mm])),
            _distinct(np.column_stack([places.entries, places.entry_growth_mm])),
        )
        for places in asked
    ]
    legs = [
        (_legs(starts[:, :2], places.corners, ends[:, :2]), places.lines)
        for places, ((starts, _), (ends, _)) in zip(asked, different, strict=True)
    ]
    measured = lengths_inside_each(legs)
    return [
        _travel(places, exits, entries, lengths, join_mm)
        for places, (exits, entries), lengths in zip(asked, different, measured, strict=True)
    ]


def _travel(
    places: Places,
    exits: tuple[Points, list[int]],
    entries: tuple[Points, list[int]],
    lengths: NDArray[np.float64],
    join_mm: float,
) -> Travel:
    """Travel from the lengths of its legs: whole, inside each part of the ink, each cover."""
    (starts, exit_of), (ends, entry_of) = exits, entries
    a, b, c = len(starts), len(ends), len(places.corners)
    inks, covers = places.inks, lengths.shape[1] - 1 - places.inks
    # Whole length, length over ink, length under each cover.
    legs = np.empty((len(lengths), 2 + covers))
    legs[:, 0], legs[:, 2:] = lengths[:, 0], lengths[:, 1 + inks :]
    np.sum(lengths[:, 1 : 1 + inks], axis=1, out=legs[:, 1])
    paths = np.empty((a, b, 1 + c, 2 + covers))
    paths[:, :, 0] = legs[: a * b].reshape(a, b, 2 + covers)
    out = legs[a * b : a * (b + c)].reshape(a, 1, c, 2 + covers)
    back = legs[a * (b + c) :].reshape(c, b, 2 + covers)
    np.add(out, back.swapaxes(0, 1), out=paths[:, :, 1:])
    growth = starts[:, None, 2] + ends[None, :, 2]
    inked = paths[..., 1] + growth[..., None]
    turns = np.concatenate([_STRAIGHT, places.corners])
    return Travel(paths[..., 0], inked, paths[..., 2:], join_mm, turns, exit_of, entry_of)


_STRAIGHT = np.full((1, 2), np.nan)


def _distinct(places: NDArray[np.float64]) -> tuple[NDArray[np.float64], list[int]]:
    """Rows each once, and where each of the given ones is among them."""
    place: dict[tuple[float, ...], int] = {}
    where = [place.setdefault(tuple(row), len(place)) for row in places.tolist()]
    return np.array(list(place)), where


def _legs(starts: Points, corners: Points, ends: Points) -> NDArray[np.float64]:
    """Segments from starts to ends, from starts to corners, from corners to ends."""
    pairs = ((starts, ends), (starts, corners), (corners, ends))
    legs = np.empty((sum(len(a) * len(b) for a, b in pairs), 2, 2))
    done = 0
    for a, b in pairs:
        grid = legs[done : done + len(a) * len(b)].reshape(len(a), len(b), 2, 2)
        grid[:, :, 0], grid[:, :, 1] = a[:, None], b
        done += len(a) * len(b)
    return legs
