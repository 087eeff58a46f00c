"""Where columns of a letter meet, no hole of the one falls beside a hole of the other."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from outside import font_file
from shapes import bar, plain_settings, wedge

from pathgen import plan
from pathgen.column import CentreLines
from pathgen.needles import Side
from pathgen.stitching.easing import least_apart_mm
from pathgen.stitching.zigzag import zigzag, zigzags

# Two bars, the lower rail of the upper one on the upper rail of the lower one: moved on by half a
# pitch of 0.4 mm, the holes of both are the same.
LOWER, UPPER = bar(10.0, 1.0), bar(10.0, 1.0, x=0.2, y=1.0)
BY = plain_settings(spacing_mm=0.4)
LIMIT_MM = 0.25 * BY.thread.diameter_mm


def together(letters, by):
    """Zigzag of the columns of letters."""
    of = [n for n, columns in enumerate(letters) for _ in columns]
    return zigzags(CentreLines([column for columns in letters for column in columns]), of, by)


def nearest(points, others):
    return np.hypot(*(points[:, None] - others).transpose(2, 0, 1)).min()


def test_of_two_holes_in_one_place_the_later_one_steps_back_by_a_quarter_of_a_thread():
    lower, upper = together([[LOWER, UPPER]], BY)

    assert (lower.xy_mm == zigzag(LOWER, BY).xy_mm).all()
    on_rail = upper.xy_mm[upper.side == Side.RIGHT]
    assert on_rail[:, 1] == pytest.approx(np.full(25, 0.5 + LIMIT_MM), abs=1e-9)
    alone = zigzag(UPPER, BY).xy_mm
    assert (upper.xy_mm[upper.side == Side.LEFT] == alone[upper.side == Side.LEFT]).all()
    assert upper.xy_mm[:, 0] == pytest.approx(alone[:, 0], abs=1e-12)


def test_columns_of_different_letters_are_left_alone():
    lower, upper = together([[LOWER], [UPPER]], BY)

    assert (lower.xy_mm == zigzag(LOWER, BY).xy_mm).all()
    assert (upper.xy_mm == zigzag(UPPER, BY).xy_mm).all()


def test_columns_whose_holes_are_apart_are_left_alone():
    apart = bar(10.0, 1.0, x=0.2 + LIMIT_MM, y=1.0)
    _, upper = together([[LOWER, apart]], BY)

    assert (upper.xy_mm == zigzag(apart, BY).xy_mm).all()


@given(st.floats(-0.4, 0.4), st.floats(0.4, 1.0), st.floats(0.2, 0.8), st.floats(0.1, 0.5))
def test_holes_move_little_and_keep_what_they_have_to_from_both_columns(x, y, spacing, least):
    """No farther than twice the distance that they have to keep, whatever the two bars share."""
    by = plain_settings(spacing_mm=spacing, least_stitch_mm=least)
    other = bar(10.0, 1.0, x=x, y=y)
    found = together([[LOWER, other]], by)

    assert nearest(found[0].xy_mm, found[1].xy_mm) >= LIMIT_MM - 1e-9
    for column, sewn in zip((LOWER, other), found, strict=True):
        moved = np.hypot(*(sewn.xy_mm - zigzag(column, by).xy_mm).T)
        assert moved.max() <= 2.0 * LIMIT_MM + 1e-9
        gap = np.hypot(*(sewn.xy_mm[:, None] - sewn.xy_mm).transpose(2, 0, 1))
        np.fill_diagonal(gap, np.inf)
        assert gap.min() >= least_apart_mm(by) - 1e-9


def test_a_hole_at_the_point_of_a_stroke_has_no_room_to_step_back():
    """Across a column that has no width there every step would leave it."""
    by = plain_settings(pull_mm=0.0, least_column_mm=0.3)
    _, pointed = together([[bar(10.0, 1.0, x=6.0, y=-0.49), wedge()]], by)

    assert np.hypot(*(pointed.xy_mm - [6.0, 0.01]).T).min() < LIMIT_MM
    assert np.hypot(*(pointed.xy_mm - [6.0, 0.0]).T).min() < 1e-5


@pytest.mark.parametrize("face", [None, "tholepin", "DejaVuSerif.ttf", "LiberationSans-Italic.ttf"])
@pytest.mark.parametrize(("height", "thread"), [(3.0, "60"), (5.0, "40"), (8.0, "40")])
def test_hardly_a_letter_has_close_penetrations(face, height, thread):
    """Before, 30 names in four faces had 195 of them. Two of 27 letters may: where a hole's own
    neighbours leave it no room, it stays (9 and & at 3 mm)."""
    file = font_file(face) if face and face.endswith("ttf") else face
    made = plan("Harbour Bakery & Net Loft, 1974", face=file, height_mm=height, thread=thread)

    assert sum(finding.code == "close-penetrations" for finding in made.findings) <= 2
