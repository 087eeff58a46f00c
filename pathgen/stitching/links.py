"""What it costs to travel from where one column is left to where the next is entered.

Travel goes straight. What it costs is compared in this order: a trim, thread over bare cloth,
thread over columns already sewn, all thread. The four are packed into one whole number, so
that a sum of costs is a sum of numbers and equal ways are equal on every machine.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points
from pathgen.polygons import Shape, lengths_inside
from pathgen.settings import Settings

__all__ = ["NEVER", "Costs", "Travel", "run_costs", "travel"]

Costs = NDArray[np.int64]

# A hundredth of a mm is the smallest difference that counts; one travel is at most 2^14 of
# them (164 mm, far over any jump), so 16 travels fit below the next more weighty field.
_PER_MM = 100.0
_MOST = (1 << 14) - 1
_BITS = 18

NEVER = 1 << 60
"""More than any cost; the sum of two still fits in 64 bits."""


class Travel:
    """Straight travel from R exits to E entries.

    Attributes
    ----------
    total_mm : (R, E) float
        Its length.
    bare_mm : (R, E) float
        How much of it crosses bare cloth.
    """

    def __init__(
        self,
        total_mm: NDArray[np.float64],
        inked_mm: NDArray[np.float64],
        under_mm: NDArray[np.float64],
        join_mm: float,
    ) -> None:
        """Tables of lengths; ``under_mm`` is (R, E, columns): the part under each column."""
        self.total_mm = total_mm
        self.bare_mm = np.maximum(total_mm - inked_mm, 0.0)
        self._inked_mm = inked_mm
        self._under_mm = under_mm
        self._join_mm = join_mm

    @property
    def trims(self) -> NDArray[np.bool_]:
        """Where the thread is cut instead: over ``join_mm`` of bare cloth."""
        return self.bare_mm > self._join_mm

    def costs(self, unsewn: NDArray[np.bool_]) -> Costs:
        """Cost of each travel while the given columns are still to be sewn.

        Parameters
        ----------
        unsewn : (S, columns) bool
            Which columns will later cover what lies under them, in each of S situations.

        Returns
        -------
        (S, R, E) int64
        """
        hidden = np.einsum("sk,rek->sre", unsewn.astype(np.float64), self._under_mm)
        over = self._inked_mm - np.minimum(hidden, self._inked_mm)
        trims = self.trims
        cost = np.where(trims, 1, 0)[None]
        for field in (np.where(trims, 0.0, self.bare_mm)[None], np.where(trims, 0.0, over)):
            cost = (cost << _BITS) + _whole(field)
        return (cost << _BITS) + _whole(self.total_mm)


def _whole(length_mm: NDArray[np.float64]) -> Costs:
    """Whole hundredths of a mm."""
    return np.minimum(np.rint(_PER_MM * length_mm), _MOST).astype(np.int64)


def run_costs(lengths_mm: NDArray[np.float64]) -> Costs:
    """Cost of thread that stays out of sight, for each of the given lengths."""
    return _whole(lengths_mm)


def travel(
    exits: Points,
    entries: Points,
    ink: Sequence[Shape],
    covers: Sequence[Shape],
    settings: Settings,
) -> Travel:
    """Straight travel from every exit (R, 2) to every entry (E, 2).

    Parameters
    ----------
    ink : sequence of Shape
        Where travel is not over bare cloth.
    covers : sequence of Shape
        What each column covers once it is sewn.
    settings : Settings
        Uses ``join_mm`` and ``pull_mm``: needle points lie outside the ink by the allowance,
        and that much at both ends of a travel is under the letters' own thread.
    """
    starts, from_start = np.unique(exits, axis=0, return_inverse=True)
    ends, to_end = np.unique(entries, axis=0, return_inverse=True)
    shape = (len(starts), len(ends))
    segments = np.stack(
        [np.repeat(starts, len(ends), axis=0), np.tile(ends, (len(starts), 1))], axis=1
    )
    step = segments[:, 1] - segments[:, 0]
    total = np.hypot(step[:, 0], step[:, 1])
    inside = lengths_inside(segments, [*ink, *covers])
    near = np.minimum(inside[:, : len(ink)].sum(axis=1) + 2.0 * settings.pull_mm, total)
    pairs = np.ix_(from_start, to_end)
    return Travel(
        total.reshape(shape)[pairs],
        near.reshape(shape)[pairs],
        inside[:, len(ink) :].reshape(*shape, len(covers))[pairs],
        settings.join_mm,
    )
