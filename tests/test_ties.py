import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapes import bar

from pathgen.stitching.ties import IN_FROM_END_MM, OFF_FROM_END_MM, TIE_MM, tie


def test_tie_in_goes_along_the_column_and_back():
    points = tie(bar(10.0, 1.0), IN_FROM_END_MM, at_last=False)

    assert points[:, 0] == pytest.approx([0.3, 0.9, 0.45])
    assert points[:, 1] == pytest.approx([0.0, 0.0, 0.0])


def test_tie_off_at_the_last_rung_keeps_from_the_end():
    points = tie(bar(10.0, 1.0), OFF_FROM_END_MM, at_last=True)

    assert points[:, 0] == pytest.approx([10.0 - 0.6, 10.0 - 0.6 - TIE_MM, 10.0 - 0.75])


@given(st.floats(0.05, 20.0), st.booleans(), st.sampled_from([IN_FROM_END_MM, OFF_FROM_END_MM]))
def test_tie_stays_inside_its_half_of_the_column_and_has_no_empty_stitch(total, at_last, from_end):
    x = tie(bar(total, 1.0), from_end, at_last=at_last)[:, 0]
    half = (x >= total / 2.0 - 1e-9) if at_last else (x <= total / 2.0 + 1e-9)

    assert half.all()
    assert np.abs(np.diff(x)).min() > 0.0


def test_tie_in_and_tie_off_at_the_same_end_share_no_hole():
    """More than 0.1 mm apart, or they would count as one heap."""
    column = bar(10.0, 1.0)
    holes = np.concatenate(
        [
            tie(column, IN_FROM_END_MM, at_last=False),
            tie(column, OFF_FROM_END_MM, at_last=False),
        ]
    )[:, 0]

    assert np.diff(np.sort(holes)).min() > 0.1
