"""Bounds on what one plan may hold: at a bound it is planned, beyond it one line says so."""

from functools import partial

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from made_fonts import LETTERS, box, made_font, saved
from odd_outlines import contours

from pathgen import plan
from pathgen.bounds import MOST_COLUMNS, check_bounds
from pathgen.errors import SettingsError, TextError
from pathgen.lettering.text import MOST_CHARACTERS, MOST_LINES, checked_lines
from pathgen.polygons import edge_crossings
from pathgen.writers.plot_page import fitted, text_width


def bars(count):
    """So many upright bars side by side, each a column."""
    return contours(
        *([(20 * i, 0), (20 * i, 700), (20 * i + 9, 700), (20 * i + 9, 0)] for i in range(count))
    )


def face_of(draw, tmp_path):
    return saved(made_font({**LETTERS, "H": draw}), tmp_path / "odd.ttf")


def test_a_letter_of_the_most_columns_is_planned_and_of_one_more_refused(tmp_path):
    made = plan("H", face=face_of(bars(MOST_COLUMNS), tmp_path))

    assert len(made.letters[0].columns) == MOST_COLUMNS
    with pytest.raises(TextError) as caught:
        plan("xH", face=face_of(bars(MOST_COLUMNS + 1), tmp_path))
    assert str(caught.value) == (
        "letter 2 of line 1, 'H', falls into 65 columns; allowed up to 64; choose a plainer face"
    )


def test_a_letter_sewn_metres_wide_is_refused(tmp_path):
    """H is 1 unit tall, so x, 700 units tall, would be 5 mm times 700: 3.5 m."""
    path = saved(made_font({"H": partial(box, height=1), "x": box}), tmp_path / "1.ttf")

    with pytest.raises(TextError) as caught:
        plan("x", face=path)
    assert str(caught.value) == (
        "letter 1 of line 1, 'x', is 700 times as large as the capital H; allowed up to 20; choose"
        " another face"
    )


@pytest.mark.parametrize(("width", "refused"), [(14_000, False), (14_001, True)])
def test_a_letter_as_wide_as_twenty_capitals_is_planned(width, refused, tmp_path):
    """Capitals of 700 units: 20 times 700 is 14,000."""
    wide = partial(box, x=0, width=width, height=100)
    path = saved(made_font({**LETTERS, "x": wide}), tmp_path / "wide.ttf")

    if refused:
        with pytest.raises(TextError, match="allowed up to 20"):
            plan("x", face=path)
    else:
        assert plan("x", face=path).letters[0].text == "x"


def test_a_plan_of_too_many_stitches_is_refused():
    made = plan("B", height_mm=100.0, spacing_mm=0.15)
    many = made.letters * (2_000_000 // made.whole.stitches + 1)

    check_bounds(made.letters, [made.settings])
    with pytest.raises(
        SettingsError, match=r"^the whole plan would have up to [2-9],\d{3},\d{3} stit"
    ):
        check_bounds(many, [made.settings])


@pytest.mark.parametrize("height", [2.0, 5.0, 40.0, 100.0])
@pytest.mark.parametrize("underlay", ["none", "edge-run", "zigzag"])
def test_no_plan_has_more_stitches_than_were_reckoned_with(height, underlay, monkeypatch):
    """With a bound of the true count, the reckoning must refuse: it is never below it."""
    made = plan("B&8", height_mm=height, underlay=underlay)
    monkeypatch.setattr("pathgen.bounds.MOST_STITCHES", made.whole.stitches - 1)

    with pytest.raises(SettingsError, match="stitches; allowed up to"):
        check_bounds(made.letters, [made.settings])


def test_a_heap_of_marks_is_refused_and_one_mark_fewer_is_not():
    heap = "a" + "\u0301" * (MOST_CHARACTERS - 1)

    assert checked_lines("bb" + heap) == (("b", "b", heap),)
    with pytest.raises(TextError) as caught:
        checked_lines(["b", "bb" + heap + "\u0301"])
    assert str(caught.value) == (
        "text line 2, letter 3 has 33 characters, a heap of marks; allowed 1 to 32; leave some out"
    )


@pytest.mark.parametrize(
    "letter",
    [
        "\U0001f469\U0001f3fd\u200d\u2764\ufe0f\u200d\U0001f48b\u200d\U0001f468\U0001f3ff",
        "\U0001f3f4\U000e0067\U000e0062\U000e0077\U000e006c\U000e0073\U000e007f",
        "\u0915\u094d\u0937\u094d\u092e\u094d\u092f\u093e",
    ],
)
def test_the_longest_real_letters_are_no_heap(letter):
    """A kiss with two skin tones, the flag of Wales, a Devanagari cluster of four consonants."""
    assert checked_lines(letter) == ((letter,),)


@given(st.integers(3, 12), st.integers(0, 10_000))
def test_crossings_are_those_of_all_pairs(count, seed):
    """Each pair by the turns of its four ends; points in general position."""
    ring = np.random.default_rng(seed).uniform(0.0, 1.0, (count, 2))

    def turn(a, b, c):
        return float(np.sign((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])))

    ends = [(ring[i], ring[(i + 1) % count]) for i in range(count)]
    expected = sum(
        turn(*ends[i], ends[j][0]) != turn(*ends[i], ends[j][1])
        and turn(*ends[j], ends[i][0]) != turn(*ends[j], ends[i][1])
        for i in range(count)
        for j in range(i + 2, count - (i == 0))
    )

    assert edge_crossings([ring], 1000) == expected


def test_counting_of_crossings_stops_soon_after_the_bound():
    """A star of 101 points, each edge over half of all others: 101 x 98 / 2 = 4,949 crossings."""
    turn = 2.0 * np.pi * 50.0 / 101.0 * np.arange(101)
    star = np.column_stack([np.cos(turn), np.sin(turn)])

    assert edge_crossings([star], 10_000) == 101 * 98 // 2
    assert 100 < edge_crossings([star], 100) < 101 * 98 // 2


@given(st.text(max_size=40), st.floats(0.0, 40.0))
def test_a_fitted_text_is_the_longest_start_that_fits(text, width):
    found = fitted(text, 2.0, width)
    if text_width(text, 2.0) <= width:
        assert found == text
        return
    starts = [text[:n] for n in range(len(text) + 1) if text_width(text[:n] + "…", 2.0) <= width]

    assert found == max(starts, key=len, default="").rstrip() + "…"


def test_a_text_of_the_most_lines_passes_and_one_more_is_refused():
    assert len(checked_lines(["a"] * MOST_LINES)) == MOST_LINES
    with pytest.raises(
        TextError, match=r"^text has 501 lines; allowed 1 to 500; plan it in pieces"
    ):
        checked_lines(["a"] * (MOST_LINES + 1))
