"""Stitches too long to lie flat, or for the machine to sew."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from pathgen.model import Finding, Level
from pathgen.needles import Part, places_mm, stitch_lengths_mm
from pathgen.review.rows import finding_at, worst_rows
from pathgen.settings import LIES_FLAT_MM, Settings

__all__ = ["long_stitches"]


def long_stitches(needles: NDArray[np.void], settings: Settings) -> Iterator[Finding]:
    """One finding a column with zigzag stitches over 7 mm, at its longest stitch.

    What is longer than the machine moves at once is not to be sewn like this.
    """
    xy = places_mm(needles)
    length = np.where(needles["part"] == Part.ZIGZAG, stitch_lengths_mm(needles), 0.0)
    limit = min(LIES_FLAT_MM, settings.longest_jump_mm)
    for place, row in worst_rows(needles, length, length > limit):
        yield finding_at(
            place,
            (xy[row] + xy[row - 1]) / 2.0,
            code="long-stitch",
            level=Level.STOP if length[row] > settings.longest_jump_mm else Level.CHECK,
            measured=length[row],
            limit=limit,
            advice="split the column lengthwise, or fill it another way",
        )
