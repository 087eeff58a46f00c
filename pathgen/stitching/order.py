"""In which order, and in which way each, the columns of one letter are sewn.

Every order and every choice of ways is weighed by dynamic programming over sets of sewn columns
(Held and Karp, "A dynamic programming approach to sequencing problems", J. SIAM 10, 1962), for
every way to begin with at once. The ways of all columns stand in one list; ``owner`` tells
which column each belongs to.
"""

from collections.abc import Callable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.stitching.links import NEVER, Costs, Travel

__all__ = ["MOST_EXACT", "Orders", "orders"]

# Up to this many columns every order is weighed: 2^10 sets of columns take some 0.3 s.
MOST_EXACT = 10

# Beyond that, a letter is begun in no more ways than these: all of 20 columns with runs under them.
MOST_BEGUN = 80


class Orders(NamedTuple):
    """The cheapest orders through a letter.

    Attributes
    ----------
    cost : (W, W) int64
        From first way to last way; `NEVER` where no order was weighed.
    between : callable
        Ways of all columns in sewing order, given the first and the last.
    exact : bool
        Whether every order was weighed.
    """

    cost: Costs
    between: Callable[[int, int], list[int]]
    exact: bool


def orders(
    links: Travel, owner: NDArray[np.int64], own_cost: Costs, late: NDArray[np.bool_]
) -> Orders:
    """Cheapest order of all columns for each first and last way.

    Parameters
    ----------
    links : Travel
        From the exit of each way to the entry of each way.
    owner : (W,) int
        Column of each way; columns are numbered from 0 without gaps.
    own_cost : (W,) int64
        Cost of sewing a column in this way, travel aside.
    late : (columns,) bool
        Columns that wait until all others are sewn, such as dots and accents.

    Notes
    -----
    Beyond `MOST_EXACT` columns, the cheapest next column is taken each time, from each of the
    first `MOST_BEGUN` ways.
    """
    solve = _exact if len(late) <= MOST_EXACT else _nearest
    return solve(links, owner, own_cost, late)


def _exact(
    links: Travel, owner: NDArray[np.int64], own_cost: Costs, late: NDArray[np.bool_]
) -> Orders:
    """Weigh all orders. A set and its last column have one set before them: no ties to break."""
    count, size = len(late), len(owner)
    sewn = (np.arange(1 << count)[:, None] >> np.arange(count)) & 1 == 1
    best = np.full((1 << count, size, size), NEVER, dtype=np.int64)
    begins = np.flatnonzero(~late[owner] | late.all())
    best[1 << owner[begins], begins, begins] = own_cost[begins]
    if count == 1:
        return Orders(best[-1], lambda _, last: [last], exact=True)
    onward = links.costs(~sewn) + own_cost
    ways = [np.flatnonzero(owner == k) for k in range(count)]
    early_done = [bool((sewn[done] | late).all()) for done in range(1 << count)]
    for done in range(1, (1 << count) - 1):
        last = np.flatnonzero(sewn[done][owner])
        reached = (best[done][:, last, None] + onward[done][last]).min(axis=1)
        cost = np.minimum(reached, NEVER)
        for k in range(count):
            if not done >> k & 1 and (early_done[done] or not late[k]):
                best[done | 1 << k][:, ways[k]] = cost[:, ways[k]]

    def between(first: int, last: int) -> list[int]:
        done, here, back = (1 << count) - 1, last, [last]
        while len(back) < count:
            done &= ~(1 << int(owner[here]))
            here = int((best[done, first] + onward[done, :, here]).argmin())
            back.append(here)
        return back[::-1]

    return Orders(best[-1].copy(), between, exact=True)


def _nearest(
    links: Travel, owner: NDArray[np.int64], own_cost: Costs, late: NDArray[np.bool_]
) -> Orders:
    """From each first way, always on to the cheapest next one."""
    cost = np.full((len(owner), len(owner)), NEVER, dtype=np.int64)
    found: dict[tuple[int, int], list[int]] = {}
    for first in np.flatnonzero(~late[owner] | late.all())[:MOST_BEGUN].tolist():
        unsewn = np.ones(len(late), dtype=bool)
        order, total = [first], int(own_cost[first])
        unsewn[owner[first]] = False
        while unsewn.any():
            onward = links.onward(order[-1], unsewn) + own_cost
            ready = unsewn & ~late if (unsewn & ~late).any() else unsewn
            onward = np.where(ready[owner], onward, NEVER)
            order.append(int(onward.argmin()))
            total += int(onward[order[-1]])
            unsewn[owner[order[-1]]] = False
        cost[first, order[-1]] = min(total, NEVER)
        found[first, order[-1]] = order
    return Orders(cost, lambda first, last: found[first, last], exact=False)
