"""No stitch of a needle table is longer than the longest.

Zigzag, underlay and travel are laid out in stitches that are short enough. Between them the
needle still goes far now and then: from the rail of a wide column to its tie, across it from one
edge run to the other, or where a point of a run moved or was left out. Such stitches are sewn in
even pieces.
"""

import numpy as np
from numpy.typing import NDArray

from pathgen.needles import Arrive, Part, Side, places_mm

__all__ = ["none_too_long"]

# A stitch at just the longest is not too long, whatever the last bits say.
_SAME = 1.0 + 1e-9


def none_too_long(table: NDArray[np.void], longest_mm: float) -> NDArray[np.void]:
    """Needle table, its stitches over the longest in even pieces.

    What is new belongs to what the stitch leads to; on the way to a tie it is travel. It lies on
    neither side of its column.
    """
    xy = places_mm(table)
    step = xy[1:] - xy[:-1]
    size = np.hypot(step[:, 0], step[:, 1])
    long = (size > _SAME * longest_mm) & (table["arrive"][1:] == int(Arrive.SEW))
    if not long.any():
        return table
    pieces = np.ones(len(table), dtype=np.int64)
    pieces[1:][long] = np.ceil(size[long] / (_SAME * longest_mm))
    row = np.repeat(np.arange(len(table)), pieces)
    # Counted back from the row that each stitch leads to: 0 for that row itself.
    back = np.cumsum(pieces)[row] - 1 - np.arange(len(row))
    out = table[row]
    new = back > 0
    share = back[new] / pieces[row[new]]
    there = xy[row[new]] - share[:, None] * step[row[new] - 1]
    out["x_mm"][new], out["y_mm"][new] = there[:, 0], there[:, 1]
    out["side"][new] = Side.CENTRE
    out["part"][new & (out["part"] == Part.TIE_OFF)] = Part.TRAVEL
    return out
