"""Penetrations that are near each other: in one stretch, and in stretches beside each other.

Which rows of two stretches are near depends on nothing but how the second stands to the first,
so it is found once and kept; how far apart they are is told in place.
"""

from collections.abc import Sequence
from itertools import accumulate
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Box, boxes_near, neighbours
from pathgen.kept import Kept
from pathgen.model import Letter
from pathgen.needles import places_mm, tables_joined
from pathgen.settings import HEAP_MM, Settings
from pathgen.stretches import Known, Stretch, boxes, way_mm

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


def _near_each(stretches: Sequence[Stretch]) -> list[Near]:
    """Near penetrations of each of several stretches, found in one go."""
    reach_mm = np.array([_reach_mm(one.settings) for one in stretches])
    starts = first_rows(stretches)
    own = np.repeat(np.arange(len(stretches)), np.diff(starts))
    xy = places_mm(tables_joined([one.rows for one in stretches]))
    pairs, distances = neighbours(xy, float(reach_mm.max()), own)
    which = own[pairs[:, 0]]
    order = np.argsort(which, kind="stable")
    order = order[distances[order] <= reach_mm[which[order]]]
    ends = np.searchsorted(which[order], np.arange(1, len(stretches)))
    found = zip(
        np.split(pairs[order], ends), np.split(distances[order], ends), starts[:-1], strict=True
    )
    # Each has arrays of its own, as it is kept by itself.
    return [Near(rows - start, apart.copy()) for rows, apart, start in found]


near_inside: Known[Near] = Known(_near_each)
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
    for (left, foot, right, top), (x, y) in zip(boxes(stretches), places, strict=True):
        found.append((left + x, foot + y, right + x, top + y))
    return found


_Pair = tuple[Stretch, Stretch, float, float]
"""Two stretches, and the way from the letter of the first to that of the second."""

_SLACK_MM = 1e-6
"""More than what places lose when they are told from elsewhere."""


def _found_beside(pairs: Sequence[_Pair], settings: Settings) -> list[NDArray[np.int64]]:
    """Rows of two stretches that are near each other, or may be, (P, 2)."""
    if not pairs:
        return []
    reach_mm = _reach_mm(settings) + _SLACK_MM
    stretches = [stretch for pair in pairs for stretch in pair[:2]]
    places = [place for _, _, x, y in pairs for place in ((0.0, 0.0), (x, y))]
    starts = first_rows(stretches)
    own = np.repeat(np.arange(len(stretches)), np.diff(starts))
    xy = places_mm(tables_joined([one.rows for one in stretches])) + np.array(places)[own]
    # Only rows near the other's box are looked at.
    other = np.array(_boxes(stretches, places))[own ^ 1]
    looked = (xy >= other[:, :2] - reach_mm) & (xy <= other[:, 2:] + reach_mm)
    rows = np.flatnonzero(looked.all(axis=1))
    found = rows[neighbours(xy[rows], reach_mm, own[rows] // 2)[0]]
    found = found[own[found[:, 0]] != own[found[:, 1]]]
    which = own[found[:, 0]] // 2
    return [found[which == n] - starts[2 * n : 2 * n + 2] for n in range(len(pairs))]


_beside: Kept[_Pair, NDArray[np.int64]] = Kept(_found_beside, most=8192)
