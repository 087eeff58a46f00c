"""Penetrations so near another that the needle pierces the thread that is already there.

A needle that comes down beside a thread pushes it aside; one that comes down within a quarter
of its thickness of the hole that it comes from splits it, and it frays. Only the zigzag is
looked at: what is split under it is not seen, and ties go over their own holes on purpose.
"""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from pathgen.model import Finding, Level
from pathgen.review.holes import Holes
from pathgen.review.rows import finding_at, worst_rows
from pathgen.settings import Settings

__all__ = ["close_penetrations"]


def close_penetrations(
    needles: NDArray[np.void], holes: Holes, settings: Settings
) -> Iterator[Finding]:
    """One finding a column with such a pair, at its nearest."""
    limit, apart = settings.close_mm, holes.beside_mm
    beyond = apart < limit - 1e-9
    if not beyond.any():
        return
    for place, row in worst_rows(needles, -apart, beyond):
        yield finding_at(
            place,
            holes.xy_mm[row],
            code="close-penetrations",
            level=Level.NOTE,
            measured=apart[row],
            limit=limit,
            advice="move one of them when digitizing",
        )
