"""Strokes: arms joined through their joints into columns."""

from dataclasses import dataclass

from pathgen.columns.branches import Arm
from pathgen.columns.ends import End, finished
from pathgen.columns.joints import Joint, Skeleton
from pathgen.columns.meeting import Trim, at_corner, at_side, to_centre
from pathgen.columns.outline import Outline
from pathgen.columns.pairing import heading, paired
from pathgen.columns.rails import Rails, bridge, joined, of_arm
from pathgen.columns.rungs import evened

__all__ = ["stroked"]


@dataclass(frozen=True, slots=True, eq=False)
class _Plan:
    """What happens at every joint.

    Attributes
    ----------
    joints : dict
        By number.
    place : dict
        Number of the joint that each arm leaves from.
    partner : dict
        Arm that goes on from another one at its joint, both ways.
    ends : dict
        End of each arm without a partner.
    trims : dict
        Start of an arm that another stroke has taken.
    """

    joints: dict[int, Joint]
    place: dict[Arm, int]
    partner: dict[Arm, Arm]
    ends: dict[Arm, End]
    trims: dict[Arm, Trim]


def stroked(skeleton: Skeleton) -> list[tuple[Rails, bool]]:
    """Rails of every stroke, and whether it is a ring."""
    plan = _planned(skeleton)
    done: set[Arm] = set()
    strokes = []
    free_first = sorted(skeleton.arms, key=lambda arm: arm in plan.partner)
    for arm in free_first:
        if arm not in done:
            chain, closed = _chain(plan, arm)
            done |= {side for link in chain for side in (link, link.far)}
            strokes.append((_rails(skeleton.outline, plan, chain, closed), closed))
    return strokes


def _planned(skeleton: Skeleton) -> _Plan:
    """Pairs, ends and trims at all joints."""
    outline = skeleton.outline
    joints = {number: skeleton.joint(number) for number in skeleton.arms_at}
    plan = _Plan(joints, skeleton.place, {}, {}, {})
    for joint in plan.joints.values():
        pairs = paired(skeleton, joint)
        for a, b in pairs:
            plan.partner[a], plan.partner[b] = b, a
        if len(joint.arms) == 2 and not pairs:
            ends, trims = at_corner(outline, joint)
            plan.ends.update(ends)
            plan.trims.update(trims)
            continue
        for arm in joint.arms:
            if arm in plan.partner:
                continue
            if len(joint.arms) == 1:
                path = [outline.places[point] for point in reversed(joint.gaps[0])]
                plan.ends[arm] = finished(outline, arm, path, heading(outline, arm))
            elif pairs:
                plan.ends[arm] = at_side(outline, joint, arm, pairs)
            else:
                plan.ends[arm] = to_centre(outline, joint, arm)
    return plan


def _chain(plan: _Plan, first: Arm) -> tuple[list[Arm], bool]:
    """Arms of a stroke in order, each looking ahead, and whether it comes back to the first."""
    chain = [first]
    while chain[-1].far in plan.partner:
        onward = plan.partner[chain[-1].far]
        if onward is first:
            return chain, True
        chain.append(onward)
    return chain, False


def _rails(outline: Outline, plan: _Plan, chain: list[Arm], closed: bool) -> Rails:
    """Rails of a chain of arms with its bridges and ends, evened."""
    pieces = []
    for arm, onward in zip(chain, [*chain[1:], chain[0]], strict=True):
        pieces.append(_rungs(outline, plan, arm))
        if closed or onward is not chain[0]:
            back = arm.far
            ahead = heading(outline, back) - heading(outline, onward)
            pieces.append(bridge(outline, plan.joints[plan.place[back]], back, onward, ahead))
    width = max(chain, key=lambda arm: arm.length).width
    if closed:
        rails = joined(pieces)
        seam = Rails(rails.left[:1], rails.right[:1])
        return evened(joined([rails, seam]), width, closed=True)
    start, end = plan.ends[chain[0]], plan.ends[chain[-1].far]
    rails = joined([start.rails.reversed, *pieces, end.rails])
    first, last = max(start.kept - 1, 0), len(rails.left) - max(end.kept - 1, 0)
    if first == 0 and last == len(rails.left):
        return evened(rails, width)
    inner = Rails(rails.left[first:last], rails.right[first:last])
    return joined(
        [
            Rails(rails.left[:first], rails.right[:first]),
            evened(inner, width),
            Rails(rails.left[last:], rails.right[last:]),
        ]
    )


def _rungs(outline: Outline, plan: _Plan, arm: Arm) -> Rails:
    """Rungs of one branch, less what its ends have taken or trimmed."""
    left, right = of_arm(outline, arm)
    if arm in plan.trims:
        trim = plan.trims[arm]
        (left if trim.left else right)[: trim.rungs] = trim.point
    if arm.far in plan.trims:
        trim = plan.trims[arm.far]
        (right if trim.left else left)[len(left) - trim.rungs :] = trim.point
    begin = plan.ends[arm].taken if arm in plan.ends else 0
    stop = len(left) - (plan.ends[arm.far].taken if arm.far in plan.ends else 0)
    return Rails(left[begin:stop], right[begin:stop])
