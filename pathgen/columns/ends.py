"""Ends: how a stroke finishes at a free end.

Two convex corners make an end edge, and the last rung lies on it; a round end closes at its
farthest point; an end wider than its stroke (a serif, a beak) is swept with rungs along
its edge. All functions look out of the stroke, towards its end.
"""

import cmath
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from pathgen.columns.branches import CORNER_DEG, Arm
from pathgen.columns.feet import WIDE, corners, foot
from pathgen.columns.outline import Outline
from pathgen.columns.pairing import heading_at_joint
from pathgen.columns.plane import as_points, as_vector, places_of, turn
from pathgen.columns.rails import Rails, matched, of_arm, sampled
from pathgen.geometry import Points, along, signed_area

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


def finished(outline: Outline, arm: Arm, path: Sequence[complex], ahead: complex) -> End:
    """End of a stroke.

    Parameters
    ----------
    outline : Outline
        What ``arm`` belongs to.
    arm : Arm
        The stroke, seen from this end.
    path : sequence of complex
        Around the end, from the left to the right end of the stroke's last rung.
    ahead : complex
        Unit direction out of the stroke.
    """
    path = [path[0], *(b for a, b in pairwise(path) if _apart(a, b))]
    if len(path) < 3:
        return End(Rails(as_points(path[:1]), as_points(path[-1:])))
    turns = _turns(outline, arm, path)
    corners = _end_edge(path, turns, ahead)
    if corners is None:  # a stroke that bends at once is cut square to where it has got to
        bent = heading_at_joint(outline, arm)
        corners = _end_edge(path, turns, bent)
        ahead = bent if corners is not None else ahead
    if _leaves_sideways(path, turns, ahead):
        return _wide(outline, arm, path, corners, ahead)
    if corners is not None and _is_slanted_hollow(path, *corners, ahead):
        corners = None
    i, j = corners or _tip(path, ahead)
    return End(matched(path[: i + 1], path[j:][::-1], ahead))


def _wide(
    outline: Outline,
    arm: Arm,
    path: Sequence[complex],
    corners: tuple[int, int] | None,
    ahead: complex,
) -> End:
    """End that may be wider than its stroke: across its edge, its hull or the stroke itself.

    The first that leaves nothing bare, or the one that leaves least.
    """
    width = min(arm.width, abs(path[-1] - path[0]))
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
    path: Sequence[complex], corners: tuple[int, int] | None, ahead: complex, least: float
) -> Iterator[tuple[int, int]]:
    """Edges to draw a wide end along, best first: those longer than ``least``, then others."""
    is_wide = corners is not None and abs(path[corners[1]] - path[corners[0]]) > least
    if corners is not None and is_wide:
        yield corners
    hull = _hull_edge(path, ahead, least)
    if hull is not None:
        yield hull
    if corners is not None and not is_wide:
        yield corners
    yield _tip(path, ahead)


def _across(
    outline: Outline,
    arm: Arm,
    path: Sequence[complex],
    edge: tuple[int, int],
    ahead: complex,
    width: float,
) -> tuple[End, float]:
    """End with rungs along an edge, and the area that they leave bare."""
    i, j = edge
    across, heading = path[j] - path[i], ahead
    size = math.hypot(across.real, across.imag)
    depth = 0.0
    if size > WIDE * width:
        ahead = across * 1j / size
        depth = _hollow_depth(path, i, j)
    off = [turn(ahead, place).imag for place in path]
    points = as_points(path)
    if max(off) - min(off) > WIDE * width:
        sides = Rails(points[: i + 1], points[j:][::-1])
        end = _swept(outline, arm, sides, as_vector(ahead), heading, depth)
    else:
        end = End(matched(path[: i + 1], path[j:][::-1], ahead))
    beside = of_arm(outline, arm)
    stem = slice(end.taken, 0, -1) if end.taken else slice(0, 0)
    whole = np.concatenate([beside.right[stem], points, beside.left[stem][::-1]])
    return end, abs(signed_area(whole)) - end.rails.area


def _tip(path: Sequence[complex], ahead: complex) -> tuple[int, int]:
    """The farthest point, twice."""
    run = [turn(ahead, place).real for place in path]
    return (run.index(max(run)),) * 2


def _apart(a: complex, b: complex) -> bool:
    """Whether two points are not the same."""
    return abs(b - a) > 1e-5


def _turns(outline: Outline, arm: Arm, path: Sequence[complex]) -> list[float]:
    """Turn at each point of the path, at its two ends against the stroke's own rails."""
    at = outline.places
    before = next((v for v in arm.right if v != arm.right[0]), arm.right[0])
    behind = next((v for v in arm.left if v != arm.left[0]), arm.left[0])
    steps = [b - a for a, b in pairwise([at[before], *path, at[behind]])]
    return [math.degrees(cmath.phase(turn(a, b))) for a, b in pairwise(steps)]


def _end_edge(
    path: Sequence[complex], turns: list[float], ahead: complex
) -> tuple[int, int] | None:
    """Places of the two corners of the end edge that lies farthest out; None if there is none.

    Around an end from left to right the outline turns right, so its corners are negative.
    """
    best: tuple[float, int, int] | None = None
    most_lean = math.sin(math.radians(EDGE_LEAN_DEG))
    corners = [k for k, each in enumerate(turns) if each < -CORNER_DEG]
    for i, j in pairwise(corners):
        edge = path[j] - path[i]
        size, seen = abs(edge), turn(ahead, edge)
        if size < EDGE_LEAST_EM or abs(seen.real) > size * most_lean or seen.imag > 0.0:
            continue
        bulges = (abs(turn(edge, path[k] - path[i]).imag) for k in range(i + 1, j))
        if max(bulges, default=0.0) > EDGE_BULGE * size**2:
            continue
        out = min(turn(ahead, path[i]).real, turn(ahead, path[j]).real)
        if best is None or out > best[0]:
            best = (out, i, j)
    if best is None:
        return None
    _, i, j = best
    farther = max(turn(ahead, path[i]).real, turn(ahead, path[j]).real)
    back = max(turn(ahead, place).real for place in path) - farther
    return (i, j) if back <= EDGE_BACK_WIDTHS * abs(path[-1] - path[0]) else None


def _hull_edge(path: Sequence[complex], ahead: complex, least: float) -> tuple[int, int] | None:
    """Places where a ruler laid across a wide end touches it; None if it is not so wide.

    The longest edge of the convex hull that faces ahead: the foot of a slab whose corners are
    round.
    """
    seen = [turn(ahead, place) * 1j for place in path]  # ahead is up
    hull: list[int] = []
    for k in sorted(range(len(seen)), key=lambda k: (seen[k].real, seen[k].imag)):
        while len(hull) > 1 and _hollow(path[hull[-2]], path[hull[-1]], path[k]):
            hull.pop()
        hull.append(k)
    most_lean = math.tan(math.radians(EDGE_LEAN_DEG))
    edges = [
        (abs(path[j] - path[i]), i, j)
        for i, j in pairwise(hull)
        if i < j and abs((seen[j] - seen[i]).imag) <= most_lean * (seen[j] - seen[i]).real
    ]
    size, i, j = max(edges, default=(0.0, 0, 0))
    if size <= least:
        return None
    edge = path[j] - path[i]
    depth = max(abs(turn(edge, place - path[i]).imag) for place in path[i : j + 1]) / size
    return (i, j) if depth <= RULER_HOLLOW * size else None


def _is_slanted_hollow(
    path: Sequence[complex], i: int, j: int, ahead: complex, share: float = 0.0
) -> bool:
    """Whether a rung on a slanted edge would leave the ink, by more than a share of its length."""
    if i == j:
        return False
    edge, depth = path[j] - path[i], _hollow_depth(path, i, j)
    least = max(HOLLOW_EM, share * abs(edge))
    return depth > least and abs(turn(ahead, edge).real) > HOLLOW_SLANT * depth


def _hollow_depth(path: Sequence[complex], i: int, j: int) -> float:
    """How deep the outline falls in behind the line between two of its points."""
    edge = path[j] - path[i]
    size = math.hypot(edge.real, edge.imag)
    return max(0.0, -min(turn(edge, place - path[i]).imag / size for place in path[i : j + 1]))


def _hollow(a: complex, b: complex, c: complex) -> bool:
    """Whether b lies on or below the line from a to c, or above it by no more than rounding."""
    return turn(b - a, c - a).imag >= -1e-12


def _leaves_sideways(path: Sequence[complex], turns: list[float], ahead: complex) -> bool:
    """Whether the outline widens beyond the stroke's last rung."""
    run, least = 0.0, math.inf
    for each in turns:
        run += each
        least = min(least, run)
        if run - least > HOLLOW_DEG:
            return True
    first, last = turn(ahead, path[1] - path[0]), turn(ahead, path[-2] - path[-1])
    return (first.real < SIDEWAYS_COS * abs(first) and first.imag > 0.0) or (
        last.real < SIDEWAYS_COS * abs(last) and last.imag < 0.0
    )


def _swept(
    outline: Outline, arm: Arm, rails: Rails, ahead: Points, heading: complex, depth: float
) -> End:
    """End wider than its stroke: rungs square to ``ahead``, whose width may jump.

    Only those from its foot on are kept; the others turn with the stroke.
    """
    left, right = rails
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
    at = np.sort(np.concatenate([a, b, np.arange(low, high, SWEEP_EM)]))
    at = at[np.concatenate([[True], at[1:] - at[:-1] > 1e-5])]
    if depth:
        at = np.append(at[at < high - 1e-5], high)
    rails = Rails(
        sampled(left, a, np.minimum(at, a[-1] - clear)),
        sampled(right, b, np.minimum(at, b[-1] - clear)),
    )
    cornered = [
        int(at.searchsorted(where[k], side="right")) - 1
        for rail, where, beside, side in ((left, a, arm.right, 1.0), (right, b, arm.left, -1.0))
        for k in corners(_before(outline, beside[taken:], ahead), places_of(rail), side)
    ]
    return End(rails, len(at) - foot(rails, ahead, heading, cornered), taken)


def _before(outline: Outline, rail: list[int], ahead: Points) -> complex:
    """A place before the first of a stroke's rail, from where ``ahead`` leads on if need be."""
    places, first = outline.places, rail[0]
    return next((places[v] for v in rail if v != first), places[first] - complex(*ahead))


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
