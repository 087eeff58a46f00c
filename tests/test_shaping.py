"""Outside checks: kerned advances measured with uharfbuzz 0.57 and in the fonts' own tables, on
DejaVu 2.37 and Liberation 1.07.4 (Debian's fonts-dejavu-core 2.37-6 and fonts-liberation)."""

from pathlib import Path

import pytest
import uharfbuzz as hb
from fontTools.feaLib.builder import addOpenTypeFeaturesFromString
from made_fonts import CAPITAL, LETTERS, SMALL, made_font, saved
from outside import font_file

from pathgen.errors import TextError
from pathgen.lettering.fontfile import Face, open_face
from pathgen.lettering.graphemes import letters
from pathgen.lettering.shaping import ShapedGlyph, shape_line

_SANS, _BOLD = "DejaVuSans.ttf", "DejaVuSans-Bold.ttf"
_LIBERATION = "LiberationSans-Regular.ttf"


def _shaped(face: Face, text: str, *, ligatures: bool = False) -> tuple[ShapedGlyph, ...]:
    return shape_line(face, letters(text), 1, ligatures=ligatures)


def _names(face: Face, glyphs: tuple[ShapedGlyph, ...]) -> list[str]:
    return [face.hb_font.glyph_to_string(g.glyph_id) for g in glyphs]


@pytest.mark.parametrize(
    ("font", "pair", "kern_fu"),
    [
        (_SANS, "AV", -131),
        (_SANS, "To", -348),
        (_SANS, "LT", -282),
        (_BOLD, "AV", -139),
        (_BOLD, "LT", -339),
        (_LIBERATION, "AV", -152),
        (_LIBERATION, "To", -227),
        (_LIBERATION, "LT", -152),
        (_LIBERATION, "AB", 0),
    ],
)
def test_pairs_are_kerned_as_measured(font: str, pair: str, kern_fu: int) -> None:
    face = open_face(font_file(font))
    own = [face.hb_font.get_glyph_h_advance(face.hb_font.get_nominal_glyph(ord(c))) for c in pair]

    first, second = _shaped(face, pair)

    assert (first.advance_fu, second.advance_fu) == (own[0] + kern_fu, own[1])


@pytest.mark.parametrize(
    ("font", "ligatures", "glyphs"), [(_SANS, False, 2), (_SANS, True, 1), (_LIBERATION, True, 2)]
)
def test_fi_is_two_glyphs_unless_ligatures_are_asked_for(
    font: str, ligatures: bool, glyphs: int
) -> None:
    assert len(_shaped(open_face(font_file(font)), "fi", ligatures=ligatures)) == glyphs


def _featured(folder: Path, features: str) -> Face:
    font = made_font({**LETTERS, "f": SMALL, "i": SMALL, "A": CAPITAL, "B": CAPITAL})
    addOpenTypeFeaturesFromString(font, features)
    return open_face(saved(font, folder / "featured.ttf"))


@pytest.mark.parametrize(
    ("tag", "off", "on"),
    [
        ("liga", 2, 1),
        ("clig", 2, 1),
        ("dlig", 2, 2),
        ("hlig", 2, 2),
        ("rlig", 1, 1),
        ("ccmp", 1, 1),
    ],
)
def test_only_common_ligatures_are_switched(tag: str, off: int, on: int, tmp_path: Path) -> None:
    """Those that a script requires stay; those for show are never used."""
    face = _featured(tmp_path, f"feature {tag} {{ sub g0066 g0069 by g0041; }} {tag};")

    assert len(_shaped(face, "fi")) == off
    assert len(_shaped(face, "fi", ligatures=True)) == on


def test_the_language_of_the_machine_does_not_pick_letter_shapes(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """HarfBuzz takes the language from the locale where a buffer has none, and a face may draw
    letters by it (OpenType feature locl)."""
    languages = []

    def spy(font: hb.Font, buffer: hb.Buffer, features: dict[str, bool]) -> None:
        languages.append(buffer.language)
        shape(font, buffer, features)
        languages.append(buffer.language)

    shape = hb.shape
    monkeypatch.setattr(hb, "shape", spy)

    _shaped(open_face(font_file(_SANS)), "Rye")

    assert languages == ["und", "und"]


_REMEDY = "; choose another face or leave it out"


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("Rye \u6f22", "face lacks '\u6f22' (U+6F22), letter 5 of line 3, 'Rye \u6f22'"),
        ("a\u6f22b\u6f22", "face lacks '\u6f22' (U+6F22), letter 2 of line 3, 'a\u6f22b\u6f22'"),
        (
            "\u05d0 \u6f22\u5b57",
            "face lacks '\u6f22' (U+6F22), letter 3 of line 3, '\u05d0 \u6f22\u5b57'; "
            "it lacks '\u5b57' too",
        ),
        (
            "\u6f21\u6f22\u6f21\u6f23\u6f24\u6f25\u6f26",
            "face lacks '\u6f21' (U+6F21), letter 1 of line 3, "
            "'\u6f21\u6f22\u6f21\u6f23\u6f24\u6f25\u6f26'; "
            "it lacks '\u6f22' '\u6f23' '\u6f24' '\u6f25' '\u6f26' too",
        ),
        (
            "\u6f21\u6f22\u6f23\u6f24\u6f25\u6f26\u6f27\u6f28",
            "face lacks '\u6f21' (U+6F21), letter 1 of line 3, "
            "'\u6f21\u6f22\u6f23\u6f24\u6f25\u6f26\u6f27\u6f28'; "
            "it lacks '\u6f22' '\u6f23' '\u6f24' '\u6f25' '\u6f26' too, and 2 more",
        ),
        (
            "e\u0301\U0001f956",
            "face lacks '\U0001f956' (U+1F956), letter 2 of line 3, 'e\u0301\U0001f956'",
        ),
        (
            "\u0915\u093f",
            "face lacks '\u0915\u093f' (U+0915 U+093F), letter 1 of line 3, '\u0915\u093f'",
        ),
        ("\ue123", "face lacks U+E123, letter 1 of line 3, '\\ue123'"),
    ],
)
def test_a_missing_letter_is_named_with_its_place(text: str, message: str) -> None:
    with pytest.raises(TextError) as caught:
        shape_line(open_face(font_file(_SANS)), letters(text), 3)

    assert str(caught.value) == message + _REMEDY


def test_a_mark_that_the_face_lacks_names_the_whole_letter(tmp_path: Path) -> None:
    face = open_face(saved(made_font(), tmp_path / "plain.ttf"))

    with pytest.raises(TextError, match=r"^face lacks 'H\u0301' \(U\+0048 U\+0301\), letter 2 "):
        _shaped(face, "xH\u0301")


@pytest.mark.parametrize("char", [*"\u200b\u200c\u200d\u200e\u00ad\ufe0f\ufeff\u034f"])
def test_invisible_signs_need_no_glyph_and_no_width(char: str, tmp_path: Path) -> None:
    face = open_face(saved(made_font(), tmp_path / "plain.ttf"))
    bare = open_face(saved(made_font({"H": CAPITAL, "x": SMALL}), tmp_path / "spaceless.ttf"))

    for opened in (face, bare):
        glyphs = _shaped(opened, f"H{char}x")
        assert sum(g.advance_fu for g in glyphs) == 1400
        assert 0 not in [g.glyph_id for g in glyphs]


@pytest.mark.parametrize("char", [*"\u00a0\u2002\u2003\u2009\u202f\u3000"])
def test_spaces_that_the_face_lacks_borrow_its_plain_one(char: str, tmp_path: Path) -> None:
    face = open_face(saved(made_font(), tmp_path / "plain.ttf"))

    _, space, _ = _shaped(face, f"H{char}x")

    assert face.hb_font.glyph_to_string(space.glyph_id) == "g0020"
    assert space.advance_fu > 0


def test_an_accent_joins_into_one_glyph_where_the_face_has_it() -> None:
    face = open_face(font_file(_SANS))

    assert _names(face, _shaped(face, "e\u0301")) == ["eacute"]
    assert _shaped(face, "e\u0301") == _shaped(face, "\u00e9")


def test_an_accent_is_placed_over_its_base_where_the_face_has_no_joined_glyph() -> None:
    face = open_face(font_file(_SANS))

    base, mark = _shaped(face, "q\u0301")

    assert (base.letter, mark.letter) == (1, 1)
    assert mark.advance_fu == 0
    box = [face.hb_font.get_glyph_extents(g.glyph_id) for g in (base, mark)]
    middles = [b.x_bearing + b.width / 2 for b in box]
    at = base.advance_fu + mark.x_fu + middles[1]
    assert at == pytest.approx(middles[0], abs=0.1 * face.facts.units_per_em)
    assert mark.y_fu + box[1].y_bearing + box[1].height >= box[0].y_bearing


def test_a_lone_accent_brings_no_dotted_circle() -> None:
    face = open_face(font_file(_SANS))

    for text in ("\u0301", "\u0301a", "\u064e", "\u05b8"):
        assert "uni25CC" not in _names(face, _shaped(face, text))


@pytest.mark.parametrize(
    ("text", "order"),
    [
        ("Rye", [1, 2, 3]),
        ("\u05d0\u05d1\u05d2", [3, 2, 1]),
        ("\u05d0\u05d1 12", [4, 5, 3, 2, 1]),
        ("\u05d0\u05d1 Rye", [4, 5, 6, 3, 2, 1]),
        ("Rye \u05d0\u05d1!", [1, 2, 3, 4, 6, 5, 7]),
        ("\u05d0 (Rye) 1", [9, 8, 7, 4, 5, 6, 3, 2, 1]),
        ("\u05e9\u05b8\u05c1a", [2, 1, 1, 1]),
        ("\u0645\u062e\u0628\u0632", [4, 3, 2, 1]),
    ],
)
def test_glyphs_stand_in_visual_order_and_keep_their_letters(text: str, order: list[int]) -> None:
    """Worked by hand: right-to-left letters are reversed, figures and Latin are not."""
    assert [g.letter for g in _shaped(open_face(font_file(_SANS)), text)] == order


def test_brackets_of_right_to_left_text_are_mirrored() -> None:
    face = open_face(font_file(_SANS))

    assert _names(face, _shaped(face, "(\u05d0)")) == ["parenleft", "uni05D0", "parenright"]


def test_arabic_letters_join_and_lam_alef_counts_as_lam() -> None:
    """Unicode Standard, section 9.2: lam-alef is obligatory; U+FEFB is its isolated form."""
    face = open_face(font_file(_SANS))

    assert _names(face, _shaped(face, "\u0644\u0627")) == ["uniFEFB"]
    assert _names(face, _shaped(face, "\u0628\u0628\u0628")) == ["uniFE90", "uniFE92", "uniFE91"]
    assert [g.letter for g in _shaped(face, "\u0644\u0627\u0628")] == [3, 1]


def test_arabic_letters_join_the_letters_of_another_joining_script() -> None:
    """N'Ko and Arabic are shaped apart, but each sees what stands beside it; U+FE90 is the final
    form of beh and U+FE91 its initial one."""
    face = open_face(font_file(_SANS))

    assert _names(face, _shaped(face, "\u07ca\u0628"))[0] == "uniFE90"
    assert _names(face, _shaped(face, "\u0628\u07ca"))[-1] == "uniFE91"


def test_scripts_in_one_line_are_shaped_apart_and_a_letter_never_is() -> None:
    face = open_face(font_file(_SANS))

    together = _shaped(face, "Rye \u0430\u0431 \u03b1\u03b2")

    assert [g.letter for g in together] == list(range(1, 10))
    assert [g.letter for g in _shaped(face, "a\u064eb")] == [1, 1, 2]


def test_nothing_is_shaped_to_nothing() -> None:
    assert shape_line(open_face(font_file(_SANS)), (), 1) == ()
