"""Bays that close, letters and parts that touch: found at the place, silent at the limit."""

import math
from dataclasses import replace

import numpy as np
import pytest
from examples import many
from hypothesis import given, settings
from hypothesis import strategies as st
from shapes import bar, letter, plain_settings, reshaped, stem

from pathgen.geometry import signed_area
from pathgen.model import Level
from pathgen.pipeline import plan
from pathgen.polygons import Polygon, area, pockets
from pathgen.review.bays import bays_of, closing_bays
from pathgen.review.touching import touching_letters, touching_parts
from pathgen.settings import GAP_THREADS

THREAD_MM = plain_settings().thread.diameter_mm
LIMIT_MM = GAP_THREADS * THREAD_MM


def inked(*polygons):
    """A letter of these outlines; its column is as wide as any thread needs."""
    return reshaped(letter(bar(10.0, 2.0)), ink=polygons)


def slot(gap):
    """Two legs and a bridge on top, as in n; the slot between the legs is open below."""
    return Polygon(
        [(0, 0), (1, 0), (1, 4), (1 + gap, 4), (1 + gap, 0), (2 + gap, 0), (2 + gap, 5), (0, 5)]
    )


def keyhole(mouth, radius=1.0):
    """A block with a round room in it that opens to the right through a slot, as in c."""
    half = math.asin(mouth / 2.0 / radius)
    turn = np.linspace(half, 2.0 * math.pi - half, 181)
    room = [(2.0 + radius * math.cos(t), radius * math.sin(t)) for t in turn]
    corners = [(4.0, mouth / 2.0), (4.0, 2.0), (0.0, 2.0), (0.0, -2.0), (4.0, -2.0)]
    return Polygon([(4.0, -mouth / 2.0), *corners[4:], *corners[3:0:-1], corners[0], *room])


def wedge(width):
    """A V: two arms that meet in a point, their inner edges ``width`` apart at the top."""
    return Polygon(
        [(0, 0), (width / 2 + 1, 4), (width / 2, 4), (0, 1.2), (-width / 2, 4), (-width / 2 - 1, 4)]
    )


@pytest.mark.parametrize("gap", [0.3, 0.7, 1.5])
def test_a_slot_is_as_wide_as_it_is_drawn(gap):
    (bay,) = bays_of(inked(slot(gap)).shape, 5.0)

    assert bay.gap_mm == pytest.approx(gap, abs=0.02)
    assert bay.at_mm[0] == pytest.approx(1.0 + gap / 2.0, abs=0.02)


@pytest.mark.parametrize("mouth", [0.3, 0.6, 1.0])
def test_a_room_is_as_open_as_its_mouth_not_as_wide_as_itself(mouth):
    (bay,) = bays_of(inked(keyhole(mouth)).shape, 5.0)

    assert bay.gap_mm == pytest.approx(mouth, abs=0.02)
    assert bay.at_mm[0] == pytest.approx(3.4, abs=0.6)


def test_a_wedge_does_not_close_from_its_point():
    """Half angle a with tan a = 1.5 / 2.8. A disc that touches both arms in a chord c leaves
    c^2 / (4 tan a) behind it; half of the pocket's 4.2 mm2 counts, so c = 2.121 and the disc
    is c / cos a = 2.41 wide."""
    (bay,) = bays_of(inked(wedge(3.0)).shape, 5.0)
    slope = 1.5 / 2.8
    chord = math.sqrt(0.5 * 4.2 * 4.0 * slope)

    assert bay.gap_mm == pytest.approx(chord / math.cos(math.atan(slope)), abs=0.12)


def test_a_narrow_nook_without_room_is_no_bay():
    """A notch 0.2 wide and 1 deep has 0.2 mm2 in it; pockets from 0.75 on count at 5 mm."""
    notched = Polygon([(0, 0), (4, 0), (4, 5), (2.1, 5), (2.1, 4), (1.9, 4), (1.9, 5), (0, 5)])

    assert bays_of(inked(notched).shape, 5.0) == ()


def test_a_shape_without_hollows_has_no_bay():
    assert bays_of(inked(Polygon([(0, 0), (3, 0), (3, 5), (0, 5)])).shape, 5.0) == ()


def test_turning_a_letter_changes_no_gap():
    straight = keyhole(0.6)
    for turn in (0.3, 1.1, 2.6):
        c, s = math.cos(turn), math.sin(turn)
        turned = Polygon([(c * x - s * y, s * x + c * y) for x, y in straight.exterior.coords])
        (bay,) = bays_of(inked(turned).shape, 5.0)
        assert bay.gap_mm == pytest.approx(0.6, abs=0.02)


def test_pocket_has_the_area_of_its_hull_less_the_ink():
    """Slot 0.7 by 4: by the shoelace formula over the wall, closed at the mouth."""
    (wall,) = pockets(slot(0.7), 0.1)
    x, y = wall.T
    shoelace = 0.5 * float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y))

    assert shoelace == pytest.approx(0.7 * 4.0)
    assert pockets(slot(0.7), 2.9) == ()


@pytest.mark.parametrize("letter_text", list("aceghkmsEMSW&"))
def test_pockets_are_what_the_hull_has_more_than_the_letter(letter_text):
    """Area of the hull less that of the filled outline, by shapely, over all pockets."""
    for shape in plan(letter_text, height_mm=5.0).letters[0].ink:
        solid = Polygon(shape.exterior)
        walls = pockets(shape, 0.0)

        assert sum(signed_area(wall) for wall in walls) == pytest.approx(
            solid.convex_hull.area - solid.area
        )
        assert [signed_area(w) for w in walls] == sorted(map(signed_area, walls), reverse=True)


def test_bay_shrinks_by_twice_the_growth_and_is_told_at_its_place():
    """0.7 drawn, 0.2 allowance a side: 0.3 sewn, under two threads of 0.2018."""
    settings = plain_settings(pull_mm=0.2)
    (found,) = closing_bays([replace(inked(slot(0.7)), at_mm=(10.0, 1.0))], settings)

    assert (found.code, found.level) == ("closing-bay", Level.NOTE)
    assert found.measured == pytest.approx(0.3, abs=0.02)
    assert found.limit == pytest.approx(0.4036, abs=1e-3)
    assert found.at_mm[0] == pytest.approx(11.35, abs=0.02)
    assert 1.0 < found.at_mm[1] < 5.0


def test_bay_just_open_enough_is_silent_and_one_just_under_is_a_note():
    settings = plain_settings()
    at, under = (inked(slot(LIMIT_MM + extra)) for extra in (1e-6, -0.01))

    assert list(closing_bays([at], settings)) == []
    assert [f.level for f in closing_bays([under], settings)] == [Level.NOTE]
    shut = inked(slot(THREAD_MM - 0.01))
    assert [f.level for f in closing_bays([shut], settings)] == [Level.CHECK]


def test_bay_shrinks_by_what_narrow_columns_are_widened():
    """Columns 0.4 wide in a least column of 0.8: 0.2 more on each side, so 0.7 becomes 0.3."""
    narrow = reshaped(letter(bar(10.0, 0.4)), ink=(slot(0.7),))
    (found,) = closing_bays([narrow], plain_settings(least_column_mm=0.8))

    assert found.measured == pytest.approx(0.3, abs=0.02)


def test_letters_nearer_than_a_thread_are_noted_and_those_that_overlap_are_to_be_checked():
    """Stems 1 wide, middles 1.6 apart: 0.6 between, less twice the allowance."""
    pair = [letter(stem(x=0.0)), letter(stem(x=1.6), index=2)]

    def found(pull):
        return list(touching_letters(pair, plain_settings(pull_mm=pull)))

    assert found(0.15) == []
    (near,) = found(0.25)
    assert (near.code, near.level, near.letter) == ("letters-touching", Level.NOTE, 1)
    assert near.measured == pytest.approx(0.1)
    assert near.limit == pytest.approx(THREAD_MM)
    assert near.at_mm[0] == pytest.approx(0.8)
    (over,) = found(0.35)
    assert (over.level, over.measured) == (Level.CHECK, pytest.approx(-0.1))


def test_letters_exactly_a_thread_apart_are_silent():
    gap = THREAD_MM + 1e-9
    pair = [letter(stem(x=0.0)), letter(stem(x=1.0 + gap), index=2)]

    assert list(touching_letters(pair, plain_settings())) == []


def test_letters_that_the_face_joins_are_left_alone():
    pair = [letter(stem(x=0.0)), letter(stem(x=0.9), index=2)]

    assert list(touching_letters(pair, plain_settings(pull_mm=0.3))) == []


def test_letters_of_different_lines_are_not_neighbours():
    pair = [letter(stem(x=0.0)), letter(stem(x=1.05), line=2)]

    assert list(touching_letters(pair, plain_settings())) == []


def test_a_dot_that_runs_into_its_stem_is_found():
    """Stem to 5.0, dot from 5.3: 0.3 between, less twice 0.1."""
    i = letter(stem(), stem(height=1.0, y=5.3))
    (found,) = touching_parts([i], plain_settings(pull_mm=0.1))

    assert found.code == "parts-touching"
    assert found.measured == pytest.approx(0.1)
    assert found.at_mm == pytest.approx((0.0, 5.15), abs=0.51)


@given(st.lists(st.tuples(st.integers(0, 12), st.integers(0, 12)), min_size=3, max_size=9))
@settings(max_examples=many(80), deadline=None)
def test_areas_are_those_of_picks_theorem(corners):
    """Of a lattice polygon: points inside + points on its edge / 2 - 1 (Pick, 1899)."""
    middle = np.mean(corners, axis=0)
    turn = sorted(set(corners), key=lambda p: math.atan2(p[1] - middle[1], p[0] - middle[0]))
    polygon = Polygon(turn) if len(turn) > 2 else None
    if polygon is None or not polygon.is_valid or polygon.area == 0.0:
        return
    edge = sum(
        math.gcd(abs(a[0] - b[0]), abs(a[1] - b[1]))
        for a, b in zip(turn, turn[1:] + turn[:1], strict=True)
    )
    inside = sum(_within(turn, x, y) for x in range(13) for y in range(13))

    assert area(polygon) == pytest.approx(inside + edge / 2.0 - 1.0)
    assert abs(signed_area(np.array(turn, dtype=float))) == pytest.approx(area(polygon))


def _within(corners, x, y):
    """Whether a lattice point lies strictly inside, in whole numbers only."""
    wound = 0
    for (x0, y0), (x1, y1) in zip(corners, corners[1:] + corners[:1], strict=True):
        side = (x1 - x0) * (y - y0) - (x - x0) * (y1 - y0)
        between = min(x0, x1) <= x <= max(x0, x1) and min(y0, y1) <= y <= max(y0, y1)
        if side == 0 and between:
            return False
        wound += (y0 <= y < y1 and side > 0) - (y1 <= y < y0 and side < 0)
    return wound != 0
