"""Every check, in a fixed order; each judges the plan and changes nothing."""

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from pathgen.model import Finding, Letter
from pathgen.review.closing import closing_counters
from pathgen.review.crowding import crowded_places
from pathgen.review.narrow import narrow_columns
from pathgen.review.size import size_and_cloth
from pathgen.review.stitches import long_stitches
from pathgen.review.travel import bare_travel
from pathgen.review.uncovered import uncovered_ink
from pathgen.settings import Settings

__all__ = ["reviewed"]


def reviewed(
    letters: Sequence[Letter],
    needles: NDArray[np.void],
    settings: Settings,
) -> tuple[Finding, ...]:
    """All findings, gravest first, then in the order of checks and of sewing."""
    found = _all(letters, needles, settings)
    return tuple(sorted(found, key=lambda finding: -finding.level))


def _all(
    letters: Sequence[Letter],
    needles: NDArray[np.void],
    settings: Settings,
) -> Iterator[Finding]:
    yield from size_and_cloth(settings)
    yield from closing_counters(letters, settings)
    yield from uncovered_ink(letters)
    yield from narrow_columns(letters, settings)
    yield from crowded_places(needles)
    yield from long_stitches(needles)
    yield from bare_travel(needles, letters, settings)
