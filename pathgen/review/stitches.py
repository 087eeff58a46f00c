"""Stitches too long to lie flat, and travel that shows on the cloth."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from pathgen.model import Finding, Level
from pathgen.needles import Part, places_mm, stitch_lengths_mm
from pathgen.review.rows import finding_at, worst_rows

__all__ = ["LONGEST_MM", "MACHINE_LONGEST_MM", "long_stitches"]

# Longer stitches lie loose and catch; longer than the second, a usual machine cannot sew them
# (common practice, no published source; the machine's manual decides).
LONGEST_MM = 7.0
MACHINE_LONGEST_MM = 12.0


def long_stitches(needles: NDArray[np.void]) -> Iterator[Finding]:
    """One finding a column with zigzag stitches over 7 mm, at its longest stitch."""
    xy = places_mm(needles)
    length = np.where(needles["part"] == Part.ZIGZAG, stitch_lengths_mm(needles), 0.0)
    for place, row in worst_rows(needles, length, length > LONGEST_MM):
        yield finding_at(
            place,
            (xy[row] + xy[row - 1]) / 2.0,
            code="long-stitch",
            level=Level.STOP if length[row] > MACHINE_LONGEST_MM else Level.CHECK,
            measured=length[row],
            limit=LONGEST_MM,
            advice="split the column lengthwise, or fill it another way",
        )
