"""Travel that everybody sees: over bare cloth, or on top of columns that are already sewn.

Travel under columns that are sewn later is out of sight, and silent.
"""

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from pathgen.arrivals import Arrival, arrivals
from pathgen.model import Finding, Letter, Level
from pathgen.review.rows import finding_at
from pathgen.settings import Settings

__all__ = ["exposed_travel"]

# Shorter than this, a stitch across a gap disappears between the letters, and one on top of a
# column among its own stitches (placeholders until sewn samples set them).
_BARE_MM = 0.3
_ON_TOP_MM = 1.0

# A length at its limit is silent, however it was rounded.
_SAME_MM = 1e-9
# Stitches of one run are equally long, but for the last bits.
_ALIKE_MM = 1e-6


def exposed_travel(
    needles: NDArray[np.void], letters: Sequence[Letter], settings: Settings
) -> Iterator[Finding]:
    """Findings for each column reached by over 0.3 mm of bare cloth, or 1 mm of sewn columns."""
    for travel in arrivals(needles, letters, settings, _BARE_MM):
        shown, on_top = travel.shown, travel.on_top
        bare = travel.bare_beyond(_BARE_MM + _SAME_MM)
        if bare:
            advice = "trim here if it shows"
            yield _finding("bare-travel", travel, shown.bare_mm, bare, _BARE_MM, advice)
        if on_top > _ON_TOP_MM + _SAME_MM:
            advice = "a run lies on sewn columns; trim here if it shows"
            yield _finding("travel-on-top", travel, shown.on_top_mm, on_top, _ON_TOP_MM, advice)


def _finding(
    code: str,
    travel: Arrival,
    shares_mm: NDArray[np.float64],
    measured: float,
    limit: float,
    advice: str,
) -> Finding:
    """A finding at the stitch that has most of what is measured, the first of equal ones."""
    most = np.argmax(shares_mm > shares_mm.max() - _ALIKE_MM)
    return finding_at(
        travel.place,
        travel.legs[most].mean(axis=0),
        code=code,
        level=Level.NOTE,
        measured=measured,
        limit=limit,
        advice=advice,
    )
