"""What it costs to travel from where one column is left to where the next is entered.

Travel goes straight, or around one corner on the centre line of a column, so that it can stay
on ink. A trim outweighs all else. Then thread is weighed, that in sight as much as a run several
times as long out of sight: it is worth a run underneath, but not one to and fro for a hair. In
sight is thread over bare cloth and, if it is more than a stitch, on top of columns already
sewn. Costs are whole numbers, so that equal ways are equal on every machine.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Place, Points
from pathgen.stitching.legs import Places, Spokes, measured, paths, spokes

__all__ = [
    "NEVER",
    "Bridge",
    "Chosen",
    "Costs",
    "Limits",
    "Travel",
    "always_cut",
    "bridges",
    "cut_at",
    "run_costs",
    "travels",
    "weighed_paths",
]

Costs = NDArray[np.int64]

# A hundredth of a mm is the smallest difference that counts; a trim outweighs all other thread.
_PER_MM = 100.0
_TRIM = 1 << 36

# Thread in sight weighs as much as so much of it out of sight. Over bare cloth twice as much as on
# top of sewn columns: it can snag, and lies on another colour. With half as much there is a tenth
# less travel and 3 to 6 % more over bare cloth; if the least in sight were taken whatever it
# takes out of sight, 15 to 25 % more travel, and as much over bare cloth (measured on 84 names in
# six faces at 2, 4, 6 and 12 mm).
_ON_TOP_WEIGHT = 10.0
_BARE_WEIGHT = 20.0

UNSEEN_MM = 0.5
"""So much on top of sewn columns counts as out of sight, as it is no longer than the stitches about
it: half of what the review tells of. To go around under columns that are sewn later would take
more needle holes, which small letters have no room for (measured on 30 names in four faces: at
2 mm 81 findings of crowded needles for 220, at 3 mm 35 for 95; no trim more)."""

# Lengths that differ by less than this are the same.
_SAME_MM = 1e-9

NEVER = 1 << 60
"""More than any cost; the sum of two still fits in 64 bits."""

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


Weighed = NDArray[np.float64]
"""Paths but for what lies on top of sewn columns: how much of each is on ink, mm, 0 for one that is
cut anyhow; its cost with nothing on top; and that of a trim. Costs are whole numbers."""


def weighed_paths(
    total_mm: NDArray[np.float64],
    inked_mm: NDArray[np.float64],
    grown_mm: NDArray[np.float64] | float,
    limits: Limits,
) -> Weighed:
    """Paths weighed, given the length of each, how much is on ink, and how much beside it."""
    inked_mm = np.minimum(inked_mm, total_mm)
    bare_mm = np.maximum(total_mm - inked_mm - grown_mm, 0.0)
    trims = bare_mm > limits.join_mm + _SAME_MM
    total = _whole(total_mm)
    cut = _TRIM + total
    seen = total + _whole(_BARE_WEIGHT * bare_mm)
    return np.array([np.where(trims, 0.0, inked_mm), np.where(trims, cut, seen), cut])


def _costs(weighed: Weighed, hidden_mm: NDArray[np.float64], limits: Limits) -> Weighed:
    """Cost of every path while so much of it will be out of sight."""
    inked, fixed, cut = weighed
    over = np.maximum(inked - hidden_mm, 0.0)
    seen = fixed + _whole(_ON_TOP_WEIGHT * (over * (over > UNSEEN_MM)))
    return np.where(over > limits.on_top_mm + _SAME_MM, cut, seen)


def _least(costs: Weighed) -> Costs:
    """Cost of the cheapest of some paths, (P, ...)."""
    return np.minimum.reduce(costs, axis=0).astype(np.int64)


class Travel:
    """Travel from R exits to E entries by P paths each: straight, or around a corner.

    Parameters
    ----------
    weighed : Weighed
        Each path, (3, P, R, E).
    under_mm : (columns, P, R, E) float
        How much of it each column covers.
    limits : Limits
        Beyond which the thread is cut.
    corners : (P - 1, 2) float
        Where each path turns but the first, the straight one.
    """

    def __init__(
        self,
        weighed: Weighed,
        under_mm: NDArray[np.float64],
        limits: Limits,
        corners: Points,
    ) -> None:
        self._weighed, self._under, self._limits = weighed, under_mm, limits
        self._corners = corners

    def costs(
        self, exits: NDArray[np.intp], entries: NDArray[np.intp], unsewn: NDArray[np.bool_]
    ) -> Costs:
        """Cost of the cheapest path from an exit to an entry while some columns are unsewn.

        Parameters
        ----------
        exits, entries : (K,) int
            From where to where.
        unsewn : (columns, K) bool
            Which columns will later cover what lies under them.

        Returns
        -------
        (K,) int64
        """
        weighed, under = (
            lengths.reshape(*lengths.shape[:2], -1) for lengths in (self._weighed, self._under)
        )
        pairs = exits * self._weighed.shape[-1] + entries
        step = max(1, _AT_ONCE // max(1, under[..., 0].size))
        blocks = []
        for i in range(0, len(pairs), step):
            hidden = under.take(pairs[i : i + step], axis=2)
            hidden *= unsewn[:, None, i : i + step]
            some = weighed.take(pairs[i : i + step], axis=2)
            blocks.append(_least(_costs(some, np.add.reduce(hidden, axis=0), self._limits)))
        return blocks[0] if len(blocks) == 1 else np.concatenate(blocks)

    def onward(self, row: int, unsewn: NDArray[np.bool_]) -> Costs:
        """Cost of the cheapest path from one exit to each entry, (E,), while columns are unsewn."""
        under = self._under[:, :, row]
        hidden = unsewn.astype(np.float64) @ under.reshape(len(under), -1)
        some = self._weighed[:, :, row]
        return _least(_costs(some, hidden.reshape(some.shape[1:]), self._limits))

    def corner(self, row: int, entry: int, unsewn: NDArray[np.bool_]) -> "Chosen":
        """The way of one pair, given which columns are unsewn, (columns,)."""
        # No path costs less than with nothing on top of sewn columns.
        weighed, under = self._weighed[:, :, row, entry], self._under[:, :, row, entry]
        inked, costs, _ = weighed
        best = int(costs.argmin())
        if inked[best] - unsewn @ under[:, best] > min(UNSEEN_MM, self._limits.on_top_mm):
            costs = _costs(weighed, unsewn.astype(np.float64) @ under, self._limits)
            best = int(costs.argmin())
        return _chosen(int(costs[best]), best, self._corners)


@dataclass(frozen=True, slots=True, eq=False)
class Bridge:
    """Travel between two letters.

    Attributes
    ----------
    cost : (R, E) int64
        Of the cheapest path from each exit of the one to each entry of the other.
    best : (R, E) int
        Which path that is.
    corners : (P - 1, 2) float
        Where each path turns but the first, the straight one.
    """

    cost: Costs
    best: NDArray[np.intp]
    corners: Points

    def path(self, row: int, entry: int) -> "Chosen":
        """The way of one pair."""
        return _chosen(int(self.cost[row, entry]), int(self.best[row, entry]), self.corners)


@lru_cache(maxsize=1024)
def cut_at(bridge: Bridge, row: int, entry: int) -> Bridge:
    """The same bridge, but that between one pair the thread is cut."""
    cost = bridge.cost.copy()
    cost[row, entry] += _TRIM
    return replace(bridge, cost=cost)


@lru_cache(maxsize=1024)
def always_cut(bridge: Bridge) -> Bridge:
    """The same bridge, but that the thread is always cut."""
    return replace(bridge, cost=np.where(bridge.cost < _TRIM, bridge.cost + _TRIM, bridge.cost))


class Chosen(NamedTuple):
    """A way from one column to the next.

    Attributes
    ----------
    cut : bool
        Whether the thread is cut.
    corner : tuple of (float, float)
        Where the way turns: one place or none.
    """

    cut: bool
    corner: tuple[Place, ...]


def _chosen(cost: int, path: int, corners: Points) -> Chosen:
    """What the cost of a path means, and where it turns: the first path goes straight."""
    cut = cost >= _TRIM
    if cut or not path:
        return Chosen(cut, ())
    x, y = corners[path - 1].tolist()
    return Chosen(cut, ((x, y),))


def _whole(length_mm: NDArray[np.float64]) -> NDArray[np.float64]:
    """Whole hundredths of a mm."""
    return np.rint(_PER_MM * length_mm)


def run_costs(lengths_mm: NDArray[np.float64]) -> Costs:
    """Cost of thread that stays out of sight, for each of the given lengths."""
    return _whole(lengths_mm).astype(np.int64)


def travels(asked: Sequence[Places], limits: Limits) -> list[tuple[Travel | None, Spokes]]:
    """Travel from every exit to every entry inside each of the asked letters, and its spokes.

    None inside a letter of one column.
    """
    return [each for group in _groups(asked) for each in _travels(group, limits)]


def _travels(asked: Sequence[Places], limits: Limits) -> Iterator[tuple[Travel | None, Spokes]]:
    """As `travels`, all paths weighed at once."""
    legs = list(measured(asked, between=False))
    both = list(zip(asked, legs, strict=True))
    found = _inside([each for each in both if each[0].several], limits)
    for places, lengths in both:
        yield next(found) if places.several else None, spokes(places, lengths)


def _inside(
    asked: Sequence[tuple[Places, NDArray[np.float64]]], limits: Limits
) -> Iterator[Travel]:
    """Travel by the legs of letters of several columns."""
    if not asked:
        return
    found = [paths(*each) for each in asked]
    rows = [many[[0, 1, -1]].reshape(3, -1) for many in found]
    total, inked, grown = np.concatenate(rows, axis=1)
    weighed = weighed_paths(total, inked, grown, limits)
    first = 0
    for (places, _), many in zip(asked, found, strict=True):
        last = first + many[0].size
        own = weighed[:, first:last].reshape(3, *many.shape[1:])
        yield Travel(own, many[2:-1], limits, places.corners)
        first = last


def bridges(asked: Sequence[Places], limits: Limits) -> list[Bridge]:
    """Cheapest travel from every exit to every entry while all columns are still to be sewn."""
    return [bridge for group in _groups(asked) for bridge in _bridges(group, limits)]


def _bridges(asked: Sequence[Places], limits: Limits) -> Iterator[Bridge]:
    """Bridges of some places, all of their paths weighed at once."""
    legs = measured(asked, between=True)
    found = [paths(*each) for each in zip(asked, legs, strict=True)]
    total, inked, under, grown = np.concatenate([many.reshape(4, -1) for many in found], axis=1)
    weighed = weighed_paths(total, inked, grown, limits)
    costs = _costs(weighed, under, limits)
    first = 0
    for places, many in zip(asked, found, strict=True):
        last = first + many[0].size
        own = costs[first:last].reshape(many.shape[1:])
        yield Bridge(_least(own), own.argmin(axis=0), places.corners)
        first = last


# Paths weighed at once: enough for the letters of a name, few enough for the memory of a line of
# letters of many columns.
_PATHS_AT_ONCE = 50_000


def _groups(asked: Sequence[Places]) -> Iterator[list[Places]]:
    """Places, so many together as may be weighed at once."""
    group, size = [], 0
    for places in asked:
        group.append(places)
        size += len(places.exits) * len(places.entries) * (1 + len(places.corners))
        if size > _PATHS_AT_ONCE:
            yield group
            group, size = [], 0
    if group:
        yield group
