"""Outside facts: 25.4 mm to the inch; 72 points to the inch (CSS Values and Units, section 6.2);
ems at 5 mm capitals measured with fontTools on DejaVu Sans 2.37 and Liberation Sans 1.07.4."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pathgen.errors import SettingsError
from pathgen.units import MM_PER_UNIT, mm_per_font_unit, parse_length_mm


def test_units_are_those_of_the_css_specification() -> None:
    assert MM_PER_UNIT == {"mm": 1.0, "cm": 10.0, "in": 25.4, "pt": 25.4 / 72.0}
    assert MM_PER_UNIT["pt"] == pytest.approx(0.352778, abs=5e-7)


@pytest.mark.parametrize(
    ("text", "length_mm"),
    [
        ("5", 5.0),
        ("5mm", 5.0),
        ("5 mm", 5.0),
        ("  5.5\tMM ", 5.5),
        ("0.5cm", 5.0),
        ("1in", 25.4),
        (".25in", 6.35),
        ("72pt", 25.4),
        ("1e1", 10.0),
        ("2.E-1cm", 2.0),
        ("+3", 3.0),
        ("-0.5", -0.5),
        ("0", 0.0),
    ],
)
def test_lengths_are_read_in_four_units(text: str, length_mm: float) -> None:
    assert parse_length_mm(text) == pytest.approx(length_mm, rel=1e-15)


@pytest.mark.parametrize(
    "text",
    [
        *("", " ", "mm", "five", "5 5", "5,5,5", "5mmm", "5 px", "5em", '5"', "--5", "5mm5"),
        *("nan", "inf", "-inf", "1e999", "0x10", "1_000", "e5", ".", "5\n6", "\u0665mm x"),
    ],
)
def test_other_texts_are_refused_by_name(text: str) -> None:
    with pytest.raises(SettingsError) as caught:
        parse_length_mm(text, "--height")

    assert str(caught.value) == (
        f"--height is {text!r}; write a number with mm, cm, in or pt, such as 5mm"
    )


@pytest.mark.parametrize(
    ("text", "right"), [("0,5", "0.5"), (" ,5mm ", ".5mm"), ("5, in", "5. in")]
)
def test_a_decimal_comma_is_refused_with_what_to_write(text: str, right: str) -> None:
    with pytest.raises(SettingsError, match="write a point for the comma: ") as caught:
        parse_length_mm(text)

    assert str(caught.value).endswith(f": {right}")
    assert parse_length_mm(right) > 0.0


@given(st.floats(-1e6, 1e6, allow_nan=False).map(repr), st.sampled_from([*sorted(MM_PER_UNIT), ""]))
def test_every_number_with_a_unit_is_read(number: str, unit: str) -> None:
    expected = float(number) * MM_PER_UNIT[unit or "mm"]

    assert parse_length_mm(f"{number}{unit}") == expected
    assert parse_length_mm(f" {number} {unit.upper()}") == expected


@given(st.text(max_size=8))
def test_any_text_is_a_length_or_one_line(text: str) -> None:
    try:
        parse_length_mm(text)
    except SettingsError as error:
        assert len(str(error).splitlines()) == 1


@pytest.mark.parametrize(
    ("em", "capital", "points"), [(2048, 1493, 19.442), (2048, 1409, 20.601), (1000, 656, 21.606)]
)
def test_capitals_of_5_mm_need_the_em_of_the_measured_font(
    em: int, capital: int, points: float
) -> None:
    em_mm = em * mm_per_font_unit(5.0, capital)

    assert em_mm / MM_PER_UNIT["pt"] == pytest.approx(points, abs=5e-4)
