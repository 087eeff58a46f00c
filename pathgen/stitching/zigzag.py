"""Fill one column with zigzag needle points.

Needle points swing from rail to rail along the centre line. Spacing is the distance along the
centre line between two points on the same side, so a pitch is two stitches; pitches are
spread evenly and both ends of the column get a point. The pull allowance moves each point
outward along the rung, and a place too narrow for the thread is widened evenly.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points, along, left_normals
from pathgen.model import Column, Side
from pathgen.settings import Settings

__all__ = ["Stitches", "pitches", "zigzag"]

# A pitch may be this much longer than the asked spacing before one more is used.
PITCH_SLACK = 1.05


@dataclass(frozen=True, slots=True, eq=False)
class Stitches:
    """Penetrations in sewing order.

    Attributes
    ----------
    xy_mm : (N, 2) float
        Where the needle enters.
    side : (N,) uint8
        `Side` of each.
    """

    xy_mm: Points
    side: NDArray[np.uint8]

    def reversed(self) -> "Stitches":
        """The same holes, sewn from the other end."""
        return Stitches(self.xy_mm[::-1], self.side[::-1])


def pitches(length_mm: float, spacing_mm: float) -> int:
    """How many even pitches a centre line of this length is divided into.

    The nearest whole number, or one more where that would leave the pitch over 5 % longer
    than asked; at least 1.

    Examples
    --------
    >>> pitches(10.0, 0.4), pitches(0.56, 0.4), pitches(0.1, 0.4)
    (25, 2, 1)
    """
    nearest = math.floor(length_mm / spacing_mm + 0.5)
    return max(1, nearest + int(length_mm > nearest * spacing_mm * PITCH_SLACK > 0.0))


def zigzag(column: Column, settings: Settings) -> Stitches:
    """Needle points that swing from rail to rail along a column, first rung to last.

    Parameters
    ----------
    column : Column
        Rails in mm.
    settings : Settings
        Uses ``spacing_mm``, ``pull_mm`` and ``least_column_mm``.

    Returns
    -------
    Stitches
        2 n + 1 penetrations for n pitches, left first and last. In a ring the last one
        enters where the first did.
    """
    where = along(column.centre)
    count = 2 * pitches(float(where[-1]), settings.spacing_mm) + 1
    stops = np.linspace(0.0, where[-1], count)
    left, right = _at(column.left, where, stops), _at(column.right, where, stops)
    middle, reach = (left + right) / 2.0, (left - right) / 2.0
    half = np.hypot(reach[:, 0], reach[:, 1])
    out = np.divide(
        reach,
        half[:, None],
        out=_fallback(middle),
        where=half[:, None] > NO_WIDTH_MM,
    )
    grown = np.maximum(half + settings.pull_mm, settings.least_column_mm / 2.0)
    side = np.arange(count) % 2
    sign = np.where(side == Side.LEFT, 1.0, -1.0)
    return Stitches(middle + (sign * grown)[:, None] * out, side.astype(np.uint8))


# Below this a rung has no direction of its own, and the centre line's normal is used.
NO_WIDTH_MM = 1e-6


def _at(rail: Points, where: NDArray[np.float64], stops: NDArray[np.float64]) -> Points:
    """Points of a rail at distances along the centre line."""
    return np.column_stack([np.interp(stops, where, rail[:, k]) for k in (0, 1)])


def _fallback(middle: Points) -> Points:
    """Direction to the left of travel, for rungs without width."""
    return left_normals(middle)
