"""Stitches too short to form: the loop is not caught, thread piles up underneath.

Ties are short on purpose and are left out.
"""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points
from pathgen.model import Finding, Level
from pathgen.needles import Arrive, Part, stitch_lengths_mm
from pathgen.review.rows import finding_at, worst_rows
from pathgen.settings import Settings

__all__ = ["short_stitches"]

_CHECK_SHARE = 0.5
"""Under this share of the least stitch it is more than a note (placeholder)."""


def short_stitches(
    needles: NDArray[np.void], xy_mm: Points, settings: Settings
) -> Iterator[Finding]:
    """One finding a column with a stitch under the least one, at its shortest."""
    limit = settings.least_stitch_mm
    lengths = stitch_lengths_mm(needles)
    part = needles["part"]
    counted = (needles["arrive"] == Arrive.SEW) & (part != Part.TIE_IN) & (part != Part.TIE_OFF)
    counted[:1] = False  # no stitch leads to the first penetration
    for place, row in worst_rows(needles, -lengths, counted & (lengths < limit - 1e-9)):
        short = lengths[row] < _CHECK_SHARE * limit
        yield finding_at(
            place,
            (xy_mm[row] + xy_mm[row - 1]) / 2.0,
            code="short-stitch",
            level=Level.CHECK if short else Level.NOTE,
            measured=lengths[row],
            limit=limit,
            advice="take out a penetration when digitizing",
        )
