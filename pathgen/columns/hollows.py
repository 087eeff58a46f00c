"""Hollow places of the outline: rails that would bridge one keep to the ink.

Between two rungs a rail runs straight. At the foot of a serif the one rung may stand on the stem
and the next out on the slab, so that the line between them lies outside the ink; inside a bend
every such line does, a little. Where one would cut a corner, a rung goes there. What is left is
drawn in: the rungs at both ends of the line become so much shorter that it lies inside.
"""

from collections.abc import Sequence
from itertools import compress, pairwise, product
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.columns.outline import Outline
from pathgen.columns.plane import Places, as_places, as_points, turn
from pathgen.columns.rails import Rails, joined
from pathgen.columns.rungs import conflict, uncrossed
from pathgen.columns.swings import INWARD, PROBES, inserted, with_swings
from pathgen.polygons import Polygon, distances, holds

__all__ = ["kept_inside"]

# A line may be so far outside the ink, in ems: 7 micrometres at 20 mm capitals.
STRAY_EM = 1.0 / 3700.0  # -30 %: cover -0.02; +30 %: spill +0.01

# An outline of more pairs of a point and a rung than this is no letter, and its lines take time.
MOST_PAIRS = 2_000_000  # -30 %: same; +30 %: same

# It is looked at closely where its middle is outside by this share of that,
DOUBT = 0.5  # -30 %: alike; +30 %: alike
# or where the outline turns outward by this much, in degrees, no farther from the line's middle
# than so many times its length.
CORNER_DEG = 15.0  # -30 %: alike; +30 %: alike
ROUND = 1.5  # -30 %: alike; +30 %: alike

# Half way between where it leaves the ink and comes back it is farthest outside, but for a corner
# beside: there it may be farther elsewhere than the limit, if it is by this share of it.
ELSEWHERE = 0.7  # -30 %: alike; +30 %: alike

# A line farther than this outside the ink cuts a corner, in ems: 27 micrometres at 5 mm capitals.
CUT_EM = 1.0 / 250.0  # -30 %: alike; +30 %: alike
# So does in the end one farther outside than this that could not be drawn in.
REST_EM = 1.0 / 3500.0  # -30 %: alike; +30 %: alike

# The way by the corner from rung to rung is no longer than so many times the straight one.
ROUNDABOUT = 2.0  # -30 %: alike; +30 %: alike

# A corner on a rung is taken so much of the way towards the other rung, so that they do not touch,
ASIDE = 0.002  # -30 %: same; +30 %: same
# or so much, where it is a little beyond that rung.
FARTHER = 0.1  # -30 %: alike; +30 %: alike
# But where it is no farther from the rung than this, in ems,
ON_EM = 1.0 / 1500.0  # -30 %: alike; +30 %: same
# and the next point of its rail is no farther than this, the rung ends at the corner instead.
ALONG_EM = 1.0 / 1000.0  # -30 %: alike; +30 %: alike

# How far a line is outside is measured to this share; drawn in, it is left this one of `STRAY_EM`,
# and is looked up again so often at most.
MEASURED = 0.85  # -30 %: cover -0.10, spill -0.01; +30 %: cover +0.02
LEFT = 0.97  # -30 %: cover -0.02; +30 %: alike
LEAST = 0.1  # -30 %: same; +30 %: same
STEPS = 8  # -30 %: alike; +30 %: alike
# Each time a rung keeps this share of its length at least, and one that stands on the line at an
# angle of less than this sine keeps it all.
KEPT = 0.75  # -30 %: alike; +30 %: cover +0.02
SQUARE = 0.15  # -30 %: alike; +30 %: alike


class _Ink(NamedTuple):
    """The ink and its sharp hollow corners.

    Attributes
    ----------
    shape : Polygon
        In ems.
    corners, ways : (K,) complex
        Where the outline turns outward by `CORNER_DEG` or more, and half way between both edges.
    """

    shape: Polygon
    corners: Places
    ways: Places


class _Lines(NamedTuple):
    """Lines from rung to rung.

    Attributes
    ----------
    side, first : (N,) int
        Number of the rail, 0 for the left one, and of the rung where the line begins.
    corner : (N,) int
        The corner that is nearest to its middle; nothing of meaning where there is none.
    far : (N,) float
        How far it leaves the ink, ems.
    """

    side: NDArray[np.intp]
    first: NDArray[np.intp]
    corner: NDArray[np.intp]
    far: NDArray[np.float64]

    def those(self, which: NDArray[np.bool_] | NDArray[np.intp]) -> "_Lines":
        """Some of the lines."""
        return _Lines(self.side[which], self.first[which], self.corner[which], self.far[which])


def kept_inside(
    outline: Outline, strokes: Sequence[tuple[Rails, bool]]
) -> list[tuple[Rails, bool]]:
    """Strokes whose rails, from rung to rung, are no farther outside the ink than `STRAY_EM`.

    With each stroke goes whether it is a ring, as it came.
    """
    if not strokes:
        return []
    rails = np.array([as_places(rail) for rail in joined([stroke for stroke, _ in strokes])])
    ends = np.array([len(stroke.left) for stroke, _ in strokes]).cumsum()
    if ends[-1] * len(outline.points) > MOST_PAIRS:
        return list(strokes)
    ink = _ink_of(outline)
    strays = _straying(ink, rails, _doubtful(ink, rails, ends))
    rings, inside = [closed for _, closed in strokes], not len(strays.first)
    # Those that cannot be drawn in, as their rungs run along them, get a rung at any corner.
    for least_em in () if inside else (CUT_EM, REST_EM):
        if (cuts := strays.far > least_em).any():
            rails, ends = _with_corners(outline, rails, ends, strays.those(cuts))
            strays = _straying(ink, rails, _doubtful(ink, rails, ends))
        strays = _drawn_in(ink, rails, strays, list(compress(_spans(ends), rings)))
    swung, ends = with_swings(ink.shape, rails, ends, STRAY_EM)
    if inside and swung is rails:
        return list(strokes)
    return [
        (uncrossed(Rails(*(as_points(rail[begin:end]) for rail in swung))), closed)
        for (begin, end), closed in zip(_spans(ends), rings, strict=True)
    ]


def _spans(ends: NDArray[np.intp]) -> list[tuple[int, int]]:
    """First rung and end of each stroke."""
    return list(pairwise([0, *ends.tolist()]))


def _ink_of(outline: Outline) -> _Ink:
    """The ink inside an outline."""
    at = (outline.turn_deg < -CORNER_DEG).nonzero()[0]
    corners, *ends = (
        as_places(outline.points[of]) for of in (at, outline.before[at], outline.after[at])
    )
    before, after = ((end - corners) / np.abs(end - corners) for end in ends)
    return _Ink(outline.ink, corners, before + after)


def _doubtful(ink: _Ink, rails: Places, ends: NDArray[np.intp]) -> _Lines:
    """Lines that may leave the ink, of strokes laid end to end that stop before ``ends``."""
    start, step, inward = (
        of.ravel() for of in _begun(rails[:, :-1], rails[:, 1:], rails[::-1, :-1], rails[::-1, 1:])
    )
    middle, long = start + step / 2.0, np.abs(step)
    doubt = ~holds(ink.shape, as_points(middle + DOUBT * inward))
    nearest = np.zeros(len(middle), dtype=np.intp)
    if len(ink.corners):
        off = ink.corners - middle[:, None]
        # Only a corner that is deeper in the column than the line is cut by it.
        deep = turn(step[:, None], off).imag * INWARD.repeat(len(step) // 2)[:, None]
        away = np.where(deep > DOUBT * STRAY_EM * long[:, None], np.abs(off), np.inf)
        nearest = away.argmin(axis=1)
        doubt |= away.min(axis=1) < ROUND * long
    doubt = doubt.reshape(2, -1)
    doubt[:, ends[:-1] - 1] = False
    side, first = doubt.nonzero()
    return _Lines(side, first, nearest[doubt.ravel()], np.zeros(len(side)))


def _begun(
    start: Places, end: Places, far_start: Places, far_end: Places
) -> tuple[Places, Places, Places]:
    """Where lines begin, where each leads, and `STRAY_EM` from there towards the other rail."""
    across = far_start + far_end - start - end
    # The share makes good for rounding.
    return start, end - start, across * (0.99 * STRAY_EM / np.maximum(np.abs(across), 1e-12))


def _straying(ink: _Ink, rails: Places, lines: _Lines) -> _Lines:
    """Those of some lines that leave the ink by more than `STRAY_EM`."""
    side, first = lines.side, lines.first
    start, step, inward = _begun(
        *(rails[at, first + on] for at in (side, 1 - side) for on in (0, 1))
    )
    shares = np.empty((len(PROBES) + 1, len(first)))
    shares[:-1], shares[-1] = PROBES[:, None], 0.5
    if len(ink.corners):  # and halfway between the edges of the corner
        way = ink.ways[lines.corner]
        met, across = (turn(way, u).imag for u in (ink.corners[lines.corner] - start, step))
        within = (met * across > 0.0) & (np.abs(met) < np.abs(across))
        np.divide(met, across, out=shares[-1], where=within)
    # A line is not so far outside where a place as much nearer to the other rail is inside.
    nearer = start + inward + shares * step
    out = (~holds(ink.shape, as_points(nearer.ravel()))).reshape(nearer.shape)
    count = out.sum(axis=0)
    line = count.nonzero()[0]
    if not len(line):
        return lines.those(line)
    share = (out * shares).sum(axis=0)[line] / count[line]
    far = distances(ink.shape, as_points(start[line] + share * step[line]))
    sharp = out[-1, line].nonzero()[0]
    if len(sharp):
        at = line[sharp]
        there = distances(ink.shape, as_points(start[at] + shares[-1, at] * step[at]))
        far[sharp] = np.maximum(far[sharp], there)
    for k in (far > CUT_EM / 4.0).nonzero()[0].tolist():
        far[k] = distances(ink.shape, as_points(start[line[k]] + PROBES * step[line[k]])).max()
    found = lines.those(line)._replace(far=np.maximum(far, STRAY_EM))
    return found.those(far > ELSEWHERE * STRAY_EM)


def _with_corners(
    outline: Outline, rails: Places, ends: NDArray[np.intp], cuts: _Lines
) -> tuple[Places, NDArray[np.intp]]:
    """Rails with rungs at the corners that lines cut, and where each stroke ends now.

    A rung that the corner lies on, and that the rail runs along, ends there.
    """
    hollow = as_places(outline.points.compress(outline.turn_deg < 0.0, axis=0))
    new: dict[int, list[complex]] = {}
    for side, first in zip(cuts.side.tolist(), cuts.first.tolist(), strict=True):
        near, far = (rails[s, first : first + 2].tolist() for s in (side, 1 - side))
        corner = _corner(hollow, near, far, side)
        if corner is None:
            continue
        for own, beyond in ((first, first - 1), (first + 1, first + 2)):
            there = _along(rails[:, own], corner, rails[side, beyond % ends[-1]])
            if there is not None:
                rails[side, own] = there
                break
        else:
            rung = _rung(corner, near, far)
            if rung is not None:
                new.setdefault(first + 1, rung if side == 0 else rung[::-1])
    return inserted(rails, ends, new)


def _corner(hollow: Places, near: list[complex], far: list[complex], side: int) -> complex | None:
    """The hollow corner between two points of a rail; ``far`` are those of the other rail.

    It is the place of the outline that lies deepest in the column, on no roundabout way from the
    one point to the other, and nearer to this rail than to the other one.
    """
    (start, end), there = near, (far[0] + far[1]) / 2.0
    deep = ((hollow - start) * (end - start).conjugate()).imag * (2 * side - 1)
    ways = np.abs(hollow - start) + np.abs(hollow - end)
    held = (deep > 0.0) & (ways < ROUNDABOUT * abs(end - start))
    held &= np.abs(hollow - (start + end) / 2.0) < np.abs(hollow - there)
    return complex(hollow[np.where(held, deep, 0.0).argmax()]) if held.any() else None


def _along(rung: Places, corner: complex, beyond: complex) -> complex | None:
    """A corner that a rung ends at as well; None if it is not on it, or the rail not along it."""
    start, way = complex(rung[0]), complex(rung[1] - rung[0])
    seen = turn(way, corner - start)
    off = abs(turn(way, beyond - start).imag)
    if abs(seen.imag) > ON_EM * abs(way) or off > ALONG_EM * abs(way) or not way:
        return None
    return corner


def _rung(corner: complex, near: list[complex], far: list[complex]) -> list[complex] | None:
    """A rung from a corner to half way on the other rail; None if it would touch those beside."""
    there, (start, end) = (far[0] + far[1]) / 2.0, near
    beside = [as_points(rung).tolist() for rung in zip(near, far, strict=True)]
    for share, side in ((0.0, start), *product((ASIDE, FARTHER), (end, start))):
        aside = corner + share * (side - corner)
        new = as_points([aside, there]).tolist()
        if not any(conflict(*rung, *new) for rung in beside):
            return [aside, there]
    return None


def _drawn_in(ink: _Ink, rails: Places, strays: _Lines, rings: Sequence[tuple[int, int]]) -> _Lines:
    """Shorten the rungs at both ends of lines until those lie in the ink; those that do not yet.

    ``rings`` are first rung and end of each ring, whose last rung is the first one again.
    """
    for _ in range(STEPS):
        side, first, _, far = strays
        if not len(first):
            break
        across, step = rails[1] - rails[0], rails[side, first + 1] - rails[side, first]
        size, short = np.maximum(np.abs(across), 1e-12), np.zeros(rails.shape)
        rungs = np.array([first, first + 1])
        sine = np.abs((across[rungs].conj() * step).imag)
        sine /= np.maximum(size[rungs] * np.abs(step), 1e-12)
        by = np.maximum(far / MEASURED - LEFT * STRAY_EM, LEAST * STRAY_EM)
        np.maximum.at(short, (side, rungs), by * ((sine > SQUARE) / np.maximum(sine, SQUARE)))
        for begin, end in rings:
            short[:, begin] = short[:, end - 1] = short[:, [begin, end - 1]].max(axis=1)
        share = short / size * (short.sum(axis=0) < (1.0 - KEPT) * size)
        rails += np.array([across, -across]) * share
        strays = _straying(ink, rails, strays)
    return strays
