"""Ink of letters that overlap counts once: by hand, and against the geometry library's union."""

import numpy as np
import pytest
import shapely
import shapely.affinity
from hypothesis import given
from hypothesis import strategies as st
from shapes import bar, letter, stem

from pathgen.crossings import lengths_inside, together
from pathgen.inks import inks_apart

BAR = letter(bar(10.0, 1.0)).shape
STEM = letter(stem()).shape
TEE = letter(bar(10.0, 1.0), stem(x=0.0, y=-2.5)).shape


def inked_mm(placed, *legs):
    """How much of each leg lies over the ink of letters, added up letter by letter."""
    return lengths_inside(np.array(legs), together(inks_apart(placed))).sum(axis=1)


def test_a_leg_over_two_bars_that_overlap_is_over_ink_once():
    """Bars of 10 mm, the second 6 mm on: from 0 to 16 they ink 16 mm, not 20."""
    assert inked_mm([(BAR, 0.0, 0.0), (BAR, 6.0, 0.0)], [[-1.0, 0.1], [20.0, 0.1]]) == (
        pytest.approx([16.0])
    )


def test_of_a_letter_wholly_over_another_nothing_is_left():
    first, second = inks_apart([(BAR, 3.0, 1.0), (BAR, 3.0, 1.0)])

    assert (len(first.vertices), first.size) == (0, 1)
    assert np.array_equal(second.vertices, BAR.ink_lines.moved(3.0, 1.0).vertices)


def test_letters_that_do_not_meet_keep_their_outlines():
    """Nor do those whose boxes alone overlap: the second stands in the bay of the first."""
    for dx, dy in ((20.0, 0.0), (3.0, -2.0)):
        first, second = inks_apart([(TEE, 0.0, 0.0), (BAR, dx, dy)])
        assert np.array_equal(first.vertices, TEE.ink_lines.vertices)
        assert np.array_equal(second.vertices, BAR.ink_lines.moved(dx, dy).vertices)


def places(off_mm):
    """Thousandths of a mm, all so far off the whole: none lies on an edge that is off otherwise."""
    return st.floats(-8.0, 8.0).map(lambda value: round(value, 3) + off_mm)


@given(
    st.tuples(*[places(0.00005)] * 2),
    st.lists(st.tuples(*[places(0.0001)] * 4), min_size=1, max_size=9),
)
def test_ink_is_that_of_the_union(apart, ends):
    legs = np.array(ends).reshape(-1, 2, 2)
    other = [shapely.affinity.translate(part, *apart) for part in STEM.ink]
    ink = shapely.union_all([*BAR.ink, *other])
    expected = shapely.length(shapely.intersection(shapely.linestrings(legs), ink))

    placed = [(BAR, 0.0, 0.0), (STEM, *apart)]
    assert inked_mm(placed, *legs) == pytest.approx(expected, abs=1e-6)
