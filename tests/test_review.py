"""Each check on hand-made columns and paths: found where it is, silent at the limit."""

from dataclasses import replace

import pytest
from shapes import bar, letter, plain_settings, reshaped, ring, stem

from pathgen.model import Level
from pathgen.needles import Arrive, Part, needle_table
from pathgen.polygons import Polygon
from pathgen.review.checks import reviewed
from pathgen.review.closing import closing_counters
from pathgen.review.crowding import crowded_places
from pathgen.review.holes import holes_of
from pathgen.review.narrow import narrow_columns
from pathgen.review.size import size_and_cloth
from pathgen.review.stitches import long_stitches
from pathgen.review.travel import exposed_travel
from pathgen.review.uncovered import uncovered_ink
from pathgen.settings import LIES_FLAT_MM
from pathgen.shop.recipes import settings_for
from pathgen.stitching.route import route


def test_narrow_column_is_reported_once_with_its_sewn_width():
    """0.5 drawn and twice 0.1 allowance: 0.7 sewn, under 0.8."""
    settings = plain_settings(pull_mm=0.1, least_column_mm=0.8)
    (found,) = narrow_columns([letter(bar(10.0, 2.0), bar(10.0, 0.5, y=4.0))], settings)

    assert (found.code, found.column, found.level) == ("narrow-column", 2, Level.CHECK)
    assert found.measured == pytest.approx(0.7)
    assert found.limit == 0.8
    assert found.at_mm == pytest.approx((5.0, 4.0))


def test_column_that_is_nearly_wide_enough_is_a_note():
    settings = plain_settings(pull_mm=0.1, least_column_mm=0.8)
    (found,) = narrow_columns([letter(bar(10.0, 0.55))], settings)

    assert found.level is Level.NOTE


def test_column_at_the_least_is_not_reported():
    settings = plain_settings(pull_mm=0.1, least_column_mm=0.8)

    assert list(narrow_columns([letter(bar(10.0, 0.6000000001))], settings)) == []


def test_counter_that_stays_open_is_not_reported_a_closing_one_is_a_shut_one_stops():
    """Gap = 2 (radius - allowance) against two threads of 0.2018 mm, and against one."""
    settings = plain_settings(pull_mm=0.2)

    def found(radius):
        column = ring(radius + 0.5, 1.0, rungs=721)
        return list(closing_counters([letter(column)], settings))

    assert found(0.5) == []
    (closing,) = found(0.35)
    assert closing.level is Level.CHECK
    assert closing.measured == pytest.approx(0.3, abs=0.03)
    assert closing.at_mm == pytest.approx((0.0, 0.0), abs=0.03)
    (shut,) = found(0.25)
    assert shut.level is Level.STOP


def test_counter_shrinks_by_what_its_columns_are_widened_too():
    """Ring 0.4 wide in a least column of 0.8: 0.2 more on each side, so 2 (0.5 - 0.2) = 0.6."""
    column = ring(0.7, 0.4, rungs=721)
    (found,) = closing_counters(
        [letter(column)], plain_settings(least_column_mm=0.8, pull_mm=0.0, thread="60tex")
    )

    assert found.measured == pytest.approx(0.6, abs=0.03)


def test_uncovered_ink_is_reported_in_percent():
    half = reshaped(letter(bar()), bare_share=0.5)
    edge = reshaped(letter(bar()), bare_share=0.03)
    (found,) = uncovered_ink([half, edge])

    assert (found.measured, found.unit, found.level) == (50.0, "%", Level.CHECK)


def test_letter_without_any_column_stops():
    empty = reshaped(letter(bar()), columns=(), bare_share=1.0)
    (found,) = uncovered_ink([empty])

    assert found.level is Level.STOP


def test_heap_of_four_is_reported_heap_of_three_is_not():
    path = needle_table(4)
    path["x_mm"] = [0.0, 0.03, 0.06, 0.09]
    path["line"], path["letter"], path["column"] = 1, 2, 3

    settings = plain_settings()
    (found,) = crowded_places(path, holes_of(path, settings))
    assert (found.code, found.measured, found.letter, found.column) == ("needle-heap", 4.0, 2, 3)
    assert list(crowded_places(path[:3], holes_of(path[:3], settings))) == []


def test_long_stitch_is_reported_at_its_middle_beyond_the_limit_only():
    path = needle_table(3)
    path["part"] = Part.ZIGZAG
    path["x_mm"] = [0.0, LIES_FLAT_MM, LIES_FLAT_MM + 7.5]
    path["line"], path["letter"], path["column"] = 1, 1, 1

    (found,) = long_stitches(path, plain_settings())
    assert (found.measured, found.limit) == (pytest.approx(7.5), 7.0)
    assert found.at_mm == pytest.approx((10.75, 0.0))
    assert found.level is Level.CHECK


def test_stitch_that_the_machine_does_not_sew_stops_but_a_jump_does_not():
    """The machine moves 12 mm at once unless another figure is given: exactly so far it sews."""
    by = plain_settings()
    path = needle_table(2)
    path["part"] = Part.ZIGZAG
    levels = {}
    for length_mm in (12.0, 13.0):
        path["x_mm"] = [0.0, length_mm]
        levels[length_mm] = [f.level for f in long_stitches(path, by)]
    assert levels == {12.0: [Level.CHECK], 13.0: [Level.STOP]}

    wide, narrow = replace(by, longest_jump_mm=13.0), replace(by, longest_jump_mm=6.0)
    assert [f.level for f in long_stitches(path, wide)] == [Level.CHECK]
    path["x_mm"] = [0.0, 6.5]
    assert [(f.level, f.limit) for f in long_stitches(path, narrow)] == [(Level.STOP, 6.0)]

    path["x_mm"] = [0.0, 13.0]
    path["arrive"][1] = Arrive.JUMP
    assert list(long_stitches(path, by)) == []


def test_travel_over_bare_cloth_is_reported_travel_under_a_trim_is_not():
    """Stems 1 wide at 0 and 2: 1 mm bare between them."""
    settings = plain_settings(join_mm=1.5)
    near = [letter(stem(x=0.0)), letter(stem(x=2.0), index=2)]
    far = [letter(stem(x=0.0)), letter(stem(x=9.0), index=2)]

    (found,) = exposed_travel(route(near, settings), near, settings)
    assert found.measured == pytest.approx(1.0, abs=0.01)
    assert (found.letter, found.code) == (2, "bare-travel")
    assert list(exposed_travel(route(far, settings), far, settings)) == []


@pytest.mark.parametrize(
    ("thread", "height", "levels"),
    [
        ("40", 5.0, []),
        ("40", 4.0, []),
        ("40", 3.7, [Level.CHECK]),
        ("40", 3.0, [Level.STOP]),
        ("40", 2.0, [Level.STOP]),
        ("60", 3.0, []),
        ("60", 2.0, []),
        ("60", 1.7, [Level.STOP]),
    ],
)
def test_height_below_the_recipe(thread, height, levels):
    """40 wt at 3 and 2 mm is not to be tried; 10 % under may be: common practice, no source."""
    settings = settings_for(height_mm=height, thread=thread)
    found = list(size_and_cloth(settings))

    assert [f.level for f in found] == levels


def test_cloth_that_gives_is_checked():
    (found,) = size_and_cloth(settings_for(cloth="fleece", height_mm=8.0))

    assert (found.code, found.level) == ("unsteady-cloth", Level.CHECK)
    assert "pile" in found.advice


def test_findings_come_gravest_first():
    settings = plain_settings(pull_mm=0.1, least_column_mm=0.8)
    letters = [
        letter(bar(10.0, 0.5)),
        reshaped(letter(bar(y=9.0), index=2), bare_share=1.0, columns=()),
    ]
    found = reviewed(letters, route(letters, settings), settings)

    assert [f.level for f in found] == sorted((f.level for f in found), reverse=True)
    assert {f.code for f in found} >= {"narrow-column", "uncovered"}


def test_hole_of_a_polygon_is_what_is_checked():
    """A square hole of 0.7: the widest circle in it has radius 0.35 (geometry)."""
    hole = Polygon([(0, 0), (4, 0), (4, 4), (0, 4)], [[(1, 1), (1.7, 1), (1.7, 1.7), (1, 1.7)]])
    (found,) = closing_counters([reshaped(letter(bar()), ink=(hole,))], plain_settings(pull_mm=0.2))

    assert found.measured == pytest.approx(0.3, abs=0.03)
    assert found.at_mm == pytest.approx((1.35, 1.35), abs=0.03)
