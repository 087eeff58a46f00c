"""Penetrations so close together that needle and cloth suffer.

Where the needle enters again and again within a fraction of its own blade, thread and cloth
are cut and needles can be deflected and break.
"""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from pathgen.model import Finding, Level
from pathgen.review.holes import Holes
from pathgen.settings import HEAP, HEAP_MM

__all__ = ["crowded_places"]


def crowded_places(needles: NDArray[np.void], holes: Holes) -> Iterator[Finding]:
    """One finding a column with a heap of penetrations, at its fullest place."""
    worst: dict[tuple[int, int, int], tuple[int, int]] = {}
    counts = holes.within(HEAP_MM)
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
