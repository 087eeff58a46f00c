"""The smallest gap of a letter: a counter, a bay such as that of c, or the room under a dot.

A counter is as wide as the largest circle in it, a bay too, but no wider than its mouth; both
shrink by what the strokes beside them grow. A shallow bay is none: it closes without harm.
"""

import math
from functools import lru_cache

from pathgen.model import LetterShape
from pathgen.polygons import area, bays, counters, nearest, widest_disc
from pathgen.settings import Settings

__all__ = ["drawn_gap_mm", "growth_mm", "sewn_gap_threads"]

# A bay is deep enough to matter if its mean depth is this share of its mouth.
_DEEP = 0.5
# A mouth narrower than this share of the shape is a flaw of its drawing, not a bay.
_FLAW = 0.03
_TOLERANCE_MM = 0.005
"""To which the widest circle is found."""


def growth_mm(shape: LetterShape, settings: Settings) -> float:
    """How far the strokes of a letter grow on each side once sewn.

    Allowance and widening, less what the thread pulls in, and its overhang. Uses ``pull_mm``,
    ``least_column_mm``, ``underlay`` and ``sewn_look``.
    """
    look = settings.sewn_look
    pulled = look.pull_in_mm * (1.0 if settings.underlay == "none" else look.over_underlay)
    wider = max((settings.widening_mm(c.usual_width) for c in shape.columns), default=0.0)
    return settings.pull_mm + wider - pulled + look.overhang_mm


@lru_cache(maxsize=4096)
def drawn_gap_mm(shape: LetterShape) -> float:
    """Smallest gap as drawn; infinite if there is none."""
    open_mm = [2.0 * widest_disc(hole, _TOLERANCE_MM)[1] for hole in counters(shape.ink)]
    for bay, mouth in bays(shape.ink):
        least = _FLAW * math.sqrt(sum(area(ink) for ink in shape.ink))
        if mouth >= least and area(bay) >= _DEEP * mouth * mouth:
            open_mm.append(min(mouth, 2.0 * widest_disc(bay, _TOLERANCE_MM)[1]))
    return min([*open_mm, nearest(shape.ink)], default=math.inf)


def sewn_gap_threads(shape: LetterShape, settings: Settings) -> float:
    """Smallest gap as sewn, in thread diameters; 0 for one that is shut."""
    open_mm = drawn_gap_mm(shape) - 2.0 * growth_mm(shape, settings)
    return max(0.0, open_mm) / settings.thread.diameter_mm
