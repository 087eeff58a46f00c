"""Columns placed together are those placed one by one."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapes import bar, ring

from pathgen.column import Column, columns_placed


def test_a_bar_twice_as_large_and_upright_is_twice_as_long_and_wide():
    (out,) = columns_placed([bar(4.0, 1.0)], 2.0, math.pi / 2.0, 3.0, 5.0)

    assert out.where[-1] == pytest.approx(8.0)
    assert out.usual_width == pytest.approx(2.0)
    step = bar(4.0, 1.0).centre[-1] - bar(4.0, 1.0).centre[0]
    assert out.centre[-1] - out.centre[0] == pytest.approx(2.0 * np.array([-step[1], step[0]]))


@given(st.floats(0.001, 100.0), st.floats(-3.0, 3.0))
def test_what_is_measured_together_is_what_each_column_measures_itself(scale, turn):
    for out in columns_placed(
        [bar(4.0, 1.0), ring(3.0, 1.0), bar(1.0, 0.1)], scale, turn, 1.0, 2.0
    ):
        alone = Column(left=out.left, right=out.right, closed=out.closed)
        for name in ("centre", "where", "widths"):
            assert getattr(out, name).tolist() == getattr(alone, name).tolist()
            assert not getattr(out, name).flags.writeable


def test_no_columns_are_none():
    assert list(columns_placed([], 1.0, 0.0, 0.0, 0.0)) == []


@pytest.mark.parametrize(
    ("left", "right", "rule"),
    [
        (np.zeros((2, 3)), np.zeros((2, 2)), r"left has shape \(2, 3\); must be \(N, 2\)"),
        ([[0.0, 1.0], [0.0, np.nan]], np.zeros((2, 2)), "left has a coordinate that is not finite"),
        (np.zeros((3, 2)), np.zeros((2, 2)), "rails must pair up .* left has 3, right has 2"),
        (np.zeros((1, 2)), np.zeros((1, 2)), "have two points at least"),
    ],
)
def test_rails_that_are_none_are_refused(left, right, rule):
    with pytest.raises(ValueError, match=rule):
        Column(left=left, right=right)
