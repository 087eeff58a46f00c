"""Bands of thread and gaps as sewn, held against closed forms."""

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely

from pathgen import plan
from pathgen.bands import sewn_bands
from pathgen.model import LetterShape
from pathgen.needles import Arrive, Part, needle_table
from pathgen.polygons import outlines_of
from pathgen.review.gaps import drawn_gap_mm, sewn_gap_threads, sewn_growth_mm
from pathgen.review.visual_angle import arcmin, farthest_mm
from pathgen.sewnlook import SewnLook
from pathgen.shop.look import sewn_look
from pathgen.shop.recipes import settings_for
from pathgen.shop.stock import cloth_named, thread_named


def drawn(*ink):
    lines = outlines_of(ink)
    return LetterShape(ink=ink, columns=(), ink_lines=lines, cover_lines=lines, bare_share=0.0)


def rows(points, part=Part.ZIGZAG):
    table = needle_table(len(points))
    table["x_mm"], table["y_mm"] = np.array(points, dtype=float).T
    table["part"] = part
    return table


def settings(**changes):
    made = settings_for(height_mm=5.0, thread="40")
    return replace(made, sewn_look=replace(made.sewn_look, **changes))


def test_a_zigzag_stitch_is_a_band_drawn_in_by_the_pull_and_out_by_the_overhang():
    """From 0 to 2 mm along x, 0.4 wide, 0.3 in and 0.1 out at each end: 0.2 to 1.8."""
    look = settings(width_mm=0.4, pull_in_mm=0.3, overhang_mm=0.1)
    bands = sewn_bands(rows([(0, 0), (2, 0)]), look)

    assert bands.row.tolist() == [1]
    assert bands.corners_mm[0] == pytest.approx(
        np.array([(0.2, -0.2), (1.8, -0.2), (1.8, 0.2), (0.2, 0.2)])
    )


def test_over_underlay_the_thread_pulls_less():
    look = settings(pull_in_mm=0.3, overhang_mm=0.0, over_underlay=0.8)
    table = np.concatenate([rows([(0, 1), (0, 0)], Part.UNDERLAY), rows([(0, 0), (2, 0)])])
    last = sewn_bands(table, look).corners_mm[-1]

    assert np.ptp(last[:, 0]) == pytest.approx(2.0 - 2 * 0.3 * 0.8)


def test_a_run_shows_as_a_single_thread_from_point_to_point():
    made = settings()
    band = sewn_bands(rows([(0, 0), (0, 3)], Part.TRAVEL), made).corners_mm[0]

    assert np.ptp(band[:, 1]) == pytest.approx(3.0)
    assert np.ptp(band[:, 0]) == pytest.approx(made.thread.diameter_mm)


def test_jumps_and_stitches_without_length_show_no_thread():
    table = rows([(0, 0), (2, 0), (2, 0), (5, 0)])
    table["arrive"][3] = Arrive.TRIM

    assert sewn_bands(table, settings()).row.tolist() == [1]


@pytest.mark.parametrize("turn", range(0, 360, 30))
def test_bands_run_counter_clockwise_whichever_way_they_are_sewn(turn):
    way = (2.0 * math.cos(math.radians(turn)), 2.0 * math.sin(math.radians(turn)))
    corners = sewn_bands(rows([(0, 0), way]), settings()).corners_mm[0]

    assert shapely.Polygon(corners).exterior.is_ccw


def test_a_bar_of_zigzag_is_as_wide_as_drawn_where_the_growth_is_none():
    """Allowance 0.2, pulled in 0.25, overhang 0.05: the sides come to lie on the outline."""
    look = settings(width_mm=0.5, pull_in_mm=0.25, overhang_mm=0.05, over_underlay=1.0)
    made = plan("I", height_mm=6.0, face="tholepin", pull_mm=0.2, underlay="none")
    bands = sewn_bands(made.needles, replace(look, underlay="none"))
    cloth = shapely.union_all([shapely.Polygon(c) for c in bands.corners_mm])
    stem = made.letters[0].columns[0]
    middle = shapely.box(-1.0, 2.0, 9.0, 4.0)

    assert cloth.intersection(middle).area == pytest.approx(2.0 * stem.usual_width, rel=0.06)


def ring(outer, inner):
    return (
        shapely.Point(0, 0)
        .buffer(outer, quad_segs=256)
        .difference(shapely.Point(0, 0).buffer(inner, quad_segs=256))
    )


def test_gap_of_a_ring_is_its_hole_less_the_growth_of_both_sides():
    """A hole of 1.2 mm that shrinks by 0.2 + 0 - 0.15 * 0.8 + 0.1 = 0.18 on each side."""
    made = replace(settings(), least_column_mm=0.0)
    shape = drawn(ring(2.0, 0.6))

    assert sewn_growth_mm(shape, made) == pytest.approx(0.18)
    assert drawn_gap_mm(shape, 5.0) == pytest.approx(1.2, abs=0.01)
    assert sewn_gap_threads(shape, made) == pytest.approx(
        (1.2 - 2 * 0.18) / made.thread.diameter_mm, abs=0.05
    )


def test_gap_of_an_open_ring_is_its_mouth():
    c = ring(2.0, 1.5).difference(shapely.box(0.0, -0.4, 3.0, 0.4))

    assert drawn_gap_mm(drawn(c), 5.0) == pytest.approx(0.8, rel=0.05)


def test_gap_under_a_dot_counts_and_a_shallow_dent_does_not():
    stem, dot = shapely.box(0, 0, 1, 3), shapely.box(0, 3.5, 1, 4.5)
    dented = shapely.box(0, 0, 4, 4).difference(shapely.box(1, 3.8, 3, 4))

    assert drawn_gap_mm(drawn(stem, dot), 5.0) == pytest.approx(0.5)
    assert drawn_gap_mm(drawn(dented), 5.0) == math.inf


def test_a_shut_counter_has_no_gap_left():
    assert sewn_gap_threads(drawn(ring(2.0, 0.1)), settings()) == 0.0


def test_visual_angles_are_those_of_the_standards():
    """ISO 8596: a ring of 7.2722 mm takes 5' from 5 m. ISO 9241-3 as quoted, and NUREG-0700's
    H = 6.283 D MA / 21600: 16' is 1.862 mm from 400 mm and 4.654 mm from 1 m."""
    assert arcmin(7.2722, 5000.0) == pytest.approx(5.0, abs=1e-3)
    assert farthest_mm(1.862) == pytest.approx(400.0, abs=0.2)
    assert farthest_mm(4.654) == pytest.approx(1000.0, abs=0.2)
    assert arcmin(2.0, 400.0) == pytest.approx(2.0 / 400.0 * 21600 / 6.283, rel=1e-4)
    assert 16.0 < arcmin(2.0, 400.0) < 20.0


def test_threads_between_the_listed_ones_look_between_them_and_thicker_ones_broader():
    twill = cloth_named("backed twill")
    widths = [sewn_look(thread_named(t), twill).width_mm for t in ("10tex", "60", "20tex", "40")]

    assert widths == sorted(widths)
    assert widths[1] == pytest.approx(0.26)
    assert widths[0] == pytest.approx(0.26 * math.sqrt(10.0 / 16.667), rel=1e-3)


def test_the_figures_that_settings_start_from_are_those_of_the_file():
    """40 wt on backed twill: sewn_look.toml and the defaults of SewnLook are one set."""
    found = sewn_look(thread_named("40"), cloth_named("backed twill"))

    assert found.limits == SewnLook().limits
    for name in ("width_mm", "pull_in_mm", "overhang_mm", "over_underlay"):
        assert getattr(found, name) == pytest.approx(getattr(SewnLook(), name), abs=1e-9)
    assert found.origin == SewnLook().origin == "fitted, not measured"


def test_loose_cloth_pulls_more_and_pile_swallows():
    thread = thread_named("40")
    twill, jersey, fleece = (
        sewn_look(thread, cloth_named(name)) for name in ("backed twill", "jersey", "fleece")
    )

    assert jersey.pull_in_mm > twill.pull_in_mm
    assert fleece.width_mm < twill.width_mm


def test_sewn_samples_of_a_cloth_come_before_fitted_figures():
    from pathgen.materials import SewnThread, VerdictLimits

    thread = thread_named("40")
    cloth = replace(
        cloth_named("backed twill"),
        sewn=(SewnThread(tex=thread.tex, pull_mm=0.22, overhang_mm=0.03),),
        verdict=VerdictLimits(well_margin=0.04, reads_margin=0.01),
        date="2026-11-25",
    )
    look = sewn_look(thread, cloth)

    assert (look.pull_in_mm, look.overhang_mm) == (0.22, 0.03)
    assert (look.limits.well_margin, look.limits.least_margin) == (0.04, 0.01)
    assert look.limits.well_likeness == 0.94
    assert look.origin == "sewn samples, 2026-11-25"
