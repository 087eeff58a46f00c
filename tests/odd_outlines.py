"""Fonts whose letters are drawn as no letter should be: names and bytes.

The letter in question is always H, so that its height is measured and it is planned.
"""

import io
import math
from array import array
from collections.abc import Iterator
from functools import cache, partial
from itertools import pairwise
from typing import Any

from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.ttLib import TTFont
from fontTools.ttLib.tables._g_l_y_f import Glyph, GlyphComponent, GlyphCoordinates
from made_fonts import LETTERS, Drawing, box, made_font, nothing

Contour = list[tuple[int, int]]


def font_data(font: TTFont) -> bytes:
    """The bytes of a font as its file has them."""
    font.recalcBBoxes = False  # some of the boxes are more than their fields can hold
    file = io.BytesIO()
    font.save(file)
    return file.getvalue()


def contours(*rings: Contour) -> Drawing:
    """Straight-sided contours, drawn as they are."""

    def draw(pen: Any) -> None:
        for ring in rings:
            pen.moveTo(ring[0])
            for point in ring[1:]:
                pen.lineTo(point)
            pen.closePath()

    return draw


@cache
def _plain() -> bytes:
    return font_data(made_font())


def _with_h(draw: Drawing, *, cubic: bool = False) -> bytes:
    """The small test font with another H."""
    return font_data(made_font({**LETTERS, "H": draw}, cubic=cubic))


def odd_contours() -> Iterator[tuple[str, bytes]]:
    """Contours that are empty, degenerate, crossing, heaped or far too many."""
    square = [(0, 0), (0, 700), (500, 700), (500, 0)]
    bow_tie = [(0, 0), (500, 700), (500, 0), (0, 700)]
    star = [_on_circle(i * 2 / 5, 350) for i in range(5)]
    yield "no contour in H", _with_h(nothing)
    yield "contour of one point", _with_h(contours([(100, 700)]))
    yield "contour of two points", _with_h(contours([(100, 0), (100, 700)]))
    yield "contour of one point many times", _with_h(contours([(100, 700)] * 50))
    yield "contour without area", _with_h(contours([(0, 0), (0, 700), (0, 350)]))
    yield "contour that goes there and back", _with_h(contours([*square, *square[::-1]]))
    yield "one point beside a box", _with_h(contours(square, [(900, 900)]))
    yield "bow tie", _with_h(contours(bow_tie))
    yield "star that crosses itself", _with_h(contours(star))
    yield "contour the other way round", _with_h(contours(square[::-1]))
    yield "two equal boxes against each other", _with_h(contours(square, square[::-1]))
    yield "the same box 300 times", _with_h(contours(*[square] * 300))
    yield "boxes in boxes", _with_h(contours(*_nested(200)))
    yield "2,000 specks", _with_h(contours(*_specks(2000)))
    yield "hair of one unit", _with_h(partial(box, width=1))
    yield "hairs side by side", _with_h(contours(*_hairs(400)))
    yield "coordinates as far apart as 16 bits go", _with_h(contours(_far(16_383)))
    yield "one point far off", _with_h(contours([*square, (32_767, -32_000)]))
    yield "contour of 20,000 points", _with_h(contours(_round(20_000, 700)))
    yield "scribble of 20,000 points", _with_h(contours(_scribble(20_000, 700)))
    yield "scribble over everything", _with_h(contours(_scribble(20_000, 32_000)))
    yield "weave of 2 times 500 hairs", _with_h(contours(*_weave(500)))
    yield "comb of 60,000 points", _with_h(contours(_comb(60_000)))
    yield "spiral", _with_h(contours(_spiral(4000)))
    yield "comb of 9,900 points", _with_h(contours(_comb(9900)))
    yield "scribble of 300 points", _with_h(contours(_scribble(300, 700)))
    yield "weave of 2 times 40 hairs", _with_h(contours(*_weave(40)))
    yield "64 hairs side by side", _with_h(contours(*_hairs(64)))
    yield "curve without a point on it", _with_h(_off_curve_only)
    yield "4,000 wild curves", _with_h(_wild_curves, cubic=True)
    yield (
        "lens of 2,000 rays",
        _with_h(contours([_on_circle(i * 999 / 2000, 350) for i in range(2000)])),
    )


def _on_circle(share: float, radius: int) -> tuple[int, int]:
    angle = 2.0 * math.pi * share
    return round(350 + radius * math.sin(angle)), round(350 + radius * math.cos(angle))


def _nested(count: int) -> list[Contour]:
    return [[(i, i), (i, 700 - i), (700 - i, 700 - i), (700 - i, i)] for i in range(count)]


def _specks(count: int) -> list[Contour]:
    corners = [(10 * (i % 50), 17 * (i // 50)) for i in range(count)]
    return [[(x, y), (x, y + 8), (x + 5, y + 8), (x + 5, y)] for x, y in corners]


def _hairs(count: int) -> list[Contour]:
    return [[(3 * i, 0), (3 * i, 700), (3 * i + 1, 700), (3 * i + 1, 0)] for i in range(count)]


def _weave(count: int) -> list[Contour]:
    """As many hairs across as along: a quarter of a million crossings for 500."""
    across = [[(0, 3 * i), (0, 3 * i + 1), (1500, 3 * i + 1), (1500, 3 * i)] for i in range(count)]
    return [*_hairs(count), *across]


def _far(far: int) -> Contour:
    return [(-far, -far), (-far, far), (far, far), (far, -far)]


def _round(count: int, size: int) -> Contour:
    """A rough coin."""
    return [
        (round(x * size / 700), round(y * size / 700))
        for x, y in (_on_circle(i / count, 350 - 60 * (i % 2)) for i in range(count))
    ]


def _scribble(count: int, size: int) -> Contour:
    """Points that jump about: nearly every line crosses a third of all others."""
    state, out = 1, []
    for _ in range(count):
        state = (state * 1_103_515_245 + 12_345) % 2**31
        out.append((state // 65_536 % (size + 1), state // 7 % (size + 1)))
    return out


def _comb(count: int) -> Contour:
    teeth = [(i % 30_000, 700 * (i % 2)) for i in range(count - 2)]
    return [(0, -100), *teeth, (30_000, -100)]


def _spiral(count: int) -> Contour:
    return [_on_circle(i / 80, 350 * i // count) for i in range(count)]


def _off_curve_only(pen: Any) -> None:
    pen.qCurveTo((0, 0), (0, 700), (700, 700), (700, 0), None)
    pen.closePath()


def _wild_curves(pen: Any) -> None:
    points = _scribble(12_000, 700)
    pen.moveTo((0, 0))
    for i in range(0, 12_000, 3):
        pen.curveTo(*points[i : i + 3])
    pen.closePath()


def odd_composites() -> Iterator[tuple[str, bytes]]:
    """Glyphs made of glyphs: in circles, in depth, in heaps, from nowhere."""
    yield "glyph made of itself", _composites({"a": [("a", 0, 0)]})
    yield "two glyphs made of each other", _composites({"a": [("b", 0, 0)], "b": [("a", 0, 0)]})
    yield "chain of 300 glyphs", _composites(_chain(300, 1))
    yield "every glyph twice the one before, 40 times", _composites(_chain(40, 2))
    yield "every glyph eight times the one before", _composites(_chain(12, 8))
    yield (
        "one glyph of 10,000 parts",
        _composites({"a": [("box", 3 * (i % 100), 3 * (i // 100)) for i in range(10_000)]}),
    )
    yield "one glyph of 60,000 parts in one place", _composites({"a": [("box", 0, 0)] * 60_000})
    yield (
        "parts 32,000 units apart",
        _composites({"a": [("box", -32_000, -32_000), ("box", 32_000, 32_000), ("box", 0, 0)]}),
    )
    yield "glyph made of one that is not there", _missing_part()
    yield "parts scaled up eight times in a row", _composites(_chain(8, 1), scale=1.99)
    yield "parts scaled to nothing", _composites(_chain(2, 1), scale=0.0)


def _chain(depth: int, times: int) -> dict[str, list[tuple[str, int, int]]]:
    """Glyphs a, b, ...: each made of the next one, a number of times; the last of boxes."""
    names = ["a", *(f"part{i}" for i in range(1, depth)), "box"]
    return {here: [(after, 5 * k, 5 * k) for k in range(times)] for here, after in pairwise(names)}


def _composites(parts: dict[str, list[tuple[str, int, int]]], *, scale: float = 1.0) -> bytes:
    """A font whose H is glyph ``a``; ``box`` is a plain one."""
    font = TTFont(io.BytesIO(_plain()))
    glyf, hmtx = font["glyf"], font["hmtx"]
    drawn = TTGlyphPen(None)
    box(drawn)
    made = {"box": drawn.glyph()}
    for name, of in parts.items():
        made[name] = Glyph()
        made[name].numberOfContours = -1
        made[name].components = [_component(*part, scale) for part in of]
    font.setGlyphOrder([*font.getGlyphOrder(), *made])
    for name, glyph in made.items():
        glyph.xMin, glyph.yMin, glyph.xMax, glyph.yMax = 0, 0, 500, 700
        glyf.glyphs[name] = glyph
        hmtx[name] = (700, 0)
    glyf.glyphOrder = font.getGlyphOrder()
    for table in font["cmap"].tables:
        table.cmap[ord("H")] = "a"
    return font_data(font)


def _component(name: str, x: int, y: int, scale: float) -> GlyphComponent:
    part = GlyphComponent()
    part.glyphName, part.x, part.y, part.flags = name, x, y, 0x2  # ARGS_ARE_XY_VALUES
    if scale != 1.0:
        part.transform = [[scale, 0.0], [0.0, scale]]
    return part


def _missing_part() -> bytes:
    """The glyph number of a part, the only one of its size, turned to one beyond the last."""
    data = _composites({"a": [("box", 1234, 4321)]})
    place = data.index(b"\x04\xd2\x10\xe1")  # 1234, 4321, after flags and glyph number
    return data[: place - 2] + b"\xff\xf0" + data[place:]


def odd_points() -> Iterator[tuple[str, bytes]]:
    """Glyph descriptions whose numbers do not agree."""
    font = made_font()
    glyph = font["glyf"]["g0048"]
    glyph.coordinates = GlyphCoordinates([(0, 0), (0, 700), (500, 700), (500, 0)] * 16_000)
    glyph.endPtsOfContours = [len(glyph.coordinates) - 1]
    glyph.flags = array("B", b"\1" * len(glyph.coordinates))
    yield "a box drawn 16,000 times in one contour", font_data(font)
    plain = _plain()
    start = TTFont(io.BytesIO(plain)).reader.tables["glyf"].offset
    for name, at, value in [
        ("contour that ends before it starts", 10, b"\0\0"),
        ("contour that ends at point 65,535", 10, b"\xff\xff"),
        ("32,767 contours in a glyph of one", 0, b"\x7f\xff"),
        ("instructions longer than the glyph", 12, b"\xff\xff"),
        ("flags repeated 255 times", 14, b"\x09\xff\x09\xff"),
    ]:
        yield name, plain[: start + at] + value + plain[start + at + len(value) :]
