"""Numbers and markers set where there is room for them.

The page around the lettering is divided into small cells; those with ink or stitches in them
are taken. Each label tries places around its spot, near ones first, and takes the one that
covers least; labels never cover one another, and the lines from labels to their spots never
cross one another or a label, as long as a place is left.
"""

from collections.abc import Sequence
from functools import lru_cache
from math import inf

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points
from pathgen.model import LetterShape, Plan
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


_Places = NDArray[np.float64]
"""Of each place that is tried for each label, (N, K), or of each label, (N, 1)."""

_Pair = Sequence[float]
"""A place on paper, or a width and a height."""


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
        across = np.floor(taken[:, 0] / self._cell).astype(np.int64)
        down = np.floor((taken[:, 1] - page.zone_top) / self._cell).astype(np.int64)
        first = (int(across.min()), int(down.min())) if len(taken) else (0, 0)
        across, down = across - first[0], down - first[1]
        self._corner = (first[0] * self._cell, first[1] * self._cell + page.zone_top)
        self._wide = int(across.max(initial=0)) + 2
        grid = np.zeros((int(down.max(initial=0)) + 2, self._wide), dtype=np.int32)
        grid.ravel()[(down + 1) * self._wide + across + 1] = 1
        self._sums = grid.cumsum(axis=0, dtype=np.int32).cumsum(axis=1, dtype=np.int32)
        angle = np.arange(TURNS) * (2.0 * np.pi / TURNS) - np.pi / 2.0
        self._ways = np.cos(angle), np.sin(angle)

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
        if not len(spots):
            return []
        half_w, half_h = sizes[:, :1] / 2.0, sizes[:, 1:] / 2.0
        way_x, way_y = self._ways
        reach = np.minimum(
            half_w / np.maximum(np.abs(way_x), 1e-9), half_h / np.maximum(np.abs(way_y), 1e-9)
        )
        far = np.array(DISTANCES_MM) * self._page.unit
        out = reach[:, None, :] + far[:, None]
        many = (len(spots), TURNS * len(far))
        xs = (spots[:, 0, None, None] + out * way_x).reshape(many)
        ys = (spots[:, 1, None, None] + out * way_y).reshape(many)
        cost = np.repeat(far, TURNS) + self._covered(xs, ys, half_w, half_h)
        cost += self._outside(xs, ys, half_w, half_h)
        rows, alone = np.arange(len(spots)), cost.argmin(axis=1)
        best = zip(*(values[rows, alone].tolist() for values in (xs, ys)), strict=True)
        found = []
        for k, (at, size, spot) in enumerate(
            zip(best, sizes.tolist(), spots.tolist(), strict=True)
        ):
            if self._added(at, size, spot if line else None):
                at = self._cheapest(cost[k], xs[k], ys[k], size, spot if line else None)
            found.append(at)
            self.take(at, *size)
            if line:
                self._lines.add((*spot, *at))
        return found

    def take(self, centre: _Pair, width: float, height: float) -> None:
        """Keep later labels off a box."""
        self._boxes.add(_box(centre, width, height))

    def _cheapest(
        self, cost: _Places, xs: _Places, ys: _Places, size: _Pair, spot: _Pair | None
    ) -> tuple[float, float]:
        """The place for a label that is cheapest with the other labels and lines in mind.

        These only make places dearer, so that few need to be asked, the cheapest first.
        """
        tried = np.argsort(cost, kind="stable")
        best, least = (0.0, 0.0), inf
        for alone, *at in zip(*(v[tried].tolist() for v in (cost, xs, ys)), strict=True):
            if alone >= least:
                break
            whole = alone + self._added(at, size, spot, least - alone)
            if whole < least:
                best, least = (at[0], at[1]), whole
        return best

    def _added(self, at: _Pair, size: _Pair, spot: _Pair | None, most: float = inf) -> float:
        """Penalty for the labels and lines that a label meets; not all of it beyond ``most``."""
        penalty = self._clashes(_box(at, *size))
        if spot is not None and penalty < most:
            penalty += self._crossed((spot[0], spot[1], at[0], at[1]))
        return penalty

    def _covered(self, xs: _Places, ys: _Places, half_w: _Places, half_h: _Places) -> _Places:
        """Penalty for ink under each candidate box: (N, K), as its centres are."""
        x, y = (xs - self._corner[0]) / self._cell, (ys - self._corner[1]) / self._cell
        wide, high = half_w / self._cell, half_h / self._cell
        x0, x1 = (np.floor(x - wide).astype(np.int64), np.ceil(x + wide).astype(np.int64))
        y0, y1 = (np.floor(y - high).astype(np.int64), np.ceil(y + high).astype(np.int64))
        cells = np.maximum((x1 - x0) * (y1 - y0), 1)
        last_x, last_y = self._wide - 1, len(self._sums) - 1
        x0, x1 = (np.minimum(np.maximum(v, 0), last_x) for v in (x0, x1))
        y0, y1 = (np.minimum(np.maximum(v, 0), last_y) * self._wide for v in (y0, y1))
        sums = self._sums.ravel()
        count = sums[y1 + x1] - sums[y0 + x1] - sums[y1 + x0] + sums[y0 + x0]
        return COVER_PENALTY_MM * self._page.unit * count / cells

    def _outside(self, xs: _Places, ys: _Places, half_w: _Places, half_h: _Places) -> _Places:
        """Penalty for going too far out: (N, K), as the centres are."""
        inside = np.zeros(xs.shape, dtype=bool)
        for left, top, right, foot in self._lands:
            across = (xs - half_w >= left) & (xs + half_w <= right)
            inside |= across & (ys - half_h >= top) & (ys + half_h <= foot)
        return CLASH_PENALTY_MM * self._page.unit * (1.0 - inside)

    def _clashes(self, box: Span) -> float:
        """Penalty for other labels under a box."""
        x0, y0, x1, y1 = box
        bad = 0
        for left, top, right, foot in self._boxes.around(box):
            if x0 < right and x1 > left and y0 < foot and y1 > top:
                bad += 1
        return CLASH_PENALTY_MM * self._page.unit * bad

    def _crossed(self, way: Span) -> float:
        """Penalty for lines and labels that the line to a label meets."""
        x, y, to_x, to_y = way
        left, right = (x, to_x) if x <= to_x else (to_x, x)
        top, foot = (y, to_y) if y <= to_y else (to_y, y)
        count = sum(_meet(way, other) for other in self._lines.around(way))
        for x0, y0, x1, y1 in self._boxes.around(way):
            if x0 > right or x1 < left or y0 > foot or y1 < top:
                continue
            if not (x0 <= x <= x1 and y0 <= y <= y1):
                # A line that goes through a box meets at least one of its diagonals.
                count += _meet(way, (x0, y0, x1, y1))
                count += _meet(way, (x0, y1, x1, y0))
        return CROSS_PENALTY_MM * self._page.unit * count


def _box(centre: _Pair, width: float, height: float) -> Span:
    """An upright box around a centre."""
    x, y = centre
    return x - width / 2.0, y - height / 2.0, x + width / 2.0, y + height / 2.0


def _meet(one: Span, other: Span) -> bool:
    """Whether two lines cross."""
    x0, y0, x1, y1 = one
    u0, v0, u1, v1 = other
    ax, ay = x1 - x0, y1 - y0
    bx, by = u1 - u0, v1 - v0
    gap_x, gap_y = u0 - x0, v0 - y0
    across = ax * by - ay * bx
    if abs(across) < 1e-12:
        return False
    along, on_other = (gap_x * by - gap_y * bx) / across, (gap_x * ay - gap_y * ax) / across
    return 0.0 < along < 1.0 and 0.0 < on_other < 1.0


def free_room(plan: Plan, page: Page) -> Room:
    """Room around the columns and the needle points of a plan."""
    across = [(_across(letter.shape), letter.at_mm) for letter in plan.letters]
    taken = np.empty((len(plan.needles) + sum(len(x) for (x, _), _ in across), 2))
    for axis, name in enumerate(("x_mm", "y_mm")):
        parts = [points[axis] + at[axis] for points, at in across]
        taken[:, axis] = np.concatenate([plan.needles[name], *parts])
    return Room(page, page.on_paper(taken if page.is_whole else taken[page.holds(taken)]))


@lru_cache(maxsize=4096)
def _across(shape: LetterShape) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Points on the columns of a letter, x and y, mm from its origin."""
    share = np.linspace(0.0, 1.0, ACROSS_STEPS)[:, None, None]
    lefts, rights = (
        np.concatenate([getattr(column, rail) for column in shape.columns] or [np.zeros((0, 2))])
        for rail in ("left", "right")
    )
    x, y = np.moveaxis(lefts + (rights - lefts) * share, 2, 0)
    return x.ravel(), y.ravel()
