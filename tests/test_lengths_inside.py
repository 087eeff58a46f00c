"""Lengths of segments inside shapes, against shapely's own intersection (GEOS overlay)."""

import numpy as np
import pytest
import shapely
import shapely.affinity
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Point, Polygon, box

from pathgen.crossings import lengths_inside, lengths_inside_each, lengths_under_any, together
from pathgen.polygons import outlines_of

RING = Point(0.0, 0.0).buffer(3.0).difference(Point(0.3, 0.0).buffer(1.0))
SHAPES = [
    box(-1.0, -1.0, 1.0, 1.0),
    RING,
    shapely.union_all([box(2.0, 2.0, 3.0, 4.0), box(-4.0, 0.0, -3.0, 1.0)]),
    Polygon([(0, 0), (4, 0), (4, 3), (2, 1), (0, 3)]).reverse(),
    Polygon(),
]


def test_square_by_hand():
    """From (-2, 0) to (3, 0) through a square of 2: 2 inside; along (0, 0) to (0, 5): 1."""
    segments = np.array([[[-2.0, 0.0], [3.0, 0.0]], [[0.0, 0.0], [0.0, 5.0]]])

    assert lengths_inside(segments, outlines_of(SHAPES[:1]))[:, 0] == pytest.approx([2.0, 1.0])


# To a millionth: the library's overlay is no judge of coordinates such as 1e-207.
PLACE = st.floats(-5.0, 5.0).map(lambda value: round(value, 6))


@given(st.lists(st.tuples(*[PLACE] * 4), min_size=1, max_size=20))
def test_agrees_with_the_overlay_of_a_geometry_library(ends):
    segments = np.array(ends).reshape(-1, 2, 2)
    lines = shapely.linestrings(segments)
    expected = shapely.length(shapely.intersection(lines[:, None], np.array(SHAPES)[None]))

    # A segment along an edge may count as in or out; hypothesis likes such ones.
    on_edge = shapely.length(
        shapely.intersection(lines[:, None], shapely.boundary(np.array(SHAPES))[None])
    )
    found = lengths_inside(segments, outlines_of(SHAPES))
    assert (np.abs(found - expected) <= on_edge + 1e-7).all()


@given(
    st.lists(st.tuples(*[PLACE] * 4), min_size=1, max_size=20),
    st.tuples(*[st.booleans()] * len(SHAPES)),
)
def test_under_any_of_several_shapes_counts_once(ends, asked):
    """Against the geometry library's union of the shapes."""
    segments = np.array(ends).reshape(-1, 2, 2)
    lines = shapely.linestrings(segments)
    some = [shape for shape, kept in zip(SHAPES, asked, strict=True) if kept]
    expected = shapely.length(shapely.intersection(lines, shapely.union_all(some)))

    edges = shapely.union_all(shapely.boundary(np.array(SHAPES)))
    on_edge = shapely.length(shapely.intersection(lines, edges))
    # Asked twice in one go, the second time the other way about.
    questions = [(some, outlines_of(SHAPES), asked) for some in (segments, segments[::-1])]
    one, other = np.split(lengths_under_any(questions), 2)
    assert (np.abs(one - expected) <= on_edge + 1e-7).all()
    assert (np.abs(other[::-1] - expected) <= on_edge + 1e-7).all()


def test_segment_without_length_and_no_shapes():
    segments = np.array([[[0.5, 0.5], [0.5, 0.5]]])

    assert lengths_inside(segments, outlines_of(SHAPES)).tolist() == [[0.0] * len(SHAPES)]
    assert lengths_inside(segments, outlines_of([])).shape == (1, 0)


def test_outlines_together_and_moved_are_those_of_the_moved_shapes():
    segments = np.array([[[-5.0, 0.2], [9.0, 0.3]], [[0.0, -5.0], [4.0, 5.0]]])
    there = [shapely.affinity.translate(shape, 2.0, 0.5) for shape in SHAPES]
    whole = together([outlines_of(SHAPES), outlines_of(SHAPES).moved(2.0, 0.5)])

    expected = lengths_inside(segments, outlines_of([*SHAPES, *there]))
    assert lengths_inside(segments, whole) == pytest.approx(expected, abs=1e-12)


@given(st.lists(st.lists(st.tuples(*[PLACE] * 4), min_size=1, max_size=5), max_size=5))
def test_many_questions_have_the_answers_of_each_alone_to_the_last_bit(asked):
    questions = [
        (np.array(ends).reshape(-1, 2, 2), outlines_of(SHAPES[: 1 + k % len(SHAPES)]))
        for k, ends in enumerate(asked)
    ]
    found = lengths_inside_each(questions)

    assert len(found) == len(questions)
    for (segments, outlines), table in zip(questions, found, strict=True):
        step = segments[:, 1] - segments[:, 0]
        assert table[0] == pytest.approx(np.hypot(*step.T))
        assert (lengths_inside(segments, outlines) == table[1:].T).all()
