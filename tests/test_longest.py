"""No stitch is longer than the longest, whatever it belongs to."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from outside import font_file
from shapes import bar, plain_settings

from pathgen import Arrive, Part, Side, plan
from pathgen.geometry import lengths
from pathgen.needles import needle_table, places_mm, stitch_lengths_mm, tables_joined
from pathgen.stitching.longest import none_too_long
from pathgen.stitching.zigzag import zigzag


def two_rows(x_mm, y_mm, part, arrive=Arrive.SEW):
    """A hole at the origin, on the left, and one elsewhere, on the right."""
    table = needle_table(2)
    table["x_mm"][1], table["y_mm"][1] = x_mm, y_mm
    table["part"], table["side"] = [Part.ZIGZAG, part], [Side.LEFT, Side.RIGHT]
    table["arrive"] = [Arrive.TRIM, arrive]
    table["column"], table["letter"], table["line"] = [1, 2], [3, 4], [5, 6]
    return table


@given(st.floats(0.5, 40.0), st.floats(2.0, 12.0))
def test_zigzag_across_a_bar_of_any_width_is_split_into_no_more_pieces_than_it_takes(wide, longest):
    """Splits shifted by a quarter of a piece leave one of 5/4: 5/4 of the way, rounded up."""
    sewn = zigzag(bar(4.0, wide), plain_settings(spacing_mm=0.4, longest_stitch_mm=longest))
    across = math.hypot(wide, 0.2)
    pieces = math.ceil(1.25 * across / longest) if across > longest else 1

    assert lengths(sewn.xy_mm).max() <= longest + 1e-9
    assert len(sewn.xy_mm) == 2 * 10 * pieces + 1


def test_a_stitch_of_10_mm_is_sewn_in_4_of_2_5_where_3_is_the_longest():
    out = none_too_long(two_rows(6.0, 8.0, Part.UNDERLAY), 3.0)

    assert places_mm(out) == pytest.approx(
        np.array([[0.0, 0.0], [1.5, 2.0], [3.0, 4.0], [4.5, 6.0], [6.0, 8.0]])
    )
    assert out["part"].tolist() == [Part.ZIGZAG, *[Part.UNDERLAY] * 4]
    assert out["side"].tolist() == [Side.LEFT, *[Side.CENTRE] * 3, Side.RIGHT]
    assert out["arrive"].tolist() == [Arrive.TRIM, *[Arrive.SEW] * 4]
    assert out["letter"].tolist() == [3, 4, 4, 4, 4]


def test_the_way_to_a_tie_off_is_travel():
    out = none_too_long(two_rows(5.0, 0.0, Part.TIE_OFF), 3.0)

    assert out["part"].tolist() == [Part.ZIGZAG, Part.TRAVEL, Part.TIE_OFF]


@pytest.mark.parametrize("arrive", [Arrive.JUMP, Arrive.TRIM, Arrive.CHANGE])
def test_what_is_not_sewn_is_not_split(arrive):
    assert len(none_too_long(two_rows(6.0, 8.0, Part.TIE_IN, arrive), 3.0)) == 2


def test_a_stitch_at_the_longest_stays_as_it_is():
    assert len(none_too_long(two_rows(0.9, 1.2, Part.TRAVEL), 1.5)) == 2
    assert len(none_too_long(two_rows(0.9, 1.2, Part.TRAVEL), 1.499)) == 3


def test_of_letters_in_one_table_each_keeps_its_own_pieces():
    """10 mm takes 4 stitches of no more than 3; from letter to letter nothing is sewn."""
    table = tables_joined([two_rows(1.5, 2.0, Part.TRAVEL), two_rows(6.0, 8.0, Part.TRAVEL)])
    table["letter"] = [2, 2, 4, 4]

    assert none_too_long(table, 3.0)["letter"].tolist() == [2, 2, 4, 4, 4, 4, 4]


# What searches over faces, heights and settings found: text, face, and what was asked.
FOUND = {
    # A stitch of 9.79 mm had four pieces, the longest 5/16 of it: 3.063 mm. Its tie lay 4.9 mm off.
    "wide foot of 1": (
        "1",
        "DejaVuSans-Bold.ttf",
        {
            "height_mm": 14.0,
            "spacing_mm": 1.0,
            "pull_mm": 0.0,
            "underlay": "none",
            "run_mm": 1.0,
            "join_mm": 0.0,
            "least_stitch_mm": 0.5,
            "longest_stitch_mm": 3.0,
        },
    ),
    # Runs may be asked longer than any stitch.
    "long runs": (
        "HM",
        "DejaVuSans.ttf",
        {"height_mm": 20.0, "run_mm": 4.0, "longest_stitch_mm": 3.0, "underlay": "edge-run"},
    ),
    # Half of a bar 6.7 mm wide lies between the lines of a light zigzag.
    "light zigzag of a bold I": (
        "I",
        "DejaVuSans-Bold.ttf",
        {"height_mm": 26.0, "longest_stitch_mm": 2.0, "underlay": "zigzag"},
    ),
}


@pytest.mark.parametrize("case", FOUND)
def test_cases_that_were_found_are_mended(case):
    text, face, asked = FOUND[case]
    made = plan(text, face=font_file(face), thread="40", **asked)

    assert stitch_lengths_mm(made.needles).max() <= asked["longest_stitch_mm"] + 1e-9
