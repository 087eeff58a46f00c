"""Web fonts that swell or lie when they are unpacked: names and bytes."""

import struct
import zlib
from collections.abc import Iterator
from functools import cache

import brotli
from odd_tables import plain


def odd_webfonts() -> Iterator[tuple[str, bytes]]:
    """Web fonts that unpack to more than they state, or to far too much."""
    yield "WOFF that unpacks to 1 GB", _bomb_woff(1 << 20, stated=1 << 30)
    yield "WOFF that unpacks to 200 MB more than stated", _bomb_woff(200 << 20, stated=400)
    yield "WOFF with a thousand names for one packed table", _bomb_woff(1 << 20, 400, times=1000)
    yield "WOFF2 that unpacks to 1 GB", _bomb_woff2(1 << 30, stated=1 << 30)
    yield "WOFF2 that unpacks to 1 GB more than stated", _bomb_woff2(1 << 30, stated=400)
    yield "WOFF2 that unpacks to less than stated", _bomb_woff2(100, stated=4000)
    yield "WOFF2 of 30 MB of outlines", _bomb_woff2(30 << 20, stated=30 << 20, flags=b"\x0a")
    for kind, remark in (("woff", _deflated_zeros(200 << 20)), ("woff2", _zeros(1 << 30))):
        data = plain(kind)
        at = 24 if kind == "woff" else 28
        place = struct.pack(">III", len(data), len(remark), 1 << 30)
        whole = data[:at] + place + data[at + 12 :] + remark
        yield f"{kind} with remarks that swell", _with_length(whole)
    yield "WOFF2 that states other sizes of outlines", plain("woff2").replace(b"\x0a", b"\x0b", 1)


def _with_length(data: bytes) -> bytes:
    """A web font that states its own length."""
    return data[:8] + struct.pack(">I", len(data)) + data[12:]


@cache
def _zeros(size: int) -> bytes:
    """So many zero bytes, packed by brotli piece by piece to keep memory small."""
    packer = brotli.Compressor(quality=1)
    block = bytes(1 << 24)
    return b"".join(packer.process(block) for _ in range(max(1, size >> 24))) + packer.finish()


@cache
def _deflated_zeros(size: int) -> bytes:
    packer = zlib.compressobj(1)
    return b"".join(packer.compress(bytes(1 << 20)) for _ in range(size >> 20)) + packer.flush()


def _bomb_woff(size: int, stated: int, *, times: int = 1) -> bytes:
    packed = _deflated_zeros(size)
    entry = struct.pack(">4sIIII", b"glyf", 44 + 20 * times, len(packed), stated, 0)
    head = struct.pack(">4sIIHHI", b"wOFF", 0x10000, 0, times, 0, 1000)
    return _with_length(head + bytes(24) + entry * times + packed)


def _bomb_woff2(size: int, stated: int, flags: bytes = b"\x01") -> bytes:
    packed = _zeros(size) if size >= 1 << 20 else brotli.compress(bytes(size))
    sevens = [stated >> shift & 0x7F for shift in (28, 21, 14, 7, 0)]
    while len(sevens) > 1 and sevens[0] == 0:
        del sevens[0]
    number = bytes([seven | 0x80 for seven in sevens[:-1]] + [sevens[-1]])
    entry = flags + number * (2 if flags == b"\x0a" else 1)
    head = struct.pack(">4sIIHHII", b"wOF2", 0x10000, 0, 1, 0, 1000, len(packed))
    return _with_length(head + bytes(24) + entry + packed)
