"""A text as written becomes checked lines of letters.

A letter is an extended grapheme cluster: what a reader takes for one sign, such as a base
with its accents. The rules are those of Unicode Standard Annex 29, section 3.1.1, that matter
to text one can sew: GB3 to GB13 without the few prepended marks (GB9b) and without the
conjuncts of Indic scripts (GB9c).
"""

import unicodedata
from collections.abc import Sequence

from pathgen.errors import TextError

__all__ = ["MOST_LETTERS", "checked_lines", "is_blank", "letters", "named"]

# A plan of this many letters is already a hundred times the longest tagline; beyond it a
# file was given by mistake.
MOST_LETTERS = 20_000

_LINE_ENDS = ("\r\n", "\r", "\u2028", "\u2029", "\u0085")
_ZERO_WIDTH_JOINER = "\u200d"
_JOINERS = {"\u200c", _ZERO_WIDTH_JOINER}
_SKIN_TONES = range(0x1F3FB, 0x1F400)
_REGIONAL = range(0x1F1E6, 0x1F200)
# Explicit embeddings, overrides and isolates (UAX 9, section 2); marks such as U+200F are fine.
_DIRECTION_CONTROLS = {*"\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"}


def checked_lines(text: str | Sequence[str]) -> tuple[tuple[str, ...], ...]:
    """Lines of letters of a text, cut at its line ends.

    Parameters
    ----------
    text : str or sequence of str
        One text, or lines; each may hold line ends itself.

    Returns
    -------
    tuple of tuple of str
        The letters of each line; blank lines are kept, but for those at the foot.

    Raises
    ------
    TextError
        If there is nothing to sew, a control character, half a surrogate pair, or too much.
    """
    whole = text if isinstance(text, str) else "\n".join(text)
    for end in _LINE_ENDS:
        whole = whole.replace(end, "\n")
    if not whole.strip():
        msg = "text is empty; give at least one letter"
        raise TextError(msg)
    if len(whole) > 8 * MOST_LETTERS:
        raise _too_long(len(whole), "characters", 8 * MOST_LETTERS)
    lines = [line.rstrip() for line in whole.rstrip().split("\n")]
    for number, line in enumerate(lines, 1):
        _check_characters(line, number)
    found = tuple(letters(line) for line in lines)
    total = sum(len(line) for line in found)
    if total > MOST_LETTERS:
        raise _too_long(total, "letters", MOST_LETTERS)
    return found


def _too_long(count: int, what: str, most: int) -> TextError:
    return TextError(f"text has {count} {what}; allowed 1 to {most}; plan it in pieces")


def _check_characters(line: str, number: int) -> None:
    """Refuse characters that no font can draw or that would turn the text around unseen."""
    for place, char in enumerate(line, 1):
        category = unicodedata.category(char)
        if category in ("Cc", "Cs") or char in _DIRECTION_CONTROLS:
            kind = {
                "Cc": "a control character",
                "Cs": "half a surrogate pair",
            }.get(category, "a direction control")
            msg = f"text line {number}, character {place} is {named(char)}, {kind}; leave it out"
            raise TextError(msg)


def is_blank(letter: str) -> bool:
    """Whether a letter is meant to have no ink: spaces and invisible signs."""
    return all(unicodedata.category(char) in ("Zs", "Zl", "Zp", "Cf", "Mn") for char in letter)


def named(char: str) -> str:
    """Code point of a character, with its sign where it has one: ``'ł' (U+0142)``."""
    code = f"U+{ord(char):04X}"
    return f"'{char}' ({code})" if char.isprintable() else code


def letters(line: str) -> tuple[str, ...]:
    """Extended grapheme clusters of a line.

    Examples
    --------
    >>> [len(letter) for letter in letters("ae" + chr(0x301) + "b")]
    [1, 2, 1]
    """
    if line.isascii():
        return tuple(line)
    starts = [i for i in range(len(line)) if i == 0 or not _joins(line, i)]
    return tuple(line[a:b] for a, b in zip(starts, [*starts[1:], len(line)], strict=True))


def _joins(line: str, i: int) -> bool:
    """Whether character i belongs to the same letter as the one before it."""
    before, char = line[i - 1], line[i]
    if char in _JOINERS or unicodedata.category(char) in ("Mn", "Me", "Mc"):
        return True
    if ord(char) in _SKIN_TONES:
        return True
    if before == _ZERO_WIDTH_JOINER and unicodedata.category(char) == "So":
        return _pictured(line, i - 1)
    if ord(char) in _REGIONAL and ord(before) in _REGIONAL:
        return _regional_before(line, i) % 2 == 1
    return _hangul_joins(before, char)


def _pictured(line: str, joiner: int) -> bool:
    """Whether a pictograph stands before the joiner, with marks between allowed (GB11)."""
    i = joiner - 1
    while i > 0 and (unicodedata.category(line[i]) == "Mn" or ord(line[i]) in _SKIN_TONES):
        i -= 1
    return i >= 0 and unicodedata.category(line[i]) == "So"


def _regional_before(line: str, i: int) -> int:
    """How many regional indicators stand directly before character i (GB12, GB13)."""
    count = 0
    while count < i and ord(line[i - 1 - count]) in _REGIONAL:
        count += 1
    return count


def _hangul_joins(before: str, char: str) -> bool:
    """Whether two Hangul jamo or syllables make one block (GB6 to GB8)."""
    first, second = _hangul(before), _hangul(char)
    return (first, second) in {
        ("L", "L"),
        ("L", "V"),
        ("L", "LV"),
        ("L", "LVT"),
        ("V", "V"),
        ("V", "T"),
        ("LV", "V"),
        ("LV", "T"),
        ("LVT", "T"),
        ("T", "T"),
    }


def _hangul(char: str) -> str:
    """Hangul syllable type (Unicode Standard, section 3.12), or nothing."""
    code = ord(char)
    if 0x1100 <= code <= 0x115F or 0xA960 <= code <= 0xA97C:
        return "L"
    if 0x1160 <= code <= 0x11A7 or 0xD7B0 <= code <= 0xD7C6:
        return "V"
    if 0x11A8 <= code <= 0x11FF or 0xD7CB <= code <= 0xD7FB:
        return "T"
    if 0xAC00 <= code <= 0xD7A3:
        return "LV" if (code - 0xAC00) % 28 == 0 else "LVT"
    return ""
