"""Short stitches: room on the inside of bends, the outside left alone."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapes import bar, plain_settings, ring, wedge

from pathgen.geometry import along, lengths
from pathgen.model import Column
from pathgen.needles import Side
from pathgen.stitching.easing import least_apart_mm
from pathgen.stitching.zigzag import zigzag


def nearest(points):
    """Least distance between any two of the points."""
    apart = np.hypot(*(points[:, None] - points[None]).transpose(2, 0, 1))
    return apart[np.triu_indices(len(points), 1)].min()


def fan(turn, radius, width):
    """Part of a ring, bending to the left."""
    at = np.linspace(0.0, turn, 200)
    way = np.column_stack([np.sin(at), 1.0 - np.cos(at)])
    normal = np.column_stack([-np.sin(at), np.cos(at)])
    return Column(
        left=radius * way + width / 2.0 * normal, right=radius * way - width / 2.0 * normal
    )


def test_straight_column_is_left_alone():
    roomy = zigzag(bar(), plain_settings())

    assert set(np.round(roomy.xy_mm[:, 1], 9).tolist()) == {0.5, -0.5}


@given(st.floats(0.6, 3.0), st.floats(0.5, 1.0), st.floats(0.3, 0.6))
def test_no_two_points_of_a_round_are_nearer_than_the_least(radius, width, spacing):
    """Rings as in o and O of 3 to 6 mm; the inside may be nearly a point."""
    settings = plain_settings(spacing_mm=spacing)
    sewn = zigzag(ring(radius, min(width, 1.6 * radius)), settings)

    assert nearest(sewn.xy_mm) >= least_apart_mm(settings) - 1e-9


@pytest.mark.parametrize(("radius", "width"), [(0.9, 0.8), (1.2, 0.7), (2.0, 1.0)])
def test_rounds_of_small_letters_keep_the_least_stitch_in_full(radius, width):
    settings = plain_settings(spacing_mm=0.4)
    sewn = zigzag(ring(radius, width), settings)

    assert nearest(sewn.xy_mm) >= least_apart_mm(settings) - 1e-9


def test_outer_side_stays_on_its_rail_and_as_dense_as_the_bend_gives():
    """Outer spacing s (R + w/2) / R: none of its points is touched."""
    column = ring(1.0, 0.8, rungs=721)
    sewn = zigzag(column, plain_settings(spacing_mm=0.4))
    outer = sewn.xy_mm[sewn.side == Side.RIGHT]
    pitch = along(column.centre)[-1] / len(outer)

    assert np.hypot(*outer.T) == pytest.approx(np.full(len(outer), 1.4), abs=1e-3)
    assert lengths(outer).max() <= pitch * 1.4 / 1.0 + 1e-9


def test_about_every_second_inner_point_steps_back():
    """Inside spacing 0.4 * 0.5 / 0.9 = 0.22: alternate points keep to the rail."""
    sewn = zigzag(fan(np.pi, 0.9, 0.8), plain_settings(spacing_mm=0.4))
    inner = sewn.xy_mm[sewn.side == Side.LEFT]
    on_rail = np.hypot(inner[:, 0], inner[:, 1] - 0.9) < 0.5 + 1e-3

    assert 0.3 < on_rail.mean() < 0.7
    assert not (on_rail[1:] & on_rail[:-1])[1:-1].any()


def test_points_step_towards_the_other_side_and_not_past_it():
    sewn = zigzag(fan(np.pi, 0.5, 0.8), plain_settings(spacing_mm=0.4))
    away = np.hypot(sewn.xy_mm[:, 0], sewn.xy_mm[:, 1] - 0.5)

    assert away.min() >= 0.1 - 1e-9
    assert away.max() <= 0.9 + 1e-3


def test_pointed_end_does_not_heap():
    settings = plain_settings(pull_mm=0.15, least_column_mm=0.8)
    sewn = zigzag(wedge(), settings)

    assert nearest(sewn.xy_mm) >= least_apart_mm(settings) - 1e-9


def test_closing_point_of_a_ring_steps_back_from_the_first():
    sewn = zigzag(ring(3.0, 1.0), plain_settings())

    assert nearest(sewn.xy_mm) >= 0.3 - 1e-9
    assert np.hypot(*(sewn.xy_mm[-1] - sewn.xy_mm[0])) <= 0.3 + 0.05 + 1e-9
