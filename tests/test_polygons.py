"""Outside checks: closed forms (Steiner's formula, discs at joints worked out by hand), and the
non-zero rule counted independently, slab by slab."""

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pathgen.geometry import Points, signed_area
from pathgen.polygons import (
    Polygon,
    area,
    band,
    constrained_triangles,
    counters,
    filled,
    filled_apart,
    holds,
    hull_share,
    inset,
    joined,
    moved,
    outside,
    outside_area,
    parts,
    rings_of,
    solid,
    tight_box,
    widest_disc,
)

_L = np.array([(0, 0), (6, 0), (6, 1), (1, 1), (1, 8), (0, 8)], dtype=float)
_T = np.array([(0, 7), (2.5, 7), (2.5, 0), (3.5, 0), (3.5, 7), (6, 7), (6, 8), (0, 8)], dtype=float)
_PLUS = np.array(
    [
        (3, 0),
        (4, 0),
        (4, 3),
        (7, 3),
        (7, 4),
        (4, 4),
        (4, 7),
        (3, 7),
        (3, 4),
        (0, 4),
        (0, 3),
        (3, 3),
    ],
    dtype=float,
)


def _box(x0: float, y0: float, x1: float, y1: float) -> Points:
    """Rectangle, counter-clockwise."""
    return np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)], dtype=float)


def _circle(radius: float, count: int = 2000) -> Points:
    t = np.linspace(0.0, 2 * math.pi, count, endpoint=False)
    return radius * np.column_stack([np.cos(t), np.sin(t)])


def _filled_area(*rings: Points) -> float:
    return sum(area(shape) for shape in filled(rings))


# filled: the non-zero rule


def test_a_tail_over_the_counter_of_a_ring_stays_filled() -> None:
    """A ring of 12 by 12 with a counter of 6 by 6 has 144 - 36 = 108. A tail 2 wide runs from 20
    below it to 2 inside the counter: 40 are new, 6 lie on the ring already, 4 fill the counter:
    108 + 40 + 4 = 152. The even-odd rule leaves out the 6 and gives 146; largest first, adding
    or subtracting by direction, gives 148, as the counter comes last."""
    ring, counter, tail = _box(0, 0, 12, 12), _box(3, 3, 9, 9)[::-1], _box(6, -20, 8, 5)

    assert _filled_area(ring, counter, tail) == pytest.approx(152.0)
    assert _filled_area(ring, counter[::-1], tail) == pytest.approx(144.0 + 40.0)


@pytest.mark.parametrize(
    ("rings", "expected"),
    [
        ([_box(0, 0, 4, 3)], 12.0),
        ([_box(0, 0, 4, 3)[::-1]], 12.0),
        # Figure eight: both halves of 1 by 2 / 2 wind once, one of them backwards.
        ([np.array([(0, 0), (2, 2), (2, 0), (0, 2)], dtype=float)], 2.0),
        # Nested the same way round: no hole. The other way round: a hole.
        ([_box(0, 0, 6, 6), _box(1, 1, 5, 5)], 36.0),
        ([_box(0, 0, 6, 6), _box(1, 1, 5, 5)[::-1]], 20.0),
        # A hole in a hole's island.
        ([_box(0, 0, 6, 6), _box(1, 1, 5, 5)[::-1], _box(2, 2, 4, 4)], 24.0),
        # A hole in a hole: inside both the sum is -1, which is ink again; side by side, two holes.
        ([_box(0, 0, 6, 6), _box(1, 1, 5, 5)[::-1], _box(2, 2, 4, 4)[::-1]], 24.0),
        ([_box(0, 0, 6, 6), _box(1, 1, 2, 5)[::-1], _box(4, 1, 5, 5)[::-1]], 28.0),
        # A ring run the other way beside another takes nothing from it.
        ([_box(0, 0, 6, 6), _box(7, 1, 9, 3)[::-1]], 40.0),
        # Twice the same ring, and a ring against itself.
        ([_box(0, 0, 4, 3), _box(0, 0, 4, 3)], 12.0),
        ([_box(0, 0, 4, 3), _box(0, 0, 4, 3)[::-1]], 0.0),
        # Overlapping strokes of a plus, whichever way they run, and as two that cancel.
        ([_box(3, 0, 4, 7), _box(0, 3, 7, 4)], 13.0),
        ([_box(3, 0, 4, 7)[::-1], _box(0, 3, 7, 4)[::-1]], 13.0),
        ([_box(3, 0, 4, 7), _box(0, 3, 7, 4)[::-1]], 12.0),
        # Touching along an edge, at a corner, and itself at a point.
        ([_box(0, 0, 2, 2), _box(2, 0, 4, 2)], 8.0),
        ([_box(0, 0, 2, 2), _box(2, 2, 4, 4)], 8.0),
        ([np.array([(0, 0), (4, 0), (2, 2), (4, 4), (0, 4), (2, 2)], dtype=float)], 8.0),
        # There and back along a spike, repeated points.
        ([np.array([(0, 0), (4, 0), (4, 3), (4, 9), (4, 3), (0, 3), (0, 3)], dtype=float)], 12.0),
        # A pentagram winds twice around its middle.
        ([_circle(1.0, 5)[[0, 2, 4, 1, 3]]], 1.1225699414),
    ],
)  # fmt: skip
def test_non_zero_rule_by_hand(rings: list[Points], expected: float) -> None:
    """Pentagram: ten triangles from the centre to an outer corner, at 1, and an inner one, at
    sin 18 / sin 54 = 0.381966, 36 degrees apart: 10 x 0.381966 x sin 36 / 2 = 1.12257."""
    assert _filled_area(*rings) == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize(
    "rings",
    [[], [np.zeros((0, 2))], [np.zeros((5, 2))], [_box(0, 0, 1, 1)[:2]], [_box(0, 0, 4, 0)]],
)
def test_rings_without_area_fill_nothing(rings: list[Points]) -> None:
    assert filled(rings) == ()


def test_filled_shapes_come_largest_first_with_their_counters() -> None:
    shapes = filled([_box(10, 0, 11, 1), _box(0, 0, 6, 6), _box(1, 1, 5, 5)[::-1]])

    assert [area(shape) for shape in shapes] == [20.0, 1.0]
    assert [area(counter) for counter in counters(shapes)] == [16.0]


_small = st.integers(0, 12)
_rectangle = st.tuples(_small, _small, _small, _small, st.booleans())


@given(st.lists(_rectangle, min_size=1, max_size=7))
def test_random_rectangles_fill_the_cells_that_they_wind_around(
    rectangles: list[tuple[int, int, int, int, bool]],
) -> None:
    """On whole coordinates the winding number is constant in each unit cell: count it there."""
    winding = np.zeros((12, 12), dtype=int)
    rings = []
    for x0, y0, x1, y1, backwards in rectangles:
        rings.append(_box(x0, y0, x1, y1)[:: -1 if backwards else 1])
        way = (1 if x1 > x0 else -1) * (1 if y1 > y0 else -1) * (-1 if backwards else 1)
        winding[min(x0, x1) : max(x0, x1), min(y0, y1) : max(y0, y1)] += way

    assert _filled_area(*rings) == pytest.approx(np.count_nonzero(winding), abs=1e-9)


def _slab_area(rings: list[Points]) -> float:
    """Area by the non-zero rule: between two neighbouring heights at which rings bend or cross,
    edges run straight and apart, so each gap between them is a trapezoid."""
    ends = np.array([(a, b) for r in rings for a, b in pairwise([*r, r[0]]) if a[1] != b[1]])
    if not len(ends):
        return 0.0
    (x0, y0), (x1, y1) = ends[:, 0].T, ends[:, 1].T
    slope = (x1 - x0) / (y1 - y0)
    base = x0 - slope * y0
    with np.errstate(divide="ignore", invalid="ignore"):
        meets = (base[None] - base[:, None]) / (slope[:, None] - slope[None])
    heights = np.unique(np.concatenate([y0, y1, meets[np.isfinite(meets)]]))
    total = 0.0
    for low, high in pairwise(heights[(heights >= y0.min()) & (heights <= y0.max())]):
        middle = 0.5 * (low + high)
        here = (np.minimum(y0, y1) < middle) & (np.maximum(y0, y1) > middle)
        order = np.argsort(base[here] + slope[here] * middle)
        x = (base[here] + slope[here] * middle)[order]
        winding = np.cumsum(np.sign(y1 - y0)[here][order])
        total += float(np.diff(x)[winding[:-1] != 0].sum()) * (high - low)
    return total


_wild_ring = st.lists(st.tuples(_small, _small), min_size=3, max_size=9).map(
    lambda points: np.array(points, dtype=float)
)


@given(st.lists(_wild_ring, min_size=1, max_size=3))
def test_random_crossing_rings_fill_what_slabs_count(rings: list[Points]) -> None:
    shapes = filled(rings)

    assert sum(map(area, shapes)) == pytest.approx(_slab_area(rings), abs=1e-6)
    assert all(shape.is_valid for shape in shapes)
    assert area(joined(shapes)) == pytest.approx(sum(map(area, shapes)), abs=1e-6)


@given(st.lists(_wild_ring, min_size=1, max_size=3), st.integers(0, 8))
def test_filling_does_not_depend_on_order_start_or_way_round(
    rings: list[Points], first: int
) -> None:
    expected = _filled_area(*rings)

    assert _filled_area(*rings[::-1]) == pytest.approx(expected, abs=1e-6)
    assert _filled_area(*(r[::-1] for r in rings)) == pytest.approx(expected, abs=1e-6)
    assert _filled_area(*(np.roll(r, first, axis=0) for r in rings)) == pytest.approx(
        expected, abs=1e-6
    )
    assert _filled_area(*rings, *rings) == pytest.approx(expected, abs=1e-6)


# Outlines and measures


def test_rings_of_a_polygon_keep_the_ink_on_their_left() -> None:
    [shape] = filled([_box(0, 0, 6, 6)[::-1], _box(1, 1, 5, 5)])

    outer, hole = rings_of(shape)

    assert (signed_area(outer), signed_area(hole)) == (36.0, -16.0)
    assert len(outer) == len(hole) == 4


def test_area_left_free_by_a_cover() -> None:
    shape, cover = solid([_box(0, 0, 4, 4)]), solid([_box(3, -1, 9, 9)])

    assert outside_area(shape, cover) == pytest.approx(12.0)
    assert outside_area(shape, joined([])) == pytest.approx(16.0)
    assert parts(joined([])) == ()


def test_points_on_the_edge_are_neither_held_nor_outside() -> None:
    shape = solid([_box(0, 0, 6, 6), _box(1, 1, 5, 5)])
    points = np.array([(0.5, 3.0), (0.0, 3.0), (3.0, 3.0), (-0.05, 3.0), (-0.2, 3.0)])

    assert holds(shape, points).tolist() == [True, False, False, False, False]
    assert outside(shape, points, 0.1).tolist() == [2, 4]


def test_moving_scales_area_and_turns_about_the_origin() -> None:
    square = moved(solid([_box(0, 0, 2, 1)]), 3.0, math.pi / 2, 10.0, 20.0)

    assert area(square) == pytest.approx(18.0)
    assert square.bounds == pytest.approx((7.0, 20.0, 10.0, 26.0))


@pytest.mark.parametrize(
    ("ring", "radius"),
    [
        # An L of stroke t: the disc in the bend touches both outer edges and the inner corner.
        (_L, 2.0 - math.sqrt(2.0)),
        # A T: it touches the bar's free edge and both inner corners, (5/8) t.
        (_T, 0.625),
        # A plus: it touches the four inner corners.
        (_PLUS, 1.0 / math.sqrt(2.0)),
        (_box(0, 0, 10, 2), 1.0),
        (_circle(3.0), 3.0),
    ],
)
def test_widest_disc_at_a_joint_is_that_of_the_closed_form(ring: Points, radius: float) -> None:
    centre, found = widest_disc(solid([ring]), 1e-4)

    assert found == pytest.approx(radius, abs=2e-4)
    assert centre.shape == (1, 2)


@pytest.mark.parametrize(
    ("ring", "distance", "expected"),
    [
        # An L of strokes 1: of each arm 0.6 is left, (6 - 0.4) x 0.6 + (8 - 1) x 0.6.
        (_L, 0.2, 5.6 * 0.6 + 7.0 * 0.6),
        (_box(0, 0, 10, 2), 0.5, 9.0 * 1.0),
        (_box(0, 0, 10, 2), 1.5, 0.0),
        (_box(0, 0, 10, 2), 0.0, 20.0),
    ],
)
def test_inset_keeps_corners_sharp(ring: Points, distance: float, expected: float) -> None:
    assert sum(map(area, inset(solid([ring]), distance))) == pytest.approx(expected)


def test_inset_by_a_negative_distance_grows_with_sharp_corners() -> None:
    """Area + perimeter x r + 4 r^2 for the four corners of a rectangle."""
    [grown] = inset(solid([_box(0, 0, 10, 2)]), -0.5)

    assert area(grown) == pytest.approx(20.0 + 24.0 * 0.5 + 4 * 0.25)


def test_hull_share_of_an_l() -> None:
    """13 of the 30.5 inside the hull (0, 0) (6, 0) (6, 1) (1, 8) (0, 8)."""
    assert hull_share(solid([_L])) == pytest.approx(13.0 / 30.5)
    assert hull_share(solid([_box(0, 0, 3, 2)])) == pytest.approx(1.0)


@given(st.floats(-3.0, 3.0))
def test_tight_box_turns_with_its_polygon(turn: float) -> None:
    corners = tight_box(moved(solid([_box(0, 0, 10, 2)]), 1.0, turn, 0.0, 0.0))

    assert corners.shape == (4, 2)
    sides = sorted(np.hypot(*np.diff(corners[[0, 1, 2]], axis=0).T))
    assert sides == pytest.approx([2.0, 10.0])


@pytest.mark.parametrize(
    ("rings", "apart"),
    [
        ([_box(0, 0, 2, 2), _box(3, 0, 4, 1)], True),
        ([_box(0, 0, 6, 6), _box(1, 1, 5, 5)], True),
        ([_box(0, 0, 2, 2), _box(2, 0, 4, 2)], False),
        ([_box(0, 0, 2, 2), _box(1, 1, 3, 3)], False),
        ([_box(0, 0, 2, 2)[[0, 2, 1, 3]]], False),
        ([_box(0, 0, 2, 2)], True),
    ],
)
def test_rings_that_touch_are_told_from_rings_apart(rings: list[Points], apart: bool) -> None:
    assert filled_apart(rings)[1] is apart


@pytest.mark.parametrize(
    ("rings", "triangles"),
    [
        ([_box(0, 0, 4, 3)], 2),
        ([_L], 4),
        ([_PLUS], 10),
        ([_box(0, 0, 6, 6), _box(1, 1, 5, 5)[::-1]], 8),
    ],
)
def test_triangles_cover_a_polygon_with_no_point_added(rings: list[Points], triangles: int) -> None:
    """A polygon of n corners and h holes has n + 2 h - 2 triangles, whichever way it is cut."""
    shape = solid(rings)

    found = constrained_triangles(shape)

    assert found.shape == (triangles, 3, 2)
    assert sum(abs(signed_area(t)) for t in found) == pytest.approx(area(shape))
    corners = {tuple(p) for ring in rings for p in ring.tolist()}
    assert {tuple(p) for p in found.reshape(-1, 2).tolist()} == corners


def test_triangles_keep_the_heights_of_their_corners() -> None:
    """Each corner of the triangles is one that the polygon has, height and all."""
    rings = [_box(0, 0, 6, 6), _box(1, 1, 5, 5)[::-1]]
    numbered = np.column_stack([np.concatenate(rings), np.arange(8.0)])

    found = constrained_triangles(solid([numbered[:4], numbered[4:]]))

    assert found.shape == (8, 3, 3)
    assert np.array_equal(found, numbered[found[..., 2].astype(int)])


# Bands between rails


def _rails(left: Points, width: float) -> tuple[Points, Points]:
    return left, left - np.array([0.0, width])


def test_band_of_a_bar_is_its_rectangle() -> None:
    left, right = _rails(np.column_stack([np.linspace(0, 10, 21), np.full(21, 2.0)]), 2.0)

    shape = band(left, right)

    assert area(shape) == pytest.approx(20.0)
    assert isinstance(shape, Polygon)


def test_widening_a_bar_adds_its_length_times_the_widening_and_nothing_at_its_ends() -> None:
    left, right = _rails(np.column_stack([np.linspace(0, 10, 21), np.full(21, 2.0)]), 2.0)
    out = np.array([0.0, 0.15])

    assert area(band(left + out, right - out)) == pytest.approx(20.0 + 10.0 * 0.3)


@pytest.mark.parametrize("inner_first", [False, True])
@pytest.mark.parametrize("backwards", [False, True])
def test_closed_band_is_an_annulus(inner_first: bool, backwards: bool) -> None:
    """pi (3^2 - 2^2); 2,000 chords are short of it by less than 1e-5 of it."""
    rails = [
        np.concatenate([c, c[:1]])[:: -1 if backwards else 1] for c in map(_circle, (3.0, 2.0))
    ]

    shape = band(*(rails[::-1] if inner_first else rails), closed=True)

    assert area(shape) == pytest.approx(math.pi * 5.0, rel=1e-5)
    assert len(counters([shape])) == 1


def test_band_whose_rungs_cross_is_the_triangles_it_draws() -> None:
    """Rails that swap sides half way along 4: two triangles of 2 by 2 / 2."""
    left = np.array([(0.0, 1.0), (4.0, -1.0)])
    right = np.array([(0.0, -1.0), (4.0, 1.0)])

    assert area(band(left, right)) == pytest.approx(4.0)


def test_band_that_runs_over_itself_counts_that_once() -> None:
    """One and a quarter turns between radius 2 and 3: no more than the annulus."""
    t = np.linspace(0.0, 2.5 * math.pi, 2001)
    spokes = np.column_stack([np.cos(t), np.sin(t)])

    assert area(band(2.0 * spokes, 3.0 * spokes)) == pytest.approx(math.pi * 5.0, rel=1e-5)
