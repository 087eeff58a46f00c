"""Numbers and markers set where there is room for them.

Each label tries places around its spot, near ones first, and takes the one that covers least of
the ink and the stitches. Labels never cover one another, and the lines from labels to their spots
never cross one another or a label, as long as a place is left.
"""

from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import islice
from math import inf
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points, boxes_near
from pathgen.model import LetterShape, Plan
from pathgen.writers.plot_ground import Ground, Measures
from pathgen.writers.plot_page import Page

__all__ = ["Asked", "Room", "free_room"]

CELL_MM = 0.5
"""Side of a cell on A4 paper."""

ACROSS_STEPS = 9
"""Places across each rung of a column that mark cells as taken."""

TURNS = 16
DISTANCES_MM = (0.3, 0.8, 1.4, 2.2, 3.2, 4.5, 6.5, 9.0)
"""Free distance between spot and label that are tried, on A4 paper."""

NEAR = 5
"""Of these, so many are tried first; farther ones only where nothing cheaper is found there."""

_ANGLES = np.arange(TURNS) * (2.0 * np.pi / TURNS) - np.pi / 2.0
_WAYS = np.cos(_ANGLES), np.sin(_ANGLES)
_ACROSS, _DOWN = (np.maximum(np.abs(way), 1e-9) for way in _WAYS)

COVER_PENALTY_MM = 24.0
"""A label wholly on taken cells counts as this much farther away."""

CLASH_PENALTY_MM = 60.0
"""Covering another label, or reaching the dimensions, is worse than any distance."""


CROSS_PENALTY_MM = 40.0
"""A line to a label that crosses another, or runs under a label, on A4 paper."""

REACH_MM = 5.5
"""How far outside the lettering labels may stand, on A4: short of the dimension lines."""


_Pair = Sequence[float]
"""A place on paper, or a width and a height."""


_Place = tuple[float, float]

_Span = tuple[float, float, float, float]
"""A box on paper, told by two opposite corners, or a line, told by its two ends: x, y, x, y."""

_Others = tuple[Sequence[_Span], Sequence[_Span] | None]
"""Boxes and lines that a label may meet; None for no lines."""


class Asked(NamedTuple):
    """Labels that want a place.

    Attributes
    ----------
    spots, sizes : (N, 2) float
        What they are for, on paper; how wide and high each is.
    line : bool
        Whether a line leads from spot to label.
    """

    spots: Points
    sizes: Points
    line: bool = True


class _Tried(NamedTuple):
    """Places that are tried for labels, (N, K): what each costs by itself, and its centre."""

    cost: Measures
    xs: Measures
    ys: Measures


class Room:
    """The free places of a drawing, for all its labels at once.

    Parameters
    ----------
    page : Page
        Where the lettering stands.
    taken_x, taken_y : (N,) float
        Points on paper that are best kept free.
    """

    def __init__(self, page: Page, taken_x: Measures, taken_y: Measures) -> None:
        """No labels yet."""
        unit = page.unit
        self._unit = unit
        self._ground = Ground(taken_x, taken_y, page.zone_top, CELL_MM * unit)
        reach = REACH_MM * unit
        self._lands = [
            (left - reach, top - reach, right + reach, foot + reach)
            for left, top, right, foot in map(page.box_of, page.stretches)
        ]
        self._far = [distance * unit for distance in DISTANCES_MM]
        self._taken: dict[_Span, None] = {}

    def take(self, centre: _Pair, width: float, height: float) -> None:
        """Keep labels off a box."""
        self._taken[_box(centre, width, height)] = None

    def places(self, *asked: Asked) -> list[list[_Place]]:
        """Centres of labels, group by group, one label after the other, all on paper.

        Each keeps off those before it, and so does the straight line to it from its spot, where
        there will be one.
        """
        spots = np.concatenate([each.spots for each in asked])
        sizes = np.concatenate([each.sizes for each in asked])
        if not len(spots):
            return [[] for _ in asked]
        tried = self._tried(spots, sizes, 0, NEAR)
        rows, first = np.arange(len(spots)), tried.cost.argmin(axis=1)
        alone, xs, ys = (values[rows, first].tolist() for values in tried)
        met = self._met(spots, sizes)
        labels = iter(zip(range(len(spots)), spots.tolist(), sizes.tolist(), strict=True))
        boxes: list[_Span] = list(self._taken)
        lines: list[_Span | None] = [None] * len(boxes)
        found: list[list[_Place]] = []
        for each in asked:
            found.append([])
            for k, spot, size in islice(labels, len(each.spots)):
                place = (xs[k], ys[k])
                ways = [way for i in met[k] if (way := lines[i])] if each.line else None
                near = [boxes[i] for i in met[k]], ways
                if alone[k] > self._far[NEAR] or self._added(place, spot, size, near):
                    place = self._cheapest(tried, k, spot, size, near)
                found[-1].append(place)
                boxes.append(_box(place, *size))
                lines.append((spot[0], spot[1], *place) if each.line else None)
        return found

    def _met(self, spots: Points, sizes: Points) -> list[list[int]]:
        """For each label what it may meet wherever it is tried: taken boxes, then earlier labels.

        Without it the labels of a long text would be held against all others, in time that grows
        with the square of their number.
        """
        reach = sizes + self._far[-1]
        tried = np.concatenate([spots - reach, spots + reach], axis=1).tolist()
        boxes = [*self._taken, *map(tuple, tried)]
        out: list[list[int]] = [[] for _ in boxes]
        for earlier, later in boxes_near(boxes, 0.0):
            out[later].append(earlier)
        return out[len(self._taken) :]

    def _tried(self, spots: Points, sizes: Points, first: int, last: int) -> _Tried:
        """Places around spots at some of the distances, the nearest first."""
        half_w, half_h = sizes[:, :1] / 2.0, sizes[:, 1:] / 2.0
        reach = np.minimum(half_w / _ACROSS, half_h / _DOWN)
        far = np.array(self._far[first:last])
        out = reach[:, None, :] + far[:, None]
        many = (len(spots), TURNS * len(far))
        xs = (spots[:, :1, None] + out * _WAYS[0]).reshape(many)
        ys = (spots[:, 1:, None] + out * _WAYS[1]).reshape(many)
        whole = COVER_PENALTY_MM * self._unit
        cost = self._ground.covered(xs, ys, half_w, half_h, whole)
        cost += np.repeat(far, TURNS)
        inside = np.zeros(many, dtype=bool)
        for left, top, right, foot in self._lands:
            across = (xs >= left + half_w) & (xs <= right - half_w)
            inside |= across & (ys >= top + half_h) & (ys <= foot - half_h)
        cost += ~inside * (CLASH_PENALTY_MM * self._unit)
        return _Tried(cost, xs, ys)

    def _cheapest(
        self, tried: _Tried, k: int, spot: _Pair, size: _Pair, near: _Others
    ) -> tuple[float, float]:
        """The place for label k that is cheapest with the other labels and lines in mind."""
        best, least = self._cheaper(tried, k, spot, size, near, ((0.0, 0.0), inf))
        if least > self._far[NEAR]:
            more = self._tried(np.array([spot]), np.array([size]), NEAR, len(self._far))
            best, _ = self._cheaper(more, 0, spot, size, near, (best, least))
        return best

    def _cheaper(
        self,
        tried: _Tried,
        k: int,
        spot: _Pair,
        size: _Pair,
        near: _Others,
        best: tuple[_Place, float],
    ) -> tuple[_Place, float]:
        """The cheapest place and its cost, of those tried for label k and the best so far.

        Labels and lines only make places dearer, so that few need to be asked.
        """
        place, least = best
        costs, xs, ys = (values[k] for values in tried)
        for at in costs.argsort(kind="stable").tolist():
            alone = costs.item(at)
            if alone >= least:
                break
            here = (xs.item(at), ys.item(at))
            cost = alone + self._added(here, spot, size, near, least - alone)
            if cost < least:
                place, least = here, cost
        return place, least

    def _added(
        self, place: _Place, spot: _Pair, size: _Pair, near: _Others, most: float = inf
    ) -> float:
        """Penalty for the labels and lines that a label meets; not all of it beyond ``most``."""
        boxes, lines = near
        (x, y), (wide, high) = place, size
        x0, x1, y0, y1 = x - wide / 2.0, x + wide / 2.0, y - high / 2.0, y + high / 2.0
        bad = 0
        for left, top, right, foot in boxes:
            if x0 < right and x1 > left and y0 < foot and y1 > top:
                bad += 1
        penalty = CLASH_PENALTY_MM * self._unit * bad
        if lines is None or penalty >= most:
            return penalty
        crossed = _crossed((spot[0], spot[1], x, y), boxes, lines)
        return penalty + CROSS_PENALTY_MM * self._unit * crossed


def _crossed(way: _Span, boxes: Iterable[_Span], lines: Iterable[_Span]) -> int:
    """How often a line to a label meets other lines, and diagonals of other labels."""
    x, y, to_x, to_y = way
    left, right = (x, to_x) if x <= to_x else (to_x, x)
    top, foot = (y, to_y) if y <= to_y else (to_y, y)
    count = 0
    for x0, y0, x1, y1 in boxes:
        if x0 > right or x1 < left or y0 > foot or y1 < top:
            continue
        if not (x0 <= x <= x1 and y0 <= y <= y1):
            # A line that goes through a box meets at least one of its diagonals.
            count += _meet(way, (x0, y0, x1, y1)) + _meet(way, (x0, y1, x1, y0))
    for line in lines:
        x0, y0, x1, y1 = line
        if (x0 > right and x1 > right) or (x0 < left and x1 < left):
            continue
        if (y0 > foot and y1 > foot) or (y0 < top and y1 < top):
            continue
        count += _meet(way, line)
    return count


def _box(centre: _Pair, width: float, height: float) -> _Span:
    """An upright box around a centre."""
    x, y = centre
    return x - width / 2.0, y - height / 2.0, x + width / 2.0, y + height / 2.0


def _meet(one: _Span, other: _Span) -> bool:
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
    across = [_across(letter.shape) for letter in plan.letters]
    sizes = [len(points[0]) for points in across]
    xs, ys = (
        np.concatenate(
            [
                plan.needles[name],
                np.concatenate([np.zeros(0), *(points[axis] for points in across)])
                + np.repeat([letter.at_mm[axis] for letter in plan.letters], sizes),
            ]
        )
        for axis, name in enumerate(("x_mm", "y_mm"))
    )
    if not page.is_whole:
        held = page.holds(np.stack([xs, ys], axis=1))
        xs, ys = xs[held], ys[held]
    return Room(page, *page.both_on_paper(xs, ys))


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
