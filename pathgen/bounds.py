"""How much one plan may hold, so that no font or text takes all time and memory there is.

What is refused here would be a mistake, or a font made to do harm: a letter that falls into
hundreds of columns, or that would be sewn metres wide because its H is one unit tall.
"""

from collections.abc import Sequence
from itertools import groupby
from typing import NamedTuple

from pathgen.errors import SettingsError, TextError
from pathgen.kept import Kept
from pathgen.model import Letter, LetterShape
from pathgen.polygons import area, perimeter
from pathgen.settings import Settings

__all__ = ["MOST_COLUMNS", "MOST_LETTER_STITCHES", "MOST_STITCHES", "check_bounds"]

# Letters of the Latin, Greek and Cyrillic scripts have up to about ten strokes, Chinese ones up
# to 64; ways through a letter are weighed in time that grows with the cube of their number.
MOST_COLUMNS = 64

# The widest sign of Unicode, a whole sentence in one Arabic ligature, is some 12 capitals wide
# (from memory); pictures are made of letters, so larger ones would take all memory.
MOST_CAPITALS = 20.0

# A letter 100 mm tall, the largest that may be asked for, has some 20,000.
MOST_LETTER_STITCHES = 100_000

# Twice what the longest text has at 5 mm; a plan takes up to 500 bytes a stitch.
MOST_STITCHES = 2_000_000


def check_bounds(letters: Sequence[Letter], settings: Sequence[Settings]) -> None:
    """Refuse letters that are too much to plan.

    Parameters
    ----------
    letters : sequence of Letter
        Of the whole plan.
    settings : sequence of Settings
        Those of each line.

    Raises
    ------
    TextError
        If a letter falls into too many columns, or is far too large beside the capital H.
    SettingsError
        If a letter, or all together, would have too many stitches.
    """
    whole = 0.0
    for _, group in groupby(letters, key=lambda letter: letter.line):
        line = list(group)
        by = settings[line[0].line - 1]
        for letter, size in zip(line, _sizes([each.shape for each in line], by), strict=True):
            if size.columns > MOST_COLUMNS or size.capitals > MOST_CAPITALS:
                raise _too_large(letter, size)
            if size.stitches > MOST_LETTER_STITCHES:
                raise _too_many(_place(letter), size.stitches, MOST_LETTER_STITCHES)
            whole += size.stitches
    if whole > MOST_STITCHES:
        what = "the whole plan"
        raise _too_many(what, whole, MOST_STITCHES)


class _Size(NamedTuple):
    """How much a letter is: columns, times the capital H, and stitches at most."""

    columns: int
    capitals: float
    stitches: float


def _measured(shapes: Sequence[LetterShape], settings: Settings) -> list[_Size]:
    return [
        _Size(
            len(shape.columns),
            _across_mm(shape) / settings.height_mm,
            _stitches_at_most(shape, settings),
        )
        for shape in shapes
    ]


_sizes: Kept[LetterShape, _Size] = Kept(_measured)


def _across_mm(shape: LetterShape) -> float:
    """Width or height of a letter's ink, whichever is more."""
    left, foot, right, top = shape.box
    return max(right - left, top - foot)


def _stitches_at_most(shape: LetterShape, settings: Settings) -> float:
    """About how many stitches a letter has at most, from its outline and its ink.

    Strokes are half as long as their outline and are sewn across twice a spacing, in pieces of
    the longest stitch, a quarter more for their stagger; runs go along them there and back; ties
    and what is rounded up make a few more for each column.
    """
    around = sum(map(perimeter, shape.ink))
    inked = sum(map(area, shape.ink))
    few = 20.0 * len(shape.columns)
    across = (1.5 + 2.5 * settings.pull_mm / settings.longest_stitch_mm) * around
    pieces = 2.5 * inked / (settings.spacing_mm * settings.longest_stitch_mm)
    return across / settings.spacing_mm + pieces + 2.0 * around / settings.run_stitch_mm + few


def _place(letter: Letter) -> str:
    return f"letter {letter.index} of line {letter.line}, {letter.text!r},"


def _too_large(letter: Letter, size: _Size) -> TextError:
    if size.columns > MOST_COLUMNS:
        return TextError(
            f"{_place(letter)} falls into {size.columns} columns; allowed up to {MOST_COLUMNS};"
            " choose a plainer face"
        )
    return TextError(
        f"{_place(letter)} is {size.capitals:.0f} times as large as the capital H; allowed up to"
        f" {MOST_CAPITALS:g}; choose another face"
    )


def _too_many(what: str, found: float, most: int) -> SettingsError:
    return SettingsError(
        f"{what} would have up to {found:,.0f} stitches; allowed up to {most:,}; make it"
        " smaller, or plan it in pieces"
    )
