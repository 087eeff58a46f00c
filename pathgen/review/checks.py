"""Every check, in a fixed order; each judges the plan and changes nothing."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

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

__all__ = ["of_all_lines", "reviewed"]


def reviewed(
    letters: Sequence[Letter],
    needles: NDArray[np.void],
    settings: Settings,
) -> tuple[Finding, ...]:
    """All findings, gravest first, then in the order of checks and of sewing."""
    found = _all(letters, needles, settings)
    return tuple(sorted(found, key=lambda finding: -finding.level))


def of_all_lines(
    found: Sequence[Sequence[Finding]], places: Sequence[tuple[int, tuple[float, float]]]
) -> tuple[Finding, ...]:
    """Findings of lines that were reviewed apart, gravest first.

    What concerns a plan as a whole and was found in all is told once; found in some lines, it
    is told of each: ``places`` are their number and where they begin, mm.
    """
    if len(found) == 1:
        return tuple(found[0])
    whole = [{f.code for f in some if not f.line} for some in found]
    common = set.intersection(*whole)
    out: dict[tuple[object, ...], Finding] = {}
    for number, (some, (line, at_mm)) in enumerate(zip(found, places, strict=True)):
        for index, f in enumerate(some):
            if f.line:
                out[number, index] = f
            elif f.code in common and len({(o.measured, o.limit) for o in _alike(found, f)}) == 1:
                out.setdefault((f.code,), f)
            else:
                out[number, index] = replace(f, line=line, at_mm=at_mm)
    return tuple(sorted(out.values(), key=lambda finding: -finding.level))


def _alike(found: Sequence[Sequence[Finding]], one: Finding) -> list[Finding]:
    """Findings of the same kind about each plan as a whole."""
    return [f for some in found for f in some if f.code == one.code and not f.line]


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
