"""Fasten the thread: a few short stitches on the centre line, under the cover.

Three penetrations each: in, a tie length along the column, and back. They lie inside the
column they belong to, away from its very end, so that the zigzag hides them.
"""

import numpy as np

from pathgen.geometry import Points, along, at_distances
from pathgen.model import Column

__all__ = ["IN_FROM_END_MM", "OFF_FROM_END_MM", "TIE_MM", "tie"]

# Length of a tie stitch (common practice: a few stitches under 1 mm, no published source).
TIE_MM = 0.6
# How far a tie keeps from the end of its column. A column over an underlay is entered and left
# at the same end: the two ties then stand apart, or their holes would heap up.
IN_FROM_END_MM = 0.30
OFF_FROM_END_MM = 0.45


def tie(column: Column, from_end_mm: float, *, at_last: bool) -> Points:
    """Three penetrations near the first or the last rung of a column, (3, 2).

    All lengths shrink together in a column shorter than twice what a tie takes.
    """
    centre = column.centre
    total = float(along(centre)[-1])
    shrink = min(1.0, total / (2.0 * (TIE_MM + OFF_FROM_END_MM)))
    near, far = from_end_mm * shrink, (from_end_mm + TIE_MM) * shrink
    stops = np.array([near, far, near])
    return at_distances(centre, total - stops if at_last else stops)
