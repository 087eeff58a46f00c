import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapes import bar, plain_settings, ring, wedge

from pathgen.geometry import along, length, lengths, placed
from pathgen.model import Column
from pathgen.needles import Side
from pathgen.stitching.zigzag import pitches, zigzag


def test_bar_of_10_by_1_at_040_has_25_pitches_50_stitches_and_the_closing_point():
    """10 / 0.40 = 25 pitches of two stitches; each is sqrt(1 + 0.2^2) long (Pythagoras)."""
    sewn = zigzag(bar(10.0, 1.0), plain_settings(spacing_mm=0.4))

    assert len(sewn.xy_mm) == 2 * 25 + 1
    assert lengths(sewn.xy_mm) == pytest.approx(np.full(50, math.hypot(1.0, 0.2)), abs=1e-12)
    assert length(sewn.xy_mm) == pytest.approx(50.990195, abs=1e-6)


@pytest.mark.parametrize(
    ("total", "width", "spacing", "stitches", "sewn_mm"),
    [
        (10.0, 2.0, 0.4, 50, 100.498756),  # 50 sqrt(4 + 0.04)
        (20.0, 2.0, 0.8, 50, 101.980390),  # 50 sqrt(4 + 0.16)
        (8.0, 0.75, 2.0, 8, 10.0),  # the 3-4-5 triangle at a quarter: 8 times 1.25
    ],
)
def test_even_zigzag_has_the_closed_form_length(total, width, spacing, stitches, sewn_mm):
    """N stitches of throw w and advance p are n sqrt(w^2 + p^2) long (Pythagoras)."""
    sewn = zigzag(bar(total, width), plain_settings(spacing_mm=spacing))

    assert len(sewn.xy_mm) == stitches + 1
    assert length(sewn.xy_mm) == pytest.approx(sewn_mm, abs=1e-6)


@given(st.floats(0.05, 60.0), st.floats(0.2, 2.0))
def test_pitch_is_near_the_asked_spacing(total, spacing):
    """Never over 5 % longer; never under two thirds, but in a column under one pitch."""
    pitch = total / pitches(total, spacing)

    assert pitch <= 1.05 * spacing * (1.0 + 1e-12)
    assert pitch >= min(total, spacing / 2.0) - 1e-12


def test_sides_alternate_and_both_ends_are_sewn():
    sewn = zigzag(bar(10.0, 1.0), plain_settings())

    assert sewn.side[0] == sewn.side[-1] == Side.LEFT
    assert (np.diff(sewn.side.astype(int)) != 0).all()
    assert sewn.xy_mm[0] == pytest.approx([0.0, 0.5])
    assert sewn.xy_mm[-1] == pytest.approx([10.0, 0.5])


@given(st.floats(0.0, 0.6), st.floats(0.4, 3.0))
def test_allowance_is_exact_on_each_side(pull, width):
    sewn = zigzag(bar(10.0, width), plain_settings(pull_mm=pull))

    assert np.abs(sewn.xy_mm[:, 1]) == pytest.approx(np.full(51, width / 2.0 + pull))


def test_narrow_column_is_widened_evenly_to_the_least():
    sewn = zigzag(bar(10.0, 0.3), plain_settings(pull_mm=0.1, least_column_mm=0.8))

    assert np.abs(sewn.xy_mm[:, 1]) == pytest.approx(np.full(51, 0.4))


def test_column_at_the_least_is_not_widened():
    sewn = zigzag(bar(10.0, 0.6), plain_settings(pull_mm=0.1, least_column_mm=0.8))

    assert np.abs(sewn.xy_mm[:, 1]) == pytest.approx(np.full(51, 0.4))


def test_ring_spacing_outside_and_inside_follows_the_bend():
    """Outer spacing s (R + w/2) / R, inner s (R - w/2) / R: 0.4667, 0.3333 for R 3, w 1, s 0.4."""
    column = ring(3.0, 1.0, rungs=3601)
    spacing = along(column.centre)[-1] / 47  # 47 whole pitches, near 0.4
    by = plain_settings(spacing_mm=float(spacing), least_stitch_mm=0.25)
    sewn = zigzag(column, by)

    assert len(sewn.xy_mm) == 2 * 47 + 1
    inner = sewn.xy_mm[:-1][sewn.side[:-1] == Side.LEFT]
    outer = sewn.xy_mm[sewn.side == Side.RIGHT]
    arc = 2.0 * np.pi / 47
    assert lengths(outer) == pytest.approx(np.full(46, 2 * 3.5 * np.sin(arc / 2)), rel=1e-4)
    assert lengths(inner) == pytest.approx(np.full(46, 2 * 2.5 * np.sin(arc / 2)), rel=1e-4)


def test_pointed_end_has_no_nan_and_reaches_its_tip():
    sewn = zigzag(wedge(), plain_settings(pull_mm=0.2))

    assert np.isfinite(sewn.xy_mm).all()
    assert sewn.xy_mm[-1] == pytest.approx([6.0, 0.2], abs=1e-9)


def test_pointed_end_of_a_narrow_column_keeps_its_taper():
    """1.0 wide at first, 0 at last, 0.5 usually; sewn 0.7, so 0.05 more on each side to 0.8."""
    sewn = zigzag(wedge(width=1.0), plain_settings(pull_mm=0.1, least_column_mm=0.8))

    assert sewn.xy_mm[0] == pytest.approx([0.0, 0.5 + 0.1 + 0.05], abs=1e-9)
    assert abs(sewn.xy_mm[-1][1]) == pytest.approx(0.15, abs=1e-9)


def test_backwards_has_the_same_holes():
    sewn = zigzag(wedge(), plain_settings())

    assert (sewn.backwards().xy_mm == sewn.xy_mm[::-1]).all()
    assert (sewn.backwards().side == sewn.side[::-1]).all()


@given(
    st.floats(0.4, 5.0),
    st.floats(-np.pi, np.pi),
    st.floats(-50.0, 50.0),
    st.floats(-50.0, 50.0),
)
def test_moving_turning_and_scaling_keeps_the_count(scale, turn, x, y):
    """Scaling all lengths by k scales the sewn length by k."""
    plain = bar(6.0, 1.5)
    where = (scale, turn, x, y)
    moved = Column(left=placed(plain.left, *where), right=placed(plain.right, *where))
    here = zigzag(plain, plain_settings(least_stitch_mm=0.05))
    there = zigzag(moved, plain_settings(spacing_mm=0.4 * scale, longest_stitch_mm=12.0))

    assert len(there.xy_mm) == len(here.xy_mm)
    assert length(there.xy_mm) == pytest.approx(scale * length(here.xy_mm), rel=1e-9)


def test_long_stitches_are_split_and_their_splits_do_not_line_up():
    """A bar 12 wide: stitches of 12.00 become three pieces of at most 7 (12 / 7 + 0.5 -> 3)."""
    sewn = zigzag(bar(10.0, 12.0), plain_settings(longest_stitch_mm=7.0))

    assert lengths(sewn.xy_mm).max() <= 7.0
    splits = sewn.xy_mm[sewn.side == Side.CENTRE]
    assert len(splits) == 2 * 50
    heights = np.round(splits[:, 1], 3)
    assert len(set(heights.tolist())) >= 6


def test_splits_of_stitches_after_one_another_stand_apart():
    """Stitches advance 0.2 mm. Splits of neighbours differ by a quarter of a piece of 4 mm; three
    stitches on, 0.6 mm, they are in line again, and sewn the other way: up to 0.1 mm nearer.
    """
    sewn = zigzag(bar(10.0, 12.0), plain_settings(longest_stitch_mm=7.0))
    splits = sewn.xy_mm[sewn.side == Side.CENTRE]
    apart = np.hypot(*(splits[:, None] - splits[None]).transpose(2, 0, 1))

    assert apart[np.triu_indices(len(splits), 1)].min() >= 0.5 - 1e-9


def test_stitches_at_the_longest_are_not_split():
    sewn = zigzag(bar(10.0, 6.9), plain_settings(longest_stitch_mm=7.0))

    assert len(sewn.xy_mm) == 51


@pytest.mark.parametrize(
    ("shares", "count"),
    [(0.45, 1), (0.55, 1), (1.45, 2), (4.1, 4), (4.21, 5), (4.5, 5), (20.45, 20), (20.55, 21)],
)
def test_pitches_are_the_nearest_whole_number_unless_5_percent_too_long(shares, count):
    """4.1 pitches in 4 are 2.5 % long, 4.21 in 4 5.25 %, so 5; 20.55 in 20 would be 2.8 % long,
    but 21 is nearer."""
    assert pitches(shares * 0.48, 0.48) == count


def test_only_the_long_stitches_of_a_wedge_are_split():
    """From 12 mm wide to a point: the wide end is split, the narrow one is not."""
    sewn = zigzag(wedge(length=10.0, width=12.0), plain_settings(longest_stitch_mm=7.0))

    assert lengths(sewn.xy_mm).max() <= 7.0
    middle = sewn.xy_mm[sewn.side == Side.CENTRE]
    assert len(middle) > 0
    assert middle[:, 0].max() < 10.0 * (1.0 - 6.0 / 12.0)
