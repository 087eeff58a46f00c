"""Pairing: which two arms at a joint are one stroke that goes on.

Good continuation, as in Gestalt psychology and in Berio, Leymarie, Asente and Echevarria,
"StrokeStyles" (ACM Transactions on Graphics 41(3), 2022, doi 10.1145/3505246): headings are
taken away from the joint, where its own shape does not bend them, and drawn on to it by their
curvature; the pair that turns least, lies in line and is of like width goes first.
"""

import cmath
import math
from bisect import bisect_left, bisect_right
from itertools import accumulate, combinations, pairwise

from pathgen.columns.branches import Arm
from pathgen.columns.joints import Joint, Skeleton
from pathgen.columns.outline import Outline
from pathgen.columns.plane import angle_deg, turn

__all__ = ["bends_round", "heading", "heading_at_joint", "paired"]

# Two arms that turn by more than this, degrees, are two strokes: an L is, a bend is not.
THROUGH_DEG = 50.0  # -30 %: alike; +30 %: alike

# The same for the best pair of three arms and more: the third arm shows that strokes meet.
THROUGH_AT_FORK_DEG = 100.0  # -30 %: cover -0.02; +30 %: same

# The same for any further pair: strokes that cross go straight on; the arms of K do not.
THROUGH_BESIDE_DEG = 50.0  # -30 %: alike; +30 %: 1 lost

# Two arms on either side of a stroke are two bars, as those of Æ, where both are square to it, to
# this many degrees, and out of line by more than so many widths of the thinner one.
SQUARE_DEG = 10.0  # -30 %: same; +30 %: alike
ASIDE_WIDTHS = 0.8  # -30 %: same; +30 %: same

# Two arms alone that turn by more than this when seen from a stroke width away are a corner, even
# if their curvature would carry the one into the other.
SHARP_DEG = 65.0  # -30 %: alike; +30 %: 6 lost

# Arms that turn by no more than this go on, whatever stands out beside them: the bar of a bold t.
STRAIGHT_DEG = 25.0  # -30 %: same; +30 %: alike

# Two arms alone are one stroke, however far it turns, where the outline bends round the outside of
# the turn: no more than this share of the turn lies within half a stroke width,
BEND_SHARE = 0.45  # -30 %: 10 lost; +30 %: alike
BEND_WINDOW_WIDTHS = 0.5  # -30 %: alike; +30 %: alike
# nor has the inside a hollow sharper than this, degrees. The turn is taken as far as so many widths
# from the joint.
BEND_HOLLOW_DEG = 45.0  # -30 %: 11 lost, cover +0.03; +30 %: same
BEND_REACH_WIDTHS = 1.0  # -30 %: same; +30 %: 1 lost
# Nor is the one so many times wider than the other.
BEND_RATIO = 2.0  # -30 %: 11 lost, cover +0.03; +30 %: same

# What a turn between arm and chord counts beside the turn between the arms.
OFFSET_SHARE = 0.5  # -30 %: alike; +30 %: alike

# Joints are wide enough for a chord to have a direction from this many widths on.
CHORD_WIDTHS = 0.3  # -30 %: alike; +30 %: 1 lost

# What a width ratio of e counts, in degrees of turn.
RATIO_DEG = 30.0  # -30 %: alike; +30 %: alike

# What speaks for the two ends of a loop at a joint with two other arms or more, in degrees of turn:
# a ring that stands on a corner, as on Å, is a stroke. Arms that run into each other through their
# crossing, as those of &, turn much less.
RING_DEG = 8.0  # -30 %: same; +30 %: same

# Headings begin this far from the joint, and are taken over about one, both in widths.
CLEAR_WIDTHS = 0.35  # -30 %: cover +0.02; +30 %: alike
HEADING_WIDTHS = 1.0  # -30 %: 5 lost; +30 %: 1 lost
BEND_WIDTHS = 0.8  # -30 %: 1 lost; +30 %: alike

# Arms shorter than this, in widths, have no curvature worth drawing on.
CURVED_WIDTHS = 1.2  # -30 %: alike; +30 %: 1 lost

# No heading is bent by more than this, radians, when drawn on to the joint.
MOST_BEND_RAD = 0.6  # -30 %: alike; +30 %: alike

# A bump on the outline beside two arms: it has a hollow of this many degrees at its foot, and
# stands out by this many widths.
BUMP_HOLLOW_DEG = -25.0  # -30 %: same; +30 %: same
BUMP_HEIGHT_WIDTHS = 0.35  # -30 %: same; +30 %: same
# It is looked for as far as so many widths from the joint.
BUMP_REACH_WIDTHS = 0.35  # -30 %: same; +30 %: same


def heading(outline: Outline, arm: Arm) -> complex:
    """Unit direction of an arm into its joint, measured about one width away from it."""
    if "off" not in arm.headings:
        arm.headings["off"] = _heading(outline, arm)
    return arm.headings["off"]


def _heading(outline: Outline, arm: Arm) -> complex:
    """The same, worked out."""
    if arm.length < 1e-9:
        return _across(outline, arm)
    near = min(CLEAR_WIDTHS * arm.width, 0.25 * arm.length)
    far = min(near + HEADING_WIDTHS * arm.width, arm.length)
    into = _middle(arm, near) - _middle(arm, far)
    return into / max(math.hypot(into.real, into.imag), 1e-12)


def heading_at_joint(outline: Outline, arm: Arm) -> complex:
    """Unit direction of an arm into its joint, drawn on to it by the arm's curvature."""
    if "at" not in arm.headings:
        arm.headings["at"] = _heading_at_joint(outline, arm)
    return arm.headings["at"]


def _heading_at_joint(outline: Outline, arm: Arm) -> complex:
    """The same, worked out."""
    if arm.length < CURVED_WIDTHS * arm.width:
        return heading(outline, arm)
    near = CLEAR_WIDTHS * arm.width
    mid = near + min(BEND_WIDTHS * arm.width, (arm.length - near) / 2.0)
    far = min(2.0 * mid - near, arm.length)
    a, b, c = _middle(arm, near), _middle(arm, mid), _middle(arm, far)
    first, second = cmath.phase(a - b), cmath.phase(b - c)
    bend = (first - second + math.pi) % (2.0 * math.pi) - math.pi
    bend *= ((near + mid) / 2.0) / max((far - near) / 2.0, 1e-9)
    at = first + max(-MOST_BEND_RAD, min(MOST_BEND_RAD, bend))
    return complex(math.cos(at), math.sin(at))


def _across(outline: Outline, arm: Arm) -> complex:
    """Unit direction into the joint of an arm that has a rung but no length."""
    rung = outline.places[arm.left[0]] - outline.places[arm.right[0]]
    return rung * 1j / max(math.hypot(rung.real, rung.imag), 1e-12)


def _middle(arm: Arm, stop: float) -> complex:
    """Middle line at a distance from the joint."""
    where, k = arm.where, bisect_right(arm.where, stop) - 1
    if k + 1 == len(where) or where[k] == stop:
        return arm.middle[k]
    slope = (arm.middle[k + 1] - arm.middle[k]) * (1.0 / (where[k + 1] - where[k]))
    return slope * (stop - where[k]) + arm.middle[k]


def paired(skeleton: Skeleton, joint: Joint) -> list[tuple[Arm, Arm]]:
    """Pairs of arms that go on through a joint, best first; greedy by cost."""
    outline = skeleton.outline
    if len(joint.arms) < 2:
        return []
    into = {arm: heading_at_joint(outline, arm) for arm in joint.arms}
    candidates = sorted(
        (_cost(into, a, b) for a, b in combinations(joint.arms, 2)), key=lambda c: c[0]
    )
    pairs: list[tuple[Arm, Arm]] = []
    used: set[Arm] = set()
    for _, turn_deg, a, b in candidates:
        if a in used or b in used:
            continue
        alone = len(joint.arms) == 2
        goes_on = turn_deg <= _most_turn_deg(len(joint.arms), len(pairs)) and all(
            _cross(joint, (a, b), pair) and not _are_two_bars(into, pair, a, b) for pair in pairs
        )
        if alone and (not goes_on or _is_corner(outline, joint, a, b)):
            goes_on = bends_round(outline, joint)
        if not goes_on:
            continue
        used |= {a, b}
        pairs.append((a, b))
    return pairs


def _cross(joint: Joint, pair: tuple[Arm, Arm], other: tuple[Arm, Arm]) -> bool:
    """Whether two arms lie on either side of the stroke that two others make."""
    beside = joint.left_neighbours(*other)
    return (pair[0] in beside) != (pair[1] in beside)


def _are_two_bars(into: dict[Arm, complex], stroke: tuple[Arm, Arm], a: Arm, b: Arm) -> bool:
    """Whether two arms on either side of a stroke, both square to it, stand at two heights."""
    off_square = (abs(angle_deg(into[arm], into[stroke[0]]) - 90.0) for arm in (a, b))
    aside = abs(turn(into[a], b.middle[0] - a.middle[0]).imag)
    return max(off_square) <= SQUARE_DEG and aside > ASIDE_WIDTHS * min(a.width, b.width)


def _most_turn_deg(arms: int, pairs: int) -> float:
    """How far the next pair at a joint of so many arms may turn, after so many pairs."""
    if pairs:
        return THROUGH_BESIDE_DEG
    return THROUGH_DEG if arms == 2 else THROUGH_AT_FORK_DEG


def _cost(into: dict[Arm, complex], a: Arm, b: Arm) -> tuple[float, float, Arm, Arm]:
    """Cost of joining two arms, in degrees, and the turn that the stroke would make."""
    turn_deg = angle_deg(into[a], -into[b])
    chord = b.middle[0] - a.middle[0]
    offset = 0.0
    if abs(chord) > CHORD_WIDTHS * min(a.width, b.width):
        offset = (angle_deg(into[a], chord) + angle_deg(-into[b], chord)) / 2.0
    ratio = abs(math.log(max(a.width, 1e-6) / max(b.width, 1e-6)))
    gain = RING_DEG if a.far is b and len(into) > 3 else 0.0
    return turn_deg + OFFSET_SHARE * offset + RATIO_DEG * ratio - gain, turn_deg, a, b


def _is_corner(outline: Outline, joint: Joint, a: Arm, b: Arm) -> bool:
    """Whether two arms that meet alone are two strokes, though their bends would join them."""
    if a.far is b:
        return False
    turn_deg = angle_deg(heading(outline, a), -heading(outline, b))
    if turn_deg <= STRAIGHT_DEG:
        return False
    return turn_deg > SHARP_DEG or _bumped(outline, joint, a, b)


def bends_round(outline: Outline, joint: Joint) -> bool:
    """Whether two arms that meet alone are a bend, its outside round and its inside no corner."""
    a, b = joint.arms
    width = min(a.width, b.width)
    if max(a.width, b.width) > BEND_RATIO * width:
        return False
    sides = [_beside(outline, joint, *pair, BEND_REACH_WIDTHS * width) for pair in ((a, b), (b, a))]
    turns = [[outline.turns_deg[point] for point in side] for side in sides]
    inside, outside = sorted((0, 1), key=lambda k: sum(turns[k]))
    if min(turns[inside]) < -BEND_HOLLOW_DEG:
        return False
    path = [outline.places[point] for point in sides[outside]]
    where = [0.0, *accumulate(abs(q - p) for p, q in pairwise(path))]
    turned = [0.0, *accumulate(turns[outside])]
    window = BEND_WINDOW_WIDTHS * width
    steepest = max(
        turned[bisect_right(where, begin + window)] - turned[k] for k, begin in enumerate(where)
    )
    return steepest <= BEND_SHARE * turned[-1]


def _beside(outline: Outline, joint: Joint, first: Arm, second: Arm, reach: float) -> list[int]:
    """Outline on the side of a joint from ``first`` to ``second``, and so far along both arms."""
    gap = joint.between(first, second) or [first.left[0], second.right[0]]
    ends = []
    for arm, rail in ((first, first.left), (second, second.right)):
        near = rail[: bisect_left(arm.where, reach) + 1]
        ends.append([v for v, last in zip(near[1:], near, strict=False) if v != last])
    return [*ends[0][::-1], *gap, *ends[1]]


def _bumped(outline: Outline, joint: Joint, a: Arm, b: Arm) -> bool:
    """Whether the outline beside two arms has a bump: the end of one that goes past the other."""
    width = min(a.width, b.width)
    for pair in ((a, b), (b, a)):
        side = _beside(outline, joint, *pair, BUMP_REACH_WIDTHS * width)
        if len(side) < 4 or min(outline.turns_deg[point] for point in side) > BUMP_HOLLOW_DEG:
            continue
        path = [outline.places[point] for point in side]
        chord = path[-1] - path[0]
        height = max(abs(turn(chord, place - path[0]).imag) for place in path)
        if height / max(abs(chord), 1e-9) > BUMP_HEIGHT_WIDTHS * width:
            return True
    return False
