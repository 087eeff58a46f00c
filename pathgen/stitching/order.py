"""In which order, and from which end, the columns of one letter are sewn.

Every order and every choice of ends is weighed by dynamic programming over sets of sewn columns
(Held and Karp, "A dynamic programming approach to sequencing problems", J. SIAM 10, 1962), for
every place to enter the letter at once. Entry 2 k + e is column k entered at its end e.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from pathgen.stitching.links import NEVER, Costs, Travel

__all__ = ["MOST_EXACT", "Ways", "ways"]

# Up to this many columns every order is weighed: 2^10 sets of columns take some 30 ms.
MOST_EXACT = 10


@dataclass(frozen=True, slots=True, eq=False)
class Ways:
    """The cheapest ways through a letter.

    Attributes
    ----------
    cost : (2 n, 2 n) int64
        From first entry to last entry; `NEVER` where no way was weighed.
    routes : callable
        Entries of all columns in sewing order, given first and last entry.
    exact : bool
        Whether every order was weighed.
    """

    cost: Costs
    routes: Callable[[int, int], list[int]]
    exact: bool


def ways(links: Travel, count: int) -> Ways:
    """Cheapest way through ``count`` columns (1 or more) for each first and last entry.

    ``links`` is the travel from the exit that belongs to each entry, to each entry. Beyond
    `MOST_EXACT` columns, the cheapest next column is taken each time.
    """
    return _exact(links, count) if count <= MOST_EXACT else _nearest(links, count)


def _exact(links: Travel, count: int) -> Ways:
    """Weigh all orders. A set and its last column have one set before them: no ties to break."""
    sets = np.arange(1 << count)
    sewn = (sets[:, None] >> np.arange(count)) & 1 == 1
    cost_now = links.costs(~sewn)
    best = np.full((1 << count, 2 * count, 2 * count), NEVER, dtype=np.int64)
    before = np.full(best.shape, -1, dtype=np.int8)
    for entry in range(2 * count):
        best[1 << entry // 2, entry, entry] = 0
    for done in range(1, (1 << count) - 1):
        onward = best[done][:, :, None] + cost_now[done][None]
        cheapest = onward.argmin(axis=1)
        cost = np.minimum(np.take_along_axis(onward, cheapest[:, None, :], axis=1)[:, 0], NEVER)
        for k in np.flatnonzero(~sewn[done]).tolist():
            pair = slice(2 * k, 2 * k + 2)
            best[done | 1 << k, :, pair] = cost[:, pair]
            before[done | 1 << k, :, pair] = cheapest[:, pair]

    def traced(first: int, last: int) -> list[int]:
        done, entry, back = (1 << count) - 1, last, [last]
        while len(back) < count:
            entry, done = int(before[done, first, entry]), done & ~(1 << entry // 2)
            back.append(entry)
        return back[::-1]

    return Ways(best[-1], traced, exact=True)


def _nearest(links: Travel, count: int) -> Ways:
    """From each first entry, always on to the cheapest next column."""
    cost = np.full((2 * count, 2 * count), NEVER, dtype=np.int64)
    found: dict[tuple[int, int], list[int]] = {}
    for first in range(2 * count):
        unsewn = np.ones(count, dtype=bool)
        way, total = [first], 0
        unsewn[first // 2] = False
        while unsewn.any():
            onward = links.costs(unsewn[None])[0, way[-1]]
            onward = np.where(np.repeat(unsewn, 2), onward, NEVER)
            way.append(int(onward.argmin()))
            total += int(onward[way[-1]])
            unsewn[way[-1] // 2] = False
        cost[first, way[-1]] = min(total, NEVER)
        found[first, way[-1]] = way
    return Ways(cost, lambda first, last: found[first, last], exact=False)
