"""How far columns grow on each side: the allowance, and what narrow ones are widened."""

from functools import lru_cache

from pathgen.model import LetterShape
from pathgen.settings import Settings

__all__ = ["growth_mm", "usual_widths_mm"]


@lru_cache(maxsize=4096)
def usual_widths_mm(shape: LetterShape) -> tuple[float, ...]:
    """Usual width of each column of a letter, as drawn."""
    return tuple(column.usual_width for column in shape.columns)


def growth_mm(shape: LetterShape, settings: Settings) -> float:
    """Most that any column of a letter grows on each side."""
    widths = usual_widths_mm(shape)
    narrowest = min(widths, default=settings.least_column_mm)
    return settings.pull_mm + settings.widening_mm(narrowest)
