"""Read a font file and name what is wrong with it, before anything is shaped or drawn.

HarfBuzz, which gets the bytes afterwards, skips broken tables without a word, so what it would
skip is looked for here. A plain font whose table directory is sound needs no more than a look;
fontTools, which takes longer to load than a name to plan, unpacks web fonts, reads collections
and says what is wrong with the rest.
"""

import io
import struct
from pathlib import Path
from typing import TYPE_CHECKING

from pathgen.errors import FontError
from pathgen.lettering.webfont import MOST_BYTES, WRAPPED, unpacked

if TYPE_CHECKING:
    from fontTools.ttLib import TTFont

__all__ = ["FORMATS", "font_bytes"]

FORMATS = "TTF, OTF, TTC, WOFF or WOFF2"

_LEAST_BYTES = 12
_UNITS_PER_EM = (16, 16384)  # OpenType specification, table head
_COLLECTION = b"ttcf"
_KINDS = (b"\0\1\0\0", b"OTTO", b"true", _COLLECTION, *WRAPPED)
_OUTLINES = ("glyf", "CFF ", "CFF2")
_NEEDED = ("head", "hhea", "hmtx", "maxp", "cmap")
# OpenType specification, table head; HarfBuzz skips one with another major version or magic.
_HEAD = struct.Struct(">H 10x I 2x H 34x")
_HEAD_VERSION, _HEAD_MAGIC = 1, 0x5F0F3CF5
# OpenType specification, table directory: number of tables, then tag, checksum, offset, length.
_COUNT = slice(4, 6)
_ENTRIES_FROM = 12
_ENTRY = struct.Struct(">4s 4x I I")


def font_bytes(path: Path, index: int) -> bytes:
    """Bytes of a font file whose face ``index`` has all that is needed; web fonts unpacked.

    Raises
    ------
    FontError
        If the file cannot be read, is not a font or cut short, has no such face, or lacks
        outlines or another table that everything rests on.
    """
    data = _read(path)
    if data[:4] not in _KINDS:
        msg = f"font {path} is not a font; give a {FORMATS} file"
        raise FontError(msg)
    try:
        if data[:4] in WRAPPED:
            data = unpacked(path, data)
        if _sound(data) and index == 0:
            return data
        _check_tables(path, _parsed(path, data, index), len(data))
    except FontError:
        raise
    except Exception as error:  # fontTools lets struct, key, assertion and other errors through
        raise _malformed(path, error) from error
    return data


def _read(path: Path) -> bytes:
    """Bytes of a regular file of sensible size."""
    try:
        if not path.exists():
            msg = f"font {path} does not exist; give a font file or a bundled face's name"
            raise FontError(msg)
        if not path.is_file():
            msg = f"font {path} is not a file; give a {FORMATS} file"
            raise FontError(msg)
        size = path.stat().st_size
        if not _LEAST_BYTES <= size <= MOST_BYTES:
            msg = f"font {path} has {size} bytes; a font has {_LEAST_BYTES} to {MOST_BYTES}"
            raise FontError(msg)
        with path.open("rb") as file:
            return file.read(MOST_BYTES)  # also of a file that grows meanwhile
    except OSError as error:
        msg = f"font {path} cannot be read: {(error.strerror or 'unknown reason').lower()}"
        raise FontError(msg) from error


def _sound(data: bytes) -> bool:
    """Whether a plain font has all tables that everything rests on, each whole and in the file."""
    count = int.from_bytes(data[_COUNT], "big")
    entries = data[_ENTRIES_FROM : _ENTRIES_FROM + count * _ENTRY.size]
    if data[:4] == _COLLECTION or len(entries) < count * _ENTRY.size:
        return False
    found = {
        tag.decode("latin-1"): (start, start + size)
        for tag, start, size in _ENTRY.iter_unpack(entries)
    }
    if any(end > len(data) or end == start for start, end in found.values()):
        return False
    if not set(_NEEDED) <= found.keys() or not found.keys() & set(_OUTLINES):
        return False
    head = data[slice(*found["head"])][: _HEAD.size]
    if len(head) < _HEAD.size or ("glyf" in found and "loca" not in found):
        return False
    version, magic, em = _HEAD.unpack(head)
    least, most = _UNITS_PER_EM
    return (version, magic) == (_HEAD_VERSION, _HEAD_MAGIC) and bool(least <= em <= most)


def _malformed(path: Path, error: Exception) -> FontError:
    """One line for whatever the font reader stumbled over."""
    from fontTools.ttLib import TTLibError

    reason = next(iter(str(error).strip().splitlines()), "")
    if not isinstance(error, TTLibError) or not reason.isprintable():
        reason = "a table cannot be read"
    return FontError(f"font {path} is malformed: {reason[:120]}")


def _parsed(path: Path, data: bytes, index: int) -> "TTFont":
    """Tables of the font, or of one face of a collection."""
    faces = int.from_bytes(data[8:12], "big") if data[:4] == _COLLECTION else 1
    if not 0 <= index < faces:
        msg = f"font {path} has no face {index}; allowed 0 to {faces - 1}"
        raise FontError(msg)
    from fontTools.ttLib import TTFont

    return TTFont(io.BytesIO(data), fontNumber=index, lazy=True)


def _check_tables(path: Path, tables: "TTFont", size: int) -> None:
    """Refuse a font without the tables or the em that everything else rests on."""
    for tag, entry in tables.reader.tables.items():
        if entry.offset + entry.length > size:
            msg = f"font {path} is cut short: its table {tag!r} ends after the file's {size} bytes"
            raise FontError(msg)
    missing = [tag for tag in _NEEDED if tag not in tables]
    if missing:
        msg = f"font {path} lacks the table {missing[0]!r}; it cannot be set"
        raise FontError(msg)
    if not any(tag in tables for tag in _OUTLINES):
        msg = f"font {path} has no outlines (pictures only); give one with outlines"
        raise FontError(msg)
    if "glyf" in tables and "loca" not in tables:
        msg = f"font {path} lacks the table 'loca'; its outlines cannot be found"
        raise FontError(msg)
    # Read here, as fontTools would warn of its dates.
    version, magic, em = _HEAD.unpack(tables.reader["head"][: _HEAD.size])
    if (version, magic) != (_HEAD_VERSION, _HEAD_MAGIC):
        msg = f"font {path} is malformed: its table 'head' is damaged"
        raise FontError(msg)
    if not _UNITS_PER_EM[0] <= em <= _UNITS_PER_EM[1]:
        msg = f"font {path} has unitsPerEm {em}; allowed {_UNITS_PER_EM[0]} to {_UNITS_PER_EM[1]}"
        raise FontError(msg)
