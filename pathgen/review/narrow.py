"""Columns that are narrower than the thread can fill.

A zigzag needs room for two needle holes and the thread between them. The plan widens such a
column evenly to the thread's least one; the letter then comes out bolder than drawn. At
exactly the least width, allowance included, nothing is reported, nor where only an end tapers.
"""

from collections.abc import Iterator, Sequence

from pathgen.model import Finding, Letter, Level
from pathgen.review.growth import usual_widths_mm
from pathgen.settings import NEARLY_LEAST, Settings

__all__ = ["narrow_columns"]


def narrow_columns(letters: Sequence[Letter], settings: Settings) -> Iterator[Finding]:
    """One finding a narrow column, at its middle rung. Width and limit include the allowance."""
    limit = settings.least_column_mm
    for letter in letters:
        for number, width in enumerate(usual_widths_mm(letter.shape), 1):
            sewn = width + 2.0 * settings.pull_mm
            if sewn < limit:
                column = letter.shape.columns[number - 1]
                x, y = column.centre[len(column.centre) // 2] + letter.at_mm
                yield Finding(
                    code="narrow-column",
                    level=Level.NOTE if sewn >= NEARLY_LEAST * limit else Level.CHECK,
                    at_mm=(float(x), float(y)),
                    line=letter.line,
                    letter=letter.index,
                    column=number,
                    measured=sewn,
                    limit=limit,
                    advice="it is widened evenly; take a finer thread or a larger height",
                )
