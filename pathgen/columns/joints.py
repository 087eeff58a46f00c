"""Joints: where branches meet, and what of the outline lies between them.

A crossing of two strokes gives two joint triangles near one another, one of three strokes may
give several; joints nearer than a share of the stroke width are one.
"""

from bisect import bisect_left
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from pathgen.columns.branches import CORNER_DEG, Arm
from pathgen.columns.outline import Outline
from pathgen.columns.plane import turn
from pathgen.columns.triangles import Mesh, SplitError

__all__ = ["Joint", "Skeleton", "gathered", "merged"]

# Joints whose branch is no longer than this, in widths of the branch, are one. A crossing at
# right angles has its joint triangles within half a width; the arms of t and f, above and
# below their bar, are farther apart.
MERGE_WIDTHS = 0.6  # -30 %: 1 lost; +30 %: 1 lost

# The same at the end of a stroke, where the two corner twigs make a joint of their own: that
# one must not swallow a short end, such as the foot of t below its bar.
MERGE_END_WIDTHS = 0.15  # -30 %: same; +30 %: alike

# An end edge with two corners that is farther out than this, in widths, is never swallowed.
STAND_OUT_WIDTHS = 0.4  # -30 %: alike; +30 %: same

# A round end that is no farther out than this, in widths, is always swallowed.
ROUND_END_WIDTHS = 0.6  # -30 %: alike; +30 %: alike


@dataclass(frozen=True, slots=True, eq=False)
class Joint:
    """Arms that leave one place, counter-clockwise, and the outline between them.

    Attributes
    ----------
    arms : list of Arm
        One for a free end.
    gaps : list of list of int
        ``gaps[i]`` runs along the outline from the left side of ``arms[i]`` to the right
        side of the next arm, both ends included.
    """

    arms: list[Arm]
    gaps: list[list[int]]

    def gap_after(self, arm: Arm) -> list[int]:
        """Outline from the left of an arm to the next arm."""
        return self.gaps[self.arms.index(arm)]

    def between(self, first: Arm, second: Arm) -> list[int] | None:
        """Outline from the left of ``first`` to the right of ``second``; None if not next."""
        i, j = self.arms.index(first), self.arms.index(second)
        return self.gaps[i] if (i + 1) % len(self.arms) == j else None

    def left_neighbours(self, first: Arm, second: Arm) -> list[Arm]:
        """Arms met when turning counter-clockwise from ``first`` to ``second``.

        All others, if both are the same arm.
        """
        i, j = self.arms.index(first), self.arms.index(second)
        count = len(self.arms)
        return [self.arms[(i + k) % count] for k in range(1, (j - i - 1) % count + 1)]


@dataclass(frozen=True, slots=True, eq=False)
class Skeleton:
    """Branches of one outline and how they hang together.

    Attributes
    ----------
    outline : Outline
        What it was made from.
    mesh : Mesh
        Its triangles.
    place : dict
        The number of the joint or free end that each arm leaves from.
    arms_at : dict
        The same turned round: arms by number.
    """

    outline: Outline
    mesh: Mesh
    place: dict[Arm, int]
    arms_at: dict[int, list[Arm]]
    _joints: dict[int, Joint] = field(default_factory=dict, repr=False)

    @property
    def arms(self) -> list[Arm]:
        """All arms."""
        return list(self.place)

    def without(self, arms: Iterable[Arm]) -> "Skeleton":
        """Skeleton without some branches; their outline becomes part of the gaps at their ends."""
        gone = {side for arm in arms for side in (arm, arm.far)}
        if not gone:
            return self
        kept = {arm: number for arm, number in self.place.items() if arm not in gone}
        return _skeleton(self.outline, self.mesh, kept)

    def joint(self, number: int) -> Joint:
        """Arms of one joint in turning order, with the outline between them.

        Raises
        ------
        SplitError
            If the outline does not lead once around all arms.
        """
        if number not in self._joints:
            self._joints[number] = self._joint(number)
        return self._joints[number]

    def _joint(self, number: int) -> Joint:
        """The same, worked out."""
        arms = self.arms_at[number]
        by_right = {arm.right[0]: arm for arm in arms}
        around, gaps = [arms[0]], []
        while True:
            gap = self._outline_until(around[-1].left[0], by_right)
            gaps.append(gap)
            arm = by_right[gap[-1]]
            if arm is arms[0]:
                break
            if arm in around:
                msg = f"joint {number} is pinched"
                raise SplitError(msg)
            around.append(arm)
        if len(around) != len(arms):
            msg = f"joint {number} falls apart"
            raise SplitError(msg)
        return Joint(around, gaps)

    def around(self, arm: Arm) -> list[int]:
        """Outline points around the joint of an arm, from its left side to its right side."""
        return self._outline_until(arm.left[0], {arm.right[0]: arm})

    def _outline_until(self, start: int, stops: dict[int, Arm]) -> list[int]:
        """Outline points from ``start`` to the first of ``stops``."""
        after, point, path = self.mesh.after, start, [start]
        while point not in stops:
            point = after[point]
            path.append(point)
            if len(path) > len(after):
                msg = "the outline does not come back to the joint"
                raise SplitError(msg)
        return path

    def free_end(self, arm: Arm) -> bool:
        """Whether the other end of a branch is free."""
        return len(self.arms_at[self.place[arm.far]]) == 1

    def has_edge(self, arm: Arm) -> bool:
        """Whether the free end of a branch has two corners, and so an edge between them."""
        end = self.joint(self.place[arm.far]).gaps[0]
        return sum(self.outline.turns_deg[point] > CORNER_DEG for point in end) > 1

    def reach(self, arm: Arm) -> float:
        """Distance from the start of an arm to the farthest ink beyond its free end."""
        at, end = self.outline.places, arm.middle[-1]
        run = end - arm.middle[0]
        if run == 0.0:  # a quarter turn clockwise: from a rung, right to left, to its travel
            run = (at[arm.left[0]] - at[arm.right[0]]) * -1j
        beyond = self.joint(self.place[arm.far]).gaps[0]
        ahead = max(turn(run, at[point] - end).real for point in beyond)
        return arm.length + max(0.0, ahead / max(abs(run), 1e-12))


def gathered(outline: Outline, mesh: Mesh, arms: Sequence[Arm]) -> Skeleton:
    """Arms at the joints that they leave from."""
    return _skeleton(outline, mesh, {arm: arm.joint for arm in arms})


def _skeleton(outline: Outline, mesh: Mesh, place: dict[Arm, int]) -> Skeleton:
    """Skeleton of arms whose joints are known."""
    arms_at: dict[int, list[Arm]] = {}
    for arm, number in place.items():
        arms_at.setdefault(number, []).append(arm)
    return Skeleton(outline, mesh, place, arms_at)


def merged(skeleton: Skeleton) -> Skeleton:
    """The skeleton with near joints made one, and the branches between them gone.

    Two ends of one branch at the same joint are never made one: that would lose a loop. A corner
    of two arms becomes part of a joint only with all that is one with it already: below the bar
    of Æ the short foot of the stem would be lost. Nor does one at which a stroke turns back.
    """
    place = skeleton.place
    root = {number: number for number in skeleton.arms_at}
    count = {number: len(arms) for number, arms in skeleton.arms_at.items()}
    spread = dict.fromkeys(root, 0.0)

    def find(number: int) -> int:
        while root[number] != number:
            number = root[number]
        return number

    gone: set[Arm] = set()
    for arm in sorted(place, key=lambda a: a.length):
        a, b = find(place[arm]), find(place[arm.far])
        if a == b or min(place[arm], place[arm.far]) < 0:
            continue
        whole = spread[a] + arm.length + spread[b]
        if _is_short(skeleton, arm, whole, min(count[a], count[b])):
            root[a] = b
            spread[b] = whole
            count[b] += count[a] - 2
            gone |= {arm, arm.far}
    if not gone:
        return skeleton
    kept = {arm: find(number) for arm, number in place.items() if arm not in gone}
    return _skeleton(skeleton.outline, skeleton.mesh, kept)


def _is_short(skeleton: Skeleton, arm: Arm, whole: float, least_degree: int) -> bool:
    """Whether a branch is so short that its two joints are one; ``whole`` is how long that is."""
    widest = max(arm.width, arm.mouth, arm.far.mouth)
    if (whole if least_degree == 2 else arm.length) > MERGE_WIDTHS * widest:
        return False
    if least_degree == 2:
        return not (_turns_back(skeleton, arm) or _turns_back(skeleton, arm.far))
    if least_degree > 2:
        return True
    for out in (arm, arm.far):
        if skeleton.free_end(out):
            edge, reach = skeleton.has_edge(out), skeleton.reach(out)
            if edge and reach > STAND_OUT_WIDTHS * out.mouth:
                return False
            if not edge and reach <= ROUND_END_WIDTHS * out.mouth:
                return True
    return arm.length <= MERGE_END_WIDTHS * widest


def _turns_back(skeleton: Skeleton, arm: Arm) -> bool:
    """Whether an arm runs from a joint to a corner at which another turns back beside it.

    The foot of a stem that a stroke comes round to beyond the joint, as in @. It turns by more
    than a right angle.
    """
    arms = skeleton.arms_at[skeleton.place[arm.far]]
    if len(arms) != 2 or len(skeleton.arms_at[skeleton.place[arm]]) == 2:
        return False
    here, there = (each.middle[_reach(each)] - each.middle[0] for each in arms)
    return turn(here, there).real > 0.0


def _reach(arm: Arm) -> int:
    """Number of the rung that is about as far from an arm's start as the arm is wide."""
    return min(bisect_left(arm.where, arm.width), len(arm.where) - 1)
