"""Outside checks: fontTools 4.68's own pens, and figures measured with them on DejaVu 2.37 and
Liberation 1.07.4 (Debian's fonts-dejavu-core 2.37-6 and fonts-liberation)."""

import string

import pytest
from fontTools.pens.areaPen import AreaPen
from fontTools.pens.perimeterPen import PerimeterPen
from fontTools.ttLib import TTFont
from odd_fonts import odd_fonts
from outside import font_file

from pathgen.errors import FontError
from pathgen.geometry import lengths, signed_area
from pathgen.lettering.fontfile import Face, open_face
from pathgen.lettering.outlines import FLATTEN_EM, glyph_rings

_SANS, _BOLD = "DejaVuSans.ttf", "DejaVuSans-Bold.ttf"
_LIBERATION = "LiberationSans-Regular.ttf"


def _area(face: Face, glyph: int) -> float:
    return abs(sum(signed_area(ring) for ring in glyph_rings(face, glyph)))


def _perimeter(face: Face, glyph: int) -> float:
    return sum(
        float(lengths(ring[[*range(len(ring)), 0]]).sum()) for ring in glyph_rings(face, glyph)
    )


@pytest.mark.parametrize(
    ("font", "letter", "area_fu2"),
    [
        (_SANS, "I", 202 * 1493),
        (_SANS, "H", 727_952),
        (_SANS, "T", 483_279),
        (_SANS, "L", 425_176),
        (_SANS, "l", 286_304),
        (_BOLD, "I", 385 * 1493),
        (_BOLD, "H", 1_314_898),
        (_BOLD, "T", 863_186),
        (_BOLD, "L", 771_521),
        (_LIBERATION, "I", 191 * 1409),
        (_LIBERATION, "H", 660_158),
        (_LIBERATION, "T", 418_718),
        (_LIBERATION, "L", 380_191),
    ],
)
def test_straight_letters_have_their_exact_area(font: str, letter: str, area_fu2: int) -> None:
    face = open_face(font_file(font))

    assert _area(face, face.hb_font.get_nominal_glyph(ord(letter))) == area_fu2


@pytest.mark.parametrize(
    ("font", "letter", "perimeter_fu"),
    [
        (_SANS, "I", 3390),
        (_SANS, "H", 7908),
        (_SANS, "T", 5512),
        (_SANS, "L", 4844),
        (_LIBERATION, "I", 3200),
        (_LIBERATION, "H", 7604),
        (_LIBERATION, "T", 5134),
        (_LIBERATION, "L", 4624),
    ],
)
def test_straight_letters_have_their_exact_perimeter(
    font: str, letter: str, perimeter_fu: int
) -> None:
    face = open_face(font_file(font))

    assert _perimeter(face, face.hb_font.get_nominal_glyph(ord(letter))) == perimeter_fu


def test_round_o_is_as_large_as_its_curves() -> None:
    face = open_face(font_file(_SANS))
    glyph = face.hb_font.get_nominal_glyph(ord("O"))

    reach = FLATTEN_EM * face.facts.units_per_em
    assert _area(face, glyph) == pytest.approx(785_709.583, abs=reach * 8180)
    assert _perimeter(face, glyph) == pytest.approx(8179.92, rel=1e-3)


@pytest.mark.parametrize("font", [_SANS, _BOLD, _LIBERATION, "DejaVuSerif-Italic.ttf"])
def test_every_letter_agrees_with_the_pens_of_fonttools(font: str) -> None:
    """A chord within the tolerance of its curve changes the area by at most tolerance times
    length, and the length of these curves by less than 0.3 percent."""
    path = font_file(font)
    face = open_face(path)
    tables = TTFont(path)
    glyphs, names = tables.getGlyphSet(), tables.getBestCmap()
    reach = FLATTEN_EM * face.facts.units_per_em

    for char in string.ascii_letters + string.digits + "&@?\u00e9\u00c5\u00f8\u00df":
        glyph = face.hb_font.get_nominal_glyph(ord(char))
        area, perimeter = AreaPen(glyphs), PerimeterPen(glyphs)
        glyphs[names[ord(char)]].draw(area)
        glyphs[names[ord(char)]].draw(perimeter)

        assert _area(face, glyph) == pytest.approx(abs(area.value), abs=reach * perimeter.value)
        assert _perimeter(face, glyph) == pytest.approx(perimeter.value, rel=3e-3)


def test_tolerance_is_five_thousandths_of_a_millimetre_at_most_at_5_mm_capitals() -> None:
    """Capitals of 0.65 to 0.75 em: 5 mm / 0.65 / 2000 is 0.0038 mm."""
    assert 5.0 / 0.65 * FLATTEN_EM < 0.005


@pytest.mark.parametrize(
    ("odd", "rule"),
    [
        ("one glyph of 10,000 parts", "with 40,000 points; allowed up to 10,000"),
        ("2,000 specks", "with 2,000 contours; allowed up to 1,000"),
        ("lens of 2,000 rays", "with over 10,000 crossings; allowed up to 10,000"),
    ],
)
def test_what_no_letter_is_drawn_like_is_refused(odd, rule, tmp_path):
    """The limits are our own."""
    face = open_face(odd_fonts(tmp_path)[odd])
    glyph = face.hb_font.get_nominal_glyph(ord("H"))

    with pytest.raises(FontError, match=f"{rule}; choose a plainer face"):
        glyph_rings(face, glyph)
