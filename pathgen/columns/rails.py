"""Rails: pairing two polylines point by point, and carrying a stroke through a joint."""

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.columns.branches import Arm
from pathgen.columns.joints import Joint
from pathgen.columns.outline import Outline
from pathgen.columns.plane import as_places, as_points, turn
from pathgen.geometry import Points

__all__ = ["Rails", "bridge", "joined", "matched", "of_arm", "sampled"]

# Share of a rail's own length in the measure by which rails are matched: keeps rungs apart
# where a rail runs square to the stroke.
LENGTH_SHARE = 0.02  # -30 %: alike; +30 %: alike


class Rails(NamedTuple):
    """Two rails of N points each, seen in the direction of travel."""

    left: Points
    right: Points

    @property
    def reversed(self) -> "Rails":
        """The same rungs, travelled the other way."""
        return Rails(self.right[::-1], self.left[::-1])

    @property
    def area(self) -> float:
        """Area between the rails and their first and last rungs."""
        left, right = map(as_places, self)
        # Cross products of neighbours along the left rail, back along the right one.
        around = np.vdot(left[:-1], left[1:]) - np.vdot(right[:-1], right[1:])
        around += turn(left[-1], right[-1]) + turn(right[0], left[0])
        return abs(float(around.imag)) / 2.0


def joined(pieces: list[Rails]) -> Rails:
    """Rails laid end to end."""
    return Rails(
        np.concatenate([piece.left for piece in pieces]),
        np.concatenate([piece.right for piece in pieces]),
    )


def of_arm(outline: Outline, arm: Arm) -> Rails:
    """Rungs of a branch, away from the arm's joint."""
    points = outline.points
    return Rails(points.take(arm.left, axis=0), points.take(arm.right, axis=0))


def sampled(rail: Points, where: NDArray[np.float64], at: NDArray[np.float64]) -> Points:
    """Points of a rail, whose own points lie at ``where``, at the places ``at``."""
    if len(rail) == 1:
        return np.repeat(rail, len(at), axis=0)
    return as_points(np.interp(at, where, as_places(rail)))


def matched(left: Sequence[complex], right: Sequence[complex], ahead: complex) -> Rails:
    """Two polylines paired by how far they have come in direction ``ahead``.

    Both begin and end together; each keeps all its points.
    """
    if len(left) == len(right) == 1:
        return Rails(as_points(left), as_points(right))
    a, b = _progress(left, ahead), _progress(right, ahead)
    at = sorted({*a, *b})
    return Rails(as_points(_reached(left, a, at)), as_points(_reached(right, b, at)))


def _progress(rail: Sequence[complex], ahead: complex) -> list[float]:
    """Progress of each point of a rail, 0 at its first and 1 at its last."""
    run, gone, progress = 0.0, 0.0, [0.0]
    start = last = rail[0]
    for place in rail[1:]:
        run = max(run, turn(ahead, place - start).real)
        step = place - last
        gone += math.hypot(step.real, step.imag)
        progress.append(run + LENGTH_SHARE * gone)
        last = place
    whole = progress[-1]
    if whole <= 1e-12:
        return [k / max(1, len(rail) - 1) for k in range(len(rail))]
    return [each / whole for each in progress]


def _reached(rail: Sequence[complex], where: list[float], at: list[float]) -> list[complex]:
    """Points of a rail, whose own points lie at ``where``, at rising places ``at``."""
    points, k, last = [], 0, len(rail) - 1
    for place in at:
        while k < last and where[k + 1] <= place:
            k += 1
        point = rail[k]
        if k < last and place > where[k]:
            share = (place - where[k]) / (where[k + 1] - where[k])
            point += share * (rail[k + 1] - point)
        points.append(point)
    return points


def bridge(outline: Outline, joint: Joint, first: Arm, second: Arm, ahead: complex) -> Rails:
    """Rails through a joint, from the end of ``first`` to the start of ``second``.

    A side on which no other arm leaves follows the outline, the other goes straight across
    the mouths of those that do.
    """
    right = joint.between(first, second) or [first.left[0], second.right[0]]
    left = joint.between(second, first) or [second.left[0], first.right[0]]
    at, size = outline.places, abs(ahead)
    ahead = ahead / size if size else ahead
    return matched([at[k] for k in reversed(left)], [at[k] for k in right], ahead)
