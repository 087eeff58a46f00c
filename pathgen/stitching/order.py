"""In which order, and in which way each, the columns of one letter are sewn.

Every order and every choice of ways is weighed by dynamic programming over sets of sewn columns
(Held and Karp, "A dynamic programming approach to sequencing problems", J. SIAM 10, 1962), for
every entry to begin at once. The entries of all columns stand in one list, and so do their
exits; what it costs to sew a column from one to the other is a table.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
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
        count = int(self.exit_of[-1]) + 1
        cuts = [np.searchsorted(of, np.arange(count + 1)) for of in (self.entry_of, self.exit_of)]
        return [
            (slice(cuts[0][k], cuts[0][k + 1]), slice(cuts[1][k], cuts[1][k + 1]))
            for k in range(count)
        ]


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
    count, own = len(late), ways.cost
    if count == 1:
        return Orders(own, lambda first, last: [(first, last)], exact=True)
    spans = ways.spans
    sewn = (np.arange(1 << count)[:, None] >> np.arange(count)) & 1 == 1
    best = np.full((1 << count, *own.shape), NEVER, dtype=np.int64)
    for k, span in enumerate(spans):
        if not late[k] or late.all():
            best[1 << k][span] = own[span]
    onward = links.costs(~sewn)
    early_done = [bool((sewn[done] | late).all()) for done in range(1 << count)]
    for done in range(1, (1 << count) - 1):
        begun = np.flatnonzero(sewn[done][ways.entry_of])
        last = np.flatnonzero(sewn[done][ways.exit_of])
        reached = best[done][np.ix_(begun, last)]
        for k, (entries, exits) in enumerate(spans):
            if not done >> k & 1 and (early_done[done] or not late[k]):
                there = _sums(reached, onward[done, last, entries])
                best[done | 1 << k][begun, exits] = _sums(there, own[entries, exits])

    def between(first: int, last: int) -> list[tuple[int, int]]:
        done, exit_ = (1 << count) - 1, last
        back: list[tuple[int, int]] = []
        while True:
            k = int(ways.exit_of[exit_])
            done &= ~(1 << k)
            if not done:
                return [(first, exit_), *back]
            entries = spans[k][0]
            there = best[done, first][:, None] + onward[done, :, entries]
            costs = np.minimum(there, NEVER) + own[entries, exit_]
            before, entry = divmod(int(costs.argmin()), costs.shape[1])
            back.insert(0, (entries.start + entry, exit_))
            exit_ = before

    return Orders(best[-1].copy(), between, exact=True)


def _sums(a: Costs, b: Costs) -> Costs:
    """Cheapest sum for each row of ``a`` and each column of ``b``, over what lies between."""
    return np.asarray(np.minimum((a[:, :, None] + b).min(axis=1), NEVER))


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
