"""Closed forms of plane geometry; turns and moves must not change lengths and areas."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp

from pathgen.geometry import (
    Lines,
    Points,
    along,
    along_each,
    along_places,
    angle_deg,
    at_distances,
    cross,
    left_normals,
    length,
    lengths,
    placed,
    places_between,
    places_of,
    signed_area,
    tangents,
    turned,
    turns_deg,
    unit,
)

_NONE = np.zeros((0, 2))
_HOOK = np.array([(0.0, 0.0), (3.0, 4.0), (3.0, 4.0), (3.0, 10.0)])  # 5, 0 and 6 long

_coordinate = st.floats(-100.0, 100.0, allow_subnormal=False)
_polyline = st.integers(2, 12).flatmap(
    lambda n: hnp.arrays(np.float64, (n, 2), elements=_coordinate)
)
_turn = st.floats(-7.0, 7.0)


def _circle(radius: float, count: int, *, start: float = 0.0, end: float = 2 * math.pi) -> Points:
    t = np.linspace(start, end, count)
    return radius * np.column_stack([np.cos(t), np.sin(t)])


def test_lengths_of_pieces_add_up() -> None:
    assert lengths(_HOOK).tolist() == [5.0, 0.0, 6.0]
    assert length(_HOOK) == 11.0
    assert length(_HOOK[:2]) == 5.0
    assert along(_HOOK).tolist() == [0.0, 5.0, 5.0, 11.0]


@pytest.mark.parametrize("points", [_NONE, _HOOK[:1]])
def test_one_point_or_none_has_no_length(points: Points) -> None:
    assert length(points) == 0.0
    assert lengths(points).tolist() == []


@pytest.mark.parametrize("count", [10, 100, 1000])
def test_an_arc_of_chords_is_as_long_as_the_sine_says(count: int) -> None:
    """n chords over an angle a are 2 n r sin(a / (2 n)) long, and tend to r a."""
    arc = _circle(3.0, count + 1, end=math.pi)

    assert length(arc) == pytest.approx(6.0 * count * math.sin(math.pi / (2 * count)), rel=1e-12)
    assert length(arc) == pytest.approx(3.0 * math.pi, rel=0.5 / count**2)


@pytest.mark.parametrize(
    ("distance", "point"),
    [(-1.0, (0, 0)), (0.0, (0, 0)), (2.5, (1.5, 2)), (5.0, (3, 4)), (8.0, (3, 7)), (99.0, (3, 10))],
)
def test_points_at_distances_are_clamped_to_the_ends(
    distance: float, point: tuple[float, float]
) -> None:
    assert at_distances(_HOOK, np.array([distance])).tolist() == [pytest.approx(point)]


@given(_polyline, st.floats(0.0, 1.0))
def test_a_point_at_a_distance_lies_no_farther_than_that_from_the_start(
    points: Points, share: float
) -> None:
    distance = share * length(points)

    [found] = at_distances(points, np.array([distance]))

    assert math.dist(found, points[0]) <= distance + 1e-9


@given(st.lists(_polyline, min_size=1, max_size=6), st.lists(st.floats(0.0, 1.0), max_size=6))
def test_many_lines_asked_at_once_answer_to_the_last_bit_as_numpy_does_for_each(
    lines: list[Points], shares: list[float]
) -> None:
    """By numpy's interp, and by its hypot and cumsum. Corners are asked for too."""
    points, sizes = np.concatenate(lines), [len(line) for line in lines]
    wheres = along_each(points, sizes)
    asked = [np.array([*(where[-1] * np.array(shares)), *where]) for where in wheres]
    of = np.repeat(np.arange(len(lines)), [len(stops) for stops in asked])
    every = Lines(points, wheres)
    found = every.between(np.concatenate(asked), of)
    for n, (line, where, stops) in enumerate(zip(lines, wheres, asked, strict=True)):
        steps = np.hypot(*np.diff(line, axis=0).T)
        plane = np.interp(stops, where, line[:, 0] + 1j * line[:, 1])
        assert where.tolist() == [0.0, *np.cumsum(steps).tolist()]
        assert every.totals[n] == where[-1]
        assert found[of == n].tolist() == np.column_stack([plane.real, plane.imag]).tolist()


@given(_polyline, st.lists(st.floats(0.0, 1.1), min_size=1, max_size=6))
def test_plain_numbers_are_the_same_as_numpys_to_the_last_bit(
    line: Points, shares: list[float]
) -> None:
    places, where = places_of(line), along_places(places_of(line))
    stops = where[-1] * np.array(shares)
    plane = np.interp(stops, where, line[:, 0] + 1j * line[:, 1])

    assert where == along(line).tolist()
    assert places_between(places, where, stops.tolist()) == [(z.real, z.imag) for z in plane]


def test_unit_vectors_keep_zero() -> None:
    assert unit(np.array([(3.0, 4.0), (0.0, 0.0)])).tolist() == [[0.6, 0.8], [0.0, 0.0]]


def test_tangents_and_normals_of_a_circle_are_square_to_its_spokes() -> None:
    circle = _circle(5.0, 73)

    ahead, left = tangents(circle), left_normals(circle)

    inner = slice(1, -1)
    assert np.allclose((ahead * circle).sum(axis=1)[inner], 0.0, atol=1e-9)
    assert np.allclose(left[inner], -circle[inner] / 5.0)
    assert np.allclose(cross(ahead, left), 1.0)


def test_tangents_are_zero_where_a_line_turns_back_on_itself() -> None:
    assert tangents(np.array([(0.0, 0.0), (1.0, 0.0), (0.0, 0.0)]))[1].tolist() == [0.0, 0.0]


@pytest.mark.parametrize(
    ("u", "v", "angle"),
    [
        ((1, 0), (5, 0), 0.0),
        ((1, 0), (1, 1), 45.0),
        ((1, 0), (0, -2), 90.0),
        ((0, 1), (0, -1), 180.0),
        ((3, 4), (4, 3), 16.260204708),  # 90 degrees less twice the least angle of 3, 4, 5
        ((1, 0), (0, 0), 0.0),
        ((0, 0), (0, 0), 0.0),
    ],
)
def test_angle_between_vectors(u: tuple[int, int], v: tuple[int, int], angle: float) -> None:
    assert angle_deg(np.array(u, float), np.array(v, float)) == pytest.approx(angle)


def test_turns_are_positive_to_the_left() -> None:
    path = np.array([(0, 0), (1, 0), (1, 1), (2, 1), (2, 1), (1, 1)], dtype=float)

    assert turns_deg(path) == pytest.approx([90.0, -90.0, 0.0, 0.0])


def test_turns_of_a_circle_add_up_to_the_full_turn() -> None:
    """Exterior angles of a closed polygon add up to 360 degrees."""
    circle = _circle(2.0, 37)

    assert turns_deg(np.concatenate([circle, circle[1:2]])).sum() == pytest.approx(360.0)


@given(_polyline, _turn)
def test_turning_keeps_lengths_and_turns_headings(points: Points, turn: float) -> None:
    after = turned(points, turn)

    assert np.allclose(lengths(after), lengths(points), atol=1e-9)
    assert np.allclose(np.hypot(*after.T), np.hypot(*points.T), atol=1e-9)
    assert np.allclose(turned(after, -turn), points, atol=1e-9)


def test_a_quarter_turn_takes_x_to_y() -> None:
    assert np.allclose(turned(np.array([(1.0, 0.0)]), math.pi / 2), [(0.0, 1.0)])


@given(_polyline, st.floats(0.01, 10.0), _turn, _coordinate, _coordinate)
def test_placing_scales_lengths_and_areas(
    points: Points, scale: float, turn: float, x: float, y: float
) -> None:
    after = placed(points, scale, turn, x, y)

    assert np.allclose(lengths(after), scale * lengths(points), atol=1e-8)
    assert signed_area(after) == pytest.approx(scale**2 * signed_area(points), rel=1e-6, abs=1e-4)


def test_placing_scales_then_turns_then_moves() -> None:
    assert np.allclose(placed(np.array([(1.0, 0.0)]), 2.0, math.pi / 2, 10.0, 20.0), [(10.0, 22.0)])


@pytest.mark.parametrize(
    ("ring", "area"),
    [
        ([(0, 0), (4, 0), (4, 3), (0, 3)], 12.0),
        ([(0, 3), (4, 3), (4, 0), (0, 0)], -12.0),
        ([(0, 0), (4, 0), (0, 3)], 6.0),
        ([(0, 0), (6, 0), (6, 1), (1, 1), (1, 8), (0, 8)], 13.0),
        # Figure eight: its halves run opposite ways round.
        ([(0, 0), (2, 2), (2, 0), (0, 2)], 0.0),
        ([(0, 0), (1, 0)], 0.0),
        ([], 0.0),
    ],
)
@pytest.mark.parametrize("repeat", [False, True])
def test_shoelace_gives_known_areas(ring: list[tuple[int, int]], area: float, repeat: bool) -> None:
    points = np.array(ring + ring[:1] if repeat else ring, dtype=float).reshape(-1, 2)

    assert signed_area(points) == pytest.approx(area)


@pytest.mark.parametrize("count", [3, 6, 100])
def test_regular_polygons_have_the_area_of_the_sine_formula(count: int) -> None:
    """n r^2 sin(2 pi / n) / 2."""
    polygon = _circle(3.0, count + 1)[:-1]

    assert signed_area(polygon) == pytest.approx(4.5 * count * math.sin(2 * math.pi / count))


@given(_polyline, st.integers(0, 11))
def test_area_does_not_depend_on_the_first_point_and_changes_sign_with_the_way_round(
    points: Points, first: int
) -> None:
    rolled = np.roll(points, first, axis=0)

    assert signed_area(rolled) == pytest.approx(signed_area(points), abs=1e-8)
    assert signed_area(points[::-1]) == pytest.approx(-signed_area(points), abs=1e-8)


def test_area_far_from_the_origin_keeps_its_digits() -> None:
    """Plain products of coordinates near 1e8 would lose the unit square entirely."""
    square = np.array([(0, 0), (1, 0), (1, 1), (0, 1)], dtype=float) + 1e8

    assert signed_area(square) == pytest.approx(1.0, rel=1e-9)
