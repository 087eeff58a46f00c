"""Every check, in a fixed order; each judges the plan and changes nothing.

What is found in a letter, drawn or sewn, does not depend on where it stands: it is found once, at
the letter's own origin, kept, and then placed.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from pathgen.kept import Kept
from pathgen.lines import FaceFacts
from pathgen.model import Finding, Letter, LetterShape
from pathgen.needles import places_mm
from pathgen.review.bays import closing_bays
from pathgen.review.bulk import thread_heaps
from pathgen.review.close import close_penetrations
from pathgen.review.closing import closing_counters
from pathgen.review.cover import ground_in_columns, ground_showing
from pathgen.review.crowding import crowded_places
from pathgen.review.density import crowded_needle
from pathgen.review.fit import needle_fit, speed_fit
from pathgen.review.holes import Holes, holes_in
from pathgen.review.narrow import narrow_columns
from pathgen.review.short import short_stitches
from pathgen.review.size import face_range, size_and_cloth
from pathgen.review.stitches import long_stitches
from pathgen.review.touching import touching_letters, touching_parts
from pathgen.review.travel import exposed_travel
from pathgen.review.uncovered import uncovered_ink
from pathgen.review.underlay import underlay_showing
from pathgen.settings import Settings
from pathgen.sewing import Sewing, sewing_of
from pathgen.stretches import Known, Stretch, side_by_side

__all__ = ["asked_for", "of_all_lines", "reviewed"]

_Check = Callable[..., Iterator[Finding]]

_ORDER: tuple[_Check, ...] = (
    closing_counters,
    closing_bays,
    uncovered_ink,
    crowded_needle,
    crowded_places,
    narrow_columns,
    touching_parts,
    touching_letters,
    underlay_showing,
    thread_heaps,
    long_stitches,
    short_stitches,
    close_penetrations,
    ground_in_columns,
    exposed_travel,
)
"""What is found first is told first."""

_Told = tuple[int, Finding]
"""A finding, and the number of its check in that order."""


def reviewed(
    letters: Sequence[Letter],
    needles: NDArray[np.void],
    settings: Settings,
    face: FaceFacts | None = None,
    sewing: Sewing | None = None,
    holes: Holes | None = None,
) -> tuple[Finding, ...]:
    """All findings, gravest first, then in the order of checks and of sewing.

    ``sewing`` and ``holes`` are those of the needle table, where they are known already.
    """
    sewn = sewing_of(needles, letters, settings) if sewing is None else sewing
    near = holes_in(sewn, settings) if holes is None else holes
    found = [
        *_of_whole(settings, face),
        *_of_letters(letters, settings),
        *_of_stretches(sewn),
        *_together(letters, needles, near, settings),
    ]
    found.sort(key=lambda told: (-told[1].level, told[0]))
    return tuple(finding for _, finding in found)


def asked_for(settings: Settings) -> Iterator[Finding]:
    """Findings about what was asked for, before anything is planned."""
    yield from size_and_cloth(settings)
    yield from needle_fit(settings)
    yield from ground_showing(settings)
    yield from speed_fit(settings)


@lru_cache(maxsize=64)
def _of_whole(settings: Settings, face: FaceFacts | None) -> tuple[_Told, ...]:
    """Findings about what was asked for, ahead of all others, and about the face, behind them."""
    ranges = () if face is None else face_range(settings, face)
    return (*((-1, f) for f in asked_for(settings)), *((len(_ORDER), f) for f in ranges))


def _together(
    letters: Sequence[Letter], needles: NDArray[np.void], holes: Holes, settings: Settings
) -> list[_Told]:
    """Findings about letters beside each other."""
    return _told(
        {
            crowded_needle: crowded_needle(needles, holes),
            crowded_places: crowded_places(needles, holes),
            touching_letters: touching_letters(letters, settings),
            close_penetrations: close_penetrations(needles, holes, settings),
        }
    )


def _of_letters(letters: Sequence[Letter], settings: Settings) -> Iterator[_Told]:
    """Findings about letters as they are drawn."""
    known = _shapes([letter.shape for letter in letters], settings)
    for letter, told in zip(letters, known, strict=True):
        for check, finding in told:
            yield check, _placed(finding, letter)


def _found_in_shapes(shapes: Sequence[LetterShape], settings: Settings) -> list[list[_Told]]:
    """What is found in each, from its own origin."""
    found = []
    for shape in shapes:
        alone = [Letter(line=0, index=0, text="", shape=shape)]
        checks: dict[_Check, Iterator[Finding]] = {
            closing_counters: closing_counters(alone, settings),
            closing_bays: closing_bays(alone, settings),
            uncovered_ink: uncovered_ink(alone),
            narrow_columns: narrow_columns(alone, settings),
            touching_parts: touching_parts(alone, settings),
        }
        found.append(_told(checks))
    return found


_shapes: Kept[LetterShape, list[_Told]] = Kept(_found_in_shapes)


def _of_stretches(sewing: Sewing) -> Iterator[_Told]:
    """Findings about letters as they are sewn, each with the way to it."""
    for letter, told in zip(sewing.letters, _sewn(sewing.stretches), strict=True):
        for check, finding in told:
            yield check, _placed(finding, letter)


def _found_in_stretches(stretches: Sequence[Stretch]) -> list[list[_Told]]:
    """What is found in each, from its letter's own origin; all have one setting."""
    settings = stretches[0].settings
    needles, own, letters = side_by_side(stretches)
    xy = places_mm(needles)
    checks: dict[_Check, Iterator[Finding]] = {
        underlay_showing: underlay_showing(own, needles, xy, settings),
        thread_heaps: thread_heaps(needles, xy, settings),
        long_stitches: long_stitches(needles, settings),
        short_stitches: short_stitches(needles, xy, settings),
        ground_in_columns: ground_in_columns(needles, xy, settings),
        exposed_travel: exposed_travel(needles, letters, settings),
    }
    found: dict[int, list[_Told]] = {letter.index: [] for letter in own}
    for check, finding in _told(checks):
        # The hole that the needle comes from is another letter's.
        if finding.letter in found:
            x, y = own[finding.letter // 2 - 1].at_mm
            at_mm = (finding.at_mm[0] - x, finding.at_mm[1] - y)
            found[finding.letter].append((check, finding._replace(at_mm=at_mm)))
    return list(found.values())


_sewn: Known[list[_Told]] = Known(_found_in_stretches)


def _told(checks: Mapping[_Check, Iterator[Finding]]) -> list[_Told]:
    """Findings of some checks."""
    return [(_ORDER.index(check), finding) for check, found in checks.items() for finding in found]


def _placed(finding: Finding, letter: Letter) -> Finding:
    """What was found in a letter at its own origin, where it stands."""
    code, level, (x, y), measured, limit, _, _, column, unit, advice = finding
    at_mm, line, index = (x + letter.at_mm[0], y + letter.at_mm[1]), letter.line, letter.index
    return Finding(code, level, at_mm, measured, limit, line, index, column, unit, advice)


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
                out[number, index] = f._replace(line=line, at_mm=at_mm)
    return tuple(sorted(out.values(), key=lambda finding: -finding.level))


def _alike(found: Sequence[Sequence[Finding]], one: Finding) -> list[Finding]:
    """Findings of the same kind about each plan as a whole."""
    return [f for some in found for f in some if f.code == one.code and not f.line]
