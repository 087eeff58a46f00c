"""Fonts with tables that lie, loop, swell or are missing: names and bytes."""

import io
import random
import struct
from collections.abc import Iterator
from functools import cache, partial

from fontTools.feaLib.builder import addOpenTypeFeaturesFromString
from fontTools.ttLib import TTCollection, TTFont
from fontTools.ttLib.tables.DefaultTable import DefaultTable
from made_fonts import LETTERS, box, made_font, with_weight_axis, without
from odd_outlines import font_data


@cache
def plain(kind: str = "ttf") -> bytes:
    """The small test font: ``ttf``, ``cff``, ``woff``, ``woff2``, ``vary`` or ``ttc``."""
    font = made_font(cubic=kind == "cff")
    if kind == "ttc":
        both = TTCollection()
        both.fonts = [made_font(), made_font()]
        file = io.BytesIO()
        both.save(file)
        return file.getvalue()
    if kind == "vary":
        with_weight_axis(font, taller=50, wider=20)
    font.flavor = kind if kind.startswith("woff") else None
    return font_data(font)


def _opened(kind: str = "ttf") -> TTFont:
    return TTFont(io.BytesIO(plain(kind)))


def raw(tag: str, data: bytes) -> DefaultTable:
    table = DefaultTable(tag)
    table.data = data
    return table


def _with(tag: str, data: bytes, kind: str = "ttf") -> bytes:
    """The small font with a table of these bytes."""
    font = without(_opened(kind))
    font[tag] = raw(tag, data)
    return font_data(font)


def cut_short(whole: bytes, steps: int) -> Iterator[tuple[str, bytes]]:
    """A font cut short at even distances."""
    for k in range(steps):
        end = k * len(whole) // steps
        yield f"cut short after {end} bytes", whole[:end]


def flipped(whole: bytes, name: str) -> Iterator[tuple[str, bytes]]:
    """A font with bytes flipped in each of its tables, twice, fixed seeds."""
    for tag, entry in TTFont(io.BytesIO(whole)).reader.tables.items():
        for seed in range(2):
            rng = random.Random(f"{tag}{seed}")
            data = bytearray(whole)
            for _ in range(8):
                data[entry.offset + rng.randrange(entry.length)] ^= 1 << rng.randrange(8)
            yield f"{name} with bits flipped in {tag.strip()}, {seed}", bytes(data)


def odd_heads() -> Iterator[tuple[str, bytes]]:
    """Ems and heights that size nothing, or barely."""
    for em in (0, 1, 15, 16, 16_384, 16_385, 65_535):
        font = made_font()
        font["head"].unitsPerEm = em
        yield f"unitsPerEm {em}", font_data(font)
    low = made_font({" ": LETTERS[" "], "x": LETTERS["x"]}, stated={"sCapHeight": -700})
    yield "no H and a capital height below nothing", font_data(low)
    yield "H below the baseline", font_data(made_font({**LETTERS, "H": partial(box, y=-900)}))
    yield "H of one unit", font_data(made_font({**LETTERS, "H": partial(box, height=1)}))
    for advance in (0, 65_535):
        font = made_font()
        font["hmtx"].metrics = dict.fromkeys(font.getGlyphOrder(), (advance, -32_768))
        yield f"advances of {advance}", font_data(font)
    yield "fewer metrics than glyphs", _with("hmtx", b"\2\xbc")
    yield "no metrics at all", _with("hmtx", b"")
    yield "maxp of 65,535 glyphs", _with("maxp", b"\0\1\0\0\xff\xff" + bytes(26))
    yield "maxp of no glyph", _with("maxp", b"\0\1\0\0\0\0" + bytes(26))
    for tag in ("cmap", "head", "hhea", "hmtx", "maxp", "glyf", "loca"):
        yield f"without {tag}", font_data(without(_opened(), tag))
    for tag in ("name", "OS/2", "post"):
        yield f"without {tag}, which no plan needs", font_data(without(_opened(), tag))
    for text in (
        "<script>alert(1)</script>\"&'",
        "=1+1",
        "a\u202eb\n\0c\x1b[31m",
        "\ud800",
        "x" * 30_000,
    ):
        font = made_font()
        for one in font["name"].names:
            one.string = text.encode("utf-16-be", "surrogatepass")
        yield f"named {text[:12]!r}", font_data(font)


def odd_maps() -> Iterator[tuple[str, bytes]]:
    """Character maps that lead nowhere, everywhere, or nowhere soon."""
    head = struct.pack(">HH HHI", 0, 1, 3, 10, 12)

    def long_map(*groups: tuple[int, int, int]) -> bytes:
        packed = b"".join(struct.pack(">III", *group) for group in groups)
        return struct.pack(">HHIII", 12, 0, 16 + len(packed), 0, len(groups)) + packed

    whole = (0, 0x10FFFF, 1)
    yield "map of all of Unicode", _with("cmap", head + long_map(whole))
    yield "map of 300,000 overlapping ranges", _with("cmap", head + long_map(*[whole] * 300_000))
    yield "map to glyphs that are not there", _with("cmap", head + long_map((32, 126, 60_000)))
    yield "map that runs backwards", _with("cmap", head + long_map((126, 32, 1)))
    yield "map of an unknown format", _with("cmap", head + b"\0\x63" + bytes(40))
    yield "map of nothing", _with("cmap", struct.pack(">HH", 0, 0))
    yield (
        "map for the symbol platform only",
        _with("cmap", struct.pack(">HHHHI", 0, 1, 3, 0, 12) + long_map((0xF020, 0xF0FF, 1))),
    )
    yield "map whose offset leads to itself", _with("cmap", struct.pack(">HH HHI", 0, 1, 3, 10, 0))


def odd_kinds() -> Iterator[tuple[str, bytes]]:
    """Other kinds of font, whole and broken."""
    for kind in ("cff", "vary", "ttc", "woff", "woff2"):
        yield f"whole {kind}", plain(kind)
    yield (
        "bitmaps only",
        font_data(
            _with_tables(
                without(_opened(), "glyf", "loca"), EBDT=b"\0\2\0\0", EBLC=b"\0\2\0\0" + bytes(4)
            )
        ),
    )
    yield (
        "colour only",
        font_data(
            _with_tables(
                without(_opened(), "glyf", "loca"), COLR=bytes(14), CPAL=bytes(12), SVG=bytes(10)
            )
        ),
    )
    yield "no tables", b"\0\1\0\0" + bytes(60)
    yield (
        "65,535 tables",
        b"\0\1\0\0\xff\xff" + bytes(6) + b"glyf\0\0\0\0\0\0\0\0\0\0\0\x0c" * 65_535,
    )
    yield "every table in the same place", _all_in_one_place()
    yield "collection of 4 billion fonts", b"ttcf\0\1\0\0\xff\xff\xff\xff" + bytes(60)
    yield "collection that holds itself", b"ttcf\0\1\0\0\0\0\0\1\0\0\0\0" + bytes(60)
    yield "text", b"Harbour Bakery, fresh every morning\n" * 100
    yield "picture", b"\x89PNG\r\n\x1a\n" + bytes(200)
    yield "archive", b"PK\3\4" + bytes(200)
    yield "empty file", b""
    yield "one byte", b"\0"
    yield "noise", random.Random(7).randbytes(20_000)
    yield "noise after a font's first bytes", plain()[:12] + random.Random(8).randbytes(20_000)
    yield "axis from nan to nan", _odd_axis(b"\x7f\xff\xff\xff" * 3)
    yield "axis that ends before it starts", _odd_axis(struct.pack(">iii", 900 << 16, 0, 100 << 16))
    yield "variations that are noise", _with("gvar", random.Random(9).randbytes(3000), "vary")
    yield "variations with 65,535 glyphs", _with("gvar", b"\0\1\0\0\0\1" + b"\xff" * 40, "vary")


def _with_tables(font: TTFont, **tables: bytes) -> TTFont:
    for name, data in tables.items():
        tag = name.ljust(4)
        font[tag] = raw(tag, data)
    return font


def _all_in_one_place() -> bytes:
    """A directory whose entries all name the same bytes."""
    data = bytearray(plain())
    for k in range(int.from_bytes(data[4:6], "big")):
        data[12 + 16 * k + 8 : 12 + 16 * k + 16] = struct.pack(">II", 12, 400)
    return bytes(data)


def _odd_axis(range_fixed: bytes) -> bytes:
    data = bytearray(_opened("vary").reader["fvar"])
    data[20:32] = range_fixed  # after the header of 16 bytes and the tag
    return _with("fvar", bytes(data), "vary")


def odd_charstrings() -> Iterator[tuple[str, bytes]]:
    """CFF outlines as programs that loop, swell or fail."""
    for name, program in {
        "charstring that calls itself": bytes([32, 10]),
        "charstring without an end": bytes([139] * 40 + [21]),
        "charstring that draws 10,000 curves": bytes([139, 21] + [140] * 48 + [8]) * 1200 + b"\x0e",
        "charstring of accents made of itself": bytes([139, 139, 139, 139, 14]),
        "charstring that takes from an empty stack": bytes([18] * 300),
        "charstring with endless hints": bytes([139, 140] * 24 + [1]) * 400 + b"\x0e",
        "charstring of noise": random.Random(3).randbytes(2000),
    }.items():
        font = made_font(cubic=True)
        top = font["CFF "].cff.topDictIndex[0]
        glyph = top.CharStrings["g0048"]
        glyph.bytecode, glyph.program = program, None
        yield name, font_data(font)
    data = bytearray(_opened("cff").reader["CFF "])
    data[4:8] = b"\xff\xff\xff\xff"
    yield "CFF index of 65,535 entries", _with("CFF ", bytes(data), "cff")


def odd_features() -> Iterator[tuple[str, bytes]]:
    """Shaping rules that swell, recur or fling glyphs about. H, x and space are in the font."""
    swell = "sub g0048 by " + "g0048 " * 60 + ";"
    rules = {
        "one letter becomes sixty, five times over": "".join(
            f"lookup s{k} {{ {swell} }} s{k};" for k in range(5)
        )
        + "feature ccmp { "
        + "".join(f"lookup s{k};" for k in range(5))
        + " } ccmp;",
        "one letter becomes a hundred": "feature ccmp { sub g0048 by "
        + "g0078 " * 100
        + "; } ccmp;",
        "one letter becomes sixty-four": "feature ccmp { sub g0048 by "
        + "g0078 " * 64
        + "; } ccmp;",
        "letters become nothing": "feature ccmp { sub g0048 by NULL; } ccmp;",
        "rules that call one another": (
            "lookup b { sub g0048 by g0048 g0048; } b;"
            "feature ccmp { sub g0048' lookup b g0078' lookup b; sub g0048' lookup b; } ccmp;"
        ),
        "kerning of 32,767 units": (
            "feature kern { pos g0048 g0078 32767; pos g0078 g0048 -32768; } kern;"
        ),
        "marks flung far off": "feature kern { pos g0048 <32767 32767 32767 0>; } kern;",
    }
    for name, features in rules.items():
        font = made_font()
        addOpenTypeFeaturesFromString(font, features)
        yield name, font_data(font)
    noise = random.Random(5)
    for tag in ("GSUB", "GPOS", "GDEF", "kern", "morx", "kerx", "MATH", "BASE", "avar", "HVAR"):
        yield f"noise for {tag}", _with(tag, b"\0\1\0\0" + noise.randbytes(4000))
