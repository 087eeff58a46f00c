"""Blobs: dots, commas and whatever has no stroke, swept along their longer axis."""

import math

import numpy as np
from numpy.typing import NDArray

from pathgen.columns.outline import Outline
from pathgen.columns.rails import Rails, sampled
from pathgen.columns.rungs import RUNG_EM
from pathgen.geometry import Points, along, unit
from pathgen.polygons import hull_share, rings_of, tight_box

__all__ = ["ROUND", "is_blob", "roundness", "swept"]

# A shape without holes is a dot if it is at least so round (4 pi area / perimeter^2, 1 for a disc,
# 0.785 for a square) and fills so much of its convex hull.
ROUND = 0.6  # -30 %: alike; +30 %: alike
FULL = 0.85  # -30 %: same; +30 %: alike

# One rounder than this has no axis of its own, and is swept from the top down.
DISC = 0.9  # -30 %: alike; +30 %: alike

# One side of the box is taken for the longer one if it is so much longer.
LONGER = 1.1  # -30 %: same; +30 %: same

# A blob has at least so many rungs; the first and last stand this share of its length inside
# it, where a point still has some width.
FEWEST = 14  # -30 %: alike; +30 %: alike
INSIDE = 1e-3  # -30 %: alike; +30 %: alike


def is_blob(outline: Outline) -> bool:
    """Whether a shape is a dot."""
    ink = outline.ink
    return not ink.interiors and _roundness(outline) > ROUND and hull_share(ink) > FULL


def roundness(area: float, around: float) -> float:
    """4 pi area / perimeter^2."""
    return 4.0 * math.pi * area / around**2


def _roundness(outline: Outline) -> float:
    """That of an outline."""
    return roundness(outline.ink.area, outline.ink.length)


def swept(outline: Outline) -> Rails:
    """Rungs across a shape, from one end of its longer axis to the other."""
    ring = rings_of(outline.ink)[0]
    ahead = np.array([0.0, -1.0]) if _roundness(outline) > DISC else _axis(tight_box(outline.ink))
    ring = np.roll(ring, -int(np.argmin(ring @ ahead)), axis=0)
    ring = np.concatenate([ring, ring[:1]])
    run = ring @ ahead
    far, low, high = int(np.argmax(run)), float(run.min()), float(run.max())
    count = max(FEWEST, int((high - low) / RUNG_EM) + 1)
    # Closer together near the ends, where a round shape narrows fast.
    share = (1.0 - np.cos(np.linspace(0.0, np.pi, count))) / 2.0
    at = low + (high - low) * np.clip(share, INSIDE, 1.0 - INSIDE)
    # Counter-clockwise from the near end, the ring is the right rail until the far end.
    right, left = ring[: far + 1], ring[far:][::-1]
    return Rails(sampled(left, _run(left, ahead), at), sampled(right, _run(right, ahead), at))


def _run(rail: Points, ahead: Points) -> NDArray[np.float64]:
    """How far each point has come, never falling."""
    return np.maximum.accumulate(rail @ ahead) + 1e-6 * along(rail)


def _axis(box: Points) -> Points:
    """Unit direction of a box's longer side; of the steeper one if they are alike."""
    sides = box[1:3] - box[:2]
    sizes = np.hypot(sides[:, 0], sides[:, 1])
    if sizes.max() >= LONGER * sizes.min():
        longer = int(np.argmax(sizes))
    else:
        longer = int(np.argmax(np.abs(sides[:, 1])))
    axis = unit(sides[longer])
    return -axis if axis[1] > 0.0 else axis
