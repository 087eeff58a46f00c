"""Hollow corners: a rail that would cut across one goes round it.

Between two rungs a rail runs straight. At the foot of a serif the one rung may stand on the stem
and the next out on the slab; the line between them would then lie outside the ink.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from pathgen.columns.outline import Outline
from pathgen.columns.plane import as_places, as_points
from pathgen.columns.rails import Rails, joined
from pathgen.columns.rungs import conflict
from pathgen.geometry import Points, cross
from pathgen.polygons import holds, outside

__all__ = ["kept_inside"]

# Where along the line between two rungs it is looked up whether it is inside the ink.
PROBES = np.array([1.0 / 3.0, 2.0 / 3.0])[:, None]

# The corner lies so much nearer to its rail than to the middle of the other one.
NEARER = 0.75  # -30 %: alike; +30 %: alike

# A corner may lie on a rung itself, to within this in the product of two areas, ems.
NEARLY = 1e-9  # -30 %: same; +30 %: same

# A corner on a rung is taken so much of the way towards the other rung, so that they do not touch.
ASIDE = 0.002  # -30 %: same; +30 %: same

# A line farther than this outside the ink cuts a corner, in ems: 23 micrometres at 5 mm capitals.
CUT_EM = 1.0 / 300.0  # -30 %: alike; +30 %: alike


def kept_inside(
    outline: Outline, strokes: Sequence[tuple[Rails, bool]]
) -> list[tuple[Rails, bool]]:
    """Strokes with one more rung at each hollow corner that a rail would cut across.

    With each stroke goes whether it is a ring, as it came.
    """
    if not strokes:
        return []
    cuts = _cutting(outline, joined([stroke for stroke, _ in strokes]))
    if not cuts.any():
        return list(strokes)
    found, begin = [], 0
    for stroke, closed in strokes:
        last = begin + len(stroke.left) - 1
        found.append((_with_corners(outline, stroke, cuts[:, begin:last]), closed))
        begin = last + 1
    return found


def _cutting(outline: Outline, rails: Rails) -> NDArray[np.bool_]:
    """Whether the line from each point of a rail to the next one leaves the ink, (2, N - 1)."""
    left, right = map(as_places, rails)
    across = right[1:] + right[:-1] - left[1:] - left[:-1]
    # A line is not so far outside where a place as much nearer to the other rail is inside. That is
    # soon told, and true of most lines; the share makes good for rounding.
    inward = across * (0.99 * CUT_EM / np.maximum(np.abs(across), 1e-12))
    probes = np.array([a[:-1] + PROBES * (a[1:] - a[:-1]) for a in (left, right)])
    nearer = as_points(probes + np.array([inward, -inward])[:, None])
    maybe = (~holds(outline.ink, nearer)).nonzero()[0]
    out = maybe.take(outside(outline.ink, as_points(probes.take(maybe)), CUT_EM))
    cuts = np.zeros(probes.shape, dtype=bool)
    cuts.ravel()[out] = True
    return np.asarray(cuts.any(axis=1))


def _with_corners(outline: Outline, rails: Rails, cuts: NDArray[np.bool_]) -> Rails:
    """Rails with rungs at the corners that the left one, or the right one, cuts across."""
    new: dict[int, tuple[Points, Points]] = {}
    for rail, other, side in (
        (rails.left, rails.right, 0),
        (rails.right, rails.left, 1),
    ):
        for k in cuts[side].nonzero()[0].tolist():
            rung = _rung(outline, rail[k : k + 2], other[k : k + 2])
            if rung is not None:
                new.setdefault(k + 1, rung if side == 0 else rung[::-1])
    if not new:
        return rails
    at = list(new)
    left, right = zip(*new.values(), strict=True)
    return Rails(np.insert(rails.left, at, left, 0), np.insert(rails.right, at, right, 0))


def _rung(outline: Outline, near: Points, far: Points) -> tuple[Points, Points] | None:
    """A rung from the hollow corner between two points of a rail to half way on the other rail.

    The corner is the point of the outline that lies deepest between the two rungs, nearer to
    this rail than to the other one.
    """
    (start, end), (far_start, far_end) = near, far
    chord, there = end - start, (far_start + far_end) / 2.0
    points = outline.points.compress(outline.turn_deg < 0.0, axis=0)
    across = cross(chord, there - start)
    deep = cross(chord, points - start) * np.sign(across)
    held = (deep > 0.0) & (deep < NEARER * np.abs(across))
    for here, opposite, ahead in ((start, far_start, end), (end, far_end, start)):
        rung = opposite - here
        held &= cross(rung, points - here) * cross(rung, ahead - here) > -NEARLY
    if not held.any():
        return None
    corner: Points = points[np.where(held, deep, 0.0).argmax()]
    beside = near.tolist(), far.tolist()
    for aside in (corner, corner + ASIDE * (end - corner), corner + ASIDE * (start - corner)):
        new = aside.tolist(), there.tolist()
        if not any(conflict(*other, *new) for other in zip(*beside, strict=True)):
            return aside, there
    return None
