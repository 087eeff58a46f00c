"""What it costs to travel from where one column is left to where the next is entered.

Travel goes straight, or around one corner on the centre line of a column, so that it can stay
on ink. What it costs is compared in this order: a trim, thread that is seen, all thread. Seen
is thread over bare cloth and, if it is more than a stitch, on top of columns already sewn. The
three are packed into one whole number, so that a sum of costs is a sum of numbers and equal ways
are equal on every machine.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.crossings import Outlines, lengths_inside_each
from pathgen.geometry import Points, between
from pathgen.model import Column

__all__ = [
    "BARE_WEIGHT",
    "NEVER",
    "Bridge",
    "Chosen",
    "Costs",
    "Limits",
    "Places",
    "Travel",
    "bridges",
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
_TRIM = 1 << 2 * _BITS

# Thread over bare cloth weighs as much as so much on top of sewn columns: it can snag, and lies
# on another colour (measured: on top falls by more than half, bare cloth rises by a twelfth).
BARE_WEIGHT = 2.0

UNSEEN_MM = 0.5
"""So much on top of sewn columns counts as out of sight, as it is no longer than the stitches about
it: half of what the review tells of. To go around under columns that are sewn later would take
more needle holes, which small letters have no room for (measured on 30 names in four faces: at
2 mm 81 findings of crowded needles for 220, at 3 mm 35 for 95; no trim more)."""

# Thread in sight is told apart by so many hundredths of a mm: about a thread. For less no run is
# sewn to and fro out of sight (measured on 16 names in three faces: at 2 to 4 mm a sixth fewer
# holes of travel, as much bare cloth and as many trims).
_STEP = 25

# Lengths that differ by less than this are the same.
_SAME_MM = 1e-9
# How much longer than weighed a run may come out (0.2 mm was the most seen).
_SLACK_MM = 0.6

NEVER = 1 << 60
"""More than any cost; the sum of two still fits in 64 bits."""

# Where on a column's centre line travel may turn, as shares of its length.
_CORNER_SHARES = np.array([0.15, 0.5, 0.85])
# Paths between all columns by all corners take memory that grows with the fourth power of the
# number of columns: 200 MB for these.
MOST_TURNING = 20
# Costs worked out at once: 16 MB.
_AT_ONCE = 2_000_000


class Limits(NamedTuple):
    """Longest travel that is seen; beyond it the thread is cut.

    Attributes
    ----------
    join_mm : float
        Over bare cloth.
    on_top_mm : float
        On top of columns that are already sewn.
    """

    join_mm: float
    on_top_mm: float


class Travel:
    """Travel from R exits to E entries by P paths each: straight, or around a corner.

    Parameters
    ----------
    total_mm : (R, E, P) float
        Length of each path.
    inked_mm : (R, E, P) float
        How much of it is not over bare cloth.
    under_mm : (columns, R, E, P) float
        How much of it each column covers.
    limits : Limits
        Beyond which the thread is cut.
    corners : (P, 2) float
        Where each path turns; NaN for the straight one.
    grown_mm : float
        How much of any path may be taken for the letters' own thread and is none: where it begins
        on a rail and leads outwards.
    """

    def __init__(
        self,
        total_mm: NDArray[np.float64],
        inked_mm: NDArray[np.float64],
        under_mm: NDArray[np.float64],
        limits: Limits,
        corners: Points,
        grown_mm: float = 0.0,
    ) -> None:
        inked = np.minimum(inked_mm, total_mm)
        bare = total_mm - inked
        trims = bare > limits.join_mm + _SAME_MM
        self._inked = np.where(trims, 0.0, inked)
        self._under = under_mm
        self._limits = limits
        self._slack_mm = _SLACK_MM + grown_mm
        self._corners = corners
        # Trim and bare cloth weigh the same whatever is sewn: packed once.
        total = _whole(total_mm)
        self._cut = _TRIM + total
        seen = (_steps(BARE_WEIGHT * bare) << _BITS) + total
        self._fixed = np.where(trims, self._cut, seen)

    @classmethod
    def nowhere(cls, limits: Limits) -> "Travel":
        """Travel between no exits and no entries."""
        none = np.zeros((1, 0, 0, 1))
        return cls(none[0], none[0], none, limits, _STRAIGHT)

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
        step = max(1, _AT_ONCE // max(1, self._fixed.size))
        blocks = [
            self._paths(unsewn[i : i + step]).min(axis=-1) for i in range(0, len(unsewn), step)
        ]
        return blocks[0] if len(blocks) == 1 else np.concatenate(blocks)

    def onward(self, row: int, unsewn: NDArray[np.bool_]) -> Costs:
        """Cost of the cheapest path from one exit to each entry, (E,), as in `costs`."""
        return np.asarray(self._paths(unsewn[None], (row,))[0].min(axis=-1))

    def settled(self, unsewn: NDArray[np.bool_]) -> "Bridge":
        """Cheapest path of each pair while the given columns are still to be sewn."""
        costs = self._paths(unsewn[None])[0]
        best = costs.argmin(axis=-1)
        where = best + len(self._corners) * np.arange(best.size).reshape(best.shape)
        cost = costs.take(where)
        near = self._near_limit(cost, self._fixed.take(where))
        return Bridge(cost, best, near, self._corners)

    def corner(self, row: int, entry: int, unsewn: NDArray[np.bool_]) -> "Chosen":
        """The way of one pair."""
        costs = self._paths(unsewn[None], (row, entry))[0]
        best = int(costs.argmin())
        near = self._near_limit(costs[best], self._fixed[row, entry, best])
        return _chosen(int(costs[best]), bool(near), self._corners[best])

    def _near_limit(self, cost: Costs, fixed: Costs) -> NDArray[np.bool_]:
        """Whether paths come near a limit, given their cost and that without what is on top."""
        bare, seen = fixed >> _BITS & _MOST, cost >> _BITS & _MOST
        over, on_top = (limit_mm - self._slack_mm for limit_mm in self._limits)
        if on_top < UNSEEN_MM:
            return np.ones_like(bare, dtype=bool)
        return np.asarray((bare > BARE_WEIGHT * _PER_MM * over) | (seen - bare > _PER_MM * on_top))

    def _paths(self, unsewn: NDArray[np.bool_], at: tuple[int, ...] = ()) -> Costs:
        """Cost of every path, (S, R, E, P). For one exit, (S, E, P); for one pair, (S, P)."""
        every: tuple[Any, ...] = (slice(None), *at)
        inked, under = self._inked[at], self._under[every]
        hidden = unsewn.astype(np.float64) @ under.reshape(len(under), -1)
        over = inked - np.minimum(hidden.reshape(len(unsewn), *inked.shape), inked)
        seen = np.where(over > UNSEEN_MM, over, 0.0)
        costs = self._fixed[at] + (_steps(seen) << _BITS)
        return np.where(over > self._limits.on_top_mm + _SAME_MM, self._cut[at], costs)


@dataclass(frozen=True, slots=True, eq=False)
class Bridge:
    """Travel between two letters.

    Attributes
    ----------
    cost : (R, E) int64
        Of the cheapest path from each exit of the one to each entry of the other.
    best : (R, E) int
        Which path that is.
    near_limit : (R, E) bool
        Whether it is nearly as long as it may be.
    corners : (P, 2) float
        Where each path turns; NaN for the straight one.
    """

    cost: Costs
    best: NDArray[np.intp]
    near_limit: NDArray[np.bool_]
    corners: Points

    def path(self, row: int, entry: int) -> "Chosen":
        """The way of one pair."""
        near = bool(self.near_limit[row, entry])
        return _chosen(int(self.cost[row, entry]), near, self.corners[self.best[row, entry]])


class Chosen(NamedTuple):
    """A way from one column to the next.

    Attributes
    ----------
    cut : bool
        Whether the thread is cut.
    corner : (1, 2) or (0, 2) float
        Where the way turns.
    near_limit : bool
        Whether it is nearly as long as it may be: laid out in stitches it may come out longer.
    """

    cut: bool
    corner: Points
    near_limit: bool


def _chosen(cost: int, near_limit: bool, corner: Points) -> Chosen:
    """What a cost means, and where the way turns, (2,), NaN for nowhere."""
    cut = cost >= _TRIM
    straight = cut or math.isnan(corner[0])
    return Chosen(cut, corner[None][:0] if straight else corner[None], near_limit and not cut)


def _whole(length_mm: NDArray[np.float64]) -> Costs:
    """Whole hundredths of a mm."""
    return np.minimum(np.rint(_PER_MM * length_mm), _MOST).astype(np.int64)


def _steps(length_mm: NDArray[np.float64]) -> Costs:
    """Hundredths of a mm, in whole steps of what can be seen."""
    return _STEP * _whole(length_mm / _STEP)


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
    grown_mm : float
        Most that columns have grown at both ends of a travel together.
    """

    exits: Points
    entries: Points
    exit_growth_mm: NDArray[np.float64]
    entry_growth_mm: NDArray[np.float64]
    corners: Points
    lines: Outlines
    inks: int
    grown_mm: float


def travels(asked: Sequence[Places], limits: Limits) -> list[Travel]:
    """Travel from every exit to every entry, for each of the asked places."""
    return [
        Travel(*paths, limits, _turns(places), places.grown_mm)
        for places, paths in _measured(asked, one_cover=False)
    ]


def bridges(asked: Sequence[Places], limits: Limits) -> list[Bridge]:
    """Cheapest travel from every exit to every entry while all columns are still to be sewn."""
    one = np.ones(1, dtype=bool)
    return [
        Travel(*paths, limits, _turns(places), places.grown_mm).settled(one)
        for places, paths in _measured(asked, one_cover=True)
    ]


def _turns(places: Places) -> Points:
    """Where each path turns."""
    return np.concatenate([_STRAIGHT, places.corners])


_STRAIGHT = np.full((1, 2), np.nan)

_Paths = tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]


def _measured(asked: Sequence[Places], *, one_cover: bool) -> Iterator[tuple[Places, _Paths]]:
    """Whole length of every path, how much is not over bare cloth, and under each cover.

    Or under any of them, where it does not matter which.
    """
    legs = [(_legs(places), places.lines) for places in asked]
    for places, lengths in zip(asked, lengths_inside_each(legs), strict=True):
        a, b, c = len(places.exits), len(places.entries), len(places.corners)
        inked = lengths[1 : 1 + places.inks].sum(axis=0, keepdims=True)
        under = lengths[1 + places.inks :]
        if one_cover:
            under = under.sum(axis=0, keepdims=True)
        many = np.concatenate([lengths[:1], inked, under])
        paths = np.empty((len(many), a, b, 1 + c))
        paths[..., 0] = many[:, : a * b].reshape(len(many), a, b)
        out = many[:, a * b : a * (b + c)].reshape(len(many), a, 1, c)
        back = many[:, a * (b + c) :].reshape(len(many), 1, b, c)
        np.add(out, back, out=paths[..., 1:])
        growth = places.exit_growth_mm[:, None] + places.entry_growth_mm
        paths[1] += growth[:, :, None]
        yield places, (paths[0], paths[1], paths[2:])


def _legs(places: Places) -> NDArray[np.float64]:
    """Segments from exits to entries, from exits to corners, and from corners to each entry."""
    exits, entries, corners = places.exits, places.entries, places.corners
    a, b, c = len(exits), len(entries), len(corners)
    legs = np.empty((a * b + a * c + b * c, 2, 2))
    straight = legs[: a * b].reshape(a, b, 2, 2)
    straight[:, :, 0], straight[:, :, 1] = exits[:, None], entries
    out = legs[a * b : a * (b + c)].reshape(a, c, 2, 2)
    out[:, :, 0], out[:, :, 1] = exits[:, None], corners
    back = legs[a * (b + c) :].reshape(b, c, 2, 2)
    back[:, :, 0], back[:, :, 1] = corners, entries[:, None]
    return legs
