"""Travel that would lie on top of sewn columns goes under them first, where a way is."""

import numpy as np
import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st
from outside import font_file
from shapes import bar, letter, plain_settings, ring, stem

from pathgen import plan
from pathgen.arrivals import arrivals
from pathgen.column import CentreLines
from pathgen.model import Column
from pathgen.needles import Arrive, Part
from pathgen.stitching.doors import doors_of
from pathgen.stitching.links import Limits, Travel, weighed_paths
from pathgen.stitching.route import route


def on_top_mm(letters, settings):
    """Travel on top of sewn columns, each arrival, as the needle table has it."""
    path = route(letters, settings)
    return path, [a.on_top for a in arrivals(path, letters, settings, 0.0)]


def test_a_ring_between_two_stems_is_crossed_underneath():
    """In on the left, out on the right: 5 mm on top of the ring if it were left where begun."""
    letters = [letter(stem(x=-4.2)), letter(ring(2.5, 1.0), index=2), letter(stem(x=4.2), index=3)]
    path, on_top = on_top_mm(letters, plain_settings(join_mm=1.0))
    there = path[path["letter"] == 2]
    run = there[there["part"] == Part.TRAVEL]
    away = np.hypot(run["x_mm"], run["y_mm"])
    inside = away <= 3.0

    assert (path["arrive"] == Arrive.TRIM).sum() == 0
    assert max(on_top) < 0.5
    assert inside.sum() >= 4
    # Chords of the run stay in the cover, which reaches from radius 2 to radius 3.
    assert away[inside].min() > 2.0
    assert there[-1]["x_mm"] > 2.0


@pytest.mark.parametrize("text", ["L", "e"])
def test_strokes_that_share_a_corner_need_no_run_to_get_from_one_to_the_other(text):
    """At 3 mm the foot of L begins 0.3 mm from where the stem ends: a stitch on top of it that
    nobody sees. Going around under the foot would take two runs more."""
    path = plan(text, face="tholepin", height_mm=3.0, thread="60").needles

    assert len(set(path["column"].tolist())) == 2
    assert not (path["part"] == Part.TRAVEL).any()
    assert (path["arrive"] != Arrive.SEW).sum() == 1


@pytest.mark.parametrize("underlay", ["none", "centre-run", "edge-run", "zigzag"])
def test_two_stems_and_a_bar_are_sewn_without_travel_on_top(underlay):
    """An H whose stems must be left halfway up."""
    h = letter(stem(x=0.0), bar(4.0, x=0.2, y=2.5), stem(x=4.4))
    path, on_top = on_top_mm([h], plain_settings(underlay=underlay, join_mm=0.5))

    assert (path["arrive"] == Arrive.TRIM).sum() == 0
    assert max(on_top) < 1.0


def test_a_column_left_at_a_door_has_the_same_holes_as_one_sewn_through():
    h = letter(stem(x=0.0), bar(4.0, x=0.2, y=2.5), stem(x=4.4))
    settings = plain_settings(join_mm=0.5)
    path = route([h], settings)

    for number, column in enumerate(h.columns, 1):
        alone = route([letter(column)], settings)
        alone = alone[alone["part"] == Part.ZIGZAG]
        both = path[(path["part"] == Part.ZIGZAG) & (path["column"] == number)]
        holes, all_holes = (
            shapely.multipoints(np.column_stack([rows["x_mm"], rows["y_mm"]]))
            for rows in (alone, both)
        )
        missing = shapely.distance(shapely.points(shapely.get_coordinates(holes)), all_holes)
        # But for a first hole that the needle is in already.
        assert (missing > 0.05).sum() == 0
        assert len(both) - len(alone) in (-1, 0, 1)


def test_doors_are_where_columns_meet_away_from_the_ends():
    """Bars meet the stem at its top, its middle and its foot: only the middle is a door."""
    columns = [stem(height=6.0), bar(3.0, y=6.0), bar(3.0, y=3.0), bar(3.0, y=0.0)]
    doors = doors_of([letter(*columns).shape], CentreLines(columns), plain_settings())

    assert [door.where_mm for door in doors[0]] == pytest.approx([3.0], abs=0.4)
    assert doors[1:] == [[], [], []]


@pytest.mark.parametrize(("sewing", "side"), [("reading", 1.0), ("right-to-left", -1.0)])
def test_a_bow_has_a_door_where_it_reaches_farthest_towards_the_next_letter(sewing, side):
    """Half a ring that opens the other way: its door is halfway, 2.5 pi / 2 mm along."""
    turn = np.linspace(-np.pi / 2.0, np.pi / 2.0, 91)
    way = np.column_stack([side * np.cos(turn), np.sin(turn)])
    bow = Column(left=2.0 * way, right=3.0 * way)
    ((door,),) = doors_of([letter(bow).shape], CentreLines([bow]), plain_settings(sewing=sewing))

    assert door.where_mm == pytest.approx(2.5 * np.pi / 2.0, rel=1e-3)
    assert door.towards == pytest.approx((side * 3.5, 0.0), abs=1e-9)


@pytest.mark.parametrize("text", ["Dr", "Be", "PO", "er", "bo", "on"])
@pytest.mark.parametrize("name", [None, "DejaVuSans.ttf"])
def test_letters_are_left_where_the_next_one_is_near(text, name):
    """Travel on top under the 1 mm from which a plan tells of it, between letters too."""
    made = plan(text, face=None if name is None else font_file(name), height_mm=5.0)

    assert [f for f in made.findings if f.code == "travel-on-top"] == []


@pytest.mark.parametrize(("limit_mm", "trims"), [(2.5, 1), (4.5, 0)])
def test_travel_on_top_beyond_its_limit_is_a_trim(limit_mm, trims):
    """A small bar in the middle of a sewn one, 8 mm long: 3.6 mm or more from either end."""
    letters = [letter(bar(8.0, 3.0)), letter(bar(0.8, 0.8, x=3.6), index=2)]
    path, on_top = on_top_mm(letters, plain_settings(on_top_mm=limit_mm))

    assert (path["arrive"] == Arrive.TRIM).sum() == trims
    assert all(3.0 < mm <= limit_mm for mm in on_top)
    assert len(on_top) == 1 - trims


@pytest.mark.parametrize("text", list("HEFBKRPkatfo8"))
@pytest.mark.parametrize("name", [None, "DejaVuSans.ttf"])
def test_letters_are_sewn_with_hardly_any_travel_on_top(text, name):
    """Under the 1 mm from which a plan tells of it."""
    made = plan(text, face=None if name is None else font_file(name), height_mm=5.0)

    assert [f for f in made.findings if f.code == "travel-on-top"] == []
    assert made.whole.trims == 0


def test_where_a_run_comes_out_too_long_another_way_is_taken_before_the_thread_is_cut():
    """The cheapest run across this word space is weighed under 2 mm of bare cloth and comes out
    over it; from another place of the comma it is shorter, by more hidden thread."""
    made = plan("7, F", height_mm=3.0, thread="40", join_mm=2.0)
    bare = [a.bare for a in arrivals(made.needles, made.letters, made.settings, 0.0)]

    assert made.whole.trims == 0
    assert 1.0 < max(bare) <= 2.0


HUNDREDTHS = st.integers(0, 300)


@given(
    st.lists(st.tuples(*[HUNDREDTHS] * 4), min_size=1, max_size=5),
    st.tuples(*[st.booleans()] * 2),
    st.sampled_from([0, 30, 200]),
)
def test_travel_takes_the_cheapest_of_its_paths_whatever_is_sewn(paths, unsewn, limit):
    """Added up by hand in whole hundredths of a mm: 20 times what is over bare cloth and, above
    half a mm, 10 times what is on top besides the length; beyond a limit, a trim."""
    expected = []
    for number, (bare, inked, *covered) in enumerate(paths):
        on_top = max(0, inked - sum(c for c, later in zip(covered, unsewn, strict=True) if later))
        assume(on_top != 50)  # at half a mm the last bits decide
        cut = bare > limit or on_top > limit
        seen = 20 * bare + 10 * on_top * (on_top > 50)
        expected.append((cut, bare + inked + seen * (not cut), number))
    cut, _, number = min(expected)

    bare, inked, *covered = np.array(paths).T.reshape(4, -1, 1, 1) / 100.0
    limits = Limits(join_mm=limit / 100.0, on_top_mm=limit / 100.0)
    corners = np.arange(2.0 * len(paths) - 2.0).reshape(-1, 2)
    weighed = weighed_paths(bare + inked, inked, 0.0, limits)
    chosen = Travel(weighed, np.array(covered), limits, corners).corner(0, 0, np.array(unsewn))

    assert chosen.cut == cut
    assert chosen.corner == (() if cut or not number else (tuple(corners[number - 1]),))
