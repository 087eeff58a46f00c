"""Rungs: spaced evenly, turned square to the stroke, kept inside the ink and uncrossed."""

import math
from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from pathgen.columns.outline import Outline
from pathgen.columns.plane import Places, as_places, as_points
from pathgen.columns.rails import Rails, joined
from pathgen.geometry import Points, cross
from pathgen.polygons import outside

__all__ = ["conflict", "eased", "evened", "mended", "uncrossed"]

# Distance between rungs, in ems; the needle stage interpolates between them.
RUNG_EM = 1.0 / 50.0  # -30 %: 1 lost, cover +0.12; +30 %: 1 lost, cover -0.16

# The fewest rungs of a column.
FEWEST = 4  # -30 %: alike; +30 %: alike

# Over how far the slip between the rails is smoothed, to each side, in stroke widths.
SMOOTH_WIDTHS = 0.35  # -30 %: alike; +30 %: alike

# A ring has so many at least, the first one counted again at the end.
RING_LEAST = 5  # -30 %: same; +30 %: same

# Turning square goes by steps: so many, each so much of the way. All the way would overshoot,
# as a rung that turns also bends the centre line.
SQUARING_STEPS = 3  # -30 %: alike; +30 %: alike
SQUARING_GAIN = 0.5  # -30 %: 1 lost, cover +0.02; +30 %: alike

# Where turning square has left the rung beside an end farther from it than this, in distances
# between rungs, more are put between them,
FAR = 2.0  # -30 %: alike; +30 %: alike
# so many that no rail strays from its chords by more than this: 18 micrometres at 5 mm capitals.
BEND_EM = 1.0 / 400.0  # -30 %: alike; +30 %: alike

# Where along a rung it is looked up whether it is inside the ink. The ends lie on its edge.
PROBES = np.array([0.04, 0.1, 0.2, 0.35, 0.5, 0.65, 0.8, 0.9, 0.96])[:, None]

# A point farther than this outside the ink has left it, in ems: 4 micrometres at 5 mm capitals.
OUTSIDE_EM = 5e-4  # -30 %: cover -0.03; +30 %: alike

# A rung says nothing if both rails run straight past it, to within this,
STRAIGHT_EM = 1.0 / 1400.0  # -30 %: alike; +30 %: alike
# and those beside it stand no farther apart than this, in distances between rungs. Twice would
# thin plain strokes too.
APART = 1.5  # -30 %: alike; +30 %: spill +0.02

# Ends of neighbouring rungs nearer than this, in ems, are one point.
SAME_EM = 1e-7  # -30 %: same; +30 %: same

# Rungs that meet within this share of their length beyond an end count as crossing already, so
# that no rounding makes them cross later.
NEARLY = 1e-9  # -30 %: same; +30 %: same


def evened(rails: Rails, width: float, *, closed: bool = False) -> Rails:
    """Rungs spaced evenly along a stroke and turned square to it by sliding their ends.

    Parameters
    ----------
    rails : Rails
        The rails' full course, paired roughly. First and last rung stay, unless ``closed``.
    width : float
        Width of the stroke, ems.
    closed : bool
        A ring, whose last rung is its first.

    Notes
    -----
    A rung joins the places a and b on the two rails; evenly spaced means that (a + b) / 2
    grows evenly, and square that a - b, the slip, is such that the rung stands upright on the
    centre line (the smoothed local symmetry of Brady and Asada, International Journal of
    Robotics Research 3(3), 1984).
    """
    left, right = _Course(rails.left, closed), _Course(rails.right, closed)
    total = (left.end + right.end) / 2.0
    if total < 1e-6:
        return Rails(rails.left[[0, -1]], rails.right[[0, -1]])
    count = max(FEWEST, math.ceil(total / RUNG_EM) + 1)
    even, paired = np.arange(count) * (total / (count - 1)), (left.where + right.where) / 2.0
    a, b = np.interp(even, paired, left.where), np.interp(even, paired, right.where)
    reach = max(1, round(SMOOTH_WIDTHS * width / (total / (count - 1))))
    if count > 2 * reach + 2:
        tilt = (left.end - right.end) / total
        slip = _smoothed(a - b - tilt * even, reach, closed) + tilt * even
        a, b = even + slip / 2.0, even - slip / 2.0
    a, b = _in_order(a, left.end, closed), _in_order(b, right.end, closed)
    squared = slice(None) if closed else slice(1, -1)
    for _ in range(SQUARING_STEPS):
        lean = SQUARING_GAIN * _lean(left.at(a), right.at(b), closed)
        a[squared] += lean
        b[squared] -= lean
        a, b = _in_order(a, left.end, closed), _in_order(b, right.end, closed)
    if not closed:
        a, b = _closer(left, right, a, b)
    return Rails(as_points(left.at(a)), as_points(right.at(b)))


class _Course:
    """A rail as complex numbers over its own length; a ring is gone round for ever."""

    def __init__(self, rail: Points, closed: bool) -> None:
        self._flat = as_places(rail)
        # The little extra keeps repeated points in order.
        self.where = np.zeros(len(rail))
        (np.abs(self._flat[1:] - self._flat[:-1]) + 1e-9).cumsum(out=self.where[1:])
        self.end = float(self.where[-1])
        self._closed = closed

    def at(self, places: NDArray[np.float64]) -> Places:
        """Points of the rail; the last one is exactly the first in a ring."""
        if self._closed:
            places = places % self.end
            places[-1] = places[0]
        points: Places = np.interp(places, self.where, self._flat)
        return points


def _smoothed(slip: NDArray[np.float64], reach: int, closed: bool) -> NDArray[np.float64]:
    """Moving mean over ``reach`` rungs to each side; the end values stay in an open column."""
    if closed:
        padded = np.concatenate([slip[-reach - 1 : -1], slip, slip[1 : reach + 1]])
    else:
        before = 2.0 * slip[0] - slip[reach:0:-1]
        behind = 2.0 * slip[-1] - slip[-2 : -reach - 2 : -1]
        padded = np.concatenate([before, slip, behind])
    return np.convolve(padded, np.full(2 * reach + 1, 1.0 / (2 * reach + 1)), "valid")


def _lean(left: Places, right: Places, closed: bool) -> NDArray[np.float64]:
    """How far each rung's right end is ahead of its left one, along the centre line.

    Of an open column, without its two end rungs, which stay as they are.
    """
    middle, rung = left + right, right - left
    if closed:
        middle = np.concatenate([middle[-2:-1], middle, middle[1:2]])
    else:
        rung = rung[1:-1]
    travel = middle[2:] - middle[:-2]
    return (rung * travel.conj()).real / np.maximum(np.abs(travel), 1e-9)


def _in_order(places: NDArray[np.float64], end: float, closed: bool) -> NDArray[np.float64]:
    """Places that never fall, within the rail; a ring ends one round after it began."""
    if closed:
        places = np.maximum.accumulate(places)
        places[-1] = places[0] + end
        return np.minimum(places, places[-1])
    places[0], places[-1] = 0.0, end
    rising = np.maximum.accumulate(places)
    return rising if rising[-1] <= end else np.minimum(rising, end)


def _closer(
    left: _Course, right: _Course, a: NDArray[np.float64], b: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Places of rungs, with more of them beside either end where a rail would lose its shape."""
    each, more = np.arange(len(a)), []
    for k in (0, len(a) - 2):
        if max(a[k + 1] - a[k], b[k + 1] - b[k]) > FAR * RUNG_EM:
            bend = max(_bend(left, a[k], a[k + 1]), _bend(right, b[k], b[k + 1]))
            pieces = math.ceil(math.sqrt(bend / BEND_EM))
            more += [k + piece / pieces for piece in range(1, pieces)]
    if not more:
        return a, b
    at = np.sort(np.concatenate([each, more]))
    return np.interp(at, each, a), np.interp(at, each, b)


def _bend(rail: _Course, first: float, last: float) -> float:
    """How far a rail strays, half way, from the line between two of its places."""
    start, middle, end = rail.at(np.array([first, (first + last) / 2.0, last])).tolist()
    return abs(middle - (start + end) / 2.0)


def mended(outline: Outline, strokes: Sequence[tuple[Rails, bool]]) -> Iterator[tuple[Rails, bool]]:
    """Strokes whose rungs stay in the ink, move on, and do not cross their neighbours.

    A rung that leaves the ink is cut back to the part that holds its middle; one whose middle
    is outside is dropped, as is one that crosses the last rung kept. A stroke with too few rungs
    left is none. With each stroke goes whether it is a ring.
    """
    if not strokes:
        return
    left, right = joined([rails for rails, _ in strokes])
    keep = np.ones(len(left), dtype=bool)
    for index in _leaving(outline, left, right):
        cut = _cut_back(outline, left[index], right[index])
        if cut is None:
            keep[index] = False
        else:
            left[index], right[index] = cut
    begin = 0
    for rails, closed in strokes:
        own = slice(begin, begin + len(rails.left))
        begin = own.stop
        inside = _kept(Rails(left[own], right[own]), keep[own], closed)
        apart = uncrossed(inside)
        thinned = eased(apart)
        if len(thinned.left) < len(apart.left):
            apart = uncrossed(thinned)
        if len(apart.left) >= (RING_LEAST if closed else 2):
            yield Rails(*(_settled(rail, closed) for rail in apart)), closed


def _kept(rails: Rails, keep: NDArray[np.bool_], closed: bool) -> Rails:
    """Some rungs of a stroke; in a ring that has lost its seam the first one again at the end."""
    if keep.all():
        return rails
    left, right = rails.left[keep], rails.right[keep]
    if closed and len(left) > 2 and not (keep[0] and keep[-1]):
        left, right = np.concatenate([left, left[:1]]), np.concatenate([right, right[:1]])
    return Rails(left, right)


def _leaving(outline: Outline, left: Points, right: Points) -> list[int]:
    """Numbers of the rungs that are not wholly inside the ink."""
    start, rung = as_places(left), as_places(right - left)
    probes = as_points(start + PROBES * rung)
    return sorted(set((outside(outline.ink, probes, OUTSIDE_EM) % len(left)).tolist()))


def _cut_back(outline: Outline, left: Points, right: Points) -> tuple[Points, Points] | None:
    """The part of a rung that lies in the ink and holds its middle; None if that is outside."""
    middle, rung = (left + right) / 2.0, right - left
    if len(outside(outline.ink, middle[None], 0.0)):
        return None
    a, b = outline.points - middle, outline.points[outline.after] - middle
    side_a, side_b = cross(rung, a), cross(rung, b)
    hit = (side_a > 0.0) != (side_b > 0.0)
    share = side_a[hit] / (side_a[hit] - side_b[hit])
    at = (a[hit] + share[:, None] * (b[hit] - a[hit])) @ rung / float(rung @ rung)
    low, high = at[at <= 0.0].max(initial=-0.5), at[at > 0.0].min(initial=0.5)
    return middle + low * rung, middle + high * rung


def _settled(rail: Points, closed: bool) -> Points:
    """Rail whose points repeat the one before exactly where they nearly do."""
    step = np.abs(rail[1:] - rail[:-1]) > SAME_EM
    own = step[:, 0] | step[:, 1]
    if own.all():
        return rail
    places = np.concatenate([[0], np.where(own, np.arange(1, len(rail)), 0)])
    rail = rail[np.maximum.accumulate(places)]
    if closed:
        first = int(np.argmax(own)) + 1
        rail[:first] = rail[-1]
    return rail


def _near(left: Points, right: Points) -> list[int]:
    """Numbers of the rungs that the next one does not lie wholly beside; most have none."""
    rung = (right - left)[:-1]
    side, other = cross(rung, left[1:] - left[:-1]), cross(rung, right[1:] - left[:-1])
    clear = side * other > 2.0 * NEARLY * np.maximum(side * side, other * other)
    near: list[int] = (~clear).nonzero()[0].tolist()
    return near


def conflict(a: list[float], b: list[float], c: list[float], d: list[float]) -> bool:
    """Whether rungs a b and c d cross, touch within, or are the same; a shared end is fine."""
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = a, b, c, d
    left_shared = abs(cx - ax) < SAME_EM and abs(cy - ay) < SAME_EM
    right_shared = abs(dx - bx) < SAME_EM and abs(dy - by) < SAME_EM
    if left_shared or right_shared:
        return left_shared and right_shared
    x, y, ox, oy = bx - ax, by - ay, dx - cx, dy - cy
    turn = x * oy - y * ox
    if turn == 0.0:
        return False
    s = ((cx - ax) * oy - (cy - ay) * ox) / turn
    t = ((cx - ax) * y - (cy - ay) * x) / turn
    return min(s, t) > -NEARLY and max(s, t) < 1.0 + NEARLY


def uncrossed(rails: Rails) -> Rails:
    """Rungs of which no two neighbours are in conflict; the last one is kept."""
    while len(rails.left) > 1 and (near := _near(*rails)):
        left, right = rails.left.tolist(), rails.right.tolist()
        bad = [k for k in near if conflict(left[k], right[k], left[k + 1], right[k + 1])]
        if not bad:
            break
        # Of a run of conflicts only the first is solved, which may solve the others.
        fresh = [k for k, before in zip(bad, [-2, *bad], strict=False) if k > before + 1]
        keep = np.ones(len(left), dtype=bool)
        keep[[k + 1 if k + 2 < len(left) else k for k in fresh]] = False
        rails = Rails(rails.left[keep], rails.right[keep])
    return rails


def eased(rails: Rails) -> Rails:
    """Rails without the rungs that say nothing: both run straight past them, and not far.

    Many of those lie in the step to a slab, where the stroke widens and hardly advances.
    """
    most, advance = APART * RUNG_EM, _advances(*rails)
    near = (advance[1:] + advance[:-1] <= most).nonzero()[0]
    if not len(near):
        return rails
    at = [0.0, *advance.cumsum().tolist()]
    left, right, first = rails.left.tolist(), rails.right.tolist(), 0
    keep = np.ones(len(at), dtype=bool)
    for rung in (near + 1).tolist():
        if keep[rung - 1]:
            first = rung - 1
        if at[rung + 1] - at[first] <= most and (
            _straight(left, first, rung + 1) and _straight(right, first, rung + 1)
        ):
            keep[rung] = False
    return Rails(rails.left[keep], rails.right[keep])


def _advances(left: Points, right: Points) -> NDArray[np.float64]:
    """How far the middle comes from each rung to the next, square to the one or the other."""
    across, step = right - left, (left[1:] + right[1:] - left[:-1] - right[:-1]) / 2.0
    sizes = np.maximum(np.hypot(across[:, 0], across[:, 1]), SAME_EM)
    areas = np.minimum(np.abs(cross(across[1:], step)), np.abs(cross(across[:-1], step)))
    return areas / np.maximum(sizes[1:], sizes[:-1])


def _straight(rail: list[list[float]], first: int, last: int) -> bool:
    """Whether the points between two of a rail are near the line from one to the other."""
    (ax, ay), (bx, by) = rail[first], rail[last]
    x, y = bx - ax, by - ay
    most = STRAIGHT_EM * math.hypot(x, y)
    return all(abs(x * (qy - ay) - y * (qx - ax)) <= most for qx, qy in rail[first + 1 : last])
