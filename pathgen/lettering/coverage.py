"""Which letters a face has, block by block."""

import unicodedata
from dataclasses import dataclass

from pathgen.lettering.fontfile import Face

__all__ = ["Coverage", "covered", "specimen_lines"]

# Unicode blocks that a shop's names are written in; last code included.
_BLOCKS = (
    ("Basic Latin", 0x0000, 0x007F),
    ("Latin-1", 0x0080, 0x00FF),
    ("Latin Extended-A", 0x0100, 0x017F),
)

# Letters, figures and the signs of workwear, in rows that make a page.
_SPECIMEN = (
    "ABCDEFGHIJKLM",
    "NOPQRSTUVWXYZ",
    "abcdefghijklm",
    "nopqrstuvwxyz",
    "0123456789&@%#",
    ".,:;-'\"!?/()+€£$°",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Coverage:
    """How many letters of a block a face has.

    Attributes
    ----------
    block : str
        Name of the Unicode block, short.
    found, letters : int
        Letters with a glyph, and all letters of the block (general category L).
    """

    block: str
    found: int
    letters: int


def covered(face: Face) -> tuple[Coverage, ...]:
    """Letters that a face has of Basic Latin, Latin-1 and Latin Extended-A, in this order."""
    out = []
    for block, first, last in _BLOCKS:
        codes = [c for c in range(first, last + 1) if unicodedata.category(chr(c))[0] == "L"]
        found = sum(_has(face, chr(code)) for code in codes)
        out.append(Coverage(block=block, found=found, letters=len(codes)))
    return tuple(out)


def specimen_lines(face: Face) -> tuple[str, ...]:
    """Rows of the letters, figures and signs that a face has; rows without any are left out."""
    rows = ("".join(c for c in row if _has(face, c)) for row in _SPECIMEN)
    return tuple(row for row in rows if row)


def _has(face: Face, sign: str) -> bool:
    return bool(face.hb_font.get_nominal_glyph(ord(sign)))
