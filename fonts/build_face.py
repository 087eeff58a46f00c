"""Build the bundled faces: ``python fonts/build_face.py`` writes a TTF beside each TOML source.

Every stroke stays a closed contour of its own, in sewing order, so that a reader can tell the
strokes apart; they overlap where they meet, are filled by the non-zero rule, and each glyph
carries the overlap flag (OpenType ``glyf``: OVERLAP_SIMPLE, OVERLAP_COMPOUND).
Building twice gives the same bytes: no clock, and no order but that of the source.
"""

import calendar
import math
import sys
import time
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from compose import Made, Placed, composed
from features import feature_text
from fontTools import agl
from fontTools.feaLib.builder import addOpenTypeFeaturesFromString
from fontTools.fontBuilder import FontBuilder
from fontTools.misc.timeTools import epoch_diff
from fontTools.pens.ttGlyphPen import TTGlyphPointPen
from fontTools.ttLib import TTFont, newTable
from fontTools.ttLib.tables._g_l_y_f import OVERLAP_COMPOUND, Glyph, flagOverlapSimple
from strokes import Contour, Stroke, Vertex, contours_of

__all__ = ["build", "main"]

REPACKER = "fontTools.ttLib.tables.otBase:USE_HARFBUZZ_REPACKER"


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """A glyph as drawn: outlines in whole font units and what other tables need of them."""

    contours: tuple[Contour, ...]
    advance: int
    left: int
    right: int
    top: int
    anchors: Mapping[str, int]


def build(source: Path) -> TTFont:
    """Font of one TOML source, complete and ready to be saved."""
    data = tomllib.loads(source.read_text(encoding="utf-8"))
    drawn = {name: _drawn(name, data) for name in data["glyph"]}
    marks = {name: _drawn(name, data, "mark") for name in data["mark"]}
    placed = composed(drawn, marks, data)
    builder = FontBuilder(data["face"]["units"], isTTF=True)
    builder.setupGlyphOrder([*drawn, *marks, *placed])
    builder.setupCharacterMap(_character_map(data, placed))
    _outlines(builder, {**drawn, **marks}, placed, data["face"])
    _names(builder, data["face"])
    _facts(builder, data["face"])
    builder.font.cfg[REPACKER] = False  # one packing on every machine
    addOpenTypeFeaturesFromString(builder.font, feature_text(data, drawn, marks, placed))
    return builder.font


def _drawn(name: str, data: Mapping[str, Any], kind: str = "glyph") -> Drawn:
    """One entry of the source, moved so that its ink starts at the left side bearing."""
    entry = data[kind][name]
    raw = _contours(entry, data)
    ink = [vertex for contour in raw for vertex in contour if vertex.on_curve]
    left, right = (_whole(f(v.x for v in ink)) if ink else 0 for f in (min, max))
    before, after = entry.get("sides", (left, 0))
    move = before - left
    return Drawn(
        contours=tuple([_moved(vertex, move) for vertex in contour] for contour in raw),
        advance=entry.get("advance", 0 if kind == "mark" else right + move + after),
        left=left + move,
        right=right + move,
        top=_whole(max((v.y for v in ink), default=0.0)),
        anchors={key: x + move for key, x in entry.get("anchors", {}).items()},
    )


def _contours(entry: Mapping[str, Any], data: Mapping[str, Any]) -> list[Contour]:
    """Outlines of an entry's strokes, or those of another glyph given a half turn."""
    if "half_turn_of" in entry:
        total = entry["height"]
        other = _contours(data["glyph"][entry["half_turn_of"]], data)
        return [[v._replace(x=-v.x, y=total - v.y) for v in contour] for contour in other]
    width = data["face"]["stroke"]
    strokes = [
        Stroke(
            path=stroke["path"],
            width=float(stroke.get("width", entry.get("width", width))),
            start=tuple(stroke.get("start", ())),
            end=tuple(stroke.get("end", ())),
        )
        for stroke in entry["strokes"]
    ]
    return [contour for stroke in strokes for contour in contours_of(stroke)]


def _whole(value: float) -> int:
    """Nearest whole font unit; halves go up."""
    return math.floor(value + 0.5)


def _moved(vertex: Vertex, move: int) -> Vertex:
    """A vertex moved to the right, in whole units."""
    return vertex._replace(x=_whole(vertex.x + move), y=_whole(vertex.y))


def _character_map(data: Mapping[str, Any], placed: Mapping[str, Made]) -> dict[int, str]:
    """Glyph name by character code."""
    codes: dict[int, str] = {}
    for name, entry in data["glyph"].items():
        text = agl.toUnicode(name)
        for code in entry.get("codes", [ord(text)] if len(text) == 1 else []):
            codes[code] = name
    for name, entry in data["mark"].items():
        if "code" in entry:
            codes[entry["code"]] = name
    for name in placed:
        codes[ord(agl.toUnicode(name))] = name
    return dict(sorted(codes.items()))


def _outlines(
    builder: FontBuilder,
    every: Mapping[str, Drawn],
    placed: Mapping[str, Made],
    face: Mapping[str, Any],
) -> None:
    """Set the tables of outlines and their widths."""
    glyphs = {name: _simple(entry.contours) for name, entry in every.items()}
    advances = {name: entry.advance for name, entry in every.items()}
    for name, made in placed.items():
        glyphs[name] = _compound(made.pieces, glyphs)
        advances[name] = made.advance
    builder.setupGlyf(glyphs)
    table = builder.font["glyf"]
    builder.setupHorizontalMetrics(
        {name: (advances[name], getattr(table[name], "xMin", 0)) for name in glyphs}
    )
    builder.setupHorizontalHeader(ascent=face["line_above"], descent=face["line_below"])


def _simple(contours: tuple[Contour, ...]) -> Glyph:
    """A glyph of quadratic outlines with the overlap flag on its first point."""
    pen = TTGlyphPointPen(None)
    for contour in contours:
        pen.beginPath()
        for vertex in contour:
            pen.addPoint((vertex.x, vertex.y), "qcurve" if vertex.on_curve else None)
        pen.endPath()
    glyph = pen.glyph()
    if contours:
        glyph.flags[0] |= flagOverlapSimple
    return glyph


def _compound(pieces: tuple[Placed, ...], glyphs: Mapping[str, Glyph]) -> Glyph:
    """A glyph of components with the overlap flag on the first."""
    pen = TTGlyphPointPen(glyphs)
    for piece in pieces:
        pen.addComponent(piece.glyph, (1, 0, 0, 1, piece.dx, piece.dy))
    glyph = pen.glyph()
    glyph.components[0].flags |= OVERLAP_COMPOUND
    return glyph


def _names(builder: FontBuilder, face: Mapping[str, Any]) -> None:
    """Set the name table."""
    full = face["family"] if face["style"] == "Regular" else f"{face['family']} {face['style']}"
    postscript = f"{face['family']}-{face['style']}".replace(" ", "")
    builder.setupNameTable(
        {
            "copyright": face["copyright"],
            "familyName": face["family"],
            "styleName": face["style"],
            "uniqueFontIdentifier": f"{face['version']};{postscript}",
            "fullName": full,
            "version": f"Version {face['version']}",
            "psName": postscript,
            "description": face["description"],
            "licenseDescription": face["licence"],
            "licenseInfoURL": face["licence_url"],
        },
        mac=False,
    )


def _facts(builder: FontBuilder, face: Mapping[str, Any]) -> None:
    """Set heights, dates and the other facts that programs read."""
    moment = calendar.timegm(time.strptime(face["moment"], "%Y-%m-%d")) - epoch_diff
    builder.updateHead(fontRevision=float(face["version"]), created=moment, modified=moment)
    builder.setupOS2(
        version=4,
        sCapHeight=face["cap_height"],
        sxHeight=face["x_height"],
        sTypoAscender=face["line_above"],
        sTypoDescender=face["line_below"],
        sTypoLineGap=0,
        usWinAscent=face["line_above"],
        usWinDescent=-face["line_below"],
        yStrikeoutSize=face["stroke"],
        yStrikeoutPosition=face["x_height"] // 2,
        usWeightClass=500,
        fsType=0,
        fsSelection=0b1100_0000,  # regular; line height from the typographic values
        achVendID="NONE",
    )
    builder.setupPost(underlinePosition=-150, underlineThickness=face["stroke"])
    grid = newTable("gasp")
    grid.version, grid.gaspRange = 1, {0xFFFF: 0b1111}  # smooth at every size, no hints
    builder.font["gasp"] = grid


def main() -> int:
    """Build every face beside this file."""
    for source in sorted(Path(__file__).parent.glob("*.toml")):
        build(source).save(source.with_suffix(".ttf"))
    return 0


if __name__ == "__main__":
    sys.exit(main())
