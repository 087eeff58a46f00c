"""Meeting: how strokes end at one another.

A stroke that ends on the side of another runs into it by a small overlap. At a corner without
a through stroke (L, V, Z, M) one stroke owns the corner and runs to the outer edge; the other
ends on the cut from the inner corner to that edge.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pathgen.columns.branches import CORNER_DEG, Arm
from pathgen.columns.ends import End, finished
from pathgen.columns.joints import Joint
from pathgen.columns.outline import Outline
from pathgen.columns.pairing import heading
from pathgen.columns.rails import Rails, matched
from pathgen.geometry import Points, cross
from pathgen.polygons import outside

__all__ = ["Trim", "abutting", "at_corner", "at_side", "to_centre"]

# Overlap of a stroke with the one it ends on, in widths of the narrower of the two.
OVERLAP_WIDTHS = 0.15  # -30 %: alike; +30 %: alike

# A slanted stroke is squared off beyond its overlap, but by no more than this, in widths of
# the one it ends on.
SQUARE_WIDTHS = 0.6  # -30 %: alike; +30 %: alike

# A stroke is never drawn on by more than this, in its own widths.
LONGEST_WIDTHS = 2.0  # -30 %: alike; +30 %: same

# Sine of the flattest angle at which strokes are taken to meet.
FLATTEST_SIN = 0.25  # -30 %: same; +30 %: same

# The outline beside a stroke is followed to the one it ends on while its cosine with the heading
# is more than this.
FOLLOW_COS = 0.2  # -30 %: same; +30 %: alike

# The cut of a corner is no longer than this, in widths of the wider stroke.
CUT_WIDTHS = 6.0  # -30 %: same; +30 %: same

# A hollow of the outer edge this near to the cut, in widths of the owner, draws the cut to itself:
# the notch of M and W.
NOTCH_WIDTHS = 0.7  # -30 %: same; +30 %: same

# Cuts this nearly equal are a tie, and the steeper stroke owns the corner: stems are sewn whole.
TIE = 1.1  # -30 %: 103 lost, cover -6.71; +30 %: alike


@dataclass(frozen=True, slots=True, eq=False)
class Trim:
    """Start of an arm that belongs to another stroke: one rail begins later, at ``point``.

    Attributes
    ----------
    left : bool
        Which rail of the arm.
    rungs : int
        How many of its first rungs have their end at ``point``.
    point : (2,) float
        Where the cut meets that rail.
    """

    left: bool
    rungs: int
    point: Points


def at_side(outline: Outline, joint: Joint, arm: Arm, pairs: list[tuple[Arm, Arm]]) -> End:
    """End of an arm on the nearest of the strokes that go through its joint."""
    points = outline.points
    sides = []
    for a, b in pairs:
        on_left = arm in joint.left_neighbours(a, b)
        first, last = (a.left[0], b.right[0]) if on_left else (b.left[0], a.right[0])
        side = points[last] - points[first]
        size = math.hypot(*side)
        off = abs(float(cross(side, arm.middle[0] - points[first])))
        apart = off / size if size > 1e-9 else math.inf
        sides.append((apart, points[first], points[last], (a.width + b.width) / 2.0))
    _, start, end, width = min(sides, key=lambda side: side[0])
    ahead, place = heading(outline, arm), joint.arms.index(arm)
    left = _following(outline, joint.gaps[place - 1][::-1], ahead)
    right = _following(outline, joint.gaps[place], ahead)
    return abutting(outline, arm, Rails(left, right), start, end, width)


def _following(outline: Outline, gap: list[int], ahead: Points) -> Points:
    """The outline beside an arm as far as it goes on ahead: to a hollow corner, or sideways."""
    path, count = outline.points[gap], 1
    for vertex, step in zip(gap[1:], path[1:] - path[:-1], strict=True):
        if float(step @ ahead) < FOLLOW_COS * math.hypot(*step):
            break
        count += 1
        if outline.turn_deg[vertex] < -CORNER_DEG:
            break
    return path[:count]


def abutting(
    outline: Outline, arm: Arm, rails: Rails, start: Points, end: Points, width: float
) -> End:
    """Rails drawn on over a line from ``start`` to ``end`` into a stroke of this width.

    Both rails reach the line and overlap; a slanted end is squared off as far as it stays
    inside the ink.
    """
    ahead, line = heading(outline, arm), end - start
    size = math.hypot(*line)
    if size < 1e-9:
        return End(matched(rails.left, rails.right, ahead))
    normal = np.array([-line[1], line[0]]) / size
    normal = normal if normal @ ahead >= 0.0 else -normal
    sine = max(float(normal @ ahead), FLATTEST_SIN)
    tips = [rails.left[-1], rails.right[-1]]
    to_line = [
        min(max(0.0, float((start - tip) @ normal) / sine), LONGEST_WIDTHS * arm.width)
        for tip in tips
    ]
    at = [float(tip @ ahead) for tip in tips]
    overlap = OVERLAP_WIDTHS * min(arm.width, width)
    most = [0.97 * run for run in _ink_ahead(outline, tips, ahead)]
    # Squared off at the farther rail's overlap, or where that rail leaves the ink before it.
    squared = max(a + min(run + overlap, m) for a, run, m in zip(at, to_line, most, strict=True))
    reaches = [
        min(max(run + overlap, min(squared - a, run + SQUARE_WIDTHS * width / sine)), m)
        for a, run, m in zip(at, to_line, most, strict=True)
    ]
    left, right = (
        np.concatenate([rail, [tip + ahead * reach]])
        for rail, tip, reach in zip(rails, tips, reaches, strict=True)
    )
    return End(matched(left, right, ahead))


def _ink_ahead(outline: Outline, tips: list[Points], ahead: Points) -> list[float]:
    """Distance from points of the outline to where the line ahead leaves the ink; 0 if at once."""
    points, after = outline.points, outline.after
    aside, run = cross(ahead, points), points @ ahead
    runs = []
    for tip in tips:
        side = aside - cross(ahead, tip)
        hits = _hits(side, side[after], run, run[after])[0] - float(tip @ ahead)
        hits = hits[hits > 2e-3]
        nearest = float(hits.min(initial=0.0 if not len(hits) else math.inf))
        # An even number of crossings: the point is on the edge of the ink, or the line goes along
        # it.
        beside = len(hits) % 2 == 0
        if beside and outside(outline.ink, (tip + 0.5 * nearest * ahead)[None], 2e-3)[0]:
            nearest = 0.0
        runs.append(nearest)
    return runs


def _crossings(
    starts: Points, ends: Points, origin: Points, ahead: Points
) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Distances ahead at which a line crosses edges, and the numbers of those edges."""
    a, b = starts - origin, ends - origin
    return _hits(cross(ahead, a), cross(ahead, b), a @ ahead, b @ ahead)


def _hits(
    side_a: NDArray[np.float64],
    side_b: NDArray[np.float64],
    run_a: NDArray[np.float64],
    run_b: NDArray[np.float64],
) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """The same of edges from a to b, given beside the line and along it."""
    hit = ((side_a * side_b <= 0.0) & (np.abs(side_a - side_b) > 1e-12)).nonzero()[0]
    share = side_a[hit] / (side_a[hit] - side_b[hit])
    return run_a[hit] + share * (run_b[hit] - run_a[hit]), hit


def to_centre(outline: Outline, joint: Joint, arm: Arm) -> End:
    """End of an arm in the middle of a joint that no stroke goes through."""
    rung = outline.points[[arm.right[0], arm.left[0]]]
    mouths = [outline.points[[a.left[0], a.right[0]]] for a in joint.arms]
    centre = np.concatenate(mouths).mean(axis=0)[None]
    return End(Rails(np.concatenate([rung[:1], centre]), np.concatenate([rung[1:], centre])))


@dataclass(frozen=True, slots=True, eq=False)
class _Cut:
    """A cut across a corner, if ``owner`` runs to the outer edge.

    ``inner`` and ``outer`` lead from the owner's last rung to the other's, on the hollow and
    on the convex side; ``outer`` goes on along the other's outer rail. The cut joins
    ``inner[hollow]`` to ``point``, on the edge of ``outer`` that begins at ``edge``.
    """

    owner: Arm
    other: Arm
    inner: list[int]
    outer: list[int]
    corner_points: int
    hollow: int
    edge: int
    point: Points
    inner_is_left: bool
    cost: float


def at_corner(outline: Outline, joint: Joint) -> tuple[dict[Arm, End], dict[Arm, Trim]]:
    """Ends of the two arms of a corner, and how the second one's first rungs are trimmed."""
    first, second = joint.arms
    cuts = [
        cut
        for cut in (_cut(outline, joint, first, second), _cut(outline, joint, second, first))
        if cut is not None
    ]
    if not cuts:
        return {arm: to_centre(outline, joint, arm) for arm in joint.arms}, {}
    least = min(cut.cost for cut in cuts)
    cut = max(
        (c for c in cuts if c.cost <= TIE * least),
        key=lambda c: round(abs(float(heading(outline, c.owner)[1])), 6),
    )
    end, trim = _other_end(outline, cut)
    ends = {cut.owner: _owner_end(outline, cut), cut.other: end}
    return ends, {cut.other: trim} if trim else {}


def _cut(outline: Outline, joint: Joint, owner: Arm, other: Arm) -> _Cut | None:
    """The cut that the owner's inner side, drawn on, makes to the outer edge."""
    ahead_gap, back_gap = joint.gap_after(owner), joint.gap_after(other)
    inner_is_left = len(back_gap) < len(ahead_gap)
    if inner_is_left:
        inner, corner, rail = back_gap[::-1], ahead_gap, other.right
    else:
        inner, corner, rail = ahead_gap, back_gap[::-1], other.left
    outer = corner + [v for v, last in zip(rail[1:], rail, strict=False) if v != last]
    points, ahead = outline.points, heading(outline, owner)
    hollow = int(np.argmin(outline.turn_deg[inner]))
    origin = points[inner[hollow]]
    runs, edges = _crossings(points[outer[:-1]], points[outer[1:]], origin, ahead)
    good = ((runs > 1e-3) & (runs <= CUT_WIDTHS * max(owner.width, other.width))).nonzero()[0]
    if not len(good):
        return None
    nearest = good[int(np.argmin(runs[good]))]
    run, edge = float(runs[nearest]), int(edges[nearest])
    point = origin + run * ahead
    for place, vertex in enumerate(corner):
        if _is_notch(outline, vertex, point, owner.width):
            point, edge, run = points[vertex], place, 0.5 * math.dist(points[vertex], origin)
            break
    return _Cut(owner, other, inner, outer, len(corner), hollow, edge, point, inner_is_left, run)


def _is_notch(outline: Outline, vertex: int, point: Points, width: float) -> bool:
    """Whether an outline point is a hollow near to where a cut ends."""
    near = math.dist(outline.points[vertex], point) < NOTCH_WIDTHS * width
    return bool(near and outline.turn_deg[vertex] < -CORNER_DEG)


def _owner_end(outline: Outline, cut: _Cut) -> End:
    """The owner's end: around the outer corner, back along the cut."""
    points = outline.points
    outer = np.concatenate([points[cut.outer[: cut.edge + 1]], [cut.point]])
    inner = points[cut.inner[: cut.hollow + 1]]
    left, right = (inner, outer) if cut.inner_is_left else (outer, inner)
    path = np.concatenate([left, right[::-1]])
    return finished(outline, cut.owner, path, heading(outline, cut.owner))


def _other_end(outline: Outline, cut: _Cut) -> tuple[End, Trim | None]:
    """The other's end on the cut, with its overlap."""
    points, trim = outline.points, None
    inner = points[cut.inner[cut.hollow :]][::-1]
    if cut.edge < cut.corner_points - 1:
        beyond = points[cut.outer[cut.edge + 1 : cut.corner_points]][::-1]
        outer = np.concatenate([beyond, [cut.point]])
    else:
        outer = cut.point[None]
        trim = _trim(cut)
    rails = Rails(outer, inner) if cut.inner_is_left else Rails(inner, outer)
    hollow = points[cut.inner[cut.hollow]]
    end = abutting(outline, cut.other, rails, hollow, cut.point, cut.owner.width)
    return end, trim


def _trim(cut: _Cut) -> Trim:
    """The part of the other's outer rail that lies before the cut."""
    left = not cut.inner_is_left
    rail = cut.other.left if left else cut.other.right
    last = cut.outer[cut.edge]
    rungs = len(rail) - rail[::-1].index(last)
    return Trim(left, rungs, cut.point)
