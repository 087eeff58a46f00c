"""Places where the needle comes down too often for the cloth.

Holes weaken cloth: so many in a disc of the blade's size and it is cut rather than sewn, the
thread frays and the needle is deflected and can break. How many a cloth bears is in its
``holes_limit`` (ours, until sewn samples set it).
"""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from pathgen.model import Finding, Level
from pathgen.review.holes import Holes
from pathgen.review.rows import finding_at, worst_rows

__all__ = ["crowded_needle"]

_STOP_LIMITS = 1.5
"""Crowding beyond this many limits is not to be sewn (ours, a placeholder)."""


def crowded_needle(needles: NDArray[np.void], holes: Holes) -> Iterator[Finding]:
    """One finding a column with more penetrations per mm2 than the cloth bears, at its worst."""
    found, limit = holes.crowding.per_mm2, holes.crowding.limit_per_mm2
    beyond = found > limit * (1.0 + 1e-9)
    if not beyond.any():
        return
    for place, row in worst_rows(needles, found / limit, beyond):
        yield finding_at(
            place,
            holes.xy_mm[row],
            code="crowded-needle",
            level=Level.STOP if found[row] > _STOP_LIMITS * limit[row] else Level.CHECK,
            measured=found[row],
            limit=float(limit[row]),
            unit="penetrations/mm2",
            advice="open the spacing, take a finer needle or a larger height; needles can break",
        )
