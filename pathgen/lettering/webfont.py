"""Unpack a web font, after measuring what it would unpack to.

fontTools unpacks a table and looks at its size afterwards, so a file of a hundred bytes could ask
for any amount of memory. Everything that is packed is therefore measured first, in pieces that are
thrown away, against what the file's directory states. The metadata, which a plan does not need,
is left packed.
"""

import io
import struct
import zlib
from pathlib import Path

from pathgen.errors import FontError

__all__ = ["MOST_BYTES", "WRAPPED", "unpacked"]

# The largest fonts in use, with all of CJK, are near 50 MB.
MOST_BYTES = 100_000_000
WRAPPED = (b"wOFF", b"wOF2")
# Outlines packed by the transform of WOFF2 are put together again glyph by glyph, a second for
# each of these million bytes; DejaVu Sans has half a million.
_MOST_OUTLINES = 4_000_000
_PIECE = 1 << 20
# Headers of either (W3C WOFF 1.0, section 3; WOFF 2.0, section 4): the number of tables, the size
# of the plain font, and from where on metadata and private data are told.
_COUNT = slice(12, 14)
_PLAIN_SIZE = slice(16, 20)
_PACKED_SIZE = slice(20, 24)  # WOFF 2.0
_HEADER = {b"wOFF": 44, b"wOF2": 48}
_REMARKS = 20  # bytes at the end of the header: places and sizes of metadata and private data
# WOFF 1.0, section 4: tag, offset, packed length, length, checksum.
_ENTRY = struct.Struct(">4s I I I I")


def unpacked(path: Path, data: bytes) -> bytes:
    """Plain font bytes of a WOFF or WOFF2 file.

    Raises
    ------
    FontError
        If it would unpack to more than it states, or than a font may have.
    Exception
        Whatever fontTools raises for a malformed one.
    """
    kind = data[:4]
    _check_size(path, int.from_bytes(data[_PLAIN_SIZE], "big"))
    if kind == b"wOFF":
        _check_deflated(path, data)
    else:
        _check_brotli(path, data)
    from fontTools.ttLib import TTFont

    header = _HEADER[kind]
    plain_header = data[: header - _REMARKS] + bytes(_REMARKS)
    tables = TTFont(
        io.BytesIO(plain_header + data[header:]),
        lazy=True,
        recalcBBoxes=False,
        recalcTimestamp=False,
    )
    tables.flavor = None
    plain = io.BytesIO()
    tables.save(plain, reorderTables=None)
    return plain.getvalue()


def _check_size(path: Path, size: int) -> None:
    if size > MOST_BYTES:
        msg = f"font {path} unpacks to {size} bytes; a font has up to {MOST_BYTES}"
        raise FontError(msg)


def _check_deflated(path: Path, data: bytes) -> None:
    """Refuse a WOFF table that is packed in more than the file, or unpacks to more than stated."""
    header = _HEADER[b"wOFF"]
    count = int.from_bytes(data[_COUNT], "big")
    stated = data[header : header + count * _ENTRY.size]
    entries = list(_ENTRY.iter_unpack(stated[: len(stated) // _ENTRY.size * _ENTRY.size]))
    _check_size(path, sum(size for *_, size, _ in entries))
    if sum(packed for _, _, packed, _, _ in entries) > len(data):
        msg = f"font {path} is malformed: its packed tables overlap or end after the file"
        raise FontError(msg)
    for _, start, packed, size, _ in entries:
        if packed == size:
            continue
        reader = zlib.decompressobj()
        if len(reader.decompress(data[start : start + packed], size + 1)) != size:
            raise _unlike_stated(path)


def _check_brotli(path: Path, data: bytes) -> None:
    """Refuse a WOFF2 file whose one packed stream unpacks to more than its tables state."""
    import brotli
    from fontTools.ttLib.woff2 import WOFF2DirectoryEntry

    file = io.BytesIO(data)
    file.seek(_HEADER[b"wOF2"])
    stated = 0
    for _ in range(int.from_bytes(data[_COUNT], "big")):
        entry = WOFF2DirectoryEntry()
        entry.fromFile(file)
        stated += entry.length
        if entry.tag == "glyf" and entry.transformed and entry.length > _MOST_OUTLINES:
            msg = (
                f"font {path} packs {entry.length} bytes of outlines, more than the"
                f" {_MOST_OUTLINES} that are unpacked; give it as TTF or OTF"
            )
            raise FontError(msg)
    _check_size(path, stated)
    reader = brotli.Decompressor()
    packed = file.read(int.from_bytes(data[_PACKED_SIZE], "big"))
    found = len(reader.process(packed, output_buffer_limit=_PIECE))
    while found <= stated and not reader.is_finished():
        piece = reader.process(b"", output_buffer_limit=_PIECE)
        found += len(piece)
        if not piece:
            break
    if found != stated:
        raise _unlike_stated(path)


def _unlike_stated(path: Path) -> FontError:
    return FontError(f"font {path} is malformed: it unpacks to another size than it states")
