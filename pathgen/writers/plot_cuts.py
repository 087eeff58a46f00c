"""Where a long drawing is cut into stretches that stand below one another.

A cut goes through the widest gap between letters near the place where even stretches would end;
where there is none, as in several lines, it goes through letters, and both stretches show a
little of what lies beyond.
"""

import numpy as np

from pathgen.model import Plan
from pathgen.writers.plot_page import Bounds, ink_boxes

__all__ = ["cuts"]

NEAR = 0.3
"""How far a cut may lie from its even place, as a share of an even stretch."""


def cuts(plan: Plan, bounds: Bounds, count: int) -> tuple[float, ...]:
    """The ``count - 1`` places, in plan mm from left to right, where the drawing is cut."""
    if count == 1:
        return ()
    length = bounds.width / count
    gaps = _gaps(plan)
    places: list[float] = []
    for index in range(1, count):
        even = bounds.x0 + index * length
        near = [g for g in gaps if abs((g[0] + g[1]) / 2.0 - even) <= NEAR * length]
        widest = max(near, key=lambda g: (g[1] - g[0], -abs(g[0] - even)), default=(even, even))
        places.append((widest[0] + widest[1]) / 2.0)
    return tuple(places)


def _gaps(plan: Plan) -> list[tuple[float, float]]:
    """Stretches of x in which no letter has ink, from left to right."""
    boxes = ink_boxes(plan)
    if not boxes:
        return []
    spans = np.array(sorted((box[0], box[2]) for box in boxes))
    reach = np.maximum.accumulate(spans[:, 1])
    free = np.flatnonzero(spans[1:, 0] > reach[:-1])
    return [(float(reach[i]), float(spans[i + 1, 0])) for i in free]
