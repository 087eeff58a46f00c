"""A text as written becomes checked lines of letters."""

import unicodedata
from collections.abc import Iterable, Sequence

from pathgen.errors import TextError
from pathgen.lettering.graphemes import letters

__all__ = ["MOST_LETTERS", "MOST_LINES", "checked_lines", "is_blank", "named", "quoted"]

# A plan of this many letters is already a hundred times the longest tagline; beyond it a
# file was given by mistake.
MOST_LETTERS = 20_000

# Each line is told on the plot with its settings.
MOST_LINES = 500

# A letter of more characters than this is a heap of marks: text that is safe to be streamed has up
# to 30 marks in a row (Unicode Standard Annex 15, Stream-Safe Text Format).
MOST_CHARACTERS = 32

# Letters of a line that an error message quotes on each side of the place it names.
_QUOTED = 20

_LINE_ENDS = ("\r\n", "\r", "\u2028", "\u2029", "\u0085")
# Explicit embeddings, overrides and isolates (UAX 9, section 2); marks such as U+200F are fine.
_DIRECTION_CONTROLS = {*"\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"}
# Signs without ink that are letters, symbols or marks by category: Hangul fillers, the blank
# Braille cell, the grapheme joiner; variation selectors (Default_Ignorable_Code_Point).
_FILLERS = {*"\u034f\u115f\u1160\u2800\u3164\uffa0"}
_SELECTORS = (range(0xFE00, 0xFE10), range(0xE0100, 0xE01F0))


def checked_lines(text: str | Sequence[str]) -> tuple[tuple[str, ...], ...]:
    """Lines of letters of a text, cut at its line ends.

    Parameters
    ----------
    text : str or sequence of str
        One text, or lines; each may hold line ends itself.

    Returns
    -------
    tuple of tuple of str
        The letters of each line without spaces at its end; blank lines are kept, but for
        those at the foot.

    Raises
    ------
    TextError
        If there is nothing to sew, a control character, half a surrogate pair, a heap of
        marks, or too much.
    """
    whole = text if isinstance(text, str) else "\n".join(text)
    if len(whole) > 8 * MOST_LETTERS:
        raise _too_long(len(whole), "characters", 8 * MOST_LETTERS)
    for end in _LINE_ENDS:
        whole = whole.replace(end, "\n")
    lines = whole.split("\n")
    for number, line in enumerate(lines, 1):
        _check_characters(line, number)
    found = [letters(line.rstrip()) for line in lines]
    while found and all(is_blank(letter) for letter in found[-1]):
        found.pop()
    if not found:
        msg = "text is empty; give at least one letter"
        raise TextError(msg)
    _check_heaps(found)
    if len(found) > MOST_LINES:
        raise _too_long(len(found), "lines", MOST_LINES)
    total = sum(len(line) for line in found)
    if total > MOST_LETTERS:
        raise _too_long(total, "letters", MOST_LETTERS)
    return tuple(found)


def _check_heaps(lines: Sequence[Sequence[str]]) -> None:
    """Refuse a letter on which marks are heaped."""
    for number, line in enumerate(lines, 1):
        for place, letter in enumerate(line, 1):
            if len(letter) > MOST_CHARACTERS:
                msg = (
                    f"text line {number}, letter {place} has {len(letter)} characters, a heap of"
                    f" marks; allowed 1 to {MOST_CHARACTERS}; leave some out"
                )
                raise TextError(msg)


def _too_long(count: int, what: str, most: int) -> TextError:
    return TextError(f"text has {count} {what}; allowed 1 to {most}; plan it in pieces")


def _check_characters(line: str, number: int) -> None:
    """Refuse characters that no font can draw or that would turn the text around unseen."""
    if line.isprintable():
        return
    for place, char in enumerate(line, 1):
        category = unicodedata.category(char)
        if category in ("Cc", "Cs") or char in _DIRECTION_CONTROLS:
            kind = {
                "Cc": "a control character",
                "Cs": "half a surrogate pair",
            }.get(category, "a direction control")
            remedy = "write spaces instead" if char == "\t" else "leave it out"
            msg = f"text line {number}, character {place} is {named(char)}, {kind}; {remedy}"
            raise TextError(msg)


def is_blank(letter: str) -> bool:
    """Whether a letter is meant to have no ink: spaces and invisible signs."""
    return all(map(_is_invisible, letter))


def _is_invisible(char: str) -> bool:
    if unicodedata.category(char) in ("Zs", "Zl", "Zp", "Cf"):
        return True
    return char in _FILLERS or any(ord(char) in selectors for selectors in _SELECTORS)


def named(letter: str) -> str:
    """Code points of a letter, with its sign where it has one: ``'ł' (U+0142)``."""
    codes = " ".join(f"U+{ord(char):04X}" for char in letter)
    return f"'{letter}' ({codes})" if letter.isprintable() else codes


def quoted(line: Iterable[str], place: int) -> str:
    """Line in quotes, cut short far from the letter at ``place``, from 1."""
    whole = list(line)
    start, end = max(0, place - 1 - _QUOTED), place + _QUOTED
    cut = "".join(whole[start:end])
    return repr(f"{'...' if start else ''}{cut}{'...' if end < len(whole) else ''}")
