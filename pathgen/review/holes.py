"""How close penetrations are: counted once, judged by several checks, drawn by the plot.

Around each penetration those within a disc of the blade's size are counted, itself included,
and divided by the disc's area. All penetrations count, ties and travel too: each is a hole.
"""

from collections.abc import Sequence
from dataclasses import fields
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points, neighbours
from pathgen.needles import Crowding, places_mm
from pathgen.settings import HEAP_MM, Settings

__all__ = ["Holes", "crowding_together", "holes_of"]


class Holes(NamedTuple):
    """Penetrations and their near neighbours.

    Attributes
    ----------
    xy_mm : (N, 2) float
        Where each is.
    pairs : (P, 2) int
        Those no farther apart than the blade's radius or a heap's, lower row first.
    distances_mm : (P,) float
        How far apart.
    crowding : Crowding
        Density and nearest neighbour of each.
    """

    xy_mm: Points
    pairs: NDArray[np.int64]
    distances_mm: NDArray[np.float64]
    crowding: Crowding

    def within(self, radius_mm: float) -> NDArray[np.int64]:
        """How many penetrations lie in a disc around each, itself included, (N,)."""
        return _within(self.pairs, self.distances_mm, radius_mm, len(self.xy_mm))


def holes_of(needles: NDArray[np.void], settings: Settings) -> Holes:
    """Penetrations of a needle table; the disc has the size of the settings' blade."""
    xy = places_mm(needles)
    blade_mm = settings.needle.blade_mm
    pairs, distances = neighbours(xy, max(blade_mm / 2.0, HEAP_MM))
    nearest = np.full(len(xy), np.inf)
    for side in (0, 1):
        np.minimum.at(nearest, pairs[:, side], distances)
    counts = _within(pairs, distances, blade_mm / 2.0, len(xy))
    crowding = Crowding(
        per_mm2=counts / (np.pi * blade_mm**2 / 4.0),
        nearest_mm=nearest,
        limit_per_mm2=np.full(len(xy), settings.cloth.holes_per_mm2(settings.needle)),
        blade_mm=np.full(len(xy), blade_mm),
    )
    return Holes(xy, pairs, distances, crowding)


def _within(
    pairs: NDArray[np.int64], distances_mm: NDArray[np.float64], radius_mm: float, count: int
) -> NDArray[np.int64]:
    """How many of ``count`` points lie in a disc around each, itself included."""
    near = pairs[distances_mm <= radius_mm]
    return 1 + np.bincount(near.ravel(), minlength=count)


def crowding_together(holes: Sequence[Holes]) -> Crowding:
    """Crowding of needle tables that follow one another; lines are looked at each by itself."""
    named = (f.name for f in fields(Crowding))
    return Crowding(
        **{name: np.concatenate([getattr(h.crowding, name) for h in holes]) for name in named}
    )
