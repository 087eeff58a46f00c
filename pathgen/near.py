"""Penetrations that are near each other: in one stretch, and in stretches beside each other.

Which rows of two stretches are near depends on nothing but how the second stands to the first,
so it is found once and kept; how far apart they are is told in place.
"""

from collections.abc import Sequence
from itertools import accumulate
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Box, Points, boxes_near, neighbours, spans
from pathgen.kept import Kept
from pathgen.model import Letter
from pathgen.needles import places_mm
from pathgen.settings import HEAP_MM, Settings
from pathgen.stretches import Known, Stretch, way_mm

__all__ = ["Near", "first_rows", "near_across", "near_inside", "near_together"]


class Near(NamedTuple):
    """Penetrations no farther apart than the blade's radius, or a heap's where that is more.

    Attributes
    ----------
    pairs : (P, 2) int
        Their rows, the lower one first.
    distances_mm : (P,) float
        How far apart they are.
    """

    pairs: NDArray[np.int64]
    distances_mm: NDArray[np.float64]


def _reach_mm(settings: Settings) -> float:
    return max(settings.needle.blade_mm / 2.0, HEAP_MM)


def near_together(needles: NDArray[np.void], settings: Settings) -> Near:
    """Near penetrations of a needle table."""
    return Near(*neighbours(places_mm(needles), _reach_mm(settings)))


near_inside: Known[Near] = Known(
    lambda stretches: [near_together(one.rows, one.settings) for one in stretches]
)
"""Near penetrations inside each stretch."""


def first_rows(stretches: Sequence[Stretch]) -> NDArray[np.int64]:
    """First row of each stretch of a needle table, and how many rows there are, (S + 1,)."""
    return np.array([*accumulate([len(one.rows) for one in stretches], initial=0)])


def near_across(
    needles: NDArray[np.void],
    starts: NDArray[np.int64],
    letters: Sequence[Letter],
    stretches: Sequence[Stretch],
    *,
    kept: bool,
) -> Near:
    """Near penetrations of different stretches, all of one setting, in the places of letters.

    Kept are those of stretches that may come again, which are kept themselves.
    """
    if len(stretches) < 2:
        return _none()
    settings = stretches[0].settings
    reach_mm = _reach_mm(settings)
    both = boxes_near(_boxes(stretches, [letter.at_mm for letter in letters]), reach_mm)
    asked = [(stretches[a], stretches[b], *way_mm(letters[a], letters[b])) for a, b in both]
    found = _beside(asked, settings) if kept else _found_beside(asked, settings)
    pairs = [rows + starts[list(ends)] for ends, rows in zip(both, found, strict=True) if len(rows)]
    if not pairs:
        return _none()
    rows = np.concatenate(pairs)
    one, other = places_mm(needles[rows[:, 0]]), places_mm(needles[rows[:, 1]])
    distances = np.hypot(*(one - other).T)
    near = distances <= reach_mm
    return Near(rows[near], distances[near])


def _none() -> Near:
    return Near(np.zeros((0, 2), dtype=np.int64), np.zeros(0))


def _boxes(stretches: Sequence[Stretch], places: Sequence[tuple[float, float]]) -> list[Box]:
    """Boxes of stretches in their places."""
    found = []
    for one, (x, y) in zip(stretches, places, strict=True):
        left, foot, right, top = one.box_mm
        found.append((left + x, foot + y, right + x, top + y))
    return found


_Pair = tuple[Stretch, Stretch, float, float]
"""Two stretches, and the way from the letter of the first to that of the second."""

_SLACK_MM = 1e-6
"""More than what places lose when they are told from elsewhere."""


def _found_beside(pairs: Sequence[_Pair], settings: Settings) -> list[NDArray[np.int64]]:
    """Rows of two stretches that are near each other, or may be, (P, 2)."""
    reach_mm, right_mm = _reach_mm(settings) + _SLACK_MM, 0.0
    stretches = [stretch for pair in pairs for stretch in pair[:2]]
    places: list[tuple[float, float]] = []
    # All pairs are looked at in one row, each out of reach of the next.
    for one, other, x, y in pairs:
        at = right_mm + 2.0 * reach_mm - min(one.box_mm[0], other.box_mm[0] + x)
        right_mm = at + max(one.box_mm[2], other.box_mm[2] + x)
        places += [(at, 0.0), (at + x, y)]
    if not pairs:
        return []
    xy = np.concatenate(
        [places_mm(one.rows) + place for one, place in zip(stretches, places, strict=True)]
    )
    starts = first_rows(stretches)
    found = _across(xy, starts, _boxes(stretches, places), reach_mm)
    which = np.searchsorted(starts[2::2], found[:, 0], side="right")
    return [found[which == n] - starts[2 * n : 2 * n + 2] for n in range(len(pairs))]


_beside: Kept[_Pair, NDArray[np.int64]] = Kept(_found_beside, most=8192)


def _across(
    xy_mm: Points, starts: NDArray[np.int64], boxes: Sequence[Box], reach_mm: float
) -> NDArray[np.int64]:
    """Near rows of different stretches: only those near another's box are looked at."""
    both = np.array(boxes_near(boxes, reach_mm), dtype=np.int64).reshape(-1, 2)
    one, other = np.concatenate([both, both[:, ::-1]]).T
    which, row = spans(starts[one], starts[one + 1])
    box = np.array(boxes)[other[which]]
    x, y = xy_mm[row].T
    inside = (x >= box[:, 0] - reach_mm) & (x <= box[:, 2] + reach_mm)
    inside &= (y >= box[:, 1] - reach_mm) & (y <= box[:, 3] + reach_mm)
    looked = np.zeros(len(xy_mm), dtype=bool)
    looked[row[inside]] = True
    rows = np.flatnonzero(looked)
    pairs = rows[neighbours(xy_mm[rows], reach_mm)[0]]
    stretch = np.searchsorted(starts, pairs, side="right")
    return np.asarray(pairs[stretch[:, 0] != stretch[:, 1]])
