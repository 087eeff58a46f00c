"""Penetrations so close together that needle and cloth suffer.

Where the needle enters again and again within a fraction of its own blade, thread and cloth
are cut and needles can be deflected and break.
"""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from pathgen.model import Finding, Level

__all__ = ["HEAP", "HEAP_MM", "crowded_places", "penetrations_within"]

# A heap: more than this many penetrations within a circle of this radius (common practice, no
# published source).
HEAP = 3
HEAP_MM = 0.1


def crowded_places(needles: NDArray[np.void]) -> Iterator[Finding]:
    """One finding a column with a heap of penetrations, at its fullest place."""
    worst: dict[tuple[int, int, int], tuple[int, int]] = {}
    counts = penetrations_within(needles, HEAP_MM)
    for row in np.flatnonzero(counts > HEAP):
        needle = needles[row]
        place = (int(needle["line"]), int(needle["letter"]), int(needle["column"]))
        worst[place] = max(worst.get(place, (0, 0)), (int(counts[row]), -int(row)))
    for (line, letter, column), (count, minus_row) in worst.items():
        needle = needles[-minus_row]
        yield Finding(
            code="needle-heap",
            level=Level.CHECK,
            at_mm=(float(needle["x_mm"]), float(needle["y_mm"])),
            line=line,
            letter=letter,
            column=column,
            measured=float(count),
            limit=float(HEAP),
            unit=f"penetrations within {HEAP_MM:g} mm",
            advice="open the spacing or thin the point; needles can break here",
        )


def penetrations_within(needles: NDArray[np.void], radius_mm: float) -> NDArray[np.int64]:
    """How many penetrations, itself included, lie within the radius of each one.

    Sweeps along x, so the cost grows with the points in a strip, not with their square.
    """
    xy = np.column_stack([needles["x_mm"], needles["y_mm"]])
    order = np.argsort(xy[:, 0], kind="stable")
    x, y = xy[order].T
    counts = np.ones(len(xy), dtype=np.int64)
    for step in range(1, len(xy)):
        near = x[step:] - x[:-step] <= radius_mm
        if not near.any():
            break
        close = near & (np.hypot(x[step:] - x[:-step], y[step:] - y[:-step]) <= radius_mm)
        counts[step:] += close
        counts[:-step] += close
    out = np.ones_like(counts)
    out[order] = counts
    return out
