"""Pictures of shapes and their likeness, held against shapely, pillow and numpy."""

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image, ImageDraw

from pathgen.polygons import rings_of
from pathgen.review.alphabet import alphabet_of
from pathgen.review.likeness import WINDOW, likeness, smoothed, standard, window_for
from pathgen.review.raster import Window, edges_of, pictures

SMALL = Window(x=0, y=0, width=40, height=40)


def picture(*polygons, window=SMALL):
    edges = edges_of([ring for polygon in polygons for ring in rings_of(polygon)])
    return pictures(edges, np.zeros(len(edges), dtype=np.int64), 1, window)[0]


def test_a_box_on_whole_pixels_fills_them_exactly():
    found = picture(shapely.box(3.0, 5.0, 7.0, 6.0))

    assert found[5, 3:7].tolist() == [1.0] * 4
    assert found.sum() == pytest.approx(4.0, abs=1e-12)


def test_half_a_pixel_is_half_grey():
    assert picture(shapely.box(3.5, 5.0, 4.0, 5.5))[5, 3] == pytest.approx(0.25, abs=1e-12)


@given(
    st.lists(
        st.tuples(st.floats(1.0, 39.0), st.floats(1.0, 39.0)), min_size=3, max_size=9, unique=True
    )
)
def test_the_grey_of_any_shape_adds_up_to_its_area(points):
    """shapely's area; six lines a pixel, so that a level edge is off by a twelfth at most."""
    shape = shapely.convex_hull(shapely.multipoints(points))
    if shape.geom_type != "Polygon":
        return
    width, height = np.ptp(shapely.get_coordinates(shape), axis=0)

    assert picture(shape).sum() == pytest.approx(shape.area, abs=(width + height) / 12.0 + 0.05)


def test_overlapping_shapes_and_holes_are_one_shape_as_shapely_joins_them():
    ring = shapely.Point(20, 20).buffer(12.0, quad_segs=64)
    ring = ring.difference(shapely.Point(20, 20).buffer(7.0, quad_segs=64))
    bar = shapely.box(5.0, 18.0, 35.0, 22.0)

    assert picture(ring, bar).sum() == pytest.approx(ring.union(bar).area, rel=0.005)
    assert picture(ring).sum() == pytest.approx(np.pi * (144.0 - 49.0), rel=0.005)


def test_a_slanted_band_looks_as_pillow_draws_it():
    """Pillow without antialiasing at 16 times the size, averaged."""
    corners = [(4.2, 3.1), (33.7, 21.3), (31.5, 26.9), (2.4, 9.6)]
    big = Image.new("L", (640, 640))
    ImageDraw.Draw(big).polygon([(16 * x - 0.5, 16 * y - 0.5) for x, y in corners], fill=1)
    expected = np.asarray(big, dtype=float).reshape(40, 16, 40, 16).mean(axis=(1, 3))

    assert np.abs(picture(shapely.Polygon(corners)) - expected).max() < 0.12
    assert np.abs(picture(shapely.Polygon(corners)) - expected).mean() < 0.005


def test_what_lies_outside_the_window_is_cut_off():
    window = Window(x=10, y=10, width=4, height=4)

    assert picture(shapely.box(0.0, 0.0, 12.0, 40.0), window=window).sum() == pytest.approx(8.0)


def test_likeness_is_pearsons_coefficient_at_the_best_shift():
    """numpy.corrcoef of every shift by one pixel of the smoothed pictures."""
    rng = np.random.default_rng(7)
    one, others = np.zeros((23, 22)), rng.random((3, 23, 22))
    one[4:-4, 4:-4] = rng.random((15, 14))
    best = [
        max(
            np.corrcoef(np.roll(one, (dy, dx), (0, 1)).ravel(), other.ravel())[0, 1]
            for dy in (-1, 0, 1)
            for dx in (-1, 0, 1)
        )
        for other in others
    ]

    assert likeness(one, standard(others)) == pytest.approx(best, abs=1e-12)


def test_a_picture_is_wholly_like_itself_however_grey_and_an_even_one_like_nothing():
    one = np.zeros((23, 22))
    one[8:15, 9:12] = 1.0

    assert likeness(one, standard(one[None] * 0.3 + 0.1))[0] == pytest.approx(1.0)
    assert likeness(one, standard(np.full((1, 23, 22), 0.5)))[0] == 0.0
    assert likeness(one, standard(1.0 - one[None])).max() < 0.0


def test_smoothing_keeps_the_grey_and_spreads_it_as_a_bell():
    """A line of one pixel becomes a bell of 1.25 pixels, whose middle is 1 / (1.25 sqrt(2 pi))."""
    line = np.zeros((46, 44))
    line[:, 20] = 1.0
    found = smoothed(line[None])[0]

    assert found.shape == (23, 22)
    assert 2.0 * found[11].sum() == pytest.approx(1.0, abs=1e-3)
    near = np.exp(-0.5 * (np.array([0.0, 1.0]) / 1.25) ** 2) / (1.25 * np.sqrt(2.0 * np.pi))
    assert found[11, 10] == pytest.approx(near.mean(), rel=0.01)


def test_letters_that_do_not_fit_get_a_larger_window():
    assert window_for(-10.0, -6.0, 25.0) == WINDOW
    assert window_for(-30.0, 0.0, 25.0).width == 2 * WINDOW.width


def test_a_letter_without_ink_gets_the_usual_window():
    (blank,) = alphabet_of({" ": []}, 1.0)

    assert blank.window == WINDOW
