"""Whether height, thread and cloth are what the recipe was made for."""

import math
from collections.abc import Iterator

from pathgen.model import Finding, Level
from pathgen.settings import Settings

__all__ = ["size_and_cloth"]

# A recipe may be stretched this far below its least height (common practice, no published
# source: a face may go 10 % under its suggested least height without new settings).
_STRETCH = 0.9


def size_and_cloth(settings: Settings) -> Iterator[Finding]:
    """Findings about the plan as a whole, placed at the origin."""
    if settings.height_mm < settings.least_height_mm:
        within = settings.height_mm >= _STRETCH * settings.least_height_mm
        yield Finding(
            code="below-recipe",
            level=Level.CHECK if within else Level.STOP,
            at_mm=(0.0, 0.0),
            measured=settings.height_mm,
            limit=settings.least_height_mm,
            advice="take a finer thread or a larger height" if not within else "sew a trial first",
        )
    if not settings.cloth.steady:
        yield Finding(
            code="unsteady-cloth",
            level=Level.CHECK,
            at_mm=(0.0, 0.0),
            measured=math.nan,
            limit=math.nan,
            unit="",
            advice=f"{settings.cloth.remark}; the recipe is for stable twill: "
            f"sew a trial, or sew on a felt patch and apply it",
        )
