"""The colour that each thread is drawn in.

A plan of one thread without a chosen colour keeps the zigzag's own. Else each thread has its
chosen colour, or one of our own; one too light to show on the page is darkened, as far as it
takes, and the notes hold its true colour beside it.
"""

from functools import lru_cache
from typing import NamedTuple

from pathgen.model import Plan
from pathgen.needles import Part
from pathgen.writers.plot_style import PAPER, PART_LOOK

__all__ = ["ThreadLook", "shown_colour", "thread_looks"]

OWN_COLOURS = (PART_LOOK[Part.ZIGZAG].colour, "#7b3294", "#8c510a", "#4d4d4d", "#5a7d00")
"""For threads without a chosen colour, in turn."""

LEAST_CONTRAST = 3.0
"""Of a line against the page (WCAG 2.1, success criterion 1.4.11, non-text contrast)."""


class ThreadLook(NamedTuple):
    """How one thread is drawn.

    Attributes
    ----------
    number : int
        From 1.
    name : str
        Label and colour.
    true : str
        Its colour.
    line : str
        Colour of its lines: the same, or darker.
    """

    number: int
    name: str
    true: str
    line: str


def thread_looks(plan: Plan) -> tuple[ThreadLook, ...]:
    """One look a thread, by number."""
    looks = []
    for number, thread in enumerate(plan.threads, 1):
        true = thread.colour or OWN_COLOURS[(number - 1) % len(OWN_COLOURS)]
        looks.append(ThreadLook(number, thread.name, true, shown_colour(true)))
    return tuple(looks)


@lru_cache(maxsize=256)
def shown_colour(colour: str) -> str:
    """The colour, darkened until it stands out from the page."""
    for percent in range(100, -1, -5):
        parts = [round(part * percent / 100) for part in _parts(colour)]
        darker = "#" + "".join(f"{part:02x}" for part in parts)
        if _contrast(darker, PAPER) >= LEAST_CONTRAST:
            return darker
    return "#000000"


def _parts(colour: str) -> list[int]:
    return [int(colour[i : i + 2], 16) for i in (1, 3, 5)]


def _contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours (WCAG 2.1, "contrast ratio")."""
    low, high = sorted((_luminance(one), _luminance(other)))
    return (high + 0.05) / (low + 0.05)


def _luminance(colour: str) -> float:
    """Relative luminance of an sRGB colour (WCAG 2.1, "relative luminance")."""
    red, green, blue = (
        c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4
        for c in (part / 255.0 for part in _parts(colour))
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
