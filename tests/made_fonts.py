"""Small fonts made by fontTools for the tests, each with just what its test needs."""

from collections.abc import Callable, Mapping
from functools import partial
from pathlib import Path
from typing import Any

from fontTools.fontBuilder import FontBuilder
from fontTools.pens.t2CharStringPen import T2CharStringPen
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.ttLib import TTCollection, TTFont
from fontTools.ttLib.tables import DefaultTable
from fontTools.ttLib.tables.TupleVariation import TupleVariation

Drawing = Callable[[Any], None]

ADVANCE = 700


def box(pen: Any, *, x: int = 100, y: int = 0, width: int = 500, height: int = 700) -> None:
    """Rectangle, clockwise as in TrueType."""
    pen.moveTo((x, y))
    pen.lineTo((x, y + height))
    pen.lineTo((x + width, y + height))
    pen.lineTo((x + width, y))
    pen.closePath()


def nothing(pen: Any) -> None:
    """No ink."""


def curve(control: list[tuple[float, float]]) -> Drawing:
    """One Bezier curve of degree 2 or 3, closed by its chord."""

    def draw(pen: Any) -> None:
        pen.moveTo(control[0])
        (pen.qCurveTo if len(control) == 3 else pen.curveTo)(*control[1:])
        pen.closePath()

    return draw


CAPITAL: Drawing = partial(box, height=700)
SMALL: Drawing = partial(box, height=500)
LETTERS: Mapping[str, Drawing] = {" ": nothing, "H": CAPITAL, "x": SMALL}


def made_font(
    letters: Mapping[str, Drawing] = LETTERS,
    *,
    em: int = 1000,
    cubic: bool = False,
    name: str = "Harbour Sans Test",
    stated: Mapping[str, int] | None = None,
    cmap: Mapping[int, str] | None = None,
) -> TTFont:
    """Font with a glyph a letter: TrueType outlines, or CFF ones if ``cubic``."""
    names = {char: f"g{ord(char):04X}" for char in letters}
    order = [".notdef", *names.values()]
    builder = FontBuilder(em, isTTF=not cubic)
    builder.setupGlyphOrder(order)
    builder.setupCharacterMap(cmap or {ord(char): glyph for char, glyph in names.items()})
    drawings = {".notdef": CAPITAL, **{names[char]: draw for char, draw in letters.items()}}
    if cubic:
        builder.setupCFF("HarbourTest", {}, {g: _charstring(d) for g, d in drawings.items()}, {})
    else:
        builder.setupGlyf({g: _outline(d) for g, d in drawings.items()})
    left = {} if cubic else {g: getattr(builder.font["glyf"][g], "xMin", 0) for g in order}
    builder.setupHorizontalMetrics({g: (ADVANCE, left.get(g, 0)) for g in order})
    builder.setupHorizontalHeader(ascent=800, descent=-200)
    builder.setupNameTable({"familyName": name, "fullName": name})
    builder.setupOS2(version=4, **(stated or {}))
    builder.setupPost()
    return builder.font


def _charstring(draw: Drawing) -> Any:
    pen = T2CharStringPen(ADVANCE, None)
    draw(pen)
    return pen.getCharString()


def _outline(draw: Drawing) -> Any:
    pen = TTGlyphPen(None)
    draw(pen)
    return pen.glyph()


def with_weight_axis(font: TTFont, *, taller: int = 0, wider: int = 0) -> TTFont:
    """The font with an axis ``wght`` from 100 by 400 to 900, at whose end boxes have grown."""
    builder = FontBuilder(font=font)
    builder.setupFvar([("wght", 100, 400, 900, "Weight")], [])
    grown = [(0, 0), (0, taller), (wider, taller), (wider, 0)]
    phantom = [(0, 0), (wider, 0), (0, 0), (0, 0)]
    builder.setupGvar(
        {
            glyph: [TupleVariation({"wght": (0.0, 1.0, 1.0)}, [*grown, *phantom])]
            for glyph in font.getGlyphOrder()
            if font["glyf"][glyph].numberOfContours
        }
    )
    return font


def without(font: TTFont, *tags: str) -> TTFont:
    """An opened font without some tables, the others as bytes, as they depend on each other."""
    for tag in font.reader.keys():  # noqa: SIM118  # the reader is no mapping
        raw = DefaultTable.DefaultTable(tag)
        raw.data = font.reader[tag]
        font[tag] = raw
    for tag in tags:
        del font[tag]
    return font


def saved(font: TTFont, path: Path, flavor: str | None = None) -> Path:
    """The font written to a file: plain, ``woff`` or ``woff2``."""
    font.flavor = flavor
    font.save(path)
    return path


def saved_collection(fonts: list[TTFont], path: Path) -> Path:
    """Several fonts in one file."""
    collection = TTCollection()
    collection.fonts = fonts
    collection.save(path)
    return path
