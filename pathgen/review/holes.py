"""How close penetrations are: counted once, judged by several checks, drawn by the plot.

Around each penetration those within a disc of the blade's size are counted, itself included,
and divided by the disc's area. All penetrations count, ties and travel too: each is a hole.
"""

from collections.abc import Sequence
from dataclasses import fields
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points
from pathgen.near import Near, near_inside, near_together
from pathgen.needles import Crowding, Part, places_mm
from pathgen.settings import HEAP_MM, Settings
from pathgen.sewing import Sewing
from pathgen.stretches import Known, Stretch

__all__ = ["Holes", "crowding_together", "holes_in", "holes_of"]


class Holes(NamedTuple):
    """How many near neighbours the penetrations of a needle table have.

    Attributes
    ----------
    xy_mm : (N, 2) float
        Where each is.
    crowding : Crowding
        Density and nearest neighbour of each.
    heap : (N,) int
        How many penetrations lie within `HEAP_MM` of each, itself included.
    beside_mm : (N,) float
        From each penetration of zigzag to the nearest one of zigzag that is sewn before it;
        infinite beyond the blade's radius.
    """

    xy_mm: Points
    crowding: Crowding
    heap: NDArray[np.int64]
    beside_mm: NDArray[np.float64]


class _Counted(NamedTuple):
    """Neighbours of rows: how many in the disc of a blade and in a heap, and how near.

    Attributes
    ----------
    many : (2, N) int
        Those in the disc and in the heap.
    near_mm : (2, N) float
        To the nearest of all, and to the nearest zigzag that zigzag is sewn after.
    """

    many: NDArray[np.int64]
    near_mm: NDArray[np.float64]


def holes_of(needles: NDArray[np.void], settings: Settings) -> Holes:
    """Penetrations of a needle table; the disc has the size of the settings' blade."""
    return _holes(needles, _counted(near_together(needles, settings), needles, settings), settings)


def holes_in(sewing: Sewing, settings: Settings) -> Holes:
    """The same, from what is known of the stretches."""
    if not sewing.stretches:
        return holes_of(sewing.needles, settings)
    many, near_mm = zip(*_inside(sewing.stretches), strict=True)
    whole = _Counted(np.concatenate(many, axis=1), np.concatenate(near_mm, axis=1))
    _count_in(whole, sewing.across, sewing.needles, settings)
    return _holes(sewing.needles, whole, settings)


def _counted(near: Near, needles: NDArray[np.void], settings: Settings) -> _Counted:
    """What near penetrations come to, row by row."""
    size = 2, len(needles)
    counted = _Counted(np.zeros(size, dtype=np.int64), np.full(size, np.inf))
    _count_in(counted, near, needles, settings)
    return counted


def _count_in(counted: _Counted, near: Near, needles: NDArray[np.void], settings: Settings) -> None:
    """Take more near penetrations into what is counted."""
    pairs, apart = near
    if not len(pairs):
        return
    for many, radius in zip(counted.many, (settings.needle.blade_mm / 2.0, HEAP_MM), strict=True):
        many += np.bincount(pairs[apart <= radius].ravel(), minlength=len(many))
    nearest, beside = counted.near_mm
    for side in (0, 1):
        np.minimum.at(nearest, pairs[:, side], apart)
    both = (needles["part"][pairs] == int(Part.ZIGZAG)).all(axis=1)
    np.minimum.at(beside, pairs[both, 1], apart[both])


def _each(stretches: Sequence[Stretch]) -> list[_Counted]:
    return [
        _counted(near, one.rows, one.settings)
        for one, near in zip(stretches, near_inside(stretches), strict=True)
    ]


_inside: Known[_Counted] = Known(_each)
"""Neighbours inside each stretch."""


def _holes(needles: NDArray[np.void], counted: _Counted, settings: Settings) -> Holes:
    blade_mm = settings.needle.blade_mm
    count = len(needles)
    (disc, heap), (nearest_mm, beside_mm) = counted
    crowding = Crowding(
        per_mm2=(1 + disc) / (np.pi * blade_mm**2 / 4.0),
        nearest_mm=nearest_mm,
        limit_per_mm2=np.full(count, settings.cloth.holes_per_mm2(settings.needle)),
        blade_mm=np.full(count, blade_mm),
    )
    return Holes(places_mm(needles), crowding, 1 + heap, beside_mm)


def crowding_together(holes: Sequence[Holes]) -> Crowding:
    """Crowding of needle tables that follow one another; lines are looked at each by itself."""
    if len(holes) == 1:
        return holes[0].crowding
    named = (f.name for f in fields(Crowding))
    return Crowding(
        **{name: np.concatenate([getattr(h.crowding, name) for h in holes]) for name in named}
    )
