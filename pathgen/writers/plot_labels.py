"""Numbers and markers set where there is room for them.

The page around the lettering is divided into small cells; those with ink or stitches in them
are taken. Each label tries places around its spot, near ones first, and takes the one that
covers least; labels never cover one another, and the lines from labels to their spots never
cross one another or a label, as long as a place is left.
"""

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points
from pathgen.model import Plan
from pathgen.needles import places_mm
from pathgen.writers.plot_near import Near
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
        self._corner = np.array([0.0, page.zone_top])
        high = page.zone_foot - page.zone_top
        shape = (int(high / self._cell) + 2, int(page.width / self._cell) + 2)
        grid = np.zeros(shape, dtype=np.int32)
        cells = ((taken - self._corner) / self._cell).astype(int)
        cells = np.clip(cells, 0, (shape[1] - 2, shape[0] - 2))
        grid[cells[:, 1] + 1, cells[:, 0] + 1] = 1
        self._sums = grid.cumsum(axis=0, dtype=np.int32).cumsum(axis=1, dtype=np.int32)
        angle = np.arange(TURNS) * (2.0 * np.pi / TURNS) - np.pi / 2.0
        self._ways = np.column_stack([np.cos(angle), np.sin(angle)])

    def place(
        self, spot: Points, width: float, height: float, *, line: bool = True
    ) -> tuple[float, float]:
        """Centre of a label for a spot (2,), all on paper; its place is then taken.

        So is the straight line from spot to label, where there will be one.
        """
        half = np.array([width, height]) / 2.0
        reach = np.minimum(*(half / np.maximum(np.abs(self._ways), 1e-9)).T)
        far = np.array(DISTANCES_MM) * self._page.unit
        centres = spot + (reach + far[:, None])[..., None] * self._ways
        centres = centres.reshape(-1, 2)
        cost = np.repeat(far, TURNS) + self._covered(centres, half) + self._clashes(centres, half)
        if line:
            cost += self._crossed(spot, centres)
        best = centres[int(np.argmin(cost))]
        if line:
            self._lines.add(*spot.tolist(), *best.tolist())
        self.take(best, width, height)
        return float(best[0]), float(best[1])

    def take(self, centre: Points | tuple[float, float], width: float, height: float) -> None:
        """Keep later labels off a box."""
        x, y = centre
        self._boxes.add(x - width / 2, y - height / 2, x + width / 2, y + height / 2)

    def _covered(self, centres: Points, half: Points) -> NDArray[np.float64]:
        """Penalty for ink under each candidate box."""
        rows, cols = np.array(self._sums.shape) - 1
        at = (centres - self._corner) / self._cell
        reach = half / self._cell
        low = np.clip(np.floor(at - reach).astype(int), 0, (cols, rows))
        high = np.clip(np.ceil(at + reach).astype(int), 0, (cols, rows))
        s = self._sums
        count = (
            s[high[:, 1], high[:, 0]]
            - s[low[:, 1], high[:, 0]]
            - s[high[:, 1], low[:, 0]]
            + s[low[:, 1], low[:, 0]]
        )
        cells = np.maximum((high - low).prod(axis=1), 1)
        return COVER_PENALTY_MM * self._page.unit * count / cells

    def _clashes(self, centres: Points, half: Points) -> NDArray[np.float64]:
        """Penalty for other labels under each candidate box, and for going too far out."""
        low, high = centres - half, centres + half
        x0, y0, x1, y1 = np.array(self._lands).T
        inside = (low[:, :1] >= x0) & (high[:, :1] <= x1)
        inside &= (low[:, 1:] >= y0) & (high[:, 1:] <= y1)
        bad = 1.0 - inside.any(axis=1)
        x0, y0, x1, y1 = self._boxes.around(*low.min(axis=0).tolist(), *high.max(axis=0).tolist())
        over = (low[:, :1] < x1) & (high[:, :1] > x0) & (low[:, 1:] < y1) & (high[:, 1:] > y0)
        bad += over.sum(axis=1)
        return CLASH_PENALTY_MM * self._page.unit * bad

    def _crossed(self, spot: Points, centres: Points) -> NDArray[np.float64]:
        """Penalty for lines and labels that the line to each candidate meets."""
        reach = (*centres.min(axis=0).tolist(), *centres.max(axis=0).tolist())
        lines = self._lines.around(*reach).T
        x0, y0, x1, y1 = self._boxes.around(*reach)
        away = (spot[0] < x0) | (spot[0] > x1) | (spot[1] < y0) | (spot[1] > y1)
        # Of each box both diagonals: a line that meets one of them goes through the box.
        starts = np.concatenate([lines[:, :2], np.stack([x0, y0], 1), np.stack([x0, y1], 1)])
        stops = np.concatenate([lines[:, 2:], np.stack([x1, y1], 1), np.stack([x1, y0], 1)])
        asked = np.concatenate([np.ones(len(lines), dtype=bool), away, away])
        count = _meet(spot, centres, starts[asked], stops[asked]).sum(axis=1)
        return CROSS_PENALTY_MM * self._page.unit * count


def _meet(spot: Points, ends: Points, starts: Points, stops: Points) -> NDArray[np.bool_]:
    """Which lines from a spot to ``ends`` (N, 2) cross which lines (M, 2) to (M, 2): (N, M)."""
    ways, lines = ends - spot, stops - starts
    gaps = starts - spot
    across = ways[:, None, 0] * lines[None, :, 1] - ways[:, None, 1] * lines[None, :, 0]
    across = np.where(np.abs(across) < 1e-12, np.inf, across)
    along = (gaps[:, 0] * lines[:, 1] - gaps[:, 1] * lines[:, 0])[None, :] / across
    other = (gaps[None, :, 0] * ways[:, None, 1] - gaps[None, :, 1] * ways[:, None, 0]) / across
    inside: NDArray[np.bool_] = (along > 0.0) & (along < 1.0) & (other > 0.0) & (other < 1.0)
    return inside


def free_room(plan: Plan, page: Page) -> Room:
    """Room around the columns and the needle points of a plan."""
    share = np.linspace(0.0, 1.0, ACROSS_STEPS)[:, None, None]
    across = [
        (column.left + (column.right - column.left) * share).reshape(-1, 2)
        for letter in plan.letters
        for column in letter.columns
    ]
    needles = places_mm(plan.needles)
    taken = np.concatenate([needles, *across])
    return Room(page, page.on_paper(taken[page.holds(taken)]))
