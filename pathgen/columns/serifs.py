"""Serifs: slabs at the ends of strokes, which are sewn with their stroke.

What tells a serif from an arm is its shape: how far it reaches beyond its stem and how thick it
is, beside the main stroke of the letter and the size of the letter. So the arms of a
condensed T, short but thick, stay, and the slabs of an I, as long but thin, go. A serif's
branch is taken away; its outline then belongs to the end of the stem, whose cap follows it.

The figures were set on some twenty serif, slab and sans faces, by the counts of
``tests/letter_table.py``.
"""

from bisect import bisect_left
from itertools import accumulate
from typing import NamedTuple

from pathgen.columns.branches import CORNER_DEG, Arm
from pathgen.columns.joints import Skeleton
from pathgen.columns.outline import Outline
from pathgen.columns.pairing import bends_round, heading, heading_at_joint
from pathgen.columns.plane import angle_deg, turn

__all__ = ["Scale", "scale_of", "without_serifs", "without_spurs", "without_stubs"]

# Share of the branches' length that is no wider than the main stroke: thick stems count, a
# thick blot does not.
MAIN_SHARE = 0.75  # -30 %: 20 lost, cover +0.02; +30 %: 1 won

# What is left of a forked tip: a free branch that reaches no farther than this, in main widths,
# beside one other. It is the end of that one.
STUB_WIDTHS = 0.3  # -30 %: 1 lost; +30 %: alike

# A serif reaches no farther beyond its stem than SHORT letter sizes, or SHORT_WIDTHS main
# widths up to SHORT_MOST letter sizes: bold letters have longer serifs.
SHORT = 0.19  # -30 %: 5 lost; +30 %: alike
SHORT_WIDTHS = 1.1  # -30 %: same; +30 %: alike
SHORT_MOST = 0.25  # -30 %: same; +30 %: same

# A letter's size is one em, or twice its larger extent where that is less.
SIZE_EXTENTS = 2.0  # -30 %: alike; +30 %: same

# A slab on both sides of a stem may reach farther: this less THICK_COST times its thickness,
# all in main widths.
SLAB_WIDTHS = 2.0  # -30 %: 1 won; +30 %: same
THICK_COST = 0.8  # -30 %: same; +30 %: same

# A wing thicker than this, in main widths, and longer than BAR letter sizes on each side of a
# stem whose other end is plain is the bar of a T; so is any that reaches farther than SHORT letter
# sizes: the foot of a heavy 1.
BAR_THICK = 0.65  # -30 %: 1 won; +30 %: 1 lost
BAR = 0.135  # -30 %: alike; +30 %: same

# A slab as thick as this and reaching as far, in main widths, is a stroke: the foot of an Omega;
STROKE_THICK = 0.95  # -30 %: 7 lost; +30 %: 1 lost
STROKE_REACH = 1.3  # -30 %: 1 lost; +30 %: same
# or so many times thicker than what would be its stem: the leg of a heavy m, beside its arch;
STROKE_OF_STEM = 1.3  # -30 %: alike; +30 %: same
# so is a thinner one that reaches farther: the bars that make an I as wide as other letters.
BROAD_THICK = 0.8  # -30 %: 1 lost; +30 %: 1 lost
BROAD_REACH = 1.65  # -30 %: 3 lost; +30 %: alike

# So is one wing of this share of the main stroke's width and of this share of its stem's, and this
# much longer than the main stroke is wide, that meets its stem in a corner with a hollow of this
# turn, degrees: the bar of G, the flag of 1. A beak or a ball swells out of its stem.
CORNER_THICK = 0.93  # -30 %: 13 lost; +30 %: 1 lost
CORNER_THICK_OF_STEM = 0.88  # -30 %: same; +30 %: 1 lost
CORNER_REACH = 1.4  # -30 %: 3 lost; +30 %: 1 won
CORNER_HOLLOW_DEG = 60.0  # -30 %: 2 lost; +30 %: same

# The outline of a serif climbs to the stem's end and comes back. One that falls back by more than
# this on its way, in main widths, hangs or has a valley, and no rungs across the stem can sweep
# it: the hook of a running hand.
FALL_BACK = 0.7  # -30 %: 2 lost; +30 %: 1 lost

# A serif that hangs from a hairline, thinner than this in main widths, may reach so far.
HAIRLINE = 0.7  # -30 %: 1 lost; +30 %: same
HANGING_WIDTHS = 2.1  # -30 %: alike; +30 %: alike

# One that is as thick as BAR_THICK, and longer than SHORT_WIDTHS main widths, ARM letter sizes and
# this share of its stem is an arm, as of a narrow, bold E.
ARM = 0.16  # -30 %: 1 lost; +30 %: alike
ARM_SHARE = 0.28  # -30 %: 2 lost; +30 %: alike

# A stem with a serif on one side only turns into it by more than this, degrees; one that turns
# less is a stroke that narrows.
ONE_SIDED_DEG = 40.0  # -30 %: alike; +30 %: alike

# A spur on the side of a stroke: its reach, in letter sizes and in main widths, and how far it
# turns off.
SPUR = 0.12  # -30 %: alike; +30 %: same
SPUR_WIDTHS = 1.25  # -30 %: alike; +30 %: alike
SPUR_DEG = 30.0  # -30 %: alike; +30 %: alike
# The stroke beside it goes on: it turns by no more than this, degrees.
SPUR_BESIDE_DEG = 60.0  # -30 %: alike; +30 %: alike

# One thicker than this, in main widths, is a stroke however short: the bar of a heavy t.
SPUR_THICK = 0.85  # -30 %: same; +30 %: same
# So is a thinner one outside a stroke that turns by more than this, degrees: the point of a brace.
SPUR_STRAIGHT_DEG = 36.0  # -30 %: same; +30 %: same
SPUR_THICK_OF_BEND = 0.64  # -30 %: same; +30 %: same


class Scale(NamedTuple):
    """What lengths are held against, in ems."""

    width: float
    size: float

    @property
    def short(self) -> float:
        """Longest reach of a serif."""
        return max(SHORT * self.size, min(SHORT_WIDTHS * self.width, SHORT_MOST * self.size))


def scale_of(skeleton: Skeleton) -> Scale:
    """Main width and size of a letter that has branches."""
    extent = float(skeleton.outline.points.max())  # they begin at 0
    return Scale(_main_width(skeleton), min(1.0, SIZE_EXTENTS * extent))


def _main_width(skeleton: Skeleton) -> float:
    """Width of the main strokes: three quarters of all branches, by length, are narrower."""
    arms = skeleton.arms
    order = sorted(range(len(arms)), key=lambda k: arms[k].width)
    run = list(accumulate(arms[k].length for k in order))
    place = bisect_left(run, MAIN_SHARE * run[-1])
    return arms[order[min(place, len(order) - 1)]].width


def without_stubs(skeleton: Skeleton, scale: Scale) -> Skeleton:
    """The skeleton, what is left of forked tips taken away from it."""
    longest = STUB_WIDTHS * scale.width
    return skeleton.without(
        arm
        for arms in skeleton.arms_at.values()
        if len(arms) == 2
        for arm in arms
        if arm.length <= longest and skeleton.free_end(arm) and skeleton.reach(arm) <= longest
    )


def without_serifs(skeleton: Skeleton, scale: Scale) -> Skeleton:
    """The skeleton, the branches of serifs taken away from it."""
    slabs = [_slab(skeleton, arms, scale) for arms in skeleton.arms_at.values()]
    return skeleton.without(wing for slab in slabs for wing in slab)


def without_spurs(skeleton: Skeleton, scale: Scale) -> Skeleton:
    """The skeleton, short branches on the sides of strokes taken away from it."""
    for number in list(skeleton.arms_at):
        spur = _spur(skeleton, skeleton.arms_at.get(number, []), scale)
        if spur is not None:
            skeleton = skeleton.without([spur])
    return skeleton


def _slab(skeleton: Skeleton, arms: list[Arm], scale: Scale) -> list[Arm]:
    """The wings of a serif at the end of a stem; none if there is no serif."""
    if len(arms) not in (2, 3):
        return []
    wings = [arm for arm in arms if skeleton.free_end(arm) and _may_be_wing(skeleton, arm, scale)]
    stems = [arm for arm in arms if arm not in wings]
    if len(stems) != 1 or not wings:
        return []
    two_sided = len(wings) == 2
    if any(_is_stroke(skeleton, wing, stems[0], scale) for wing in wings):
        return []
    if _falls_back(skeleton, stems[0]) > FALL_BACK * scale.width:
        return []
    if not two_sided and bends_round(skeleton.outline, skeleton.joint(skeleton.place[stems[0]])):
        return []
    is_serif = _is_two_sided if two_sided else _is_one_sided
    return wings if is_serif(skeleton, wings, stems[0], scale) else []


def _may_be_wing(skeleton: Skeleton, arm: Arm, scale: Scale) -> bool:
    """Whether a branch is short enough for any kind of serif."""
    longest = max(scale.short, HANGING_WIDTHS * scale.width)
    return arm.length <= longest and skeleton.reach(arm) <= longest


def _is_stroke(skeleton: Skeleton, wing: Arm, stem: Arm, scale: Scale) -> bool:
    """Whether a wing is a stroke of its own: as thick as others, longer than thick, in a corner."""
    least = max(CORNER_THICK * scale.width, CORNER_THICK_OF_STEM * stem.width)
    if wing.far.width < least or skeleton.reach(wing) <= CORNER_REACH * scale.width:
        return False
    joint = skeleton.joint(skeleton.place[wing])
    place = joint.arms.index(wing)
    beside = joint.gaps[place] + joint.gaps[place - 1]
    return min(skeleton.outline.turns_deg[point] for point in beside) < -CORNER_HOLLOW_DEG


def _falls_back(skeleton: Skeleton, stem: Arm) -> float:
    """How far, at most, the outline around a stem's end falls back on its way to the far end."""
    at, ahead = skeleton.outline.places, heading(skeleton.outline, stem)
    run = [turn(ahead, at[point]).real for point in skeleton.around(stem)]
    top = run.index(max(run))
    ways = run[: top + 1], run[top:][::-1]
    return max(
        most - each for way in ways for most, each in zip(accumulate(way, max), way, strict=True)
    )


def _is_two_sided(skeleton: Skeleton, wings: list[Arm], stem: Arm, scale: Scale) -> bool:
    """Whether two wings are the slab across a stem's end."""
    joint = skeleton.joint(skeleton.place[stem])
    across = joint.gap_after(joint.left_neighbours(stem, stem)[0])
    if min(skeleton.outline.turns_deg[point] for point in across) < -CORNER_DEG:
        return False
    reaches = [skeleton.reach(wing) for wing in wings]
    reach = sum(reaches) / 2.0
    thick = sum(wing.far.width for wing in wings) / 2.0
    is_bar = thick > BAR_THICK * scale.width and reach > BAR * scale.size
    limits = (STROKE_THICK, STROKE_REACH), (BROAD_THICK, BROAD_REACH)
    is_stroke = any(thick > t * scale.width and reach > r * scale.width for t, r in limits)
    is_stroke |= thick > STROKE_THICK * scale.width and thick > STROKE_OF_STEM * stem.width
    if is_stroke or (is_bar and (skeleton.free_end(stem) or reach > SHORT * scale.size)):
        return False
    return max(reaches) <= scale.short or reach <= SLAB_WIDTHS * scale.width - THICK_COST * thick


def _is_one_sided(skeleton: Skeleton, wings: list[Arm], stem: Arm, scale: Scale) -> bool:
    """Whether one wing is a serif or a beak at a stem's end."""
    wing = wings[0]
    into = heading(skeleton.outline, wing)
    if angle_deg(into, -heading(skeleton.outline, stem)) <= ONE_SIDED_DEG:
        return False
    reach, width = skeleton.reach(wing), scale.width
    if stem.width <= HAIRLINE * width:
        return reach <= max(scale.short, HANGING_WIDTHS * width)
    is_arm = (
        wing.far.width >= BAR_THICK * width
        and reach > max(SHORT_WIDTHS * width, ARM * scale.size)
        and reach > ARM_SHARE * stem.length
    )
    return reach <= scale.short and not is_arm


def _spur(skeleton: Skeleton, arms: list[Arm], scale: Scale) -> Arm | None:
    """A short branch on the side of a stroke that goes on; None if there is none."""
    if len(arms) != 3:
        return None
    longest = min(SPUR * scale.size, SPUR_WIDTHS * scale.width)
    for arm in arms:
        if arm.length > longest or not skeleton.free_end(arm) or skeleton.reach(arm) > longest:
            continue
        others = [other for other in arms if other is not arm]
        into = [heading_at_joint(skeleton.outline, other) for other in others]
        beside_deg = angle_deg(into[0], -into[1])
        thick = SPUR_THICK if beside_deg <= SPUR_STRAIGHT_DEG else SPUR_THICK_OF_BEND
        if beside_deg > SPUR_BESIDE_DEG or arm.far.width > thick * scale.width:
            continue
        if min(_turn_deg(skeleton.outline, arm, other) for other in others) > SPUR_DEG:
            return arm
    return None


def _turn_deg(outline: Outline, arm: Arm, other: Arm) -> float:
    """Turn from one arm into another, measured at the joint or off it, whichever is less."""
    return min(
        angle_deg(look(outline, arm), -look(outline, other)) for look in (heading, heading_at_joint)
    )
