"""Facts of geometry, fonts and reading."""

import math

import numpy as np
from facts import fact
from fontTools.ttLib import TTFont
from outside import font_file
from shapely.geometry import Polygon

from pathgen.columns.split import split
from pathgen.geometry import length, signed_area
from pathgen.lettering.bidi import visual_order
from pathgen.lettering.fontfile import open_face
from pathgen.lettering.graphemes import letters
from pathgen.lettering.outlines import glyph_rings
from pathgen.polygons import area, band, edge_crossings, filled, perimeter, widest_disc
from pathgen.review.visual_angle import arcmin, farthest_mm

_COMPUTED = "closed form"


def _square(side: float, x: float = 0.0, y: float = 0.0):
    return np.array([(x, y), (x + side, y), (x + side, y + side), (x, y + side)])


def _box(wide: float, tall: float) -> Polygon:
    return Polygon([(0, 0), (wide, 0), (wide, tall), (0, tall)])


def _circle(radius: float, count: int = 720):
    turn = 2.0 * math.pi * np.arange(count) / count
    return radius * np.column_stack([np.cos(turn), np.sin(turn)])


_L = Polygon([(0, 0), (6, 0), (6, 1), (1, 1), (1, 8), (0, 8)])


@fact("Geometry", "area of a unit disc of 720 corners", 3.14155, 5e-5, "360 sin 0.5 degrees")
def _() -> float:
    return signed_area(_circle(1.0))


@fact("Geometry", "area of an L of 6 by 8, arms 1", 13, 1e-12, "6 + 7")
def _() -> float:
    return area(_L)


@fact("Geometry", "its perimeter", 28, 1e-12, "2 (6 + 8)")
def _() -> float:
    return perimeter(_L)


@fact("Geometry", "largest disc in the L: radius over arm", 2.0 - math.sqrt(2.0), 1e-3, _COMPUTED)
def _() -> float:
    return widest_disc(_L, 1e-4)[1]


@fact("Geometry", "largest disc where two bars of width 1 cross", math.sqrt(0.5), 1e-3, _COMPUTED)
def _() -> float:
    return widest_disc(filled(_cross_bars())[0], 1e-4)[1]


def _cross_bars():
    return (
        np.array([(0.0, 3.0), (7.0, 3.0), (7.0, 4.0), (0.0, 4.0)]),
        np.array([(3.0, 0.0), (4.0, 0.0), (4.0, 7.0), (3.0, 7.0)]),
    )


@fact("Geometry", "ink of two squares of 2 that overlap by 1 by 1", 7, 1e-12, "4 + 4 - 1")
def _() -> float:
    return sum(map(area, filled([_square(2.0), _square(2.0, 1.0, 1.0)])))


@fact("Geometry", "ink of a square of 3 with a hole of 1 the other way", 8, 1e-12, "non-zero rule")
def _() -> float:
    return sum(map(area, filled([_square(3.0), _square(1.0, 1.0, 1.0)[::-1]])))


@fact("Geometry", "the same, hole the same way round", 9, 1e-12, "non-zero rule")
def _() -> float:
    return sum(map(area, filled([_square(3.0), _square(1.0, 1.0, 1.0)])))


@fact("Geometry", "crossings of a star of 101 points", 4949, 0, "101 (101 - 3) / 2")
def _() -> float:
    turn = 2.0 * math.pi * 50.0 / 101.0 * np.arange(101)
    return edge_crossings([np.column_stack([np.cos(turn), np.sin(turn)])], 10_000)


@fact("Geometry", "centre line of a bar of 10 by 1 as a column", 10, 1e-6, "its own length")
def _() -> float:
    return length(split(_box(10.0, 1.0), 10.0)[0].centre)


@fact("Geometry", "width of that column", 1, 1e-6, "its own width")
def _() -> float:
    return split(_box(10.0, 1.0), 10.0)[0].usual_width


@fact("Geometry", "ring of radii 3 and 2 as a column: centre line", 15.707963, 0.02, "pi (3 + 2)")
def _() -> float:
    return length(_ring()[0].centre)


@fact("Geometry", "its usual width", 1, 5e-3, "3 - 2")
def _() -> float:
    return _ring()[0].usual_width


def _ring():
    return split(Polygon(_circle(3.0, 120), [_circle(2.0, 120)]), 10.0)


@fact("Geometry", "its cover", 15.707963, 0.03, "pi (9 - 4)")
def _() -> float:
    [one] = _ring()
    return area(band(one.left, one.right, closed=True))


@fact("Geometry", "columns of a plus of two bars", 2, 0, "two strokes")
def _() -> float:
    return len(split(filled(_cross_bars())[0], 7.0))


_FONT_TOOLS = "fontTools, tables of the same file"


def _table(name: str) -> TTFont:
    return TTFont(font_file(name))


for _name in ("DejaVuSans.ttf", "LiberationSans-Regular.ttf"):
    _font = _name.removesuffix(".ttf")

    @fact("Fonts", f"units per em of {_font}", 2048, 0, "Debian's package; " + _FONT_TOOLS)
    def _(name: str = _name) -> float:
        return open_face(font_file(name)).facts.units_per_em


@fact("Fonts", "H of DejaVu Sans, font units", 1493, 0, "measured with fontTools (2.37)")
def _() -> float:
    return open_face(font_file("DejaVuSans.ttf")).facts.cap_height_fu


@fact("Fonts", "x of DejaVu Sans, font units", 1120, 0, "measured with fontTools (2.37)")
def _() -> float:
    return open_face(font_file("DejaVuSans.ttf")).facts.x_height_fu


@fact("Fonts", "H of Liberation Sans, font units", 1409, 0, "measured with fontTools (1.07.4)")
def _() -> float:
    return open_face(font_file("LiberationSans-Regular.ttf")).facts.cap_height_fu


@fact("Fonts", "em at 5 mm capitals of DejaVu Sans, pt", 19.442, 5e-4, "5 / 1493 of 2048 units")
def _() -> float:
    face = open_face(font_file("DejaVuSans.ttf")).facts
    return 5.0 / face.cap_height_fu * face.units_per_em * 72.0 / 25.4


@fact("Fonts", "area of H of DejaVu Sans, font units", 0, 0.5, "its contour by fontTools' AreaPen")
def _() -> float:
    from fontTools.pens.areaPen import AreaPen

    font = _table("DejaVuSans.ttf")
    glyphs = font.getGlyphSet()
    pen = AreaPen(glyphs)
    glyphs["H"].draw(pen)
    face = open_face(font_file("DejaVuSans.ttf"))
    rings = glyph_rings(face, face.hb_font.get_nominal_glyph(ord("H")))
    return abs(sum(map(signed_area, rings))) - abs(pen.value)


_UAX29 = "Unicode Standard Annex 29"


@fact("Fonts", "letters of a family of four joined by joiners", 1, 0, _UAX29)
def _() -> float:
    return len(letters("\U0001f468\u200d\U0001f469\u200d\U0001f467\u200d\U0001f466"))


@fact("Fonts", "letters of two flags", 2, 0, _UAX29)
def _() -> float:
    return len(letters("\U0001f1e9\U0001f1f0\U0001f1eb\U0001f1ee"))


@fact("Fonts", "letters of e with an acute and a cedilla, b", 2, 0, _UAX29)
def _() -> float:
    return len(letters("e\u0327\u0301b"))


@fact("Fonts", "order of levels 0 1 2 1", "0 3 2 1", 0, "Unicode Standard Annex 9, rule L2")
def _() -> str:
    return " ".join(map(str, visual_order([0, 1, 2, 1])))


_ANGLE = "2 atan(h / 2d)"


for _height, _far, _minutes, _from in (
    (7.2722, 5000.0, 5.0, "a row of the eye chart for normal sight at 5 m; " + _ANGLE),
    (5.8178, 1000.0, 20.0, "ISO 9241-303, preferred 20 to 22 minutes; " + _ANGLE),
    (4.6542, 1000.0, 16.0, "ISO 9241-303, least 16 minutes; " + _ANGLE),
):

    @fact("Reading", f"minutes of arc of {_height} mm at {_far / 1000:g} m", _minutes, 1e-3, _from)
    def _(height: float = _height, far: float = _far) -> float:
        return arcmin(height, far)


@fact(
    "Reading",
    "distance from which capitals of 5 mm are large enough, m",
    1.0743,
    1e-4,
    "5 mm under 16 minutes",
)
def _() -> float:
    return farthest_mm(5.0) / 1000.0
