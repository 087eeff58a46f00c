"""Ends: how a stroke finishes at a free end.

Two convex corners make an end edge, and the last rung lies on it; a round end closes at its
farthest point; an end wider than its stroke (a serif, a beak) is swept with rungs along
its edge. All functions look out of the stroke, towards its end.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from pathgen.columns.branches import CORNER_DEG, Arm
from pathgen.columns.outline import Outline
from pathgen.columns.rails import Rails, matched, of_arm, sampled
from pathgen.geometry import Points, along, cross, lengths, signed_area

__all__ = ["End", "finished"]

# Where the outline around an end turns outward by this in all, the end may be wider than its
# stroke.
HOLLOW_DEG = 20.0  # -30 %: alike; +30 %: same

# An end edge is at least this long, in ems,
EDGE_LEAST_EM = 0.012  # -30 %: alike; +30 %: alike
# leans by no more than this against the square across the stroke,
EDGE_LEAN_DEG = 52.0  # -30 %: cover -0.02; +30 %: alike
# bulges by no more than this share of its length,
EDGE_BULGE = 0.06  # -30 %: alike; +30 %: alike
# and lies no farther back from the farthest point than this, in widths of the stroke.
EDGE_BACK_WIDTHS = 0.5  # -30 %: same; +30 %: same

# An end swept along its edge is this much wider than its stroke.
WIDE = 1.35  # -30 %: cover +0.04; +30 %: cover -0.09, spill +0.02

# The edge across a wide end is left for another if it leaves more than this bare, in squares on
# the stroke's width.
BARE = 0.3  # -30 %: alike; +30 %: alike
# The other is taken if it leaves no more than this share of that.
BARER = 0.4  # -30 %: same; +30 %: same

# A ruler laid across a wide end spans no hollow deeper than this share of its length.
RULER_HOLLOW = 0.1  # -30 %: same; +30 %: same

# Cosine of the angle from which on the outline is seen to leave the stroke sideways.
SIDEWAYS_COS = 0.86  # -30 %: alike; +30 %: alike

# An end edge that falls in by more than this, in ems, while its corners differ by more than so many
# times that, has no last rung of its own: the stroke runs to the farther corner.
HOLLOW_EM = 1e-3  # -30 %: same; +30 %: same
HOLLOW_SLANT = 2.0  # -30 %: alike; +30 %: alike
# Where the end is wide, it has to fall in by more than this share of the edge's length;
WIDE_HOLLOW = 0.05  # -30 %: alike; +30 %: alike
# else its last rung stays clear of the hollow, so many times as deep as that.
CLEAR_OF_HOLLOW = 1.02  # -30 %: cover -0.15; +30 %: cover -0.05

# Distance between rungs in a wide end, and the backward step that is smoothed over, in ems.
SWEEP_EM = 1.0 / 120.0  # -30 %: alike; +30 %: alike
BACKWARD_EM = 0.02  # -30 %: alike; +30 %: alike


@dataclass(frozen=True, slots=True, eq=False)
class End:
    """The last piece of a stroke.

    Attributes
    ----------
    rails : Rails
        From the stroke's last rung outward.
    kept : int
        How many rungs at its outer end stay as they are, instead of being spaced evenly.
    taken : int
        How many rungs of the stroke it replaces.
    """

    rails: Rails
    kept: int = 0
    taken: int = 0


def finished(outline: Outline, arm: Arm, path: Points, ahead: Points) -> End:
    """End of a stroke.

    Parameters
    ----------
    outline : Outline
        What ``arm`` belongs to.
    arm : Arm
        The stroke, seen from this end.
    path : (N, 2) float
        Around the end, from the left to the right end of the stroke's last rung.
    ahead : (2,) float
        Unit direction out of the stroke.
    """
    path = _without_repeats(path)
    if len(path) < 3:
        return End(Rails(path[:1], path[-1:]))
    turn = _turns(outline, arm, path)
    corners = _end_edge(path, turn, ahead)
    if _leaves_sideways(path, turn, ahead):
        return _wide(outline, arm, path, corners, ahead)
    if corners is not None and _is_slanted_hollow(path, *corners, ahead):
        corners = None
    i, j = corners or _tip(path, ahead)
    return End(matched(path[: i + 1], path[j:][::-1], ahead))


def _wide(
    outline: Outline, arm: Arm, path: Points, corners: tuple[int, int] | None, ahead: Points
) -> End:
    """End that may be wider than its stroke: across its edge, its hull or the stroke itself.

    The first that leaves nothing bare, or the one that leaves least.
    """
    width = min(arm.width, math.dist(path[0], path[-1]))
    ends = (
        _across(outline, arm, path, edge, ahead, width)
        for edge in _edges(path, corners, ahead, WIDE * width)
        if not _is_slanted_hollow(path, *edge, ahead, WIDE_HOLLOW)
    )
    best, least = next(ends)
    while least > BARE * width**2 and (other := next(ends, None)) is not None:
        if other[1] < BARER * least:
            best, least = other
    return best


def _edges(
    path: Points, corners: tuple[int, int] | None, ahead: Points, least: float
) -> Iterator[tuple[int, int]]:
    """Edges to draw a wide end along, best first: those longer than ``least``, then others."""
    is_wide = corners is not None and math.dist(path[corners[0]], path[corners[1]]) > least
    if corners is not None and is_wide:
        yield corners
    hull = _hull_edge(path, ahead, least)
    if hull is not None:
        yield hull
    if corners is not None and not is_wide:
        yield corners
    yield _tip(path, ahead)


def _across(
    outline: Outline, arm: Arm, path: Points, edge: tuple[int, int], ahead: Points, width: float
) -> tuple[End, float]:
    """End with rungs along an edge, and the area that they leave bare."""
    i, j = edge
    left, right = path[: i + 1], path[j:][::-1]
    across = path[j] - path[i]
    size = math.hypot(*across)
    depth = 0.0
    if size > WIDE * width:
        ahead = np.array([-across[1], across[0]]) / size
        depth = _hollow_depth(path, i, j)
    if np.ptp(cross(ahead, path)) > WIDE * width:
        end = _swept(outline, arm, left, right, ahead, depth)
    else:
        end = End(matched(left, right, ahead))
    beside = of_arm(outline, arm)
    stem = slice(end.taken, 0, -1) if end.taken else slice(0, 0)
    whole = np.concatenate([beside.right[stem], path, beside.left[stem][::-1]])
    sewn = np.concatenate([end.rails.left, end.rails.right[::-1]])
    return end, abs(signed_area(whole)) - abs(signed_area(sewn))


def _tip(path: Points, ahead: Points) -> tuple[int, int]:
    """The farthest point, twice."""
    return (int(np.argmax(path @ ahead)),) * 2


def _without_repeats(path: Points) -> Points:
    """Path without points that repeat the one before."""
    keep = np.concatenate([[True], lengths(path) > 1e-5])
    return path[keep]


def _turns(outline: Outline, arm: Arm, path: Points) -> list[float]:
    """Turn at each point of the path, at its two ends against the stroke's own rails."""
    before = next((v for v in arm.right if v != arm.right[0]), arm.right[0])
    behind = next((v for v in arm.left if v != arm.left[0]), arm.left[0])
    way = [*path.tolist(), outline.points[behind].tolist()]
    x, y = way[0]
    ax, ay = outline.points[before].tolist()
    ax, ay = x - ax, y - ay
    turns = []
    for nx, ny in way[1:]:
        bx, by = nx - x, ny - y
        turns.append(math.degrees(math.atan2(ax * by - ay * bx, ax * bx + ay * by)))
        x, y, ax, ay = nx, ny, bx, by
    return turns


def _end_edge(path: Points, turn: list[float], ahead: Points) -> tuple[int, int] | None:
    """Places of the two corners of the end edge that lies farthest out; None if there is none.

    Around an end from left to right the outline turns right, so its corners are negative.
    """
    run = path @ ahead
    best = None
    (ux, uy), most_lean = ahead.tolist(), math.sin(math.radians(EDGE_LEAN_DEG))
    corners = [k for k, each in enumerate(turn) if each < -CORNER_DEG]
    for i, j in pairwise(corners):
        edge = path[j] - path[i]
        x, y = edge.tolist()
        size = math.hypot(x, y)
        leans, backward = abs(x * ux + y * uy) > size * most_lean, x * uy - y * ux < 0.0
        if size < EDGE_LEAST_EM or leans or backward:
            continue
        between = path[i + 1 : j] - path[i]
        if len(between) and np.abs(cross(edge, between)).max() > EDGE_BULGE * size**2:
            continue
        if best is None or min(run[i], run[j]) > best[0]:
            best = (min(run[i], run[j]), i, j)
    if best is None:
        return None
    _, i, j = best
    back = run.max() - max(run[i], run[j])
    return (i, j) if back <= EDGE_BACK_WIDTHS * math.dist(path[0], path[-1]) else None


def _hull_edge(path: Points, ahead: Points, least: float) -> tuple[int, int] | None:
    """Places where a ruler laid across a wide end touches it; None if it is not so wide.

    The longest edge of the convex hull that faces ahead: the foot of a slab whose corners are
    round.
    """
    across, run = -cross(ahead, path), path @ ahead
    hull: list[int] = []
    for k in np.lexsort((run, across)).tolist():
        while len(hull) > 1 and _hollow(across, run, hull[-2], hull[-1], k):
            hull.pop()
        hull.append(k)
    most_lean = math.tan(math.radians(EDGE_LEAN_DEG))
    edges = [
        (math.dist(path[i], path[j]), i, j)
        for i, j in pairwise(hull)
        if i < j and abs(run[j] - run[i]) <= most_lean * (across[j] - across[i])
    ]
    size, i, j = max(edges, default=(0.0, 0, 0))
    if size <= least:
        return None
    depth = np.abs(cross(path[j] - path[i], path[i : j + 1] - path[i])).max() / size
    return (i, j) if depth <= RULER_HOLLOW * size else None


def _is_slanted_hollow(path: Points, i: int, j: int, ahead: Points, share: float = 0.0) -> bool:
    """Whether a rung on a slanted edge would leave the ink, by more than a share of its length."""
    if i == j:
        return False
    edge, depth = path[j] - path[i], _hollow_depth(path, i, j)
    least = max(HOLLOW_EM, share * math.hypot(*edge))
    return depth > least and abs(float(edge @ ahead)) > HOLLOW_SLANT * depth


def _hollow_depth(path: Points, i: int, j: int) -> float:
    """How deep the outline falls in behind the line between two of its points."""
    edge = path[j] - path[i]
    off = cross(edge, path[i : j + 1] - path[i]) / math.hypot(*edge)
    return max(0.0, float(-off.min()))


def _hollow(x: NDArray[np.float64], y: NDArray[np.float64], a: int, b: int, c: int) -> bool:
    """Whether b lies on or below the line from a to c."""
    return bool((x[b] - x[a]) * (y[c] - y[a]) >= (x[c] - x[a]) * (y[b] - y[a]))


def _leaves_sideways(path: Points, turn: list[float], ahead: Points) -> bool:
    """Whether the outline widens beyond the stroke's last rung."""
    run, least = 0.0, math.inf
    for each in turn:
        run += each
        least = min(least, run)
        if run - least > HOLLOW_DEG:
            return True
    (px, py), (qx, qy), (rx, ry), (sx, sy) = path[[0, 1, -2, -1]].tolist()
    x, y = ahead.tolist()
    ax, ay, bx, by = qx - px, qy - py, rx - sx, ry - sy
    return (ax * x + ay * y < SIDEWAYS_COS * math.hypot(ax, ay) and ax * y - ay * x < 0.0) or (
        bx * x + by * y < SIDEWAYS_COS * math.hypot(bx, by) and bx * y - by * x > 0.0
    )


def _swept(
    outline: Outline, arm: Arm, left: Points, right: Points, ahead: Points, depth: float
) -> End:
    """End wider than its stroke: rungs square to ``ahead``, whose width may jump."""
    low = min(float(left[0] @ ahead), float(right[0] @ ahead))
    taken = _rungs_above(outline, arm, low, ahead)
    if taken:
        stroke = of_arm(outline, arm)
        left = np.concatenate([stroke.right[taken:0:-1], left])
        right = np.concatenate([stroke.left[taken:0:-1], right])
    left, right = _forward(left, ahead), _forward(right, ahead)
    a, b = _height(left, ahead), _height(right, ahead)
    clear = CLEAR_OF_HOLLOW * depth
    low, high = max(low, a[0], b[0]), max(a[-1], b[-1]) - clear
    at = np.unique(np.concatenate([a, b, np.arange(low, high, SWEEP_EM)]))
    at = at[np.concatenate([[True], np.diff(at) > 1e-5])]
    if depth:
        at = np.append(at[at < high - 1e-5], high)
    rails = Rails(
        sampled(left, a, np.minimum(at, a[-1] - clear)),
        sampled(right, b, np.minimum(at, b[-1] - clear)),
    )
    return End(rails, len(at), taken)


def _rungs_above(outline: Outline, arm: Arm, low: float, ahead: Points) -> int:
    """How many of the stroke's rungs, at most half of them, reach above a height."""
    stroke = of_arm(outline, arm)
    top = np.maximum(stroke.left @ ahead, stroke.right @ ahead)
    half = len(top) // 2
    below = (top[: max(1, half)] <= low + 1e-9).nonzero()[0]
    return int(below[0]) if len(below) else max(0, half - 1)


def _forward(rail: Points, ahead: Points) -> Points:
    """Rail without the points at which it runs back."""
    run = rail @ ahead
    return rail[run >= np.maximum.accumulate(run) - BACKWARD_EM]


def _height(rail: Points, ahead: Points) -> NDArray[np.float64]:
    """Height of each point along ``ahead``, never falling, with a little of its length."""
    return np.maximum.accumulate(rail @ ahead) + 0.01 * along(rail)
