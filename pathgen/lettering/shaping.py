"""Lines of letters become glyphs in font units, from left to right as they stand.

HarfBuzz shapes each run of one direction and one script: kerning and marks on, ligatures off
unless asked for, since letters are counted and sewn singly. Joining scripts keep the joins
that they require.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

import uharfbuzz as hb

from pathgen.errors import TextError
from pathgen.lettering.bidi import levels, visual_order
from pathgen.lettering.fontfile import Face
from pathgen.lettering.text import named

__all__ = ["ShapedGlyph", "shape_line"]

_LIGATURES = ("liga", "clig", "dlig", "hlig")
_UNDECIDED = ("Zyyy", "Zinh", "Zzzz")


@dataclass(frozen=True, slots=True, kw_only=True)
class ShapedGlyph:
    """One glyph of a shaped line, font units.

    Attributes
    ----------
    glyph_id, letter : int
        Index in the font; letter of the line, from 1.
    x_fu, y_fu : float
        Offset of the glyph from the pen.
    advance_fu : float
        How far the pen moves on, to the right.
    """

    glyph_id: int
    letter: int
    x_fu: float
    y_fu: float
    advance_fu: float


def shape_line(
    face: Face, line: Sequence[str], number: int, *, ligatures: bool = False
) -> tuple[ShapedGlyph, ...]:
    """Glyphs of one line in visual order, left to right.

    Raises
    ------
    TextError
        If the face lacks a letter: names it and its place in line ``number``.
    """
    text = "".join(line)
    letter_of = [i for i, letter in enumerate(line, 1) for _ in letter]
    features = dict.fromkeys(_LIGATURES, ligatures)
    runs = _runs(text)
    out: list[ShapedGlyph] = []
    for k in visual_order([level for _, _, level, _ in runs]):
        start, end, level, script = runs[k]
        out += _shape_run(face, text, start, end, level, script, features, letter_of)
    _check_found(out, line, number)
    return tuple(out)


def _runs(text: str) -> list[tuple[int, int, int, str | None]]:
    """(start, end, level, script) of each run of one direction and script, reading order."""
    if text.isascii():
        return [(0, len(text), 0, "Latn")] if text else []
    found = zip(levels(text), _scripts(text), strict=True)
    runs: list[tuple[int, int, int, str | None]] = []
    start = 0
    for (level, script), group in groupby(found):
        end = start + len(list(group))
        runs.append((start, end, level, script))
        start = end
    return runs


def _scripts(text: str) -> list[str]:
    """ISO 15924 script of each character; signs common to all take their neighbour's."""
    from fontTools.unicodedata import script

    found = [script(char) for char in text]
    last = next((s for s in found if s not in _UNDECIDED), "Latn")
    for i, s in enumerate(found):
        last = found[i] = last if s in _UNDECIDED else s
    return found


def _shape_run(
    face: Face,
    text: str,
    start: int,
    end: int,
    level: int,
    script: str | None,
    features: dict[str, bool],
    letter_of: Sequence[int],
) -> list[ShapedGlyph]:
    """Shape characters start to end of the text, its neighbours given as context."""
    buffer = hb.Buffer()
    buffer.add_str(text, start, end - start)
    buffer.direction = "rtl" if level % 2 else "ltr"
    if script is not None:
        buffer.script = script
    buffer.guess_segment_properties()
    hb.shape(face.hb_font, buffer, features)
    return [
        ShapedGlyph(
            glyph_id=info.codepoint,
            letter=letter_of[info.cluster],
            x_fu=place.x_offset,
            y_fu=place.y_offset,
            advance_fu=place.x_advance,
        )
        for info, place in zip(buffer.glyph_infos, buffer.glyph_positions, strict=True)
    ]


def _check_found(glyphs: Sequence[ShapedGlyph], line: Sequence[str], number: int) -> None:
    """Name the first letter, in reading order, that came out as the missing glyph."""
    lacking = [g.letter for g in glyphs if g.glyph_id == 0]
    if lacking:
        place = min(lacking)
        letter = line[place - 1]
        name = named(letter) if len(letter) == 1 else f"'{letter}'"
        msg = f"face lacks {name}, letter {place} of line {number}, {''.join(line)!r}"
        raise TextError(msg)
