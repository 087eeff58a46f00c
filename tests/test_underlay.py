import string

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from outside import font_file
from shapely.geometry import LineString
from shapes import bar, plain_settings, ring

from pathgen import plan
from pathgen.column import CentreLines
from pathgen.geometry import length, lengths
from pathgen.polygons import Polygon
from pathgen.stitching.underlay import centre_run, run_along, underlay, underlays


def test_run_lies_on_the_centre_line_short_of_both_ends():
    """0.6 widths short: a 10 by 1 bar is run from 0.6 to 9.4, 8.8 mm in 6 stitches of 1.4667."""
    run = centre_run(bar(10.0, 1.0), plain_settings(run_mm=1.5))

    assert run[:, 1] == pytest.approx(np.zeros(7))
    assert run[0, 0] == pytest.approx(0.6)
    assert run[-1, 0] == pytest.approx(9.4)
    assert lengths(run) == pytest.approx(np.full(6, 8.8 / 6.0))


def test_column_too_short_to_hide_a_run_gets_none():
    assert len(centre_run(bar(1.0, 1.0), plain_settings())) == 0


def test_chords_stay_within_a_quarter_of_the_half_width_in_a_tight_ring():
    """A ring of radius 0.8 and width 0.6: chords stray r (1 - cos(half angle)) <= 0.075."""
    run = centre_run(ring(0.8, 0.6), plain_settings(run_mm=3.0))

    middles = (run[:-1] + run[1:]) / 2.0
    stray = 0.8 - np.hypot(middles[:, 0], middles[:, 1])
    assert len(run) > 4
    assert stray.max() <= 0.25 * 0.3 + 1e-9


@given(st.floats(0.5, 20.0), st.floats(0.5, 6.0))
def test_run_stitches_are_even_and_never_longer_than_asked(total, run_mm):
    run = run_along([(0.0, 0.0), (total, 0.0)], [0.0, total], run_mm, 0.1)

    assert lengths(run).max() <= run_mm + 1e-9
    assert np.ptp(lengths(run)) < 1e-9
    assert length(run) == pytest.approx(total)


def test_run_never_leaves_its_column():
    column = ring(1.0, 0.6)
    run = centre_run(column, plain_settings(run_mm=2.5))
    ink = Polygon(column.right).difference(Polygon(column.left))

    assert ink.buffer(1e-9).covers(LineString(run))


def test_edge_run_goes_there_and_comes_back_halfway_to_the_rails():
    """A 10 by 2 bar: lines at y = 0.5 and -0.5, 1.2 short of both ends."""
    laid = underlay(bar(10.0, 2.0), plain_settings(underlay="edge-run"))
    there, back = laid.from_first[:7], laid.from_first[7:]

    assert laid.returns
    assert there[:, 1] == pytest.approx(np.full(len(there), 0.5))
    assert back[:, 1] == pytest.approx(np.full(len(back), -0.5))
    assert there[0, 0] == pytest.approx(1.2)
    assert back[-1, 0] == pytest.approx(1.2)
    assert laid.from_last[0, 0] == pytest.approx(8.8)


def test_light_zigzag_swings_between_the_same_lines():
    """7.6 mm at 1.6: 5 pitches, 11 points."""
    laid = underlay(bar(10.0, 2.0), plain_settings(underlay="zigzag"))

    assert not laid.returns
    assert laid.from_first[:, 1] == pytest.approx([0.5, -0.5] * 5 + [0.5])
    assert (laid.from_last == laid.from_first[::-1]).all()


@pytest.mark.parametrize("kind", ["centre-run", "edge-run", "zigzag"])
@pytest.mark.parametrize("name", [None, "DejaVuSans.ttf", "LiberationSerif-Regular.ttf"])
def test_underlay_of_every_letter_stays_inside_its_column(name, kind):
    """Chords too, by the geometry library's own test: a centre run within the rails, the other
    two within what is sewn, 0.2 mm of allowance on each side."""
    room = 0.01 if kind == "centre-run" else 0.2
    face = None if name is None else font_file(name)
    by = plain_settings(underlay=kind, height_mm=6.0)
    made = plan(string.ascii_letters + string.digits, face=face, height_mm=6.0)
    laid = 0
    for one in made.letters:
        for column, cover in zip(one.columns, one.covers, strict=True):
            for points in underlay(column, by)[:2]:
                if len(points) > 1:
                    laid += 1
                    assert cover.buffer(room).covers(LineString(points)), one.text

    assert laid > 100


@pytest.mark.parametrize("kind", ["centre-run", "edge-run", "zigzag"])
def test_columns_laid_out_together_are_what_each_is_alone_to_the_last_bit(kind):
    """Neither what comes before a column nor how long the others are changes its underlay."""
    by = plain_settings(underlay=kind, height_mm=6.0)
    made = plan(string.ascii_letters, height_mm=6.0)
    columns = [column for one in made.letters for column in one.columns]
    together = underlays(CentreLines(columns), by)

    assert len(columns) > 100
    for laid, column in zip(together, columns, strict=True):
        alone = underlay(column, by)
        assert laid.from_first.tolist() == alone.from_first.tolist()
        assert laid.from_last.tolist() == alone.from_last.tolist()


def test_no_underlay_is_nothing():
    assert len(underlay(bar(), plain_settings(underlay="none")).from_first) == 0
