"""A needle table with the stretches that it is made of, and what joins them.

Two letters are joined by the hole that the needle comes from, which the stretch itself knows of,
and by penetrations that are near each other, which are told here.
"""

from collections.abc import Sequence
from itertools import accumulate, pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import boxes_near, neighbours, spans
from pathgen.model import Letter
from pathgen.needles import NEEDLE_TABLE, Arrive, places_mm
from pathgen.settings import HEAP_MM, Settings
from pathgen.stretches import Known, Stretch, came_from

__all__ = ["Near", "Sewing", "joined", "near_inside", "near_together", "sewing_of"]


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


class Sewing(NamedTuple):
    """A needle table, and the stretches that it is made of.

    Attributes
    ----------
    needles : structured array of NEEDLE_TABLE
        In sewing order.
    letters : tuple of Letter
        That of each stretch.
    stretches : tuple of Stretch
        In sewing order.
    starts : (S + 1,) int
        First row of each stretch, and how many rows there are.
    across : Near
        Penetrations of different stretches that are near each other.
    """

    needles: NDArray[np.void]
    letters: tuple[Letter, ...]
    stretches: tuple[Stretch, ...]
    starts: NDArray[np.int64]
    across: Near


def joined(letters: Sequence[Letter], stretches: Sequence[Stretch]) -> Sewing:
    """Stretches of one setting, each in the place of its letter."""
    table = np.frombuffer(bytearray(b"".join([one.data for one in stretches])), NEEDLE_TABLE)
    sizes = [len(one.rows) for one in stretches]
    places = np.array([letter.at_mm for letter in letters]).reshape(-1, 2)
    table["x_mm"] += np.repeat(places[:, 0], sizes)
    table["y_mm"] += np.repeat(places[:, 1], sizes)
    table["line"] = np.repeat([letter.line for letter in letters], sizes)
    table["letter"] = np.repeat([letter.index for letter in letters], sizes)
    table["arrive"][:1] = Arrive.JUMP
    return _sewing(table, letters, stretches)


def sewing_of(needles: NDArray[np.void], letters: Sequence[Letter], settings: Settings) -> Sewing:
    """The stretches that any needle table is made of."""
    by_place = {(letter.line, letter.index): letter for letter in letters}
    line, index = needles["line"], needles["letter"]
    new = (line[1:] != line[:-1]) | (index[1:] != index[:-1])
    cuts = [0, *(np.flatnonzero(new) + 1).tolist(), len(needles)] if len(needles) else [0]
    sewn: list[Letter] = []
    stretches: list[Stretch] = []
    for start, end in pairwise(cuts):
        letter = by_place[int(line[start]), int(index[start])]
        rows = needles[start:end].copy()
        rows["x_mm"] -= letter.at_mm[0]
        rows["y_mm"] -= letter.at_mm[1]
        rows["line"] = rows["letter"] = 0
        came = None
        if start and rows["arrive"][0] == Arrive.SEW:
            came = came_from(sewn[-1], stretches[-1], letter)
        sewn.append(letter)
        stretches.append(Stretch(letter.shape, settings, rows, came))
    return _sewing(needles, sewn, stretches)


def _sewing(
    needles: NDArray[np.void], letters: Sequence[Letter], stretches: Sequence[Stretch]
) -> Sewing:
    """A needle table of stretches in their places."""
    starts = np.array([*accumulate([len(one.rows) for one in stretches], initial=0)])
    near = Near(np.zeros((0, 2), dtype=np.int64), np.zeros(0))
    if len(stretches) > 1:
        boxes = np.array([one.box_mm for one in stretches])
        boxes += np.tile([letter.at_mm for letter in letters], 2)
        near = _across(places_mm(needles), starts, boxes, _reach_mm(stretches[0].settings))
    return Sewing(needles, tuple(letters), tuple(stretches), starts, near)


def _across(
    xy_mm: NDArray[np.float64],
    starts: NDArray[np.int64],
    boxes: NDArray[np.float64],
    reach_mm: float,
) -> Near:
    """Near penetrations of different stretches: only those near another's box are looked at."""
    both = boxes_near(boxes, reach_mm)
    one, other = np.concatenate([both, both[:, ::-1]]).T
    which, row = spans(starts[one], starts[one + 1])
    box = boxes[other[which]]
    x, y = xy_mm[row].T
    inside = (x >= box[:, 0] - reach_mm) & (x <= box[:, 2] + reach_mm)
    inside &= (y >= box[:, 1] - reach_mm) & (y <= box[:, 3] + reach_mm)
    looked = np.zeros(len(xy_mm), dtype=bool)
    looked[row[inside]] = True
    rows = np.flatnonzero(looked)
    pairs, distances = neighbours(xy_mm[rows], reach_mm)
    pairs = rows[pairs]
    stretch = np.searchsorted(starts, pairs, side="right")
    apart = stretch[:, 0] != stretch[:, 1]
    return Near(pairs[apart], distances[apart])
