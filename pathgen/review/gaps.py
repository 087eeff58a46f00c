"""The smallest gap of a letter: a counter, a bay such as that of c, or the room under a dot.

All shrink by what the strokes beside them grow, as thread: by the allowance and the widening, less
what tension pulls in, and by the overhang.
"""

import math
from functools import lru_cache

from pathgen.model import LetterShape
from pathgen.polygons import counters, shortest_way, widest_disc
from pathgen.review.bays import bays_of
from pathgen.review.growth import growth_mm
from pathgen.settings import Settings

__all__ = ["drawn_gap_mm", "sewn_gap_threads", "sewn_growth_mm"]

# The widest circle in a counter is found to this.
_TOLERANCE_MM = 0.005


def sewn_growth_mm(shape: LetterShape, settings: Settings) -> float:
    """How far the strokes of a letter grow on each side once sewn.

    Uses ``pull_mm``, ``least_column_mm``, ``underlay`` and ``sewn_look``.
    """
    look = settings.sewn_look
    pulled = look.pull_in_mm * (1.0 if settings.underlay == "none" else look.over_underlay)
    return growth_mm(shape, settings) - pulled + look.overhang_mm


@lru_cache(maxsize=4096)
def drawn_gap_mm(shape: LetterShape, height_mm: float) -> float:
    """Smallest gap as drawn, of a letter whose capitals have a height; infinite for none."""
    open_mm = [2.0 * widest_disc(hole, _TOLERANCE_MM)[1] for hole in counters(shape.ink)]
    open_mm += [bay.gap_mm for bay in bays_of(shape, height_mm)]
    for number, part in enumerate(shape.ink):
        apart = [shortest_way([part], [other])[0] for other in shape.ink[:number]]
        open_mm += [gap for gap in apart if gap > 0.0]
    return min(open_mm, default=math.inf)


def sewn_gap_threads(shape: LetterShape, settings: Settings) -> float:
    """Smallest gap as sewn, in thread diameters; 0 for one that is shut."""
    open_mm = drawn_gap_mm(shape, settings.height_mm) - 2.0 * sewn_growth_mm(shape, settings)
    return max(0.0, open_mm) / settings.thread.diameter_mm
