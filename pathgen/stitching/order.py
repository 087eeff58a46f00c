"""In which order, and in which way each, the columns of one letter are sewn.

Every order and every choice of ways is weighed by dynamic programming over sets of sewn columns
(Held and Karp, "A dynamic programming approach to sequencing problems", J. SIAM 10, 1962), for
every entry to begin at once. The entries of all columns stand in one list, and so do their
exits; what it costs to sew a column from one to the other is a table.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property, lru_cache
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

    @cached_property
    def spans(self) -> list[tuple[slice, slice]]:
        """Which entries and which exits belong to each column."""
        entries, exits = (
            [slice(*span) for span in pairwise(accumulate(np.bincount(of).tolist(), initial=0))]
            for of in (self.entry_of, self.exit_of)
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


def orders(links: Travel, ways: Ways, late: NDArray[np.bool_]) -> Orders:
    """Cheapest order of all columns for each first entry and last exit.

    Parameters
    ----------
    links : Travel
        From each exit to each entry.
    ways : Ways
        Of all columns.
    late : (columns,) bool
        Columns that wait until all others are sewn, such as dots and accents.

    Notes
    -----
    Beyond `MOST_EXACT` columns, the cheapest next column is taken each time, from each of the
    first `MOST_BEGUN` ways.
    """
    solve = _exact if len(late) <= MOST_EXACT else _nearest
    return solve(links, ways, late)


def _exact(links: Travel, ways: Ways, late: NDArray[np.bool_]) -> Orders:
    """Weigh all orders. A set and its last column have one set before them: no ties to break."""
    own, spans = ways.cost, ways.spans
    if len(late) == 1:
        return Orders(own, lambda first, last: [(first, last)], exact=True)
    sets = _sets(tuple(ways.exit_of.tolist()), tuple(late.tolist()))
    # From each exit to each entry, and on to each exit of its column, while a set is sewn.
    travel = links.costs(sets.unsewn)
    onward = np.concatenate(
        [(travel[:, :, e, None] + own[e, x]).min(axis=2) for e, x in spans], axis=2
    )
    best = np.empty((len(sets.last), *own.shape), dtype=np.int64)
    best[sets.single] = np.where(sets.last[sets.single], own, NEVER)
    further = np.empty_like(best)
    entries, exits = np.arange(len(own))[:, None], np.arange(own.shape[1])
    for done, larger, before in sets.steps:
        further[done] = _sums(best[done], onward[done - 1])
        best[larger] = np.where(sets.last[larger], further[before, entries, exits], NEVER)

    def between(first: int, last: int) -> list[tuple[int, int]]:
        done, exit_ = len(best) - 1, last
        back: list[tuple[int, int]] = []
        while True:
            k = int(ways.exit_of[exit_])
            done &= ~(1 << k)
            if not done:
                return [(first, exit_), *back]
            before = int((best[done, first] + onward[done - 1, :, exit_]).argmin())
            entries = spans[k][0]
            there = travel[done - 1, before, entries] + own[entries, exit_]
            back.insert(0, (int(entries.start + there.argmin()), exit_))
            exit_ = before

    return Orders(best[-1].copy(), between, exact=True)


class _Sets(NamedTuple):
    """Sets of sewn columns, each a number whose bit k stands for column k.

    Attributes
    ----------
    single : (columns,) int
        The sets of one column.
    steps : list of ((M,), (N,), (N, 1, X) int)
        The sets of one column and those of two, those of two and those of three, and so on to the
        one of all; and each of the larger ones without the column of each exit.
    unsewn : (2^columns - 2, columns) bool
        Columns that are missing from each set but the first and the last.
    last : (2^columns, 1, X) bool
        Whether a set may have been completed by leaving its last column there.
    """

    single: NDArray[np.int64]
    steps: list[tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.int64]]]
    unsewn: NDArray[np.bool_]
    last: NDArray[np.bool_]


@lru_cache(maxsize=256)
def _sets(exit_of: tuple[int, ...], late: tuple[bool, ...]) -> _Sets:
    """Sets of the columns that exits belong to; late columns come after all others."""
    count = len(late)
    every = np.arange(1 << count)
    sewn = (every[:, None] >> np.arange(count)) & 1 == 1
    size = sewn.sum(axis=1)
    of = np.array(exit_of)
    before = every[:, None] & ~(1 << of)
    # A late column comes once all others are sewn.
    ready = (sewn | np.array(late)).all(axis=1)[:, None] | ~np.array(late)
    last = sewn[:, of] & ready[before, of]
    by_size = [np.flatnonzero(size == n) for n in range(1, count + 1)]
    steps = [(done, larger, before[larger][:, None]) for done, larger in pairwise(by_size)]
    return _Sets(by_size[0], steps, ~sewn[1:-1], last[:, None])


# Sums worked out at once: 16 MB.
_AT_ONCE = 2_000_000


def _sums(a: Costs, b: Costs) -> Costs:
    """Cheapest sum for each set, row of ``a`` and column of ``b``, over what lies between."""
    step = max(1, _AT_ONCE // (a[0].size * b.shape[2]))
    blocks = [
        (a[i : i + step, :, :, None] + b[i : i + step, None]).min(axis=2)
        for i in range(0, len(a), step)
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
