"""In which order, and from which end, the columns of one letter are sewn.

Every order and every choice of ends is weighed by dynamic programming over sets of sewn columns
(Held and Karp, "A dynamic programming approach to sequencing problems", J. SIAM 10, 1962). What
a way costs is compared in this order: trims, travel over bare cloth, travel over columns
already sewn, all travel. Costs are whole micrometres, so that equal ways are equal on every
machine, and the first of them wins.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points
from pathgen.polygons import Shape, lengths_inside
from pathgen.stitching.strokes import FIRST, LAST, Stroke

__all__ = ["MOST_EXACT", "Step", "best_order"]

# Up to this many columns every order is weighed; beyond, the nearest next column is taken.
MOST_EXACT = 8

_Cost = tuple[int, int, int, int]
_FREE: _Cost = (0, 0, 0, 0)


@dataclass(frozen=True, slots=True)
class Step:
    """One column on the way.

    Attributes
    ----------
    stroke : int
        Index into the letter's strokes.
    start : int
        End at which it is entered.
    trim : bool
        Whether the thread is cut before it.
    bare_mm : float
        Travel over bare cloth before it.
    """

    stroke: int
    start: int
    trim: bool
    bare_mm: float


@dataclass(frozen=True, slots=True)
class _Links:
    """Straight travel from every exit to every entry, mm.

    Rows are exits: stroke i entered at end e is row 2 i + e; the last row is where the needle
    stands before the letter. Columns of the tables are entries, numbered likewise.
    """

    total: NDArray[np.float64]
    inked: NDArray[np.float64]
    under: NDArray[np.float64]
    join_mm: float

    def cost(self, row: int, entry: int, unsewn: Sequence[int]) -> _Cost:
        """What it takes to go there while these strokes are not sewn yet."""
        total, inked = self.total[row, entry], self.inked[row, entry]
        bare = total - inked
        if bare > self.join_mm:
            return (1, 0, 0, _um(total))
        hidden = min(inked, sum(self.under[row, entry, k] for k in unsewn))
        return (0, _um(bare), _um(inked - hidden), _um(total))


def _um(length_mm: float) -> int:
    """Whole micrometres."""
    return round(1000.0 * length_mm)


def best_order(
    strokes: Sequence[Stroke], ink: Shape, needle: Points | None, join_mm: float
) -> tuple[Step, ...]:
    """Cheapest way through all strokes of a letter.

    Parameters
    ----------
    strokes : sequence of Stroke
        At least one.
    ink : Shape
        Where travel is not over bare cloth.
    needle : (2,) float or None
        Where the needle stands; None when the thread is not down yet.
    join_mm : float
        Longest travel over bare cloth; beyond it the thread is cut.
    """
    links = _links(strokes, ink, needle, join_mm)
    home = 2 * len(strokes)
    if len(strokes) <= MOST_EXACT:
        way = _exact(len(strokes), links, home, free=needle is None)
    else:
        way = _nearest(len(strokes), links, home, free=needle is None)
    steps, row = [], home
    for entry in way:
        first_of_all = row == home and needle is None
        bare = float(links.total[row, entry] - links.inked[row, entry])
        cut = bare > join_mm and not first_of_all
        kept = 0.0 if cut or first_of_all else bare
        steps.append(Step(entry // 2, entry % 2, cut, kept))
        row = entry
    return tuple(steps)


def _links(strokes: Sequence[Stroke], ink: Shape, needle: Points | None, join_mm: float) -> _Links:
    """Lengths of all straight travels, and how much of each is over which ink."""
    entries = np.array([s.entry(e) for s in strokes for e in (FIRST, LAST)])
    exits = [s.exit(e) for s in strokes for e in (FIRST, LAST)]
    start = np.array([*exits, entries[0] if needle is None else needle])
    shape = (len(start), len(entries))
    segments = np.stack(
        [np.repeat(start, len(entries), axis=0), np.tile(entries, (len(start), 1))], axis=1
    )
    step = segments[:, 1] - segments[:, 0]
    under = [lengths_inside(segments, s.cover).reshape(shape) for s in strokes]
    return _Links(
        total=np.hypot(step[:, 0], step[:, 1]).reshape(shape),
        inked=lengths_inside(segments, ink).reshape(shape),
        under=np.stack(under, axis=-1),
        join_mm=join_mm,
    )


def _exact(count: int, links: _Links, home: int, *, free: bool) -> list[int]:
    """Entries of the cheapest way, all orders weighed."""
    everything = (1 << count) - 1
    best: dict[tuple[int, int], tuple[_Cost, int | None]] = {}
    for entry in range(2 * count):
        unsewn = range(count)
        cost = _FREE if free else links.cost(home, entry, unsewn)
        best[1 << entry // 2, entry] = (cost, None)
    for done in range(1, everything):
        unsewn_now = [k for k in range(count) if not done >> k & 1]
        for row in range(2 * count):
            here = best.get((done, row))
            if here is None:
                continue
            for k in unsewn_now:
                for entry in (2 * k, 2 * k + 1):
                    cost = _sum(here[0], links.cost(row, entry, unsewn_now))
                    key = (done | 1 << k, entry)
                    if key not in best or cost < best[key][0]:
                        best[key] = (cost, row)
    last = min(range(2 * count), key=lambda entry: best[everything, entry][0])
    return _traced(best, everything, last)


def _sum(a: _Cost, b: _Cost) -> _Cost:
    return (a[0] + b[0], a[1] + b[1], a[2] + b[2], a[3] + b[3])


def _traced(
    best: dict[tuple[int, int], tuple[_Cost, int | None]], done: int, last: int
) -> list[int]:
    """Entries from first to last, read off the table backwards."""
    way: list[int] = []
    entry: int | None = last
    while entry is not None:
        way.append(entry)
        before = best[done, entry][1]
        done &= ~(1 << entry // 2)
        entry = before
    return way[::-1]


def _nearest(count: int, links: _Links, home: int, *, free: bool) -> list[int]:
    """Entries of the way that always takes the cheapest next column."""
    unsewn = list(range(count))
    way = [0] if free else []
    row = 0 if free else home
    if free:
        unsewn.remove(0)
    while unsewn:
        entries = [2 * k + e for k in unsewn for e in (FIRST, LAST)]
        here = row
        row = min(entries, key=lambda entry: links.cost(here, entry, unsewn))
        unsewn.remove(row // 2)
        way.append(row)
    return way
