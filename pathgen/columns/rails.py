"""Rails: pairing two polylines point by point, and carrying a stroke through a joint."""

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.columns.branches import Arm
from pathgen.columns.joints import Joint
from pathgen.columns.outline import Outline
from pathgen.geometry import Points, unit

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


def joined(pieces: list[Rails]) -> Rails:
    """Rails laid end to end."""
    return Rails(
        np.concatenate([piece.left for piece in pieces]),
        np.concatenate([piece.right for piece in pieces]),
    )


def of_arm(outline: Outline, arm: Arm) -> Rails:
    """Rungs of a branch, away from the arm's joint."""
    return Rails(outline.points[arm.left], outline.points[arm.right])


def sampled(rail: Points, where: NDArray[np.float64], at: NDArray[np.float64]) -> Points:
    """Points of a rail, whose own points lie at ``where``, at the places ``at``."""
    if len(rail) == 1:
        return np.repeat(rail, len(at), axis=0)
    flat = np.interp(at, where, rail[:, 0] + 1j * rail[:, 1])
    return flat.view(np.float64).reshape(-1, 2)


def matched(left: Points, right: Points, ahead: Points) -> Rails:
    """Two polylines paired by how far they have come in direction ``ahead``.

    Both begin and end together; each keeps all its points.
    """
    if len(left) == len(right) == 1:
        return Rails(left, right)
    # Most have a few points, for which plain numbers are faster than arrays.
    lefts, rights, (x, y) = left.tolist(), right.tolist(), ahead.tolist()
    a, b = _progress(lefts, x, y), _progress(rights, x, y)
    at = sorted({*a, *b})
    return Rails(np.array(_reached(lefts, a, at)), np.array(_reached(rights, b, at)))


def _progress(rail: list[list[float]], ahead_x: float, ahead_y: float) -> list[float]:
    """Progress of each point of a rail, 0 at its first and 1 at its last."""
    run, gone, progress = 0.0, 0.0, [0.0]
    start_x, start_y = last_x, last_y = rail[0]
    for x, y in rail[1:]:
        run = max(run, (x - start_x) * ahead_x + (y - start_y) * ahead_y)
        gone += math.hypot(x - last_x, y - last_y)
        progress.append(run + LENGTH_SHARE * gone)
        last_x, last_y = x, y
    whole = progress[-1]
    if whole <= 1e-12:
        return [k / max(1, len(rail) - 1) for k in range(len(rail))]
    return [each / whole for each in progress]


def _reached(
    rail: list[list[float]], where: list[float], at: list[float]
) -> list[tuple[float, float]]:
    """Points of a rail, whose own points lie at ``where``, at rising places ``at``."""
    points, k, last = [], 0, len(rail) - 1
    for place in at:
        while k < last and where[k + 1] <= place:
            k += 1
        x, y = rail[k]
        if k < last and place > where[k]:
            share = (place - where[k]) / (where[k + 1] - where[k])
            x, y = x + share * (rail[k + 1][0] - x), y + share * (rail[k + 1][1] - y)
        points.append((x, y))
    return points


def bridge(outline: Outline, joint: Joint, first: Arm, second: Arm, ahead: Points) -> Rails:
    """Rails through a joint, from the end of ``first`` to the start of ``second``.

    A side on which no other arm leaves follows the outline, the other goes straight across
    the mouths of those that do.
    """
    right = joint.between(first, second) or [first.left[0], second.right[0]]
    left = joint.between(second, first) or [second.left[0], first.right[0]]
    points = outline.points
    return matched(points[left[::-1]], points[right], unit(ahead))
