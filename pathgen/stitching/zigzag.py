"""Fill one column with zigzag needle points.

Needle points swing from rail to rail along the centre line. Spacing is the distance along the
centre line between two points on the same side, so a pitch is two stitches; pitches are
spread evenly and both ends of the column get a point. The pull allowance moves each point
outward along the rung. A column that is too narrow for the thread is widened by the same amount
all along, so that slanted and pointed ends keep their shape.
"""

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points, between, left_normals
from pathgen.model import Column
from pathgen.needles import Side
from pathgen.settings import Settings
from pathgen.stitching.easing import eased, least_apart_mm, stepped_back

__all__ = ["Stitches", "closing", "pitches", "ring_holes", "round_from", "zigzag"]

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
        stitches. Where points crowd, as inside a bend, some stand back from their rail, and
        where even that gives no room, some are left out.
    """
    if not column.closed:
        return _split_long(_swung(column, settings), settings.longest_stitch_mm)
    return round_from(ring_holes(column, settings), 0, settings)


def ring_holes(column: Column, settings: Settings) -> Stitches:
    """Needle points once around a closed column, without the one that closes it."""
    holes = _swung(column, settings)
    around = Stitches(*(np.concatenate([part, part[:1]]) for part in holes))
    split = _split_long(around, settings.longest_stitch_mm)
    return Stitches(split.xy_mm[:-1], split.side[:-1])


def closing(holes: Stitches, doors: Sequence[int], settings: Settings) -> list[Points | None]:
    """Points, (2,), a step back from some of a ring's holes, or None where there is no room."""
    begins = holes.xy_mm[doors]
    across = holes.xy_mm[[(door + 1) % len(holes.xy_mm) for door in doors]] - begins
    return stepped_back(begins, across, holes.xy_mm, least_apart_mm(settings))


def round_from(holes: Stitches, door: int, settings: Settings) -> Stitches:
    """Once around a ring from one of its holes, and closed where there is room."""
    points, side = (np.concatenate([part[door:], part[:door]]) for part in holes)
    (close,) = closing(holes, [door], settings)
    if close is None:
        return Stitches(points, side)
    return Stitches(np.concatenate([points, close[None]]), np.append(side, side[0]))


def _swung(column: Column, settings: Settings) -> Stitches:
    """Points that swing from rail to rail; in a ring without the one that closes it."""
    where = column.where
    count = 2 * pitches(float(where[-1]), settings.spacing_mm) + 1
    stops = where[-1] * (np.arange(count - int(column.closed)) / (count - 1))
    left, right = between(column.left, where, stops), between(column.right, where, stops)
    reach = (left - right) / 2.0
    half = np.hypot(reach[:, 0], reach[:, 1])
    if half.min() > NO_WIDTH_MM:
        out = reach / half[:, None]
    else:
        wide = half[:, None] > NO_WIDTH_MM
        out = np.divide(reach, half[:, None], out=left_normals((left + right) / 2.0), where=wide)
    growth = settings.growth_mm(column.usual_width)
    least = least_apart_mm(settings)
    outward = np.maximum(half + growth, least / 2.0)[:, None] * out
    side = np.arange(len(stops)) % 2
    outward[1::2] *= -1.0
    points, kept = eased(
        (left + right) / 2.0 + outward, -2.0 * outward, least, closed=column.closed
    )
    sides = side.astype(np.uint8)
    return Stitches(points, sides) if kept.all() else Stitches(points[kept], sides[kept])


# Splits of neighbouring stitches are shifted by this share of a piece, seen from the left, so
# that they do not line up in a furrow along the column.
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
            # Shifted splits leave a piece at one end that is longer by the stagger.
            pieces = math.ceil((1.0 + max(_STAGGER)) * size[k] / longest_mm)
            shift = _STAGGER[k % len(_STAGGER)] * (1 if stitches.side[k] == Side.LEFT else -1)
            shares = (np.arange(1, pieces) + shift) / pieces
            points.append(start + shares[:, None] * step[k])
            sides.append(np.full(pieces - 1, Side.CENTRE, dtype=np.uint8))
        points.append(stitches.xy_mm[k + 1 : k + 2])
        sides.append(stitches.side[k + 1 : k + 2])
    return Stitches(np.concatenate(points), np.concatenate(sides))
