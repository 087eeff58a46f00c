"""Numbers and markers set where there is room for them.

The page around the lettering is divided into small cells; those with ink or stitches in them
are taken. Each label tries places around its spot, near ones first, and takes the one that
covers least; labels never cover one another, and the lines from labels to their spots never
cross one another or a label, as long as a place is left.
"""

from collections.abc import Iterable, Sequence
from functools import lru_cache
from math import inf

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points
from pathgen.model import LetterShape, Plan
from pathgen.needles import places_mm
from pathgen.writers.plot_near import Near, Span
from pathgen.writers.plot_page import Page

__all__ = ["Room", "free_room"]

CELL_MM = 0.5
"""Side of a cell on A4 paper."""

SQUARE_MM = 20.0
"""Side of the squares by which labels are kept, on A4: about as far as places are tried."""

ACROSS_STEPS = 9
"""Places across each rung of a column that mark cells as taken."""

TURNS = 16
DISTANCES_MM = (0.3, 0.8, 1.4, 2.2, 3.2, 4.5, 6.5, 9.0)
"""Free distance between spot and label that are tried, on A4 paper."""

COVER_PENALTY_MM = 24.0
"""A label wholly on taken cells counts as this much farther away."""

CLASH_PENALTY_MM = 60.0
"""Covering another label, or reaching the dimensions, is worse than any distance."""


CROSS_PENALTY_MM = 40.0
"""A line to a label that crosses another, or runs under a label, on A4 paper."""

REACH_MM = 5.5
"""How far outside the lettering labels may stand, on A4: short of the dimension lines."""


class Room:
    """The free places of a drawing; every placed label takes its own.

    Parameters
    ----------
    page : Page
        Where the lettering stands.
    taken : (N, 2) float
        Points on paper that are best kept free.
    """

    def __init__(self, page: Page, taken: Points) -> None:
        """Count the taken cells."""
        self._cell = CELL_MM * page.unit
        self._page = page
        reach = REACH_MM * page.unit
        self._lands = [
            (left - reach, top - reach, right + reach, foot + reach)
            for left, top, right, foot in map(page.box_of, page.stretches)
        ]
        self._boxes = Near(SQUARE_MM * page.unit)
        self._lines = Near(SQUARE_MM * page.unit)
        # Counted from the first taken cell to the last: a page is mostly empty.
        cells = np.floor((taken - (0.0, page.zone_top)) / self._cell).astype(int).reshape(-1, 2)
        first = cells.min(axis=0) if len(cells) else np.zeros(2, dtype=int)
        cells -= first
        self._corner = first * self._cell + (0.0, page.zone_top)
        across, down = cells.max(axis=0, initial=0) + 1
        grid = np.zeros((down + 1, across + 1), dtype=np.int32)
        grid[cells[:, 1] + 1, cells[:, 0] + 1] = 1
        self._sums = grid.cumsum(axis=0, dtype=np.int32).cumsum(axis=1, dtype=np.int32)
        angle = np.arange(TURNS) * (2.0 * np.pi / TURNS) - np.pi / 2.0
        self._ways = np.column_stack([np.cos(angle), np.sin(angle)])

    def places(
        self, spots: Points, sizes: Points, *, line: bool = True
    ) -> list[tuple[float, float]]:
        """Centres of labels for spots, one after the other, all on paper.

        The place of each is then taken. So is the straight line from spot to label, where
        there will be one.

        Parameters
        ----------
        spots, sizes : (N, 2) float
            What the labels are for; how wide and high each is.
        line : bool
            Whether a line leads from spot to label.
        """
        halves = sizes / 2.0
        reach = (halves[:, None] / np.maximum(np.abs(self._ways), 1e-9)).min(axis=2)
        far = np.array(DISTANCES_MM) * self._page.unit
        out = reach[:, None, :] + far[:, None]
        centres = spots[:, None, None] + out[..., None] * self._ways
        centres = centres.reshape(len(spots), TURNS * len(far), 2)
        cost = np.repeat(far, TURNS) + self._covered(centres, halves)
        cost += self._outside(centres, halves)
        # Whatever labels and lines add makes a place dearer: few of the places need to be asked.
        cheapest_first = np.argsort(cost, axis=1, kind="stable")
        found = []
        for k, spot in enumerate(spots.tolist()):
            tried = cheapest_first[k]
            places = zip(cost[k, tried].tolist(), centres[k, tried].tolist(), strict=True)
            size = (float(sizes[k, 0]), float(sizes[k, 1]))
            found.append(self._cheapest(spot, size, places, line=line))
            self.take(found[-1], *size)
            if line:
                self._lines.add(Span(spot[0], spot[1], *found[-1]))
        return found

    def take(self, centre: tuple[float, float], width: float, height: float) -> None:
        """Keep later labels off a box."""
        self._boxes.add(_box(centre, width, height))

    def _cheapest(
        self,
        spot: Sequence[float],
        size: tuple[float, float],
        places: Iterable[tuple[float, Sequence[float]]],
        *,
        line: bool,
    ) -> tuple[float, float]:
        """The place for a label that is cheapest with the other labels and lines in mind."""
        best, least = (0.0, 0.0), inf
        for alone, (x, y) in places:
            if alone >= least:
                break
            cost = alone + self._clashes(_box((x, y), *size))
            if line and cost < least:
                cost += self._crossed(Span(spot[0], spot[1], x, y))
            if cost < least:
                best, least = (x, y), cost
        return best

    def _covered(self, centres: Points, halves: Points) -> NDArray[np.float64]:
        """Penalty for ink under each candidate box: (N, K) for centres (N, K, 2)."""
        down, across = self._sums.shape
        at = (centres - self._corner) / self._cell
        reach = (halves / self._cell)[:, None]
        low, high = np.floor(at - reach).astype(int), np.ceil(at + reach).astype(int)
        cells = np.maximum((high - low).prod(axis=2), 1)
        last = (across - 1, down - 1)
        s = self._sums
        x0, y0 = np.moveaxis(np.clip(low, 0, last), 2, 0)
        x1, y1 = np.moveaxis(np.clip(high, 0, last), 2, 0)
        count = s[y1, x1] - s[y0, x1] - s[y1, x0] + s[y0, x0]
        return COVER_PENALTY_MM * self._page.unit * count / cells

    def _outside(self, centres: Points, halves: Points) -> NDArray[np.float64]:
        """Penalty for going too far out: (N, K) for centres (N, K, 2)."""
        low, high = centres - halves[:, None], centres + halves[:, None]
        inside = np.zeros(centres.shape[:2], dtype=bool)
        for land in self._lands:
            inside |= ((low >= land[:2]) & (high <= land[2:])).all(axis=2)
        return CLASH_PENALTY_MM * self._page.unit * (1.0 - inside)

    def _clashes(self, box: Span) -> float:
        """Penalty for other labels under a box."""
        x0, y0, x1, y1 = box
        bad = sum(
            x0 < right and x1 > left and y0 < foot and y1 > top
            for left, top, right, foot in self._boxes.around(box)
        )
        return CLASH_PENALTY_MM * self._page.unit * bad

    def _crossed(self, way: Span) -> float:
        """Penalty for lines and labels that the line to a label meets."""
        count = sum(_meet(way, other) for other in self._lines.around(way))
        x, y = way[:2]
        for left, top, right, foot in self._boxes.around(way):
            if not (left <= x <= right and top <= y <= foot):
                # A line that goes through a box meets at least one of its diagonals.
                count += _meet(way, Span(left, top, right, foot))
                count += _meet(way, Span(left, foot, right, top))
        return CROSS_PENALTY_MM * self._page.unit * count


def _box(centre: tuple[float, float], width: float, height: float) -> Span:
    """An upright box around a centre."""
    x, y = centre
    return Span(x - width / 2.0, y - height / 2.0, x + width / 2.0, y + height / 2.0)


def _meet(one: Span, other: Span) -> bool:
    """Whether two lines cross."""
    ax, ay = one.x1 - one.x0, one.y1 - one.y0
    bx, by = other.x1 - other.x0, other.y1 - other.y0
    gap_x, gap_y = other.x0 - one.x0, other.y0 - one.y0
    across = ax * by - ay * bx
    if abs(across) < 1e-12:
        return False
    along, on_other = (gap_x * by - gap_y * bx) / across, (gap_x * ay - gap_y * ax) / across
    return 0.0 < along < 1.0 and 0.0 < on_other < 1.0


def free_room(plan: Plan, page: Page) -> Room:
    """Room around the columns and the needle points of a plan."""
    across = [_across(letter.shape) + letter.at_mm for letter in plan.letters]
    taken = np.concatenate([places_mm(plan.needles), *across])
    return Room(page, page.on_paper(taken[page.holds(taken)]))


@lru_cache(maxsize=4096)
def _across(shape: LetterShape) -> Points:
    """Points on the columns of a letter, (N, 2), mm from its origin."""
    share = np.linspace(0.0, 1.0, ACROSS_STEPS)[:, None, None]
    lefts, rights = (
        np.concatenate([getattr(column, rail) for column in shape.columns] or [np.zeros((0, 2))])
        for rail in ("left", "right")
    )
    return (lefts + (rights - lefts) * share).reshape(-1, 2)
