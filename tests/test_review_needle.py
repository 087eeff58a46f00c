"""Checks on needle points: crowding, bulk, cover, short stitches, underlay."""

import math
from dataclasses import replace

import numpy as np
import pytest
from examples import many
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial import cKDTree
from shapes import bar, letter, plain_settings

from pathgen.geometry import neighbours
from pathgen.model import Level
from pathgen.needles import Arrive, Part, Side, needle_table, places_mm
from pathgen.pipeline import plan
from pathgen.review.bulk import MOST_LAYERS, layers_at, thread_heaps
from pathgen.review.close import close_penetrations
from pathgen.review.cover import LEAST_COVER, ground_in_columns, ground_showing
from pathgen.review.density import crowded_needle
from pathgen.review.holes import holes_of
from pathgen.review.short import short_stitches
from pathgen.review.underlay import underlay_showing


def path_of(points, part=Part.ZIGZAG):
    """A needle table through points, all of column 3 of letter 2."""
    path = needle_table(len(points))
    path["x_mm"], path["y_mm"] = np.transpose(points)
    path["part"], path["line"], path["letter"], path["column"] = part, 1, 2, 3
    path["side"] = np.where(np.arange(len(points)) % 2, Side.RIGHT, Side.LEFT)
    return path


def zigzag(spacing, width=4.0, length=10.0):
    """Points of a straight zigzag from left to right: the same side every ``spacing``."""
    count = round(2.0 * length / spacing) + 1
    at = np.arange(count)
    return np.column_stack([at * spacing / 2.0, np.where(at % 2, -width, width) / 2.0])


@given(st.integers(0, 300), st.integers(0, 2**32 - 1), st.floats(0.05, 2.0))
@settings(max_examples=many(60), deadline=None)
def test_neighbours_are_those_of_scipy(count, seed, radius):
    """scipy.spatial.cKDTree as the reference: the same pairs at the same distances."""
    points = np.random.default_rng(seed).uniform(-5.0, 5.0, (count, 2))
    pairs, distances = neighbours(points, radius)
    expected = cKDTree(points).query_pairs(radius) if count else set()

    assert {tuple(pair) for pair in pairs.tolist()} == expected
    assert len(pairs) == len(expected)
    apart = points[pairs[:, 0]] - points[pairs[:, 1]]
    assert distances == pytest.approx(np.hypot(*apart.T))


@given(st.integers(0, 300), st.integers(0, 2**32 - 1), st.floats(0.05, 2.0))
@settings(max_examples=many(60), deadline=None)
def test_neighbours_in_groups_are_those_of_each_group(count, seed, radius):
    """Groups one on top of the other, some of them empty."""
    drawn = np.random.default_rng(seed)
    points, groups = drawn.uniform(-5.0, 5.0, (count, 2)), drawn.integers(0, 7, count)
    pairs, distances = neighbours(points, radius, groups)
    everyone, apart = neighbours(points, radius)
    same = groups[everyone[:, 0]] == groups[everyone[:, 1]]
    expected = zip(everyone[same].tolist(), apart[same].tolist(), strict=True)

    assert sorted(zip(pairs.tolist(), distances.tolist(), strict=True)) == sorted(expected)


def test_crowding_of_a_plan_is_that_of_scipy():
    """Counts in a disc of the blade and nearest distances, by scipy.spatial.cKDTree."""
    made = plan("Harbour Bakery", height_mm=4.0, thread="60")
    xy, blade = places_mm(made.needles), made.settings.needle.blade_mm
    tree = cKDTree(xy)
    counts = np.array([len(near) for near in tree.query_ball_point(xy, blade / 2.0)])
    nearest = tree.query(xy, k=2)[0][:, 1]
    within = nearest <= blade / 2.0

    assert made.crowding.per_mm2 == pytest.approx(counts / (math.pi * blade**2 / 4.0))
    assert made.crowding.nearest_mm[within] == pytest.approx(nearest[within])
    assert np.isinf(made.crowding.nearest_mm[~within]).all()


def test_crowding_is_counted_for_every_scope_and_the_whole_has_the_most():
    made = plan(["Quay", "est. 1974"])
    most = {
        scope: max(c.crowding_per_mm2 for c in made.counts if c.scope == scope)
        for scope in ("column", "letter", "line", "thread", "whole")
    }

    assert len(set(most.values())) == 1
    assert most["whole"] == made.crowding.per_mm2.max()


def crowd(count):
    """So many penetrations on a circle of 0.1 mm."""
    turn = np.arange(count) * 2.0 * math.pi / count
    return np.column_stack([5.0 + 0.1 * np.cos(turn), 2.0 + 0.1 * np.sin(turn)])


@pytest.mark.parametrize(
    ("count", "level"), [(9, Level.CHECK), (12, Level.CHECK), (13, Level.STOP)]
)
def test_more_holes_than_the_cloth_bears_are_found(count, level):
    """Twill with a backing: 8 in a blade of 0.75 mm; beyond one and a half times that, stop."""
    path, by = path_of(crowd(count)), plain_settings()
    (found,) = crowded_needle(path, holes_of(path, by))

    assert (found.code, found.level, found.column) == ("crowded-needle", level, 3)
    assert found.measured == pytest.approx(count / (math.pi * 0.75**2 / 4.0))
    assert found.limit == pytest.approx(8 / (math.pi * 0.75**2 / 4.0))
    assert math.dist(found.at_mm, (5.0, 2.0)) == pytest.approx(0.1)


def test_as_many_holes_as_the_cloth_bears_are_silent():
    path, by = path_of(crowd(8)), plain_settings()

    assert list(crowded_needle(path, holes_of(path, by))) == []


def test_the_limit_is_that_of_cloth_and_needle():
    """4 in leather-like cloth; a finer needle makes finer holes, so more of them to the mm2."""
    path = path_of(crowd(5))
    leather = replace(plain_settings(), cloth=plan("I", cloth="leather-like").settings.cloth)
    fine = replace(leather, needle=plan("I", needle="60").settings.needle)
    (found,) = crowded_needle(path, holes_of(path, leather))
    (finer,) = crowded_needle(path, holes_of(path, fine))

    assert found.limit == pytest.approx(4 / (math.pi * 0.75**2 / 4.0))
    assert finer.limit == pytest.approx(4 / (math.pi * 0.60**2 / 4.0))


def test_zigzag_points_within_a_quarter_thread_are_noted_at_the_limit_not():
    by = plain_settings()
    limit = by.thread.diameter_mm / 4.0
    near, at = (path_of([(0, 0), (3, 0), (gap, 0)]) for gap in (0.9 * limit, limit))
    (found,) = close_penetrations(near, holes_of(near, by), by)

    assert (found.code, found.level) == ("close-penetrations", Level.NOTE)
    assert found.measured == pytest.approx(0.9 * limit)
    assert list(close_penetrations(at, holes_of(at, by), by)) == []
    tie = path_of([(0, 0), (3, 0), (0, 0)], Part.TIE_IN)
    assert list(close_penetrations(tie, holes_of(tie, by), by)) == []


@pytest.mark.parametrize("spacing", [0.3, 0.5, 0.8])
def test_layers_of_a_zigzag_are_two_threads_over_its_spacing(spacing):
    """Closed form: length sqrt(w^2 + p^2) a stitch on an area of w p, times d, p = spacing / 2.

    Thread is laid in pieces of 0.1 mm into squares of 0.6 mm: half a piece is 8 %.
    """
    width, pitch, thread = 4.0, spacing / 2.0, 0.2
    points = zigzag(spacing, width)
    # Each stitch split on the centre line, so that there is a penetration away from the edges.
    middles = (points[1:] + points[:-1]) / 2.0
    path = path_of(np.stack([points[:-1], middles], axis=1).reshape(-1, 2))
    layers = layers_at(path, places_mm(path), thread)[1::2]
    inner = (middles[:, 0] > 2.0) & (middles[:, 0] < 8.0)

    expected = math.hypot(width, pitch) / (width * pitch) * thread
    assert layers[inner].mean() == pytest.approx(expected, rel=0.08)


def test_sewing_twice_doubles_the_layers():
    points = zigzag(0.5)
    once, twice = path_of(points), path_of(np.vstack([points, points[::-1]]))
    rows = slice(5, 30)

    assert layers_at(twice, places_mm(twice), 0.2)[rows] == pytest.approx(
        2.0 * layers_at(once, places_mm(once), 0.2)[rows], rel=1e-6
    )


def test_layers_do_not_depend_on_what_lies_far_away():
    """A letter and its like 100 m off: looked at in pieces, with the layers of the one alone."""
    points = zigzag(0.5)
    alone, both = path_of(points), path_of(np.vstack([points, points[1:] + 1e5]))
    rows = slice(5, 30)

    assert layers_at(both, places_mm(both), 0.2)[rows] == pytest.approx(
        layers_at(alone, places_mm(alone), 0.2)[rows], rel=0.1
    )


def test_a_lump_is_found_beyond_the_limit_and_not_at_it():
    """Layers go with the thread's thickness, so a thread can be chosen that meets the limit."""
    path, by = path_of(np.vstack([zigzag(0.5)] * 3)), plain_settings()
    xy = places_mm(path)
    thickest = layers_at(path, xy, 1.0).max()

    def with_thread(diameter):
        tex = by.thread.tex * (diameter / by.thread.diameter_mm) ** 2
        return replace(by, thread=replace(by.thread, tex=tex))

    at, beyond = MOST_LAYERS / thickest, 1.01 * MOST_LAYERS / thickest
    (found,) = thread_heaps(path, xy, with_thread(beyond))
    assert (found.code, found.level, found.unit) == ("thread-bulk", Level.CHECK, "layers")
    assert found.measured == pytest.approx(1.01 * MOST_LAYERS)
    assert list(thread_heaps(path, xy, with_thread(at))) == []


def test_spacing_that_leaves_ground_bare_is_found_and_at_the_limit_not():
    """Cover is 2 d / spacing: 0.4036 / 0.6 = 0.673 mm for 40 wt is the sparsest in silence."""
    by = plain_settings()
    at = by.thread.ideal_spacing_mm / LEAST_COVER
    (found,) = ground_showing(replace(by, spacing_mm=1.1 * at))

    assert (found.code, found.level) == ("ground-shows", Level.CHECK)
    assert found.measured == pytest.approx(LEAST_COVER / 1.1)
    assert list(ground_showing(replace(by, spacing_mm=at))) == []


def test_every_recipe_covers_enough():
    """The trade's sparsest, 40 wt at 4 mm in 0.60: 0.673 of the ground."""
    for thread, height in (("40", 4.0), ("40", 5.0), ("40", 8.0), ("60", 2.0), ("60", 4.0)):
        assert list(ground_showing(plan("I", thread=thread, height_mm=height).settings)) == []


def test_bare_cloth_outside_a_bend_is_noted_at_its_widest_and_at_the_limit_not():
    """Points 1.2 mm apart: 0.75 x 1.2 - 0.38 as thread lies = 0.52 bare, over two of 0.2018."""
    by = plain_settings()
    path = path_of([(0, 1), (0.2, -1), (0.4, 1), (1.0, -1), (1.6, 1), (1.7, -1)])
    (found,) = ground_in_columns(path, places_mm(path), by)

    assert (found.code, found.level, found.unit) == ("sparse-bend", Level.NOTE, "mm")
    assert found.measured == pytest.approx(0.75 * 1.2 - 0.38)
    assert found.limit == pytest.approx(2.0 * by.thread.diameter_mm)
    assert found.at_mm == pytest.approx((1.0, 0.5))
    limit = (2.0 * by.thread.diameter_mm + 0.38) / 0.75
    even = path_of([(0, 1), (limit / 2, -1), (limit, 1)])
    assert list(ground_in_columns(even, places_mm(even), by)) == []
    beyond = path_of([(0, 1), (limit / 2, -1), (limit + 0.001, 1)])
    assert len(list(ground_in_columns(beyond, places_mm(beyond), by))) == 1


@pytest.mark.parametrize(
    ("beside_mm", "bare_mm"),
    [
        (0.0, 0.26),  # on the middle of the wedge of 0.52: one half is covered
        (0.25, 0.26 + 0.06),  # 0.25 beside it: 0.25 - 0.19 of that half is bare
        (0.45, 0.26 + 0.26),  # 0.45 - 0.19 is all of it
    ],
)
def test_bare_cloth_is_what_other_columns_leave(beside_mm, bare_mm):
    """By hand: thread 0.38 wide, so 0.19 on either side of its middle."""
    by = plain_settings()
    bend = path_of([(0, 1), (0.2, -1), (0.4, 1), (1.0, -1), (1.6, 1), (1.7, -1)])
    other = path_of([(1.0 + beside_mm, 3.0), (1.0 + beside_mm, -3.0)])
    other["column"] = 4
    path = np.concatenate([bend, other])
    path["arrive"][len(bend)] = Arrive.TRIM
    found = [f.measured for f in ground_in_columns(path, places_mm(path), by)]

    over = bare_mm > 2.0 * by.thread.diameter_mm
    assert found == ([pytest.approx(bare_mm)] if over else [])


@pytest.mark.parametrize(("thread", "height"), [("40", 6.0), ("40", 4.0), ("60", 4.0), ("60", 2.0)])
def test_round_letters_at_the_recipe_leave_no_ground_to_note(thread, height):
    """A ring of the face's o at each recipe: outside, its geometry spreads points by half."""
    made = plan("oceQ8 DGB", thread=thread, height_mm=height)

    assert "sparse-bend" not in {found.code for found in made.findings}


@pytest.mark.parametrize("thread", ["40", "60"])
def test_no_straight_stroke_is_noted_however_sparse_it_may_be_asked_for(thread):
    """Sparser than `LEAST_COVER` is told once, of the spacing; up to it a bar is no bend."""
    usual = plan("I", thread=thread).settings
    by = replace(usual, spacing_mm=usual.thread.ideal_spacing_mm / LEAST_COVER)
    path = path_of(zigzag(1.05 * by.spacing_mm))

    assert list(ground_in_columns(path, places_mm(path), by)) == []


def test_a_stitch_under_the_least_is_found_at_the_least_not():
    by = plain_settings()
    path = path_of([(0, 0), (1, 0), (1.2, 0), (1.3, 0), (2, 0)])
    (found,) = short_stitches(path, places_mm(path), by)

    assert (found.code, found.level) == ("short-stitch", Level.CHECK)
    assert found.measured == pytest.approx(0.1)
    assert found.at_mm == pytest.approx((1.25, 0.0))
    at = path_of([(0, 0), (0.3, 0), (0.6, 0)])
    assert list(short_stitches(at, places_mm(at), by)) == []
    tie = path_of([(0, 0), (0.1, 0), (0.2, 0)], Part.TIE_OFF)
    assert list(short_stitches(tie, places_mm(tie), by)) == []


def underlaid(y):
    """A bar 1 wide from 0 to 10, its underlay along y."""
    one = letter(bar(10.0, 1.0), index=2)
    path = path_of([(x, y) for x in (1.0, 2.5, 4.0)], Part.UNDERLAY)
    path["column"] = 1
    return one, path


def test_underlay_beside_its_column_is_found_and_at_the_limit_not():
    """Half of 1 mm, half a thread less, 0.05 mm free: y = 0.5 - 0.1009 + 0.05 is the limit."""
    by = plain_settings()
    limit = 0.5 - by.thread.diameter_mm / 2.0 + 0.05
    one, path = underlaid(limit + 0.02)
    (found,) = underlay_showing([one], path, places_mm(path), by)

    assert (found.code, found.level, found.column) == ("underlay-shows", Level.CHECK, 1)
    assert found.measured == pytest.approx(0.07)
    assert found.at_mm == pytest.approx((1.0, limit + 0.02))
    one, path = underlaid(limit)
    assert list(underlay_showing([one], path, places_mm(path), by)) == []


def test_underlay_that_cuts_a_bend_is_found_by_the_middle_of_its_stitch():
    by = plain_settings()
    one = letter(bar(10.0, 1.0), index=2)
    path = path_of([(1.0, 0.3), (2.0, 1.0), (3.0, 0.3)], Part.UNDERLAY)
    path["column"] = 1
    (found,) = underlay_showing([one], path, places_mm(path), by)

    assert found.measured == pytest.approx(0.5 + by.thread.diameter_mm / 2.0)


def test_underlay_of_bundled_faces_never_shows():
    for height, thread in ((5.0, "40"), (8.0, "40"), (4.0, "60")):
        made = plan("Harbour Bakery & Sons 38", height_mm=height, thread=thread)
        assert "underlay-shows" not in {f.code for f in made.findings}
