"""Counters that the thread will shut.

The hole of an e or an a shrinks by the allowance, and by what a narrow column beside it is
widened. What is left of its widest circle is held against the thickness of the thread: a gap
thinner than two threads is easily bridged by fluff.
"""

from collections.abc import Iterator, Sequence
from functools import lru_cache

from pathgen.model import Finding, Letter, LetterShape
from pathgen.polygons import counters, widest_disc
from pathgen.review.growth import growth_mm
from pathgen.review.levels import gap_level
from pathgen.settings import GAP_THREADS, Settings

__all__ = ["closing_counters"]

# The widest circle is found to this share of the thread's diameter.
_TOLERANCE_THREADS = 0.05


def closing_counters(letters: Sequence[Letter], settings: Settings) -> Iterator[Finding]:
    """One finding a counter whose gap, as sewn, is thinner than two threads."""
    thread_mm = settings.thread.diameter_mm
    limit = GAP_THREADS * thread_mm
    for letter in letters:
        discs = _discs(letter.shape, _TOLERANCE_THREADS * thread_mm)
        growth = growth_mm(letter.shape, settings)
        for (x, y), radius in discs:
            gap = 2.0 * (radius - growth)
            if gap < limit:
                yield Finding(
                    code="closing-counter",
                    level=gap_level(gap, limit, thread_mm),
                    at_mm=(letter.at_mm[0] + x, letter.at_mm[1] + y),
                    line=letter.line,
                    letter=letter.index,
                    measured=gap,
                    limit=limit,
                    advice="take a finer thread, less allowance, a larger height or an opener face",
                )


@lru_cache(maxsize=1024)
def _discs(
    shape: LetterShape, tolerance_mm: float
) -> tuple[tuple[tuple[float, float], float], ...]:
    """Centre and radius of the widest circle in each counter of a letter."""
    found = [widest_disc(hole, tolerance_mm) for hole in counters(shape.ink)]
    return tuple(((float(c[0, 0]), float(c[0, 1])), radius) for c, radius in found)
