"""Penetrations so close together that needle and cloth suffer.

Where the needle enters again and again within a fraction of its own blade, thread and cloth
are cut and needles can be deflected and break.
"""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from pathgen.model import Finding, Level
from pathgen.review.holes import Holes
from pathgen.review.rows import finding_at, worst_rows
from pathgen.settings import HEAP, HEAP_MM

__all__ = ["crowded_places"]


def crowded_places(needles: NDArray[np.void], holes: Holes) -> Iterator[Finding]:
    """One finding a column with a heap of penetrations, at its fullest place."""
    beyond = holes.heap > HEAP
    if not beyond.any():
        return
    for place, row in worst_rows(needles, holes.heap, beyond):
        yield finding_at(
            place,
            holes.xy_mm[row],
            code="needle-heap",
            level=Level.CHECK,
            measured=holes.heap[row],
            limit=float(HEAP),
            unit=f"penetrations within {HEAP_MM:g} mm",
            advice="open the spacing or thin the point; needles can break here",
        )
