"""Columns that are narrower than the thread can fill.

A zigzag needs room for two needle holes and the thread between them. The plan widens such
places evenly to the thread's least column; the letter then comes out bolder than drawn. At
exactly the least width, allowance included, nothing is reported.
"""

from collections.abc import Iterator, Sequence

import numpy as np

from pathgen.model import Finding, Letter, Level
from pathgen.settings import Settings

__all__ = ["narrow_columns"]

# A column counts as narrow when this share of its rungs is: pointed ends alone are usual.
_SHARE = 0.5
# Widened by less than a tenth, the letter keeps its look, and a note is enough.
_NEARLY = 0.9


def narrow_columns(letters: Sequence[Letter], settings: Settings) -> Iterator[Finding]:
    """One finding a narrow column, at its middle rung. Width and limit include the allowance."""
    for letter in letters:
        for number, column in enumerate(letter.columns, 1):
            sewn = column.widths + 2.0 * settings.pull_mm
            least, limit = float(np.median(sewn)), settings.least_column_mm
            if np.mean(sewn < limit) > _SHARE:
                x, y = column.centre[len(column.centre) // 2]
                yield Finding(
                    code="narrow-column",
                    level=Level.NOTE if least >= _NEARLY * limit else Level.CHECK,
                    at_mm=(float(x), float(y)),
                    line=letter.line,
                    letter=letter.index,
                    column=number,
                    measured=least,
                    limit=limit,
                    advice="it is widened evenly; take a finer thread or a larger height",
                )
