"""Fill one column with zigzag needle points.

Needle points swing from rail to rail along the centre line. Spacing is the distance along the
centre line between two points on the same side, so a pitch is two stitches; pitches are
spread evenly and both ends of the column get a point. The pull allowance moves each point
outward along the rung. A column that is too narrow for the thread is widened by the same amount
all along, so that slanted and pointed ends keep their shape.
"""

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points, along, between, left_normals
from pathgen.model import Column
from pathgen.needles import Side
from pathgen.settings import Settings
from pathgen.stitching.easing import eased, least_apart_mm

__all__ = ["Stitches", "pitches", "zigzag"]

# A pitch may be this much longer than the asked spacing before one more is used.
PITCH_SLACK = 1.05
# Below this a rung has no direction of its own, and the centre line's normal is used.
NO_WIDTH_MM = 1e-6


class Stitches(NamedTuple):
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

    def backwards(self) -> "Stitches":
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
        Uses ``spacing_mm``, ``pull_mm``, ``least_column_mm``, ``least_stitch_mm`` and
        ``longest_stitch_mm``.

    Returns
    -------
    Stitches
        2 n + 1 penetrations for n pitches, left first and last, and those that split long
        stitches. Where points crowd, as inside a bend, some stand back from their rail.
    """
    where = along(column.centre)
    count = 2 * pitches(float(where[-1]), settings.spacing_mm) + 1
    stops = np.linspace(0.0, where[-1], count)
    left, right = between(column.left, where, stops), between(column.right, where, stops)
    middle, reach = (left + right) / 2.0, (left - right) / 2.0
    half = np.hypot(reach[:, 0], reach[:, 1])
    wide = half[:, None] > NO_WIDTH_MM
    spare = np.zeros_like(reach) if wide.all() else left_normals(middle)
    out = np.divide(reach, half[:, None], out=spare, where=wide)
    growth = settings.pull_mm + settings.widening_mm(column.usual_width)
    grown = np.maximum(half + growth, least_apart_mm(settings) / 2.0)
    side = np.arange(count) % 2
    outward = np.where(side == Side.LEFT, 1.0, -1.0)[:, None] * out
    points = eased(middle + grown[:, None] * outward, -outward, 2.0 * grown, settings)
    return _split_long(Stitches(points, side.astype(np.uint8)), settings.longest_stitch_mm)


# Splits of neighbouring stitches are shifted by this share of a piece, so that they do not
# line up in a furrow across the column.
_STAGGER = (-0.25, 0.0, 0.25)


def _split_long(stitches: Stitches, longest_mm: float) -> Stitches:
    """Stitches, those over the longest in pieces, their split points staggered."""
    step = np.diff(stitches.xy_mm, axis=0)
    size = np.hypot(step[:, 0], step[:, 1])
    if not (size > longest_mm).any():
        return stitches
    points, sides = [stitches.xy_mm[:1]], [stitches.side[:1]]
    for k in range(len(step)):
        start = stitches.xy_mm[k]
        if size[k] > longest_mm:
            pieces = math.ceil(size[k] / longest_mm + 2.0 * max(_STAGGER))
            shares = (np.arange(1, pieces) + _STAGGER[k % len(_STAGGER)]) / pieces
            points.append(start + shares[:, None] * step[k])
            sides.append(np.full(pieces - 1, Side.CENTRE, dtype=np.uint8))
        points.append(stitches.xy_mm[k + 1 : k + 2])
        sides.append(stitches.side[k + 1 : k + 2])
    return Stitches(np.concatenate(points), np.concatenate(sides))
