"""In which order, and in which way each, the columns of one letter are sewn.

Every order and every choice of ways is weighed by dynamic programming over sets of sewn columns
(Held and Karp, "A dynamic programming approach to sequencing problems", J. SIAM 10, 1962), for
every entry to begin at once. The entries of all columns stand in one list, and so do their
exits; what it costs to sew a column from one to the other is a table.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from itertools import accumulate, pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.stitching.links import NEVER, Costs, Travel

__all__ = ["MOST_EXACT", "Orders", "Ways", "orders"]

# Up to this many columns every order is weighed: 2^10 sets of columns take some 0.3 s.
MOST_EXACT = 10

# Beyond that, a letter is begun in no more ways than these: all of 20 columns with runs under them.
MOST_BEGUN = 80


@dataclass(frozen=True, eq=False)
class Ways:
    """Entries and exits of all columns of a letter.

    Attributes
    ----------
    entry_of, exit_of : (E,), (X,) int
        Column that each entry and each exit belongs to, in rising order, none left out.
    cost : (E, X) int64
        Cost of sewing a column from one to the other, travel aside; `NEVER` where no way leads.
    """

    entry_of: NDArray[np.int64]
    exit_of: NDArray[np.int64]
    cost: Costs

    @property
    def spans(self) -> list[tuple[slice, slice]]:
        """Which entries and which exits belong to each column."""
        return _spans(self.entry_of.tobytes(), self.exit_of.tobytes())


@lru_cache(maxsize=1024)
def _spans(*owners: bytes) -> list[tuple[slice, slice]]:
    """As `Ways.spans`."""
    entries, exits = (
        [slice(*span) for span in pairwise(accumulate(np.bincount(of).tolist(), initial=0))]
        for of in (np.frombuffer(owner, np.int64) for owner in owners)
    )
    return list(zip(entries, exits, strict=True))


class Orders(NamedTuple):
    """The cheapest orders through a letter.

    Attributes
    ----------
    cost : (E, X) int64
        From first entry to last exit; `NEVER` where no order was weighed.
    between : callable
        Entry and exit of all columns in sewing order, given the first entry and the last exit.
    exact : bool
        Whether every order was weighed.
    """

    cost: Costs
    between: Callable[[int, int], list[tuple[int, int]]]
    exact: bool


def orders(links: Travel | None, ways: Ways, late: NDArray[np.bool_]) -> Orders:
    """Cheapest order of all columns for each first entry and last exit.

    Parameters
    ----------
    links : Travel or None
        From each exit to each entry; None for one column.
    ways : Ways
        Of all columns.
    late : (columns,) bool
        Columns that wait until all others are sewn, such as dots and accents.

    Notes
    -----
    Beyond `MOST_EXACT` columns, the cheapest next column is taken each time, from each of the
    first `MOST_BEGUN` ways.
    """
    if links is None or len(late) == 1:
        return Orders(ways.cost, lambda first, last: [(first, last)], exact=True)
    solve = _exact if len(late) <= MOST_EXACT else _nearest
    return solve(links, ways, late)


def _exact(links: Travel, ways: Ways, late: NDArray[np.bool_]) -> Orders:
    """Weigh all orders. A set and its last column have one set before them: no ties to break."""
    own, spans = ways.cost, ways.spans
    find = _sets if len(late) <= _MOST_KEPT else _sets.__wrapped__
    sets = find(*[each.tobytes() for each in (ways.entry_of, ways.exit_of, late)])
    count = 1 << len(late)
    # From each exit to each entry, and on to each exit of its column, while a set is sewn.
    travel = np.full((count, *own.T.shape), NEVER)
    onward = np.full((count, own.shape[1], own.shape[1]), NEVER)
    costs = links.costs(sets.exits, sets.entries, sets.unsewn)
    travel.put(sets.travels, costs)
    through = costs.take(sets.came) + own.take(sets.ways)
    onward.put(sets.onward, np.minimum.reduceat(through, sets.arrived))
    # From each first entry to each last exit of a set.
    best = np.full((count, *own.T.shape), NEVER)
    (single, exits, _), *steps = sets.steps
    best[single, exits] = own.T[exits]
    for done, exits, before in steps:
        best[done, exits] = _sums(best, onward, before, exits)

    def between(first: int, last: int) -> list[tuple[int, int]]:
        done, exit_ = len(best) - 1, last
        back: list[tuple[int, int]] = []
        while True:
            k = int(ways.exit_of[exit_])
            done &= ~(1 << k)
            if not done:
                return [(first, exit_), *back]
            before = int((best[done, :, first] + onward[done, exit_]).argmin())
            entries = spans[k][0]
            there = travel[done, before, entries] + own[entries, exit_]
            back.insert(0, (int(entries.start + there.argmin()), exit_))
            exit_ = before

    return Orders(best[-1].T.copy(), between, exact=True)


# Sets of up to so many columns are kept: less than a MB.
_MOST_KEPT = 7

_Numbers = NDArray[np.intp]


class _Sets(NamedTuple):
    """Sets of sewn columns, each a number whose bit k stands for column k.

    Attributes
    ----------
    steps : list of ((M,), (M,), (M,) int)
        Sets of one column, then those of two, and so on to the one of all: each with every exit
        where it may be completed, and what it is without the column of that exit.
    exits, entries : (K,) int
        All travel from a sewn column to one that is not, set after set.
    unsewn : (columns, K) bool
        Which columns are not sewn then.
    travels : (K,) int
        Its place in a table of sets, exits and entries.
    came, ways : (W,) int
        Which travel, and which way of all entries and exits, lead on to an exit.
    arrived : (V,) int
        The first of these for each set, exit before and exit.
    onward : (V,) int
        Its place in a table of sets, exits and exits before.
    """

    steps: list[tuple[_Numbers, _Numbers, _Numbers]]
    exits: _Numbers
    entries: _Numbers
    unsewn: NDArray[np.bool_]
    travels: _Numbers
    came: _Numbers
    ways: _Numbers
    arrived: _Numbers
    onward: _Numbers


@lru_cache(maxsize=256)
def _sets(entry_of: bytes, exit_of: bytes, late: bytes) -> _Sets:
    """Sets of the columns that entries and exits belong to; late columns come after all others."""
    entered, left = np.frombuffer(entry_of, np.int64), np.frombuffer(exit_of, np.int64)
    waits = np.frombuffer(late, bool)
    every = np.arange(1 << len(waits))
    sewn = (every[:, None] >> np.arange(len(waits))) & 1 == 1
    before, away = every[:, None] & ~(1 << left), sewn[:, left]
    # A late column comes once all others are sewn.
    last = away & ((sewn | waits).all(axis=1)[:, None] | ~waits)[before, left]
    steps = []
    for size in range(1, len(waits) + 1):
        done, exits = np.nonzero(last & (sewn.sum(axis=1) == size)[:, None])
        steps.append((done, exits, before[done, exits]))
    table = (len(every), len(left), len(entered))
    situation, exits, entries = np.nonzero(away[:, :, None] & ~sewn[:, None, entered])
    travels = np.ravel_multi_index((situation, exits, entries), table)
    number = np.empty(table, dtype=np.intp)
    number[situation, exits, entries] = np.arange(len(travels))
    at, begun, to = np.nonzero(away[:, :, None] & ~away[:, None])
    which, entry = np.nonzero(left[to][:, None] == entered)
    came = number[at[which], begun[which], entry]
    arrived = which.searchsorted(np.arange(len(to)))
    onward = (at * len(left) + to) * len(left) + begun
    ways = entry * len(left) + to[which]
    unsewn = ~sewn.T[:, situation]
    return _Sets(steps, exits, entries, unsewn, travels, came, ways, arrived, onward)


# Sums worked out at once: 16 MB.
_AT_ONCE = 2_000_000


def _sums(best: Costs, onward: Costs, before: _Numbers, exits: _Numbers) -> Costs:
    """Cheapest way of each set, from each first entry to an exit, over all exits before that."""
    step = max(1, _AT_ONCE // best[0].size)
    blocks = [
        np.minimum.reduce(best[done] + onward[done, to, :, None], axis=1)
        for done, to in (
            (before[i : i + step], exits[i : i + step]) for i in range(0, len(before), step)
        )
    ]
    return np.minimum(blocks[0] if len(blocks) == 1 else np.concatenate(blocks), NEVER)


def _nearest(links: Travel, ways: Ways, late: NDArray[np.bool_]) -> Orders:
    """From each first way, always on to the cheapest next one."""
    own = ways.cost
    cost = np.full(own.shape, NEVER, dtype=np.int64)
    found: dict[tuple[int, int], list[tuple[int, int]]] = {}
    begins = np.argwhere((own < NEVER) & (~late[ways.entry_of] | late.all())[:, None])
    for first, left in begins[:MOST_BEGUN].tolist():
        unsewn = np.ones(len(late), dtype=bool)
        order, total = [(first, left)], int(own[first, left])
        unsewn[ways.exit_of[left]] = False
        while unsewn.any():
            ready = unsewn & ~late if (unsewn & ~late).any() else unsewn
            onward = np.minimum(links.onward(order[-1][1], unsewn)[:, None] + own, NEVER)
            onward[~ready[ways.entry_of]] = NEVER
            entry, exit_ = divmod(int(onward.argmin()), own.shape[1])
            order.append((entry, exit_))
            total += int(onward[entry, exit_])
            unsewn[ways.exit_of[exit_]] = False
        if total < cost[first, order[-1][1]]:
            cost[first, order[-1][1]] = total
            found[first, order[-1][1]] = order
    return Orders(cost, lambda first, last: found[first, last], exact=False)
