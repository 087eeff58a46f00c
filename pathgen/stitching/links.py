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

from pathgen.geometry import Points, along, at_distances
from pathgen.model import Column
from pathgen.polygons import Outlines, lengths_inside, together
from pathgen.settings import Settings

__all__ = ["NEVER", "Bridge", "Costs", "Travel", "corners_of", "run_costs", "travel"]

Costs = NDArray[np.int64]

# A hundredth of a mm is the smallest difference that counts; one travel is at most 2^14 of
# them (164 mm, far over any jump), so 16 travels fit below the next more weighty field.
_PER_MM = 100.0
_MOST = (1 << 14) - 1
_BITS = 18

NEVER = 1 << 60
"""More than any cost; the sum of two still fits in 64 bits."""

# Where on a column's centre line travel may turn, as shares of its length.
_CORNER_SHARES = np.array([0.15, 0.5, 0.85])
# Costs worked out at once: 16 MB.
_AT_ONCE = 2_000_000


class Travel:
    """Travel from R exits to E entries by P paths each: straight, or around a corner.

    Parameters
    ----------
    total_mm : (R, E, P) float
        Length of each path.
    inked_mm : (R, E, P) float
        How much of it is not over bare cloth.
    under_mm : (R, E, P, columns) float
        How much of it each column covers.
    join_mm : float
        Longest travel over bare cloth; beyond it the thread is cut.
    corners : (P, 2) float
        Where each path turns; NaN for the straight one.
    """

    def __init__(
        self,
        total_mm: NDArray[np.float64],
        inked_mm: NDArray[np.float64],
        under_mm: NDArray[np.float64],
        join_mm: float,
        corners: Points,
    ) -> None:
        inked = np.minimum(inked_mm, total_mm)
        bare = np.maximum(total_mm - inked, 0.0)
        trims = bare > join_mm
        self._inked = np.where(trims, 0.0, inked)
        self._under = under_mm
        self._corners = corners
        # Trim and bare cloth weigh the same whatever is sewn: packed once.
        self._fixed = (trims.astype(np.int64) << _BITS) + _whole(np.where(trims, 0.0, bare))
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
        return np.concatenate(blocks)

    def settled(self, unsewn: NDArray[np.bool_]) -> "Bridge":
        """Cheapest path of each pair while the given columns are still to be sewn."""
        costs = self._paths(unsewn[None])[0]
        return Bridge(costs.min(axis=-1), self._corners[costs.argmin(axis=-1)])

    def corner(self, row: int, entry: int, unsewn: NDArray[np.bool_]) -> tuple[bool, Points]:
        """Whether the thread is cut on the way of one pair, and where the way turns."""
        costs = self._paths(unsewn[None], (row, entry))[0]
        best = int(costs.argmin())
        return chosen(int(costs[best]), self._corners[best])

    def _paths(self, unsewn: NDArray[np.bool_], at: tuple[int, int] | None = None) -> Costs:
        """Cost of every path, (S, R, E, P), or (S, P) for one pair."""
        where: tuple[int, ...] | slice = slice(None) if at is None else at
        inked = self._inked[where]
        hidden = np.tensordot(unsewn.astype(np.float64), self._under[where], axes=(1, -1))
        over = _whole(inked - np.minimum(hidden, inked))
        return (((self._fixed[where] << _BITS) + over) << _BITS) + self._total[where]


class Bridge(NamedTuple):
    """Travel between two letters.

    Attributes
    ----------
    cost : (R, E) int64
        Of the cheapest path from each exit of the one to each entry of the other.
    corner : (R, E, 2) float
        Where it turns; NaN where it is straight.
    """

    cost: Costs
    corner: NDArray[np.float64]

    def path(self, row: int, entry: int) -> tuple[bool, Points]:
        """Whether the thread is cut on the way of one pair, and where the way turns."""
        return chosen(int(self.cost[row, entry]), self.corner[row, entry])


def chosen(cost: int, corner: Points) -> tuple[bool, Points]:
    """Whether a cost means a trim; and the corner, (1, 2), or (0, 2) for none."""
    cut = cost >= 1 << 3 * _BITS
    return cut, corner[None][[] if cut or np.isnan(corner[0]) else [0]]


def _whole(length_mm: NDArray[np.float64]) -> Costs:
    """Whole hundredths of a mm."""
    return np.minimum(np.rint(_PER_MM * length_mm), _MOST).astype(np.int64)


def run_costs(lengths_mm: NDArray[np.float64]) -> Costs:
    """Cost of thread that stays out of sight, for each of the given lengths."""
    return _whole(lengths_mm)


def corners_of(columns: Sequence[Column]) -> Points:
    """Where travel may turn: a few points on the centre line of each column."""
    turns = []
    for column in columns:
        centre = column.centre
        turns.append(at_distances(centre, _CORNER_SHARES * along(centre)[-1]))
    return np.concatenate(turns)


def travel(
    exits: Points,
    entries: Points,
    corners: Points,
    ink: Outlines,
    covers: Outlines,
    settings: Settings,
) -> Travel:
    """Travel from every exit (R, 2) to every entry (E, 2).

    Parameters
    ----------
    corners : (C, 2) float
        Where it may turn.
    ink : Outlines
        Where travel is not over bare cloth.
    covers : Outlines
        What each column covers once it is sewn.
    settings : Settings
        Uses ``join_mm`` and ``pull_mm``: needle points lie outside the ink by the allowance,
        and that much at both ends of a travel is under the letters' own thread.
    """
    starts, from_start = _distinct(exits)
    ends, to_end = _distinct(entries)
    straight, out, back = _measured(starts, corners, ends, together([ink, covers]))
    around = out[:, None] + back.swapaxes(0, 1)[None]
    paths = np.concatenate([straight[:, :, None], around], axis=2)
    paths = paths[np.ix_(from_start, to_end)]
    near = paths[..., 1 : 1 + ink.size].sum(axis=-1) + 2.0 * settings.pull_mm
    turns = np.concatenate([np.full((1, 2), np.nan), corners])
    under = paths[..., 1 + ink.size :]
    return Travel(paths[..., 0], near, under, settings.join_mm, turns)


def _distinct(points: Points) -> tuple[Points, list[int]]:
    """Points each once, and where each of the given ones is among them."""
    place: dict[tuple[float, ...], int] = {}
    where = [place.setdefault(tuple(point), len(place)) for point in points.tolist()]
    return np.array(list(place)), where


_Table = NDArray[np.float64]


def _measured(
    starts: Points, corners: Points, ends: Points, shapes: Outlines
) -> tuple[_Table, _Table, _Table]:
    """Lengths of all legs: whole, then inside each shape.

    From starts to ends, (R, E, 1 + shapes); from starts to corners, (R, C, ...); from corners
    to ends, (C, E, ...).
    """
    pairs = [(starts, ends), (starts, corners), (corners, ends)]
    segments = np.concatenate(
        [
            np.stack([np.repeat(a, len(b), axis=0), np.tile(b, (len(a), 1))], axis=1)
            for a, b in pairs
        ]
    )
    step = segments[:, 1] - segments[:, 0]
    whole = np.hypot(step[:, 0], step[:, 1])
    lengths = np.column_stack([whole, lengths_inside(segments, shapes)])
    sizes = np.cumsum([0, *(len(a) * len(b) for a, b in pairs)])
    straight, out, back = (
        lengths[i:j].reshape(len(a), len(b), 1 + shapes.size)
        for (a, b), i, j in zip(pairs, sizes, sizes[1:], strict=False)
    )
    return straight, out, back
