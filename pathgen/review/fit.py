"""Whether needle and speed go with the thread and the recipe."""

from collections.abc import Iterator

from pathgen.materials import EYE_THREADS, EYE_THREADS_MOST
from pathgen.model import Finding, Level
from pathgen.settings import Settings

__all__ = ["needle_fit", "speed_fit"]


def needle_fit(settings: Settings) -> Iterator[Finding]:
    """A finding if the thread does not run freely through the eye, or leaves its hole open.

    A needle whose eye is not known is not judged.
    """
    threads = settings.needle.eye_threads(settings.thread)
    if threads < EYE_THREADS - 1e-9:
        level, limit = Level.CHECK, EYE_THREADS
        advice = "take a larger needle or a finer thread: it frays in a narrow eye"
    elif threads > EYE_THREADS_MOST + 1e-9:
        level, limit = Level.NOTE, EYE_THREADS_MOST
        advice = "take a smaller needle: the thread does not fill its hole"
    else:
        return
    yield Finding(
        code="needle-unfit",
        level=level,
        at_mm=(0.0, 0.0),
        measured=threads,
        limit=limit,
        unit="threads in the eye",
        advice=advice,
    )


def speed_fit(settings: Settings) -> Iterator[Finding]:
    """A finding if the machine is to run faster than the recipe asks: it then pulls more."""
    if settings.speed_spm > settings.recipe_speed_spm:
        yield Finding(
            code="over-speed",
            level=Level.NOTE,
            at_mm=(0.0, 0.0),
            measured=settings.speed_spm,
            limit=settings.recipe_speed_spm,
            unit="stitches/min",
            advice="run slower, or add allowance: faster running pulls more",
        )
