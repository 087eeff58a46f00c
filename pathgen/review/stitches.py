"""Stitches too long to lie flat, and travel that shows on the cloth."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from pathgen.model import Finding, Level
from pathgen.needles import Part, places_mm, stitch_lengths_mm

__all__ = ["LONGEST_MM", "MACHINE_LONGEST_MM", "long_stitches"]

# Longer stitches lie loose and catch; longer than the second, a usual machine cannot sew them
# (common practice, no published source; the machine's manual decides).
LONGEST_MM = 7.0
MACHINE_LONGEST_MM = 12.0


def long_stitches(needles: NDArray[np.void]) -> Iterator[Finding]:
    """One finding a column with zigzag stitches over 7 mm, at its longest stitch."""
    xy = places_mm(needles)
    length = np.where(needles["part"] == Part.ZIGZAG, stitch_lengths_mm(needles), 0.0)
    longest: dict[tuple[int, int, int], int] = {}
    for row in np.flatnonzero(length > LONGEST_MM).tolist():
        needle = needles[row]
        place = (int(needle["line"]), int(needle["letter"]), int(needle["column"]))
        if place not in longest or length[row] > length[longest[place]]:
            longest[place] = row
    for (line, letter, column), row in longest.items():
        x, y = (xy[row] + xy[row - 1]) / 2.0
        yield Finding(
            code="long-stitch",
            level=Level.STOP if length[row] > MACHINE_LONGEST_MM else Level.CHECK,
            at_mm=(float(x), float(y)),
            line=line,
            letter=letter,
            column=column,
            measured=float(length[row]),
            limit=LONGEST_MM,
            advice="split the column lengthwise, or fill it another way",
        )
