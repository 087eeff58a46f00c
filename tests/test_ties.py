import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapes import bar

from pathgen import Level, plan
from pathgen.stitching.ties import IN_FROM_END_MM, OFF_FROM_END_MM, TIE_MM, roomiest, tie, ties


def test_tie_in_goes_along_the_column_and_back():
    points = tie(bar(10.0, 1.0), IN_FROM_END_MM, at_last=False)

    assert points[:, 0] == pytest.approx([0.3, 0.9, 0.45])
    assert points[:, 1] == pytest.approx([0.0, 0.0, 0.0])


def test_tie_off_at_the_last_rung_keeps_from_the_end():
    points = tie(bar(10.0, 1.0), OFF_FROM_END_MM, at_last=True)

    assert points[:, 0] == pytest.approx([10.0 - 0.6, 10.0 - 0.6 - TIE_MM, 10.0 - 0.75])


@given(st.floats(0.05, 20.0), st.booleans(), st.sampled_from([IN_FROM_END_MM, OFF_FROM_END_MM]))
def test_tie_stays_inside_its_half_of_the_column_and_has_no_empty_stitch(total, at_last, from_end):
    x = tie(bar(total, 1.0), from_end, at_last=at_last)[:, 0]
    half = (x >= total / 2.0 - 1e-9) if at_last else (x <= total / 2.0 + 1e-9)

    assert half.all()
    assert np.abs(np.diff(x)).min() > 0.0


def test_tie_in_and_tie_off_at_the_same_end_share_no_hole():
    """More than 0.1 mm apart, or they would count as one heap."""
    column = bar(10.0, 1.0)
    holes = np.concatenate(
        [
            tie(column, IN_FROM_END_MM, at_last=False),
            tie(column, OFF_FROM_END_MM, at_last=False),
        ]
    )[:, 0]

    assert np.diff(np.sort(holes)).min() > 0.1


def test_a_tie_keeps_away_from_a_crossing_near_the_end():
    """Holes from 0.2 to 0.8 mm: of all places the first that lies clear of them is taken."""
    column = bar(10.0, 1.0)
    crossing = np.column_stack([np.linspace(0.2, 0.8, 7), np.full(7, 0.1)])
    places = ties(column, OFF_FROM_END_MM, at_last=False)
    x = roomiest(places, crossing)[:, 0]

    assert x.min() > 0.8 + 0.3
    assert x == pytest.approx([1.2, 1.8, 1.35], abs=0.16)
    assert roomiest(places, np.array([[9.0, 0.0]]))[:, 0] == pytest.approx([0.6, 1.2, 0.75])


def test_all_ties_of_a_column_lie_inside_it():
    for total in (0.4, 1.0, 1.5, 2.0, 3.0):
        places = ties(bar(total, 1.0), OFF_FROM_END_MM, at_last=True)
        assert places[:, :, 0].min() >= 0.0
        assert places[:, :, 0].max() <= total


def test_the_smallest_t_is_not_beyond_what_cloth_bears():
    """2 mm capitals of the thin face, 60 wt: ties lie beside the crossing, not in it."""
    made = plan("t", face="tholepin", thread="60", height_mm=2.0)

    assert [f for f in made.findings if f.code == "crowded-needle" and f.level == Level.STOP] == []


@pytest.mark.parametrize("text", list("AMNVWvw"))
def test_pointed_letters_have_no_stitch_shorter_than_half_the_least(text):
    """Strokes that share a corner share its hole."""
    made = plan(text, face="tholepin", thread="60", height_mm=3.0)

    assert [f for f in made.findings if f.code == "short-stitch"] == []
