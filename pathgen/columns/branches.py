"""Branches: runs of rungs between joints and free ends.

A branch is held as two arms, one for each of its ends; an arm is the branch seen from
that end, looking away from it. Twigs, the branches that run into the corners of an outline,
are left out: they are no strokes.
"""

from dataclasses import dataclass, field
from itertools import accumulate, pairwise
from operator import add, sub

from pathgen.columns.outline import Outline
from pathgen.columns.triangles import Mesh, Walk, walked

__all__ = ["Arm", "branches", "ring_walk"]

# A branch that ends in a tip is a twig if it is no longer than this, in widths of its first
# rung: half the square on that rung, and a little more for slanted ends.
TWIG_WIDTHS = 0.75  # -30 %: 1 lost, spill +0.01; +30 %: alike

# The same where the tip is a corner of the outline: room for the corners of pointed ends.
CORNER_TWIG_WIDTHS = 1.3  # -30 %: alike; +30 %: alike

# The same where it has two corners, an end of its own: that is a short wing, as of a serif.
ENDED_TWIG_WIDTHS = 0.5  # -30 %: same; +30 %: alike

# A branch that fans around a hollow of more than this, degrees, is two strokes that meet, though
# the outside is too round for a joint triangle: the foot of a v with round ends.
FAN_HOLLOW_DEG = 80.0  # -30 %: 3 lost; +30 %: alike

# It is so far from both ends of the branch, in widths: nearer, the hollow is one beside a joint.
FAN_CLEAR_WIDTHS = 1.0  # -30 %: alike; +30 %: same

# A turn sharper than this is a corner.
CORNER_DEG = 30.0  # -30 %: cover -0.09; +30 %: 1 won


@dataclass(slots=True, eq=False)
class Arm:
    """A branch seen from one of its ends, looking away from that end.

    Attributes
    ----------
    left, right : list of int
        Outline points of its rungs.
    joint : int
        Where it begins in the triangles: number of a joint triangle, or a negative number for a
        free end.
    middle : list of complex
        Middle of each rung, ems.
    where : list of float
        Distance of each along the line of middles.
    length : float
        Length of that line.
    width : float
        Median width of its first half.
    mouth : float
        Width of its first rung.
    far : Arm
        The same branch seen from its other end.
    headings : dict
        Directions into the joint that have been worked out, kept by `pairing`.
    """

    left: list[int]
    right: list[int]
    joint: int
    middle: list[complex]
    where: list[float]
    length: float
    width: float
    mouth: float
    far: "Arm" = field(init=False, repr=False)
    headings: dict[str, complex] = field(default_factory=dict, repr=False)


def branches(outline: Outline, mesh: Mesh) -> list[Arm]:
    """Both arms of every branch that is not a twig, in the order of the triangles.

    Free ends are numbered -1, -2 and so on; joints as their triangles.
    """
    degree = mesh.degree
    starts = (degree == 3).nonzero()[0].tolist() or (degree == 1).nonzero()[0].tolist()[:1]
    corners = set((outline.turn_deg > CORNER_DEG).nonzero()[0].tolist())
    hollows = set((outline.turn_deg < -FAN_HOLLOW_DEG).nonzero()[0].tolist())
    arms: list[Arm] = []
    met: set[tuple[int, int]] = set()
    for triangle in starts:
        for left, right in mesh.mouths(triangle):
            if (right, left) in met:
                continue
            walk = walked(mesh, left, right)
            met.add((walk.left[-1], walk.right[-1]))
            if degree[triangle] == 3 and _is_twig(mesh, walk, corners):
                continue
            start = triangle if degree[triangle] == 3 else -1
            end = walk.joint if walk.joint is not None else -2 - len(arms)
            arms += _all_arms(mesh, walk, (start, end), hollows)
    return arms


def _all_arms(mesh: Mesh, walk: Walk, ends: tuple[int, int], hollows: set[int]) -> list[Arm]:
    """The arms of a walk between two ends, which is cut where it fans around a hollow."""
    fans = _fans(mesh, walk, hollows)
    if not fans:
        return [*_both_arms(mesh, walk, *ends)]
    arms: list[Arm] = []
    begin, start = 0, ends[0]
    for first, last in fans:
        if first > begin:
            middle = (first + last) // 2
            code = walk.left[middle] * len(mesh.after) + walk.right[middle]
            corner = mesh.facing[code] // 3
            arms += _both_arms(mesh, _part(walk, begin, first), start, corner)
            begin, start = last, corner
    return [*arms, *_both_arms(mesh, _part(walk, begin, len(walk.left) - 1), start, ends[1])]


def _fans(mesh: Mesh, walk: Walk, hollows: set[int]) -> list[tuple[int, int]]:
    """First and last rung of each run of rungs that share a hollow, clear of the walk's ends."""
    fans = []
    for rail in (walk.left, walk.right):
        for hollow in hollows.intersection(rail):
            first = rail.index(hollow)
            last = len(rail) - 1 - rail[::-1].index(hollow)
            if first < last and _clear(mesh, walk, 0, first) and _clear(mesh, walk, -1, last):
                fans.append((first, last))
    return sorted(fans)


def _clear(mesh: Mesh, walk: Walk, end: int, rung: int) -> bool:
    """Whether a rung is farther from one at an end of its walk than it is long."""
    at, left, right = mesh.places, walk.left, walk.right
    middle = (at[left[rung]] + at[right[rung]]) / 2.0
    clear = FAN_CLEAR_WIDTHS * abs(at[left[rung]] - at[right[rung]])
    return abs(middle - (at[left[end]] + at[right[end]]) / 2.0) > clear


def _part(walk: Walk, first: int, last: int) -> Walk:
    """Some rungs of a walk."""
    return Walk(walk.left[first : last + 1], walk.right[first : last + 1], None, None)


def _both_arms(mesh: Mesh, walk: Walk, start: int, end: int) -> tuple[Arm, Arm]:
    """The two views of one branch."""
    at = mesh.places
    left, right = [at[point] for point in walk.left], [at[point] for point in walk.right]
    middle = [both * 0.5 for both in map(add, left, right)]
    widths = list(map(abs, map(sub, left, right)))
    where = list(accumulate(map(abs, map(sub, middle[1:], middle)), initial=0.0))
    length = where[-1]
    here = Arm(walk.left, walk.right, start, middle, where, length, _near_width(widths), widths[0])
    back = [length - each for each in reversed(where)]
    widths.reverse()
    there = Arm(
        walk.right[::-1],
        walk.left[::-1],
        end,
        middle[::-1],
        back,
        length,
        _near_width(widths),
        widths[0],
    )
    here.far, there.far = there, here
    return here, there


def _near_width(widths: list[float]) -> float:
    """Median width of the first half of a branch, of three rungs at least."""
    near = sorted(widths[: max(3, len(widths) // 2)])
    return near[len(near) // 2]


def _is_twig(mesh: Mesh, walk: Walk, corners: set[int]) -> bool:
    """Whether a walk into a tip only fills a corner or a dent of the outline."""
    if walk.tip is None:
        return False
    at, tip = mesh.places, mesh.places[walk.tip]
    left, right = at[walk.left[0]], at[walk.right[0]]
    base, run = abs(left - right), abs((left + right) / 2.0 - tip)
    if run > base * max(TWIG_WIDTHS, CORNER_TWIG_WIDTHS, ENDED_TWIG_WIDTHS):
        return False
    own = ({walk.tip, *walk.left, *walk.right} - {walk.left[0], walk.right[0]}) & corners
    if len(own) > 1:
        longest = base * ENDED_TWIG_WIDTHS
    else:
        longest = base * (CORNER_TWIG_WIDTHS if walk.tip in own else TWIG_WIDTHS)
    if run > longest:
        return False
    middle = [(at[k] + at[n]) / 2.0 for k, n in zip(walk.left, walk.right, strict=True)]
    return sum(abs(b - a) for a, b in pairwise([*middle, tip])) <= longest


def ring_walk(mesh: Mesh) -> Walk | None:
    """The walk around a shape without joints and tips; None for any other shape."""
    degree = mesh.degree
    if (degree & 1).any() or not degree.any():
        return None
    return walked(mesh, *mesh.mouths(int(degree.argmax()))[0])
