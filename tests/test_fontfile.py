"""Outside checks: figures measured with fontTools 4.68 on DejaVu 2.37 and Liberation 1.07.4
(Debian's fonts-dejavu-core 2.37-6 and fonts-liberation); fonts made by fontTools' FontBuilder."""

from functools import partial
from pathlib import Path

import pytest
from fontTools.ttLib import TTFont
from made_fonts import (
    CAPITAL,
    SMALL,
    box,
    curve,
    made_font,
    nothing,
    saved,
    with_weight_axis,
    without,
)
from outside import font_file
from refusals import font_refusal

from pathgen.lettering.fontfile import open_face
from pathgen.lettering.outlines import glyph_rings


@pytest.mark.parametrize(
    ("font", "em", "capital", "small"),
    [
        ("DejaVuSans.ttf", 2048, 1493, 1120),
        ("DejaVuSans-Bold.ttf", 2048, 1493, 1120),
        ("DejaVuSerif.ttf", 2048, 1493, 1063),
        ("LiberationSans-Regular.ttf", 2048, 1409, 1082),
        ("LiberationSerif-Regular.ttf", 2048, 1341, 940),
        ("LiberationMono-Regular.ttf", 2048, 1349, 1082),
    ],
)
def test_heights_are_measured_on_the_outlines(font: str, em: int, capital: int, small: int) -> None:
    """DejaVu states no heights at all: its OS/2 table is of version 1."""
    facts = open_face(font_file(font)).facts

    assert (facts.units_per_em, facts.cap_height_fu, facts.x_height_fu) == (em, capital, small)


def test_face_has_its_full_name_and_its_file() -> None:
    path = font_file("DejaVuSans-Bold.ttf")

    facts = open_face(path).facts

    assert facts.name == "DejaVu Sans Bold"
    assert facts.source == str(path)


def test_a_stated_height_that_is_off_is_not_believed(tmp_path: Path) -> None:
    font = made_font(stated={"sCapHeight": 660, "sxHeight": 900})

    facts = open_face(saved(font, tmp_path / "lie.ttf")).facts

    assert (facts.cap_height_fu, facts.x_height_fu) == (700, 500)


def test_a_box_stated_in_the_glyph_that_is_off_is_not_believed(tmp_path: Path) -> None:
    font = made_font()
    font["glyf"]["g0048"].yMax = 650
    font.recalcBBoxes = False

    assert open_face(saved(font, tmp_path / "lie.ttf")).facts.cap_height_fu == 700


@pytest.mark.parametrize("cubic", [False, True])
def test_a_capital_with_a_round_top_is_measured_at_its_top(cubic: bool, tmp_path: Path) -> None:
    """At its middle a parabola reaches half of its control point's height, 1401 / 2; a cubic
    three quarters, 934 x 3 / 4. Both are 700.5, met to a twenty-thousandth of an em."""
    middle = [(100, 934), (500, 934)] if cubic else [(300, 1401)]
    font = made_font({"H": curve([(100, 0), *middle, (500, 0)])}, cubic=cubic)

    facts = open_face(saved(font, tmp_path / "round.ttf")).facts

    assert facts.cap_height_fu == pytest.approx(700.5, abs=0.05)


@pytest.mark.parametrize("letter", ["\u0397", "\u041d"])
def test_greek_or_cyrillic_twin_of_h_is_measured(letter: str, tmp_path: Path) -> None:
    font = made_font({letter: CAPITAL})

    facts = open_face(saved(font, tmp_path / "twin.ttf")).facts

    assert (facts.cap_height_fu, facts.x_height_fu) == (700, 0)


@pytest.mark.parametrize("letters", [{"a": SMALL}, {"a": SMALL, "H": nothing}])
def test_without_a_capital_the_stated_height_counts(
    letters: dict[str, object], tmp_path: Path
) -> None:
    font = made_font(letters, stated={"sCapHeight": 660})  # type: ignore[arg-type]

    assert open_face(saved(font, tmp_path / "small.ttf")).facts.cap_height_fu == 660


def test_without_a_capital_and_a_stated_height_there_is_no_size(tmp_path: Path) -> None:
    unsized = saved(made_font({"a": SMALL}), tmp_path / "unsized.ttf")
    sunken = saved(
        made_font({"H": partial(box, y=-300, height=200)}, stated={"sCapHeight": 660}),
        tmp_path / "sunken.ttf",
    )

    expected = "font FILE has no capital H and states no capital height; cannot size it"
    assert font_refusal(unsized) == expected
    assert font_refusal(sunken) == expected


@pytest.mark.parametrize(
    ("weight", "capital", "width"),
    [(100, 700, 500), (400, 700, 500), (650, 725, 550), (900, 750, 600)],
)
def test_axes_move_the_outline_and_the_height(
    weight: float, capital: float, width: float, tmp_path: Path
) -> None:
    """At 650 the axis is half way from its default, 400, to its end, 900."""
    path = saved(with_weight_axis(made_font(), taller=50, wider=100), tmp_path / "vary.ttf")

    face = open_face(path, axes={"wght": weight})

    [ring] = glyph_rings(face, face.hb_font.get_nominal_glyph(ord("H")))
    assert face.facts.cap_height_fu == pytest.approx(capital)
    assert ring[:, 0].max() - ring[:, 0].min() == pytest.approx(width)
    assert face.facts.name == f"Harbour Sans Test (wght {weight})"


def test_axes_left_out_stay_at_their_default(tmp_path: Path) -> None:
    path = saved(with_weight_axis(made_font(), taller=50), tmp_path / "vary.ttf")

    facts = open_face(path).facts

    assert (facts.name, facts.cap_height_fu) == ("Harbour Sans Test", 700)


@pytest.mark.parametrize(
    ("axes", "message"),
    [
        ({"wdth": 100.0}, "font FILE has no axis 'wdth'; its axes: wght"),
        ({"wght": 99.9}, "axis wght is 99.9; allowed 100 to 900 in FILE"),
        ({"wght": 901.0}, "axis wght is 901; allowed 100 to 900 in FILE"),
        ({"wght": float("nan")}, "axis wght is nan; allowed 100 to 900 in FILE"),
        ({"": 1.0}, "font FILE has no axis ''; its axes: wght"),
    ],
)
def test_wrong_axes_are_named_with_what_is_allowed(
    axes: dict[str, float], message: str, tmp_path: Path
) -> None:
    path = saved(with_weight_axis(made_font()), tmp_path / "vary.ttf")

    assert font_refusal(path, axes=axes) == message


def test_an_axis_with_a_damaged_tag_is_refused(tmp_path: Path) -> None:
    path = saved(with_weight_axis(made_font()), tmp_path / "vary.ttf")
    data = path.read_bytes()
    path.write_bytes(data.replace(b"wght", b"\x88ght"))

    assert open_face(path).facts.cap_height_fu == 700
    assert font_refusal(path, axes={"wght": 700.0}) == (
        "font FILE is malformed: an axis has a tag that is not text"
    )


def test_an_axis_of_a_font_without_axes_is_refused(tmp_path: Path) -> None:
    path = saved(made_font(), tmp_path / "still.ttf")

    assert font_refusal(path, axes={"wght": 700.0}) == (
        "font FILE has no axis 'wght'; its axes: none; it is not a variable font"
    )


def test_a_font_without_any_mapped_letter_is_refused(tmp_path: Path) -> None:
    font = made_font()
    for table in font["cmap"].tables:
        table.cmap = {}

    assert font_refusal(saved(font, tmp_path / "unmapped.ttf")) == (
        "font FILE has no character map; letters cannot be found in it"
    )


def test_letters_of_a_symbol_font_are_found(tmp_path: Path) -> None:
    """Microsoft's symbol encoding maps the letters of the keyboard to U+F000 and up."""
    font = made_font(cmap={0xF000 + ord("H"): "g0048"})
    [*_, table] = font["cmap"].tables
    table.platformID, table.platEncID = 3, 0
    font["cmap"].tables = [table]

    assert open_face(saved(font, tmp_path / "symbol.ttf")).facts.cap_height_fu == 700


def test_a_name_of_several_lines_or_with_controls_becomes_one_line(tmp_path: Path) -> None:
    font = made_font(name="Harbour\r\n Sans\x00\x07 \u202eTest " + "x" * 200)

    name = open_face(saved(font, tmp_path / "name.ttf")).facts.name

    assert name.startswith("Harbour Sans Test xxx")
    assert name.isprintable()
    assert len(name) == 80


def test_a_font_without_a_name_is_called_by_its_file(tmp_path: Path) -> None:
    font = without(TTFont(saved(made_font(), tmp_path / "whole.ttf")), "name")

    assert open_face(saved(font, tmp_path / "nameless.ttf")).facts.name == "nameless"
