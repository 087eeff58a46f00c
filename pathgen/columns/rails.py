"""Rails: pairing two polylines point by point, and carrying a stroke through a joint."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.columns.branches import Arm
from pathgen.columns.joints import Joint
from pathgen.columns.outline import Outline
from pathgen.geometry import Points, along, unit

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
    a, b = _progress(left, ahead), _progress(right, ahead)
    at = np.sort(np.concatenate([a, b]))
    at = at[np.concatenate([[True], at[1:] > at[:-1]])]
    return Rails(sampled(left, a, at), sampled(right, b, at))


def _progress(rail: Points, ahead: Points) -> NDArray[np.float64]:
    """Progress of each point of a rail, 0 at its first and 1 at its last."""
    if len(rail) == 1:
        return np.zeros(1)
    run = np.maximum.accumulate(rail @ ahead)
    progress = run - run[0] + LENGTH_SHARE * along(rail)
    if progress[-1] <= 1e-12:
        return np.linspace(0.0, 1.0, len(rail))
    return progress / progress[-1]


def bridge(outline: Outline, joint: Joint, first: Arm, second: Arm, ahead: Points) -> Rails:
    """Rails through a joint, from the end of ``first`` to the start of ``second``.

    A side on which no other arm leaves follows the outline, the other goes straight across
    the mouths of those that do.
    """
    right = joint.between(first, second) or [first.left[0], second.right[0]]
    left = joint.between(second, first) or [second.left[0], first.right[0]]
    points = outline.points
    return matched(points[left[::-1]], points[right], unit(ahead))
