"""Meeting: how strokes end at one another.

A stroke that ends on the side of another runs into it by a small overlap. At a corner without
a through stroke (L, V, Z, M) one stroke owns the corner and runs to the outer edge; the other
ends on the cut from the inner corner to that edge.
"""

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from pathgen.columns.branches import CORNER_DEG, Arm
from pathgen.columns.ends import End, finished
from pathgen.columns.joints import Joint
from pathgen.columns.outline import Outline
from pathgen.columns.pairing import heading
from pathgen.columns.plane import as_points, as_vector, turn
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
    at, sides = outline.places, []
    for a, b in pairs:
        on_left = arm in joint.left_neighbours(a, b)
        first, last = (a.left[0], b.right[0]) if on_left else (b.left[0], a.right[0])
        side = at[last] - at[first]
        size = abs(side)
        off = abs(turn(side, arm.middle[0] - at[first]).imag)
        apart = off / size if size > 1e-9 else math.inf
        sides.append((apart, at[first], at[last], (a.width + b.width) / 2.0))
    _, start, end, width = min(sides, key=lambda side: side[0])
    ahead, place = heading(outline, arm), joint.arms.index(arm)
    left = _following(outline, joint.gaps[place - 1][::-1], ahead)
    right = _following(outline, joint.gaps[place], ahead)
    return abutting(outline, arm, (left, right), (start, end), width)


def _following(outline: Outline, gap: list[int], ahead: complex) -> list[complex]:
    """The outline beside an arm as far as it goes on ahead: to a hollow corner, or sideways."""
    path = [outline.places[gap[0]]]
    for vertex in gap[1:]:
        step = outline.places[vertex] - path[-1]
        if turn(ahead, step).real < FOLLOW_COS * abs(step):
            break
        path.append(outline.places[vertex])
        if outline.turns_deg[vertex] < -CORNER_DEG:
            break
    return path


def abutting(
    outline: Outline,
    arm: Arm,
    rails: tuple[list[complex], list[complex]],
    line: tuple[complex, complex],
    width: float,
) -> End:
    """Rails drawn on over a line, from its start to its end, into a stroke of this width.

    Both rails reach the line and overlap; a slanted end is squared off as far as it stays
    inside the ink.
    """
    ahead, (start, end) = heading(outline, arm), line
    size = math.hypot((end - start).real, (end - start).imag)
    if size < 1e-9:
        return End(matched(*rails, ahead))
    normal = (end - start) * 1j / size
    normal = normal if turn(normal, ahead).real >= 0.0 else -normal
    sine = max(turn(normal, ahead).real, FLATTEST_SIN)
    tips = [rail[-1] for rail in rails]
    to_line = [
        min(max(0.0, turn(normal, start - tip).real / sine), LONGEST_WIDTHS * arm.width)
        for tip in tips
    ]
    at = [turn(ahead, tip).real for tip in tips]
    overlap = OVERLAP_WIDTHS * min(arm.width, width)
    most = [0.97 * run for run in _ink_ahead(outline, tips, ahead)]
    # Squared off at the farther rail's overlap, or where that rail leaves the ink before it.
    squared = max(a + min(run + overlap, m) for a, run, m in zip(at, to_line, most, strict=True))
    reaches = [
        min(max(run + overlap, min(squared - a, run + SQUARE_WIDTHS * width / sine)), m)
        for a, run, m in zip(at, to_line, most, strict=True)
    ]
    left, right = (
        [*rail, tip + ahead * reach] for rail, tip, reach in zip(rails, tips, reaches, strict=True)
    )
    return End(matched(left, right, ahead))


def _ink_ahead(outline: Outline, tips: list[complex], ahead: complex) -> list[float]:
    """Distance from points of the outline to where the line ahead leaves the ink; 0 if at once."""
    runs = []
    for tip, hits in zip(tips, _hits(outline, tips, ahead), strict=True):
        nearest = min(hits, default=0.0)
        # An even number of crossings: the point is on the edge of the ink, or the line goes along
        # it.
        if len(hits) % 2 == 0:
            half_way = as_points([tip + 0.5 * nearest * ahead])
            nearest = 0.0 if len(outside(outline.ink, half_way, 2e-3)) else nearest
        runs.append(nearest)
    return runs


def _hits(outline: Outline, tips: list[complex], ahead: complex) -> list[list[float]]:
    """Distances from each tip at which the line ahead crosses the outline."""
    points, direction = outline.points, as_vector(ahead)
    aside, run = cross(direction, points), points @ direction
    beyond = aside.take(outline.after)
    seen = [turn(ahead, tip) for tip in tips]
    off = np.array([tip.imag for tip in seen])[:, None]
    hit = ((aside - off) * (beyond - off) <= 0.0) & (np.abs(aside - beyond) > 1e-12)
    hits: list[list[float]] = [[] for _ in tips]
    for which, edge in zip(*(numbers.tolist() for numbers in hit.nonzero()), strict=True):
        a, b, end = float(aside[edge]), float(beyond[edge]), outline.after[edge]
        share = (a - seen[which].imag) / (a - b)
        distance = float(run[edge]) + share * float(run[end] - run[edge]) - seen[which].real
        if distance > 2e-3:
            hits[which].append(distance)
    return hits


def to_centre(outline: Outline, joint: Joint, arm: Arm) -> End:
    """End of an arm in the middle of a joint that no stroke goes through."""
    points = outline.points
    mouths = [points[[a.left[0], a.right[0]]] for a in joint.arms]
    centre = np.concatenate(mouths).mean(axis=0)
    return End(Rails(*(np.stack([points[rail[0]], centre]) for rail in (arm.right, arm.left))))


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
    point: complex
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
        key=lambda c: round(abs(heading(outline, c.owner).imag), 6),
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
    at, turns, ahead = outline.places, outline.turns_deg, heading(outline, owner)
    hollow = min(range(len(inner)), key=lambda k: turns[inner[k]])
    origin = at[inner[hollow]]
    longest = CUT_WIDTHS * max(owner.width, other.width)
    crossings = _crossings([at[k] for k in outer], origin, ahead)
    run, edge = min(((r, k) for r, k in crossings if 1e-3 < r <= longest), default=(0.0, -1))
    if edge < 0:
        return None
    point = origin + run * ahead
    for place, vertex in enumerate(corner):
        if _is_notch(outline, vertex, point, owner.width):
            point, edge, run = at[vertex], place, 0.5 * abs(at[vertex] - origin)
            break
    return _Cut(owner, other, inner, outer, len(corner), hollow, edge, point, inner_is_left, run)


def _crossings(path: list[complex], origin: complex, ahead: complex) -> list[tuple[float, int]]:
    """Distances ahead at which a line crosses edges of a path, and the numbers of those edges."""
    found, seen = [], [turn(ahead, place - origin) for place in path]
    for edge, (a, b) in enumerate(pairwise(seen)):
        if a.imag * b.imag <= 0.0 and abs(a.imag - b.imag) > 1e-12:
            share = a.imag / (a.imag - b.imag)
            found.append((a.real + share * (b.real - a.real), edge))
    return found


def _is_notch(outline: Outline, vertex: int, point: complex, width: float) -> bool:
    """Whether an outline point is a hollow near to where a cut ends."""
    near = abs(outline.places[vertex] - point) < NOTCH_WIDTHS * width
    return near and outline.turns_deg[vertex] < -CORNER_DEG


def _owner_end(outline: Outline, cut: _Cut) -> End:
    """The owner's end: around the outer corner, back along the cut."""
    at = outline.places
    outer = [*(at[k] for k in cut.outer[: cut.edge + 1]), cut.point]
    inner = [at[k] for k in cut.inner[: cut.hollow + 1]]
    left, right = (inner, outer) if cut.inner_is_left else (outer, inner)
    return finished(outline, cut.owner, [*left, *reversed(right)], heading(outline, cut.owner))


def _other_end(outline: Outline, cut: _Cut) -> tuple[End, Trim | None]:
    """The other's end on the cut, with its overlap."""
    at, trim = outline.places, None
    inner = [at[k] for k in reversed(cut.inner[cut.hollow :])]
    if cut.edge < cut.corner_points - 1:
        beyond = reversed(cut.outer[cut.edge + 1 : cut.corner_points])
        outer = [*(at[k] for k in beyond), cut.point]
    else:
        outer = [cut.point]
        trim = _trim(cut)
    rails = (outer, inner) if cut.inner_is_left else (inner, outer)
    line = at[cut.inner[cut.hollow]], cut.point
    return abutting(outline, cut.other, rails, line, cut.owner.width), trim


def _trim(cut: _Cut) -> Trim:
    """The part of the other's outer rail that lies before the cut."""
    left = not cut.inner_is_left
    rail = cut.other.left if left else cut.other.right
    last = cut.outer[cut.edge]
    rungs = len(rail) - rail[::-1].index(last)
    return Trim(left, rungs, as_vector(cut.point))
