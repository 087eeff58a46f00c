"""Every check, in a fixed order; each judges the plan and changes nothing."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from pathgen.lines import FaceFacts
from pathgen.model import Finding, Letter
from pathgen.review.bays import closing_bays
from pathgen.review.bulk import thread_heaps
from pathgen.review.close import close_penetrations
from pathgen.review.closing import closing_counters
from pathgen.review.cover import ground_in_columns, ground_showing
from pathgen.review.crowding import crowded_places
from pathgen.review.density import crowded_needle
from pathgen.review.fit import needle_fit, speed_fit
from pathgen.review.holes import Holes, holes_of
from pathgen.review.narrow import narrow_columns
from pathgen.review.short import short_stitches
from pathgen.review.size import face_range, size_and_cloth
from pathgen.review.stitches import long_stitches
from pathgen.review.touching import touching_letters
from pathgen.review.travel import exposed_travel
from pathgen.review.uncovered import uncovered_ink
from pathgen.review.underlay import underlay_showing
from pathgen.settings import Settings

__all__ = ["asked_for", "of_all_lines", "reviewed"]


def reviewed(
    letters: Sequence[Letter],
    needles: NDArray[np.void],
    settings: Settings,
    face: FaceFacts | None = None,
    holes: Holes | None = None,
) -> tuple[Finding, ...]:
    """All findings, gravest first, then in the order of checks and of sewing.

    ``holes`` are those of the needle table, where they are known already.
    """
    near = holes_of(needles, settings) if holes is None else holes
    found = [*asked_for(settings), *_planned(letters, needles, settings, near)]
    if face is not None:
        found += face_range(settings, face)
    return tuple(sorted(found, key=lambda finding: -finding.level))


def asked_for(settings: Settings) -> Iterator[Finding]:
    """Findings about what was asked for, before anything is planned."""
    yield from size_and_cloth(settings)
    yield from needle_fit(settings)
    yield from ground_showing(settings)
    yield from speed_fit(settings)


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


def _planned(
    letters: Sequence[Letter],
    needles: NDArray[np.void],
    settings: Settings,
    holes: Holes,
) -> Iterator[Finding]:
    """Findings about letters and needle points."""
    yield from closing_counters(letters, settings)
    yield from closing_bays(letters, settings)
    yield from uncovered_ink(letters)
    yield from crowded_needle(needles, holes)
    yield from crowded_places(needles, holes)
    yield from narrow_columns(letters, settings)
    yield from touching_letters(letters, settings)
    yield from underlay_showing(letters, needles, holes.xy_mm, settings)
    yield from thread_heaps(needles, holes.xy_mm, settings)
    yield from long_stitches(needles, settings)
    yield from short_stitches(needles, holes.xy_mm, settings)
    yield from close_penetrations(needles, holes, settings)
    yield from ground_in_columns(needles, holes.xy_mm, settings)
    yield from exposed_travel(needles, letters, settings)
