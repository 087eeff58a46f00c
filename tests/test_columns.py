"""The splitter on hand-made shapes: counts, closed forms, and what must not matter."""

import logging
import math
from functools import cache

import numpy as np
import pytest
import shapely
from column_shapes import (
    BAR,
    BOW,
    COLUMNS,
    ELL,
    EM,
    PLUS,
    RING,
    STADIUM,
    TEE,
    WEDGE,
    covered,
    cross_count,
    ring_points,
)
from examples import many
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry import Polygon

from pathgen.columns import split as split_module
from pathgen.columns.bars import bar
from pathgen.columns.split import split
from pathgen.geometry import cross, length, tangents
from pathgen.polygons import joined


@pytest.mark.parametrize("name", COLUMNS)
def test_hand_shapes_have_as_many_columns_as_strokes_and_are_covered(name):
    ink, count = COLUMNS[name]

    columns = split(ink, EM)
    cover, spill = covered(columns, ink)

    assert len(columns) == count
    assert cover > 0.985
    assert spill < 0.005
    assert cross_count(columns) == 0


def test_bar_is_as_long_and_as_wide_as_drawn():
    (column,) = split(BAR, EM)

    assert length(column.centre) == pytest.approx(6.0, abs=1e-6)
    assert column.widths == pytest.approx(1.0, abs=1e-6)


@pytest.mark.parametrize("taper", [0.9, 1.0])
@pytest.mark.parametrize("slants", [(0, 0), (0, 30), (35, -20), (-35, -35)])
def test_plain_bar_is_what_the_triangles_give(monkeypatch, slants, taper):
    near, far = np.tan(np.radians(slants))
    ink = affinity.rotate(Polygon([(0, 0), (6, 0), (6 + far, 1), (near, taper)]), 20.0)

    monkeypatch.setattr(split_module, "bar", lambda ring: None)
    (slow,) = split(ink, EM)
    monkeypatch.undo()
    monkeypatch.setattr(split_module, "triangulated", None)
    (fast,) = split(ink, EM)

    assert np.abs(fast.left - slow.left).max() < 1e-3
    assert np.abs(fast.right - slow.right).max() < 1e-3


@pytest.mark.parametrize(
    "ring",
    [
        [(0, 0), (1.5, 0), (1.5, 1), (0, 1)],
        [(0, 0), (6, 0), (8, 1), (0, 1)],
        [(0, 0), (6, 0), (6, 0.05), (0, 1)],
        [(0, 0), (6, 0), (3, 0.2), (3, 3)],
        [(0, 0), (6, 0), (6, 1), (3, 1.4), (0, 1)],
    ],
    ids=["dot", "long slant", "wedge", "arrow", "five corners"],
)
def test_other_contours_are_no_plain_bars(ring):
    assert bar(np.array(ring, dtype=float) / EM) is None


def test_stadium_is_as_wide_as_its_discs_and_its_round_ends_close():
    """The medial axis of a stadium is its segment, its discs have radius t / 2 everywhere
    (Blum 1967), so the width is t but for the two round ends."""
    (column,) = split(STADIUM, EM)

    inner = np.abs(column.centre[:, 0] - 3.0) < 2.5
    assert column.widths[inner] == pytest.approx(1.0, abs=0.01)
    assert column.widths[[0, -1]].max() < 0.4
    assert length(column.centre) == pytest.approx(7.0, abs=0.1)


def test_ring_runs_once_round_at_constant_width():
    """Annulus of radii 3 and 2: the centre circle has length pi (R + r) = 15.708, width 1."""
    (column,) = split(RING, EM)

    assert column.closed
    assert column.left[0] == pytest.approx(column.left[-1])
    assert column.right[0] == pytest.approx(column.right[-1])
    assert length(column.centre) == pytest.approx(math.pi * 5.0, rel=0.005)
    assert column.widths == pytest.approx(1.0, abs=0.02)


def test_ring_goes_counter_clockwise_from_the_top():
    (column,) = split(RING, EM)

    x, y = column.centre[:-1].T
    assert y[0] == pytest.approx(y.max())
    assert x @ np.roll(y, -1) - y @ np.roll(x, -1) > 0.0


@pytest.mark.parametrize("name", ["ell", "tee", "plus"])
def test_widths_at_joints_are_those_of_the_arms(name):
    """On the medial axis they would overshoot by 17, 25 and 41 %: the largest discs at an L, T and
    X of stroke t have radius (2 - sqrt 2) t, 0.625 t and t / sqrt 2."""
    ink, _ = COLUMNS[name]

    widest = max(column.widths.max() for column in split(ink, EM))

    assert widest < 1.05


def test_tee_is_a_whole_bar_and_a_stem_that_overlaps_it_a_little():
    bar, stem = split(TEE, EM)

    assert length(bar.centre) == pytest.approx(6.0, abs=0.01)
    assert 7.05 < length(stem.centre) < 7.5


def test_plus_is_two_whole_bars():
    for column in split(PLUS, EM):
        assert length(column.centre) == pytest.approx(7.0, abs=0.01)


def test_ell_has_a_whole_stem():
    stem, bar = split(ELL, EM)

    assert length(stem.centre) == pytest.approx(8.0, abs=0.05)
    assert 5.05 < length(bar.centre) < 5.5


def test_bow_is_as_long_as_its_centre_line():
    """Two legs of 4 and a half circle of radius 3."""
    (column,) = split(BOW, EM)

    assert length(column.centre) == pytest.approx(8.0 + 3.0 * math.pi, rel=0.005)
    assert column.widths == pytest.approx(1.0, abs=0.03)


def test_wedge_narrows_evenly():
    (column,) = split(WEDGE, EM)

    assert column.widths[0] == pytest.approx(1.0, abs=0.02)
    assert column.widths[-1] == pytest.approx(0.2, abs=0.02)
    assert (np.diff(column.widths) < 1e-6).all()


def test_stems_run_down_and_bars_to_the_right_in_reading_order():
    rows = [(0, y) for y in (0, 3.5, 7)]
    ink = joined(
        [Polygon([(0, 0), (1, 0), (1, 8), (0, 8)])]
        + [Polygon([(x, y), (x + 5, y), (x + 5, y + 1), (x, y + 1)]) for x, y in rows]
    )

    stem, *bars = split(ink, EM)

    assert len(bars) == 3
    assert stem.centre[0][1] > stem.centre[-1][1]
    assert [bar.centre[0][1] for bar in bars] == sorted(
        (bar.centre[0][1] for bar in bars), reverse=True
    )
    assert all(bar.centre[0][0] < bar.centre[-1][0] for bar in bars)


def test_left_rail_is_on_the_left_of_travel():
    for ink, _ in COLUMNS.values():
        for column in split(ink, EM):
            ahead = tangents(column.centre)
            side = cross(ahead, column.left - column.centre)
            assert (side > -1e-6).all()


def test_shapes_that_touch_in_a_point_are_split_all_the_same():
    ink = Polygon([(0, 0), (6, 0), (6, 6), (0, 6)], [[(0, 3), (3, 1), (5, 3), (3, 5)]])
    assert ink.is_valid

    columns = split(ink, EM)

    assert covered(columns, ink)[0] > 0.9


@pytest.mark.parametrize(
    "ink",
    [
        Polygon([(0, 0), (1, 0), (0, 1)]),
        Polygon([(0, 0), (1e-7, 0), (0, 1e-7)]),
        Polygon([(0, 0), (1000, 0), (1000, 1e-3), (0, 1e-3)]),
        Polygon(ring_points(40.0, 7)),
        shapely.box(0, 0, 9, 9)
        .difference(shapely.box(1, 1, 8, 8))
        .union(shapely.box(2, 2, 7, 7))
        .geoms[0],
        Polygon(
            [(0, 0), (9, 0), (9, 9), (0, 9)],
            [
                [(x, y), (x, y + 1), (x + 1, y + 1), (x + 1, y)]
                for x in (1, 3, 5, 7)
                for y in (1, 3, 5, 7)
            ],
        ),
        Polygon(
            [
                (4 * math.cos(a) * r, 4 * math.sin(a) * r)
                for k in range(40)
                for a, r in [(k * math.pi / 20, 1 if k % 2 else 0.3)]
            ]
        ),
    ],
    ids=["triangle", "speck", "hair", "heptagon", "square ring", "grid", "star"],
)
def test_odd_shapes_do_not_raise(ink):
    columns = split(ink, EM)

    assert cross_count(columns) == 0


def test_what_the_triangles_do_not_resolve_is_swept_and_logged(monkeypatch, caplog):
    def refuse(outline):
        msg = "no triangulation"
        raise ValueError(msg)

    monkeypatch.setattr(split_module, "triangulated", refuse)
    caplog.set_level(logging.DEBUG, logger="pathgen")

    (column,) = split(STADIUM, EM)

    assert covered([column], STADIUM)[0] > 0.98
    assert "no triangulation" in caplog.text


def test_a_large_plate_with_a_small_hole_has_no_crossing_rungs():
    """As a ring, its rails slip by more than the length of the inner one."""
    ink = shapely.box(0, 0, 10, 10).difference(shapely.Point(5.5, 3.7).buffer(0.22, quad_segs=1))

    columns = split(ink, EM)

    assert cross_count(columns) == 0
    assert covered(columns, ink)[0] > 0.5


# Not finer than a millionth: shapely's own buffer divides by zero where a line turns by 1e-164.
numbers = st.floats(0.0, 9.0).map(lambda number: round(number, 6))
pens = st.lists(
    st.tuples(
        st.lists(st.tuples(numbers, numbers), min_size=2, max_size=4),
        st.floats(0.05, 1.0),
        st.sampled_from(["round", "flat", "square"]),
    ),
    min_size=1,
    max_size=4,
)
punches = st.lists(st.tuples(numbers, numbers, st.floats(0.1, 2.0)), max_size=3)


@given(pens, punches)
@settings(max_examples=many(80), deadline=None)
def test_whatever_is_drawn_is_split_without_crossings(strokes, holes):
    drawn = joined([shapely.LineString(p).buffer(w, cap_style=cap) for p, w, cap in strokes])
    ink = drawn.difference(joined([shapely.Point(x, y).buffer(r) for x, y, r in holes]))

    for piece in getattr(ink, "geoms", [ink]):
        if piece.area > 0.0:
            columns = split(piece, EM)
            assert cross_count(columns) == 0
            for column in columns:
                assert np.isfinite(column.left).all()
                assert np.isfinite(column.right).all()


shapes = st.sampled_from([ELL, TEE, PLUS, RING, BOW, WEDGE])


@cache
def usual(ink):
    """Columns of a shape as it stands."""
    return split(ink, EM)


def same(columns, others, scale=1.0, shift=(0.0, 0.0), tolerance=1e-6):
    assert len(columns) == len(others)
    for one, other in zip(columns, others, strict=True):
        assert one.closed == other.closed
        for rail, twin in ((one.left, other.left), (one.right, other.right)):
            assert rail.shape == twin.shape
            assert np.abs(rail * scale + shift - twin).max() < tolerance * max(scale, 1.0)


@given(shapes, st.floats(1e-3, 1e4))
@settings(max_examples=many(25), deadline=None)
def test_size_does_not_matter(ink, scale):
    bigger = affinity.scale(ink, scale, scale, origin=(0, 0))

    same(usual(ink), split(bigger, EM * scale), scale=scale)


@given(shapes, st.integers(-5000, 5000), st.integers(-5000, 5000))
@settings(max_examples=many(25), deadline=None)
def test_place_does_not_matter(ink, x, y):
    moved = affinity.translate(ink, x / 8, y / 8)

    same(usual(ink), split(moved, EM), shift=(x / 8, y / 8))


@given(shapes, st.integers(0, 400), st.integers(0, 400), st.booleans())
@settings(max_examples=many(25), deadline=None)
def test_ring_start_and_winding_do_not_matter(ink, start, hole_start, backward):
    def rolled(ring, by):
        points = np.roll(np.array(ring.coords)[:-1], by, axis=0)
        return points[::-1] if backward else points

    other = Polygon(rolled(ink.exterior, start), [rolled(r, hole_start) for r in ink.interiors])

    same(usual(ink), split(other, EM))


@given(shapes, st.floats(0.0, 360.0))
@settings(max_examples=many(40), deadline=None)
def test_turning_keeps_the_number_of_columns_and_the_cover(ink, turn):
    turned = affinity.rotate(ink, turn, origin=(0, 0))

    straight, columns = usual(ink), split(turned, EM)

    assert len(columns) == len(straight)
    assert covered(columns, turned)[0] == pytest.approx(covered(straight, ink)[0], abs=0.01)
