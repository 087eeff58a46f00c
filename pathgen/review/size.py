"""Whether height, face and cloth are what recipe and face were made for."""

import math
from collections.abc import Iterator

from pathgen.lines import FaceFacts
from pathgen.model import Finding, Level
from pathgen.settings import Settings

__all__ = ["face_range", "size_and_cloth"]

# A recipe, or a face, may be stretched this far below its least height (common practice, no
# published source: a face may go 10 % under its suggested least height without new settings).
_STRETCH = 0.9
# Threads that lie on one another in a column: there and back (ours).
_LAYERS = 2.0


def size_and_cloth(settings: Settings) -> Iterator[Finding]:
    """Findings about the plan as a whole, placed at the origin.

    A loose cloth on which this thread was sewn and measured is no longer unknown.
    """
    if settings.height_mm < settings.least_height_mm:
        within = settings.height_mm >= _STRETCH * settings.least_height_mm - 1e-9
        yield Finding(
            code="below-recipe",
            level=Level.CHECK if within else Level.STOP,
            at_mm=(0.0, 0.0),
            measured=settings.height_mm,
            limit=settings.least_height_mm,
            advice="sew a trial first" if within else "take a finer thread or a larger height",
        )
    cloth = settings.cloth
    if settings.height_mm < cloth.least_height_mm:
        yield Finding(
            code="cloth-swallows",
            level=_swallowed(settings),
            at_mm=(0.0, 0.0),
            measured=settings.height_mm,
            limit=cloth.least_height_mm,
            advice=f"{cloth.remark}: lay a film on top, or sew on a felt patch and apply it",
        )
    if not cloth.steady and cloth.sewn_with(settings.thread) is None:
        yield Finding(
            code="unsteady-cloth",
            level=Level.CHECK,
            at_mm=(0.0, 0.0),
            measured=math.nan,
            limit=math.nan,
            unit="",
            advice=f"{cloth.remark}; the recipe is for stable twill: "
            f"sew a trial, or sew on a felt patch and apply it",
        )


def _swallowed(settings: Settings) -> Level:
    """Stop where the pile stands higher than two layers of the thread, unless the height is near.

    A column is two threads high at most places, so that a lower pile cannot close over it.
    """
    cloth = settings.cloth
    deep = cloth.pile_mm > _LAYERS * settings.thread.diameter_mm
    near = settings.height_mm >= _STRETCH * cloth.least_height_mm - 1e-9
    return Level.STOP if deep and not near else Level.CHECK


def face_range(settings: Settings, face: FaceFacts) -> Iterator[Finding]:
    """A finding if the letters are smaller or larger than those that the face was drawn for.

    The least height goes with the thickness of the thread, and so with the root of its tex.
    """
    finer = math.sqrt(settings.thread.tex / face.meant_tex) if face.meant_tex else 1.0
    least_mm = face.least_mm * finer
    if settings.height_mm < least_mm - 1e-9:
        within = settings.height_mm >= _STRETCH * least_mm - 1e-9
        yield Finding(
            code="below-face",
            level=Level.NOTE if within else Level.CHECK,
            at_mm=(0.0, 0.0),
            measured=settings.height_mm,
            limit=least_mm,
            advice="take a larger height or another face",
        )
    elif settings.height_mm > face.most_mm:
        yield Finding(
            code="above-face",
            level=Level.NOTE,
            at_mm=(0.0, 0.0),
            measured=settings.height_mm,
            limit=face.most_mm,
            advice="another face may look better at this size",
        )
