"""Lines of letters become glyphs in font units, from left to right as they stand.

HarfBuzz shapes each run of one direction and one script: kerning and marks on, ligatures off
unless asked for, since letters are counted and sewn singly. Joining scripts keep the joins
that they require; the glyph of a join counts as its first letter's.
"""

from collections import Counter
from collections.abc import Sequence
from functools import lru_cache
from itertools import accumulate, groupby
from typing import NamedTuple

import uharfbuzz as hb

from pathgen.errors import FontError, TextError
from pathgen.lettering.bidi import levels, visual_order
from pathgen.lettering.fontfile import Face
from pathgen.lettering.text import named, quoted

__all__ = ["ShapedGlyph", "shape_line"]

_LIGATURES = ("liga", "clig")
_UNDECIDED = ("Zyyy", "Zinh", "Zzzz")
_LATIN = "Latn"
_RIGHT_TO_LEFT_FROM = "\u0590"
# Letters that an error names beside the first one that the face lacks.
_MOST_NAMED = 5
# Letters on each side of a run that decide how its ends join; HarfBuzz looks at five characters.
_CONTEXT = 5
# Twice as many as a letter may have characters.
MOST_GLYPHS = 64
# No language: HarfBuzz would take that of the machine, and some faces draw letters by it.
_LANGUAGE = "und"


class ShapedGlyph(NamedTuple):
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


class _Run(NamedTuple):
    """Letters ``start`` to ``end`` of a line, counted from 0, of one direction and script."""

    start: int
    end: int
    level: int
    script: str


def shape_line(
    face: Face, line: Sequence[str], number: int, *, ligatures: bool = False
) -> tuple[ShapedGlyph, ...]:
    """Glyphs of one line in visual order, left to right; those of a letter stand together.

    Parameters
    ----------
    face : Face
        The face to set it in.
    line : sequence of str
        Its letters in reading order.
    number : int
        Number of the line, for errors.
    ligatures : bool
        Whether the face may join letters that do not require it.

    Raises
    ------
    TextError
        If the face lacks a letter: names it and its place in line ``number``.
    FontError
        If the face's rules make too many glyphs of a letter.
    """
    runs = _runs(line)
    out: list[ShapedGlyph] = []
    for k in visual_order([run.level for run in runs]):
        out += _shape_run(face, line, runs[k], ligatures=ligatures)
    _check_found(out, line, number)
    _check_few(face, out, line, number)
    return tuple(out)


def _runs(line: Sequence[str]) -> list[_Run]:
    """Runs in reading order; a run never ends inside a letter."""
    runs: list[_Run] = []
    start = 0
    for (level, name), group in groupby(zip(_levels(line), _scripts(line), strict=True)):
        end = start + len(list(group))
        runs.append(_Run(start, end, level, name))
        start = end
    return runs


def _levels(line: Sequence[str]) -> list[int]:
    """Embedding level of each letter: that of its first character."""
    text = "".join(line)
    if not text or max(text) < _RIGHT_TO_LEFT_FROM:
        return [0] * len(line)
    found = levels(text)
    starts = accumulate(map(len, line[:-1]), initial=0)
    return [found[start] for start in starts]


def _scripts(line: Sequence[str]) -> list[str]:
    """ISO 15924 script of each letter; signs common to all take their neighbour's (UAX 24)."""
    if all(letter.isascii() for letter in line):
        return [_LATIN] * len(line)
    decided = [_script(letter) for letter in line]
    last = next(filter(None, decided), _LATIN)
    out = []
    for found in decided:
        last = found or last
        out.append(last)
    return out


@lru_cache(maxsize=4096)
def _script(letter: str) -> str | None:
    """Script of a letter; None for signs common to several."""
    # Loaded for other texts only: the tables of all scripts take a while.
    from fontTools.unicodedata import script

    return next((s for s in map(script, letter) if s not in _UNDECIDED), None)


def _shape_run(face: Face, line: Sequence[str], run: _Run, *, ligatures: bool) -> list[ShapedGlyph]:
    """Shape a run, its neighbours given as context."""
    before = "".join(line[max(0, run.start - _CONTEXT) : run.start])
    after = "".join(line[run.end : run.end + _CONTEXT])
    inside = line[run.start : run.end]
    letter_of = [n for n, letter in enumerate(inside, run.start + 1) for _ in letter]
    buffer = hb.Buffer()
    buffer.add_str(f"{before}{''.join(inside)}{after}", len(before), len(letter_of))
    buffer.direction = "rtl" if run.level % 2 else "ltr"
    buffer.script = run.script
    buffer.language = _LANGUAGE
    buffer.flags = hb.BufferFlags.DO_NOT_INSERT_DOTTED_CIRCLE
    try:
        hb.shape(face.hb_font, buffer, dict.fromkeys(_LIGATURES, ligatures))
    except MemoryError as error:  # HarfBuzz's own bound, met by rules that multiply
        msg = f"font {face.facts.source} has shaping rules without an end; choose another face"
        raise FontError(msg) from error
    return [
        ShapedGlyph(
            glyph_id=info.codepoint,
            letter=letter_of[info.cluster - len(before)],
            x_fu=place.x_offset,
            y_fu=place.y_offset,
            advance_fu=place.x_advance,
        )
        for info, place in zip(buffer.glyph_infos, buffer.glyph_positions, strict=True)
    ]


def _check_few(face: Face, glyphs: Sequence[ShapedGlyph], line: Sequence[str], number: int) -> None:
    """Refuse a letter that the face sets with more glyphs than any letter needs."""
    if len(glyphs) <= MOST_GLYPHS:
        return
    place, count = Counter(g.letter for g in glyphs).most_common(1)[0]
    if count > MOST_GLYPHS:
        msg = (
            f"font {face.facts.source} sets {named(line[place - 1])}, letter {place} of line"
            f" {number}, with {count} glyphs; allowed up to {MOST_GLYPHS}; choose another face"
        )
        raise FontError(msg)


def _check_found(glyphs: Sequence[ShapedGlyph], line: Sequence[str], number: int) -> None:
    """Name the first letter, in reading order, that came out as the missing glyph."""
    lacking = sorted({g.letter for g in glyphs if g.glyph_id == 0})
    if not lacking:
        return
    place = lacking[0]
    first = line[place - 1]
    others = list(dict.fromkeys(line[n - 1] for n in lacking if line[n - 1] != first))
    also = f"; it lacks {' '.join(map(repr, others[:_MOST_NAMED]))} too" if others else ""
    if len(others) > _MOST_NAMED:
        also += f", and {len(others) - _MOST_NAMED} more"
    msg = (
        f"face lacks {named(first)}, letter {place} of line {number}, {quoted(line, place)}{also}; "
        f"choose another face or leave it out"
    )
    raise TextError(msg)
