"""A line of text becomes letters: what a reader takes for one sign, such as a base with accents.

Extended grapheme clusters after Unicode Standard Annex 29, section 3.1.1, rules GB3 to GB13,
from the Unicode data of the running Python.

limit: without prepended marks (GB9b); conjuncts (GB9c) for the six scripts that had them in
Unicode 15.1; any symbol counts as a picture that a joiner may bind, and no spacing mark may stand
between them (GB11).
"""

import unicodedata

__all__ = ["letters"]

_MARKS_FROM = "\u0300"  # below, every character but a line feed after a return is a letter
_ZERO_WIDTH_NON_JOINER = "\u200c"
_ZERO_WIDTH_JOINER = "\u200d"
_SKIN_TONES = range(0x1F3FB, 0x1F400)
_TAGS = range(0xE0020, 0xE0080)  # end of the flags of regions, such as Wales
_REGIONAL = range(0x1F1E6, 0x1F200)
_PICTURES = range(0x1F000, 0x1FFFE)
# Pictures that are not symbols by category (emoji-data.txt, Extended_Pictographic).
_OTHER_PICTURES = {*"\u203c\u2049\u2139\u2194\u25fb\u25fc\u25fd\u25fe\u3030"}
# Spacing marks that the annex counts as letters (GraphemeBreakProperty.txt), and the reverse.
_LOOSE_MARKS = {
    *"\u102b\u102c\u1038\u1062\u1063\u1064\u1067\u1068\u1069\u106a\u106b\u106c\u106d\u1083",
    *"\u1087\u1088\u1089\u108a\u108b\u108c\u108f\u109a\u109b\u109c\u1a61\u1a63\u1a64\uaa7b\uaa7d",
    *"\U00011720\U00011721",
}
_JOINING_LETTERS = {*"\u0e33\u0eb3\uff9e\uff9f"}
# Viramas of Devanagari, Bengali, Gujarati, Oriya, Telugu and Malayalam.
_LINKERS = {*"\u094d\u09cd\u0acd\u0b4d\u0c4d\u0d4d"}
_INDIC_BLOCK = 0x80  # code points of each of these scripts


def letters(line: str) -> tuple[str, ...]:
    """Extended grapheme clusters of a line; together they are the line.

    Examples
    --------
    >>> [len(letter) for letter in letters("ae" + chr(0x301) + "b")]
    [1, 2, 1]
    """
    if (not line or max(line) < _MARKS_FROM) and "\r" not in line:
        return tuple(line)
    starts = [i for i in range(len(line)) if i == 0 or not _joins(line, i)]
    return tuple(line[a:b] for a, b in zip(starts, [*starts[1:], len(line)], strict=True))


def _joins(line: str, i: int) -> bool:
    """Whether character i belongs to the same letter as the one before it."""
    before, char = line[i - 1], line[i]
    if before == "\r" and char == "\n":
        return True
    if _is_control(before):  # GB4
        return False
    if _extends(char) or _hangul_joins(before, char):
        return True
    if before == _ZERO_WIDTH_JOINER and _is_picture(char):
        return _picture_before(line, i - 1)
    if ord(char) in _REGIONAL and ord(before) in _REGIONAL:
        return _regional_before(line, i) % 2 == 1
    return _conjunct(line, i)


def _is_control(char: str) -> bool:
    """Characters after which a letter always ends: controls and format signs."""
    if unicodedata.category(char) not in ("Cc", "Cf", "Zl", "Zp"):
        return False
    return char not in (_ZERO_WIDTH_JOINER, _ZERO_WIDTH_NON_JOINER) and ord(char) not in _TAGS


def _extends(char: str) -> bool:
    """Marks, joiners, skin tones and tags (GB9, GB9a)."""
    if char in (_ZERO_WIDTH_JOINER, _ZERO_WIDTH_NON_JOINER) or char in _JOINING_LETTERS:
        return True
    if ord(char) in _SKIN_TONES or ord(char) in _TAGS:
        return True
    return unicodedata.category(char) in ("Mn", "Me", "Mc") and char not in _LOOSE_MARKS


def _is_wide(char: str) -> bool:
    """Whether what extends a letter takes room of its own (SpacingMark)."""
    return unicodedata.category(char) == "Mc" or char in ("\u0e33", "\u0eb3")


def _is_picture(char: str) -> bool:
    """Whether a character is a pictograph, or a symbol that may be one."""
    if ord(char) in _PICTURES:
        return ord(char) not in _SKIN_TONES and ord(char) not in _REGIONAL
    return unicodedata.category(char) == "So" or char in _OTHER_PICTURES


def _picture_before(line: str, joiner: int) -> bool:
    """Whether a pictograph stands before the joiner, marks without width between (GB11)."""
    i = joiner - 1
    while i > 0 and _extends(line[i]) and line[i] != _ZERO_WIDTH_JOINER and not _is_wide(line[i]):
        i -= 1
    return i >= 0 and _is_picture(line[i])


def _regional_before(line: str, i: int) -> int:
    """How many regional indicators stand directly before character i (GB12, GB13)."""
    count = 0
    while count < i and ord(line[i - 1 - count]) in _REGIONAL:
        count += 1
    return count


def _conjunct(line: str, i: int) -> bool:
    """Whether a virama binds character i to a consonant of its script before it (GB9c)."""
    if unicodedata.category(line[i]) != "Lo":
        return False
    block = ord(line[i]) // _INDIC_BLOCK
    j, linked = i - 1, False
    while j > 0 and (unicodedata.category(line[j]) == "Mn" or line[j] == _ZERO_WIDTH_JOINER):
        linked = linked or (line[j] in _LINKERS and ord(line[j]) // _INDIC_BLOCK == block)
        j -= 1
    return (
        linked and unicodedata.category(line[j]) == "Lo" and ord(line[j]) // _INDIC_BLOCK == block
    )


def _hangul_joins(before: str, char: str) -> bool:
    """Whether two Hangul jamo or syllables make one block (GB6 to GB8)."""
    first, second = _hangul(before), _hangul(char)
    if first == "L":
        return second in ("L", "V", "LV", "LVT")
    if first in ("V", "LV"):
        return second in ("V", "T")
    return first in ("T", "LVT") and second == "T"


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
