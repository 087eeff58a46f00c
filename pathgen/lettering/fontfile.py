"""Open a font file, name its faults, and measure it.

fontTools reads the tables and says what is wrong with them; HarfBuzz, given the same bytes,
shapes the text and draws the outlines. TTF, OTF, TTC, WOFF and WOFF2; variable fonts at any
place of their axes.
"""

import io
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import uharfbuzz as hb
from fontTools.ttLib import TTFont, TTLibError

from pathgen.errors import FontError
from pathgen.model import FaceFacts

__all__ = ["Face", "open_face"]

# The largest fonts in use, with all of CJK, are near 50 MB.
_MOST_BYTES = 100_000_000
_LEAST_BYTES = 12
_UNITS_PER_EM = (16, 16384)  # OpenType specification, table head
_WRAPPED = (b"wOFF", b"wOF2")
_COLLECTION = b"ttcf"
_OUTLINES = ("glyf", "CFF ", "CFF2")
_NEEDED = ("head", "hhea", "hmtx", "maxp", "cmap")
# Tops that stand for the capital height: H, or its twins in Greek and Cyrillic.
_CAPITALS = "HΗН"
_SMALL = "xχх"


@dataclass(frozen=True, slots=True, eq=False)
class Face:
    """An open face at one place of its axes.

    Attributes
    ----------
    facts : FaceFacts
        What is known of it.
    hb_font : uharfbuzz.Font
        Shapes and draws, in font units.
    """

    facts: FaceFacts
    hb_font: hb.Font


def open_face(path: Path, *, index: int = 0, axes: Mapping[str, float] | None = None) -> Face:
    """Open a font file.

    Parameters
    ----------
    path : Path
        TTF, OTF, TTC, WOFF or WOFF2.
    index : int
        Which face of a collection, from 0.
    axes : mapping of str to float, optional
        Places on the axes of a variable font, such as ``{"wght": 700}``; others stay at
        their default.

    Raises
    ------
    FontError
        If the file cannot be read, is not a font, lacks outlines or a capital to measure,
        or has no such index or axis.
    """
    data = _read(path)
    tables = _parse(path, data, index)
    try:
        _check_tables(path, tables)
        name = _full_name(tables) or path.stem
        places = _checked_axes(path, tables, axes or {})
        if data[:4] in _WRAPPED:
            data, index = _unwrapped(tables), 0
    except FontError:
        raise
    except Exception as error:  # whatever a broken table makes fontTools do
        raise _malformed(path, error) from error
    face = hb.Face(hb.Blob(data), index)
    font = hb.Font(face)
    if places:
        font.set_variations(places)
    facts = FaceFacts(
        name=name,
        source=str(path),
        units_per_em=face.upem,
        cap_height_fu=_cap_height_fu(path, tables, font),
        x_height_fu=_top_fu(font, _SMALL) or 0.0,
    )
    return Face(facts, font)


def _read(path: Path) -> bytes:
    """Bytes of a regular file of sensible size."""
    if not path.exists():
        msg = f"font {path} does not exist; give a font file or a bundled face's name"
        raise FontError(msg)
    if not path.is_file():
        msg = f"font {path} is not a file; give a TTF, OTF, TTC, WOFF or WOFF2 file"
        raise FontError(msg)
    size = path.stat().st_size
    if not _LEAST_BYTES <= size <= _MOST_BYTES:
        msg = f"font {path} has {size} bytes; a font has {_LEAST_BYTES} to {_MOST_BYTES}"
        raise FontError(msg)
    try:
        return path.read_bytes()
    except OSError as error:
        msg = f"font {path} cannot be read: {error.strerror}"
        raise FontError(msg) from error


def _malformed(path: Path, error: Exception) -> FontError:
    """One line for whatever the font reader stumbled over."""
    reason = (str(error).strip().splitlines() or [type(error).__name__])[0]
    return FontError(f"font {path} is malformed: {reason[:120]}")


def _parse(path: Path, data: bytes, index: int) -> TTFont:
    """Tables of the font, or of one face of a collection."""
    faces = int.from_bytes(data[8:12], "big") if data[:4] == _COLLECTION else 1
    if not 0 <= index < faces:
        msg = f"font {path} has no face {index}; allowed 0 to {faces - 1}"
        raise FontError(msg)
    number = index if data[:4] == _COLLECTION else -1
    try:
        return TTFont(io.BytesIO(data), fontNumber=number, lazy=True, recalcBBoxes=False)
    except TTLibError as error:
        if "Not a TrueType" in str(error) or "bad sfntVersion" in str(error):
            msg = f"font {path} is not a font; give a TTF, OTF, TTC, WOFF or WOFF2 file"
            raise FontError(msg) from error
        raise _malformed(path, error) from error
    except Exception as error:  # fontTools lets struct, key and assertion errors through
        raise _malformed(path, error) from error


def _check_tables(path: Path, tables: TTFont) -> None:
    """Refuse a font without the tables or the em that everything else rests on."""
    missing = [tag for tag in _NEEDED if tag not in tables]
    if missing:
        msg = f"font {path} lacks the table {missing[0]!r}; it cannot be set"
        raise FontError(msg)
    if not any(tag in tables for tag in _OUTLINES):
        msg = f"font {path} has no outlines (pictures only); give one with outlines"
        raise FontError(msg)
    em = tables["head"].unitsPerEm
    if not _UNITS_PER_EM[0] <= em <= _UNITS_PER_EM[1]:
        msg = f"font {path} has unitsPerEm {em}; allowed {_UNITS_PER_EM[0]} to {_UNITS_PER_EM[1]}"
        raise FontError(msg)
    if not tables.getBestCmap():
        msg = f"font {path} has no Unicode character map; letters cannot be found in it"
        raise FontError(msg)


def _full_name(tables: TTFont) -> str:
    """Full name from the name table, on one line."""
    found = tables["name"].getDebugName(4) if "name" in tables else None
    return " ".join(str(found or "").split())


def _checked_axes(path: Path, tables: TTFont, axes: Mapping[str, float]) -> dict[str, float]:
    """Axis places, each known to the font and within its range."""
    known = {a.axisTag: a for a in tables["fvar"].axes} if "fvar" in tables else {}
    for tag, value in axes.items():
        if tag not in known:
            has = ", ".join(known) if known else "none; it is not a variable font"
            msg = f"font {path} has no axis {tag!r}; its axes: {has}"
            raise FontError(msg)
        least, most = known[tag].minValue, known[tag].maxValue
        if not least <= value <= most:
            msg = f"axis {tag} is {value:g}; allowed {least:g} to {most:g} in {path}"
            raise FontError(msg)
    return dict(axes)


def _unwrapped(tables: TTFont) -> bytes:
    """Plain font bytes of a compressed web font."""
    plain = io.BytesIO()
    tables.flavor = None
    tables.save(plain, reorderTables=None)
    return plain.getvalue()


def _top_fu(font: hb.Font, twins: str) -> float | None:
    """Top of the outline of the first of these letters that the face has."""
    for char in twins:
        glyph = font.get_nominal_glyph(ord(char))
        extents = font.get_glyph_extents(glyph) if glyph else None
        if extents is not None and extents.height != 0:
            return float(extents.y_bearing)
    return None


def _cap_height_fu(path: Path, tables: TTFont, font: hb.Font) -> float:
    """Top of H, measured; else the height that the font states.

    Stated heights can be missing (DejaVu Sans) or off (Source Sans 3: 660 for 656).
    """
    top = _top_fu(font, _CAPITALS)
    if top is None and "OS/2" in tables:
        top = float(getattr(tables["OS/2"], "sCapHeight", 0))
    if not top or top <= 0.0:
        msg = f"font {path} has no capital H and states no capital height; cannot size it"
        raise FontError(msg)
    return top
