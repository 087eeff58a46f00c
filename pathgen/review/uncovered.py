"""Ink that no column covers: corners and joints that would stay bare cloth.

Splitting an outline into columns is never perfect; what is left over is measured, letter by
letter, and never hidden. The columns are taken as drawn, before allowance.
"""

from collections.abc import Iterator, Sequence

from pathgen.model import Finding, Letter, Level

__all__ = ["uncovered_ink"]

# Share of a letter's ink that may stay uncovered in silence: about what an end square to its
# stroke leaves of a slanted one.
_LIMIT_SHARE = 0.03


def uncovered_ink(letters: Sequence[Letter]) -> Iterator[Finding]:
    """One finding a letter whose columns leave over 3 % of its ink bare; in percent."""
    for letter in letters:
        share = letter.shape.bare_share
        if share > _LIMIT_SHARE:
            x, y = letter.ink[0].representative_point().coords[0]
            yield Finding(
                code="uncovered",
                level=Level.STOP if not letter.columns else Level.CHECK,
                at_mm=(x, y),
                line=letter.line,
                letter=letter.index,
                measured=100.0 * share,
                limit=100.0 * _LIMIT_SHARE,
                unit="%",
                advice="add a column there when digitizing",
            )
