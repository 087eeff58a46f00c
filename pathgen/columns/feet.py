"""Feet: from where on the rungs of a wide end stand parallel.

Rungs are square to their stroke as far as it goes, and lie along the edge of a wide end from the
foot of that end on. A slab has its foot at the corners where the outline leaves the stroke. A beak
has none: it swells out of its stroke, and its rungs turn with the stroke until it is much wider.
"""

import cmath
import math
from collections.abc import Collection, Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from pathgen.columns.branches import CORNER_DEG
from pathgen.columns.plane import turn
from pathgen.columns.rails import Rails
from pathgen.geometry import Points, cross

__all__ = ["WIDE", "corners", "foot"]

# An end swept along its edge is this much wider than its stroke.
WIDE = 1.35  # -30 %: cover +0.04; +30 %: cover -0.06, spill +0.02

# Points of a rail nearer than this, in ems, are one.
REPEAT_EM = 1e-5  # -30 %: same; +30 %: same

# It widens by more than this times its advance from the corners of a slab on.
FLARE = 1.0  # -30 %: alike; +30 %: alike

# An end without such corners has its foot where it is so many times wider than its stroke; where it
# is `WIDE`, if it never gets so wide: one that swells on one side,
SWOLLEN = 2.0  # -30 %: 1 lost; +30 %: 1 lost
# and one that swells on both,
SWOLLEN_BOTH = 1.1  # -30 %: 1 lost, spill +0.01; +30 %: spill +0.02
# on the one by this share of the other at least.
BOTH_SIDES = 0.25  # -30 %: alike; +30 %: alike


def corners(before: complex, rail: Sequence[complex], side: float) -> list[int]:
    """Numbers of a rail's points that are corners which lead away from the stroke.

    Parameters
    ----------
    before : complex
        A place before the first point.
    rail : sequence of complex
        One side of an end, outward; some points may repeat the one before.
    side : float
        1 for the left rail, -1 for the right one.
    """
    found, last = [], before
    for k, (here, onward) in enumerate(pairwise(rail)):
        if abs(onward - here) > REPEAT_EM:
            if side * math.degrees(cmath.phase(turn(here - last, onward - here))) > CORNER_DEG:
                found.append(k)
            last = here
    return found


def foot(rails: Rails, ahead: Points, heading: complex, cornered: Collection[int]) -> int:
    """Number of the rung from which on those of a wide end stand parallel.

    Parameters
    ----------
    rails : Rails
        Parallel rungs from the stroke's last one outward.
    ahead : (2,) float
        Unit direction outward, square to the rungs.
    heading : complex
        Unit direction of the stroke.
    cornered : collection of int
        Numbers of the rungs at the `corners` of both rails.
    """
    across = rails.left - rails.right
    widths = np.hypot(across[:, 0], across[:, 1])
    wide = _first(widths, WIDE)
    if wide is None:
        return len(widths) - 1
    side, run = cross(ahead, across), (rails.left + rails.right) @ ahead / 2.0
    flares = (side[1:] - side[:-1] > FLARE * (run[1:] - run[:-1])).tolist()
    rung = wide - 1
    while rung >= 0 and flares[rung]:
        rung -= 1
    begun = [k for k in range(rung + 1, wide) if k in cornered]
    return begun[0] if begun else _swollen(rails, heading)


def _swollen(rails: Rails, heading: complex) -> int:
    """The foot of an end that swells: its thickness counts, as its rungs may lean."""
    left, right = (rail[:, 0] + 1j * rail[:, 1] for rail in rails)
    to_left, to_right = left[-1] - left[0], right[-1] - right[0]
    out = sorted((turn(heading, to_left).imag, -turn(heading, to_right).imag))
    limit = SWOLLEN_BOTH if out[0] > BOTH_SIDES * out[1] else SWOLLEN
    apart = np.abs(left[:, None] - right)
    thick = np.maximum(apart.min(axis=0), apart.min(axis=1))
    wide = _first(thick, limit) or _first(thick, WIDE)
    return len(thick) - 1 if wide is None else wide - 1


def _first(widths: NDArray[np.float64], limit: float) -> int | None:
    """Number of the first width more than so many times one before it; None if there is none."""
    wide = widths > limit * np.minimum.accumulate(widths)
    return int(wide.argmax()) if wide.any() else None
