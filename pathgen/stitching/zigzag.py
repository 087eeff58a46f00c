"""Fill one column with zigzag needle points.

Needle points swing from rail to rail along the centre line. Spacing is the distance along the
centre line between two points on the same side, so a pitch is two stitches; pitches are
spread evenly and both ends of the column get a point. The pull allowance moves each point
outward along the rung. A column that is too narrow for the thread is widened by the same amount
all along, so that slanted and pointed ends keep their shape.
"""

import math
from collections.abc import Sequence
from itertools import accumulate, pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.column import CentreLines
from pathgen.geometry import Points, between, left_normals, lengths
from pathgen.model import Column
from pathgen.needles import Side
from pathgen.polygons import band, holds
from pathgen.settings import Settings
from pathgen.stitching.apart import kept_apart
from pathgen.stitching.easing import eased, least_apart_mm, stepped_back

__all__ = ["Stitches", "closing", "pitches", "round_from", "zigzag", "zigzags"]

# A pitch may be this much longer than the asked spacing before one more is used.
PITCH_SLACK = 1.05
# Half a pitch is half a pitch, whatever the last bits say.
_SAME = 1e-9
# Below this a rung has no direction of its own, and the centre line's normal is used.
NO_WIDTH_MM = 1e-6
# Left, by the number of the side, is forward on a way from right to left.
_WAYS = np.array([1.0, -1.0])


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
    asked = length_mm / spacing_mm
    nearest = math.floor(asked + 0.5 + _SAME)
    return max(1, nearest + int(asked > nearest * PITCH_SLACK + _SAME > _SAME))


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
    (sewn,) = zigzags(CentreLines([column]), [0], settings)
    if not column.closed:
        return sewn
    keep = np.full(len(sewn.xy_mm), least_apart_mm(settings))
    (close,) = closing(sewn, [0], sewn.xy_mm, keep)
    return round_from(sewn, 0, close)


def zigzags(
    centres: CentreLines, letter: Sequence[int] | NDArray[np.int64], settings: Settings
) -> list[Stitches]:
    """Needle points of columns, as `zigzag`, given the number of the letter of each.

    Rings have none that closes them. Where columns of a letter meet, those too near to one another
    are moved apart.
    """
    columns = centres.columns
    points, side, across, column, stops = _swung(centres, settings)
    points = kept_apart(points, across, column, np.asarray(letter)[column], settings)
    ends = [0, *np.bincount(column, minlength=len(columns)).cumsum().tolist()]
    spans = [slice(first, last) for first, last in pairwise(ends)]
    sewn = [Stitches(points[span], side[span]) for span in spans]
    # Most letters have no long stitch at all, nor has the one that closes a ring to be split.
    rounds = [one.xy_mm[[-1, 0]] for one, c in zip(sewn, columns, strict=True) if c.closed]
    if not any((lengths(way) > settings.longest_stitch_mm).any() for way in (points, *rounds)):
        return sewn
    return [
        _around(found, column, stops[span], settings)
        if column.closed
        else _split_long(found, column, stops[span], settings)
        for column, found, span in zip(columns, sewn, spans, strict=True)
    ]


def _around(
    holes: Stitches, column: Column, stops: NDArray[np.float64], settings: Settings
) -> Stitches:
    """Needle points once around a ring, long stitches split, without the one that closes it."""
    around = Stitches(*(np.concatenate([part, part[:1]]) for part in holes))
    split = _split_long(around, column, np.append(stops, column.where[-1]), settings)
    return Stitches(split.xy_mm[:-1], split.side[:-1])


def closing(
    holes: Stitches, doors: Sequence[int], others: Points, apart_mm: NDArray[np.float64]
) -> list[Points | None]:
    """Points, (2,), a step back from some of a ring's holes, or None where there is no room.

    They keep so far from others, (N, 2), the ring's own holes among them.
    """
    xy = holes.xy_mm
    after = [xy[(door + 1) % len(xy)] for door in doors]
    return [
        stepped_back(xy[door], there - xy[door], others, apart_mm)
        for door, there in zip(doors, after, strict=True)
    ]


def round_from(holes: Stitches, door: int, close: Points | None) -> Stitches:
    """Once around a ring from one of its holes, and closed by a point; see `closing`.

    Where there is no room for one, the round begins with the hole after that one and ends in it.
    """
    first = door if close is not None else door + 1
    points, side = (np.concatenate([part[first:], part[:first]]) for part in holes)
    if close is None:
        return Stitches(points, side)
    return Stitches(np.concatenate([points, close[None]]), np.append(side, side[0]))


def _swung(
    centres: CentreLines, settings: Settings
) -> tuple[Points, NDArray[np.uint8], Points, NDArray[np.int64], NDArray[np.float64]]:
    """Points that swing from rail to rail; in a ring without the one that closes it.

    Column after column the points, the side of each, the way from there to the other side, the
    number of its column, and how far along that its rung is. All columns are laid out in the same
    few steps: most have too few points for arrays to pay.
    """
    least = least_apart_mm(settings)
    columns, totals = centres.columns, centres.totals
    steps = [2 * pitches(total, settings.spacing_mm) for total in totals.tolist()]
    sizes = [n + int(not c.closed) for n, c in zip(steps, columns, strict=True)]
    column = np.repeat(np.arange(len(columns)), sizes)
    first = np.array([0, *accumulate(sizes)])
    number = np.arange(len(column)) - first[column]
    total = totals[column]
    stops = total * (number / np.array(steps)[column])
    found = centres.between(stops, column, centres.rails)
    left, right = found[:, :2], found[:, 2:]
    reach = (left - right) / 2.0
    half = np.hypot(reach[:, 0], reach[:, 1])
    wide = half > NO_WIDTH_MM
    if wide.all():
        out = reach / half[:, None]
    else:
        ahead = np.zeros_like(reach)
        for n in set(column[~wide].tolist()):
            span = slice(first[n], first[n] + sizes[n])
            ahead[span] = left_normals((left[span] + right[span]) / 2.0)
        out = np.divide(reach, half[:, None], out=ahead, where=wide[:, None])
    growth = np.array([settings.growth_mm(c.usual_width) for c in columns])[column]
    side = (number % 2).astype(np.uint8)
    outward = (_WAYS[side] * np.maximum(half + growth, NO_WIDTH_MM))[:, None] * out
    points, across = (left + right) / 2.0 + outward, -2.0 * outward
    points, kept = eased(points, across, column, [c.closed for c in columns], least)
    if kept.all():
        return points, side, across, column, stops
    return points[kept], side[kept], across[kept], column[kept], stops[kept]


# Splits of neighbouring stitches are shifted by this share of a piece, seen from the left, so
# that they do not line up in a furrow along the column.
_STAGGER = (-0.25, 0.0, 0.25)
# A split point this near to its rung stays on the straight stitch: no one sees the difference.
_ON_RUNG_MM = 0.001
# Where the way by the rungs is longer than the stitch, it takes fewer pieces more than this.
_MORE_PIECES = 4


def _split_long(
    stitches: Stitches, column: Column, stops: NDArray[np.float64], settings: Settings
) -> Stitches:
    """Stitches of a column, those over the longest in pieces, their split points staggered.

    ``stops`` are how far along the column the rung of each point is.
    """
    longest_mm = settings.longest_stitch_mm
    step = np.diff(stitches.xy_mm, axis=0)
    size = np.hypot(step[:, 0], step[:, 1])
    if not (size > longest_mm).any():
        return stitches
    points, sides = [stitches.xy_mm[:1]], [stitches.side[:1]]
    for k in range(len(step)):
        on = slice(k, k + 2)
        if size[k] > longest_mm:
            shift = _STAGGER[k % len(_STAGGER)] * (1 if stitches.side[k] == Side.LEFT else -1)
            # Shifted splits leave a piece at one end that is longer by the stagger.
            pieces = math.ceil((1.0 + max(_STAGGER)) * size[k] / longest_mm)
            for more in range(_MORE_PIECES):
                shares = (np.arange(1, pieces + more) + shift) / (pieces + more)
                there = stitches.xy_mm[k] + shares[:, None] * step[k]
                there += _off_rungs(there, shares, column, stops[on], stitches.side[on])
                whole = np.concatenate(
                    [stitches.xy_mm[k : k + 1], there, stitches.xy_mm[k + 1 : k + 2]]
                )
                if lengths(whole).max() <= longest_mm:
                    break
            points.append(there)
            sides.append(np.full(len(there), Side.CENTRE, dtype=np.uint8))
        points.append(stitches.xy_mm[k + 1 : k + 2])
        sides.append(stitches.side[k + 1 : k + 2])
    return Stitches(np.concatenate(points), np.concatenate(sides))


def _off_rungs(
    places: Points,
    shares: NDArray[np.float64],
    column: Column,
    stops: NDArray[np.float64],
    sides: NDArray[np.uint8],
) -> Points:
    """From places on a stitch, by their shares of it, towards the rungs there, (N, 2).

    Rungs are inside the ink; a straight stitch from the stem out on a slab may not be. Nothing
    where a place is inside the column, or as good as.
    """
    at = np.append(stops, stops[0] + shares * (stops[1] - stops[0]))
    rails = [between(rail, column.where, at) for rail in (column.left, column.right)]
    begin, end = (rails[side] for side in sides)
    share = shares[:, None]
    straight = (1.0 - share) * begin[0] + share * end[1]
    off = (1.0 - share) * begin[2:] + share * end[2:] - straight
    far = np.hypot(off[:, 0], off[:, 1]) > _ON_RUNG_MM
    if far.any():
        inner = slice(*column.where.searchsorted(stops))
        left, right = (
            np.concatenate([found[:1], rail[inner], found[1:2]])
            for found, rail in zip(rails, (column.left, column.right), strict=True)
        )
        far &= ~holds(band(left, right), places)
    return off * far[:, None]
