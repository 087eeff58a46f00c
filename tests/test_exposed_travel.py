"""Travel on top of sewn columns, by hand."""

import pytest
from shapes import bar, letter, plain_settings, stem

from pathgen.needles import Part, needle_table
from pathgen.review.travel import exposed_travel

# A bar from 0 to 10, and a stem across its left end.
BAR, STEM = 1, 2
LETTER = letter(bar(10.0, 1.0), stem(x=0.0, y=-2.5))


def path(*rows):
    """Rows of x, y, part and column."""
    table = needle_table(len(rows))
    for name, *values in zip(("x_mm", "y_mm", "part", "column"), *rows, strict=True):
        table[name] = values
    table["line"] = table["letter"] = 1
    return table


def found(*rows):
    return list(exposed_travel(path(*rows), [LETTER], plain_settings()))


def test_a_run_back_over_a_sewn_bar_is_told_with_its_length():
    """From 10 to 0 along the bar's middle: 10 mm, but 0.5 where the stem will cover it."""
    (only,) = found(
        (10.0, 0.0, Part.ZIGZAG, BAR),
        (5.0, 0.0, Part.TRAVEL, STEM),
        (0.0, 0.0, Part.ZIGZAG, STEM),
    )

    assert (only.code, only.column, only.limit) == ("travel-on-top", STEM, 1.0)
    assert only.measured == pytest.approx(9.5)


def test_the_same_run_under_a_bar_that_is_sewn_next_is_silent():
    assert (
        found(
            (0.0, 0.0, Part.ZIGZAG, STEM),
            (5.0, 0.0, Part.TRAVEL, BAR),
            (10.0, 0.0, Part.ZIGZAG, BAR),
        )
        == []
    )


def test_a_run_around_the_outside_is_bare_and_not_on_top():
    """Away from the bar slantwise, sqrt 2, along it 6 mm, and 1.5 mm to the stem."""
    (only,) = found(
        (9.0, 0.5, Part.ZIGZAG, BAR),
        (8.0, 1.5, Part.TRAVEL, STEM),
        (2.0, 1.5, Part.TRAVEL, STEM),
        (0.5, 1.5, Part.ZIGZAG, STEM),
    )

    assert only.code == "bare-travel"
    assert only.measured == pytest.approx(2.0**0.5 + 6.0 + 1.5)


def test_one_millimetre_on_top_is_not_told():
    assert found((1.49, 0.0, Part.ZIGZAG, BAR), (0.0, 0.0, Part.ZIGZAG, STEM)) == []
