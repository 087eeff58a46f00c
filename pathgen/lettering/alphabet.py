"""The letters that a reader may take a letter for: those of the scripts of the text.

Latin letters without marks and figures are always among them. Where a text is written in another
alphabet whose letters stand alone, the letters of that one are added, as far as the face has them.
"""

import string
import unicodedata
from collections.abc import Iterable

from pathgen.geometry import Points
from pathgen.lettering.fontfile import Face
from pathgen.lettering.outlines import glyph_rings

__all__ = ["SCRIPTS", "alphabet_rings", "scripts_of"]

# First and last letter of each alphabet in Unicode; gaps in between are no letters and left out.
SCRIPTS: dict[str, tuple[tuple[int, int], ...]] = {
    "GREEK": ((0x391, 0x3A9), (0x3B1, 0x3C9)),
    "CYRILLIC": ((0x401, 0x401), (0x410, 0x44F), (0x451, 0x451)),
    "ARMENIAN": ((0x531, 0x556), (0x561, 0x586)),
    "GEORGIAN": ((0x10D0, 0x10F0),),
    "HEBREW": ((0x5D0, 0x5EA),),
}


def scripts_of(texts: Iterable[str]) -> tuple[str, ...]:
    """Alphabets beside Latin that some text is written in, in the order of `SCRIPTS`."""
    found = {unicodedata.name(sign, "").partition(" ")[0] for text in texts for sign in text}
    return tuple(script for script in SCRIPTS if script in found)


def alphabet_rings(face: Face, scripts: tuple[str, ...]) -> dict[str, tuple[Points, ...]]:
    """Contours of each letter, in font units; letters that the face does not draw are left out."""
    codes = [range(first, last + 1) for name in scripts for first, last in SCRIPTS[name]]
    extra = "".join(chr(code) for group in codes for code in group)
    rings = {}
    for letter in string.ascii_uppercase + string.ascii_lowercase + string.digits + extra:
        glyph = face.hb_font.get_nominal_glyph(ord(letter))
        drawn = glyph_rings(face, glyph) if glyph else ()
        if drawn:
            rings[letter] = drawn
    return rings
