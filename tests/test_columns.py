"""The splitter: hand-made shapes, invariances, and letters that everyone can draw."""

import math
import subprocess
from functools import cache
from pathlib import Path

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from letter_table import COUNTS, LETTERS
from shapely import affinity
from shapely.geometry import Polygon

from pathgen.columns.split import split, split_glyph
from pathgen.geometry import cross, length, tangents
from pathgen.lettering.fontfile import open_face
from pathgen.lettering.outlines import glyph_rings
from pathgen.polygons import band, joined

# Hand-made shapes are a few units large; ten to the em makes them letters.
EM = 10.0


def ring_points(radius, count=180):
    turn = np.linspace(0.0, 2.0 * math.pi, count, endpoint=False)
    return radius * np.column_stack([np.cos(turn), np.sin(turn)])


BAR = Polygon([(0, 0), (6, 0), (6, 1), (0, 1)])
ELL = Polygon([(0, 0), (6, 0), (6, 1), (1, 1), (1, 8), (0, 8)])
TEE = Polygon([(0, 7), (2.5, 7), (2.5, 0), (3.5, 0), (3.5, 7), (6, 7), (6, 8), (0, 8)])
PLUS = Polygon(
    [(3, 0), (4, 0), (4, 3), (7, 3), (7, 4), (4, 4), (4, 7), (3, 7), (3, 4), (0, 4), (0, 3), (3, 3)]
)
RING = Polygon(ring_points(3.0), [ring_points(2.0)])
STADIUM = shapely.LineString([(0, 0), (6, 0)]).buffer(0.5, quad_segs=16)
BOW = shapely.LineString(
    [(0, 7), *[(3 - 3 * math.cos(a), 3 - 3 * math.sin(a)) for a in np.linspace(0, math.pi, 40)]]
    + [(6, 7)]
).buffer(0.5, cap_style="flat", quad_segs=32)
WEDGE = Polygon([(0, 0), (8, 0.4), (8, 0.6), (0, 1)])
DOT = Polygon(ring_points(0.6, 40))
SQUARE_DOT = Polygon([(0, 0), (1, 0), (1, 1), (0, 1)])

COLUMNS = {
    "bar": (BAR, 1),
    "ell": (ELL, 2),
    "tee": (TEE, 2),
    "plus": (PLUS, 2),
    "ring": (RING, 1),
    "stadium": (STADIUM, 1),
    "bow": (BOW, 1),
    "wedge": (WEDGE, 1),
    "dot": (DOT, 1),
    "square dot": (SQUARE_DOT, 1),
}


def covered(columns, ink):
    """Share of the ink under columns, and columns' area outside it as a share of the ink."""
    sewn = joined([band(c.left, c.right, closed=c.closed) for c in columns])
    return sewn.intersection(ink).area / ink.area, sewn.difference(ink).area / ink.area


def cross_count(columns):
    """Neighbouring rungs that cross, by shapely's own predicate."""
    total = 0
    for column in columns:
        rungs = shapely.linestrings(np.stack([column.left, column.right], axis=1))
        total += int(shapely.crosses(rungs[:-1], rungs[1:]).sum())
    return total


@pytest.mark.parametrize("name", COLUMNS)
def test_hand_shapes_have_as_many_columns_as_strokes_and_are_covered(name):
    ink, count = COLUMNS[name]

    columns = split(ink, EM)
    cover, spill = covered(columns, ink)

    assert len(columns) == count
    assert cover > 0.985
    assert spill < 0.005
    assert cross_count(columns) == 0


def test_bar_is_as_long_and_as_wide_as_drawn():
    (column,) = split(BAR, EM)

    assert length(column.centre) == pytest.approx(6.0, abs=1e-6)
    assert column.widths == pytest.approx(1.0, abs=1e-6)


def test_stadium_is_as_wide_as_its_discs_and_its_round_ends_close():
    """The medial axis of a stadium is its segment, its discs have radius t / 2 everywhere
    (Blum 1967), so the width is t but for the two round ends."""
    (column,) = split(STADIUM, EM)

    inner = np.abs(column.centre[:, 0] - 3.0) < 2.5
    assert column.widths[inner] == pytest.approx(1.0, abs=0.01)
    assert column.widths[[0, -1]].max() < 0.4
    assert length(column.centre) == pytest.approx(7.0, abs=0.1)


def test_ring_runs_once_round_at_constant_width():
    """Annulus of radii 3 and 2: the centre circle has length pi (R + r) = 15.708, width 1."""
    (column,) = split(RING, EM)

    assert column.closed
    assert column.left[0] == pytest.approx(column.left[-1])
    assert column.right[0] == pytest.approx(column.right[-1])
    assert length(column.centre) == pytest.approx(math.pi * 5.0, rel=0.005)
    assert column.widths == pytest.approx(1.0, abs=0.02)


def test_ring_goes_counter_clockwise_from_the_top():
    (column,) = split(RING, EM)

    x, y = column.centre[:-1].T
    assert y[0] == pytest.approx(y.max())
    assert x @ np.roll(y, -1) - y @ np.roll(x, -1) > 0.0


@pytest.mark.parametrize("name", ["ell", "tee", "plus"])
def test_widths_at_joints_are_those_of_the_arms(name):
    """On the medial axis they would overshoot by 17, 25 and 41 %: the largest discs at an L, T and
    X of stroke t have radius (2 - sqrt 2) t, 0.625 t and t / sqrt 2."""
    ink, _ = COLUMNS[name]

    widest = max(column.widths.max() for column in split(ink, EM))

    assert widest < 1.05


def test_tee_is_a_whole_bar_and_a_stem_that_overlaps_it_a_little():
    bar, stem = split(TEE, EM)

    assert length(bar.centre) == pytest.approx(6.0, abs=0.01)
    assert 7.05 < length(stem.centre) < 7.5


def test_plus_is_two_whole_bars():
    for column in split(PLUS, EM):
        assert length(column.centre) == pytest.approx(7.0, abs=0.01)


def test_ell_has_a_whole_stem():
    stem, bar = split(ELL, EM)

    assert length(stem.centre) == pytest.approx(8.0, abs=0.05)
    assert 5.05 < length(bar.centre) < 5.5


def test_bow_is_as_long_as_its_centre_line():
    """Two legs of 4 and a half circle of radius 3."""
    (column,) = split(BOW, EM)

    assert length(column.centre) == pytest.approx(8.0 + 3.0 * math.pi, rel=0.005)
    assert column.widths == pytest.approx(1.0, abs=0.03)


def test_wedge_narrows_evenly():
    (column,) = split(WEDGE, EM)

    assert column.widths[0] == pytest.approx(1.0, abs=0.02)
    assert column.widths[-1] == pytest.approx(0.2, abs=0.02)
    assert (np.diff(column.widths) < 1e-6).all()


def test_stems_run_down_and_bars_to_the_right_in_reading_order():
    rows = [(0, y) for y in (0, 3.5, 7)]
    ink = joined(
        [Polygon([(0, 0), (1, 0), (1, 8), (0, 8)])]
        + [Polygon([(x, y), (x + 5, y), (x + 5, y + 1), (x, y + 1)]) for x, y in rows]
    )

    stem, *bars = split(ink, EM)

    assert len(bars) == 3
    assert stem.centre[0][1] > stem.centre[-1][1]
    assert [bar.centre[0][1] for bar in bars] == sorted(
        (bar.centre[0][1] for bar in bars), reverse=True
    )
    assert all(bar.centre[0][0] < bar.centre[-1][0] for bar in bars)


def test_left_rail_is_on_the_left_of_travel():
    for ink, _ in COLUMNS.values():
        for column in split(ink, EM):
            ahead = tangents(column.centre)
            side = cross(ahead, column.left - column.centre)
            assert (side > -1e-6).all()


def test_shapes_that_touch_in_a_point_are_split_all_the_same():
    ink = Polygon([(0, 0), (6, 0), (6, 6), (0, 6)], [[(0, 3), (3, 1), (5, 3), (3, 5)]])
    assert ink.is_valid

    columns = split(ink, EM)

    assert covered(columns, ink)[0] > 0.9


@pytest.mark.parametrize(
    "ink",
    [
        Polygon([(0, 0), (1, 0), (0, 1)]),
        Polygon([(0, 0), (1e-7, 0), (0, 1e-7)]),
        Polygon([(0, 0), (1000, 0), (1000, 1e-3), (0, 1e-3)]),
        Polygon(ring_points(40.0, 7)),
        shapely.box(0, 0, 9, 9)
        .difference(shapely.box(1, 1, 8, 8))
        .union(shapely.box(2, 2, 7, 7))
        .geoms[0],
        Polygon(
            [(0, 0), (9, 0), (9, 9), (0, 9)],
            [
                [(x, y), (x, y + 1), (x + 1, y + 1), (x + 1, y)]
                for x in (1, 3, 5, 7)
                for y in (1, 3, 5, 7)
            ],
        ),
        Polygon(
            [
                (4 * math.cos(a) * r, 4 * math.sin(a) * r)
                for k in range(40)
                for a, r in [(k * math.pi / 20, 1 if k % 2 else 0.3)]
            ]
        ),
    ],
    ids=["triangle", "speck", "hair", "heptagon", "square ring", "grid", "star"],
)
def test_odd_shapes_do_not_raise(ink):
    columns = split(ink, EM)

    assert cross_count(columns) == 0


# ---- invariances

shapes = st.sampled_from([ELL, TEE, PLUS, RING, BOW, WEDGE])


def same(columns, others, scale=1.0, shift=(0.0, 0.0), tolerance=1e-6):
    assert len(columns) == len(others)
    for one, other in zip(columns, others, strict=True):
        assert one.closed == other.closed
        for rail, twin in ((one.left, other.left), (one.right, other.right)):
            assert rail.shape == twin.shape
            assert np.abs(rail * scale + shift - twin).max() < tolerance * max(scale, 1.0)


@given(shapes, st.floats(1e-3, 1e4))
@settings(max_examples=25, deadline=None)
def test_size_does_not_matter(ink, scale):
    bigger = affinity.scale(ink, scale, scale, origin=(0, 0))

    same(split(ink, EM), split(bigger, EM * scale), scale=scale)


@given(shapes, st.integers(-5000, 5000), st.integers(-5000, 5000))
@settings(max_examples=25, deadline=None)
def test_place_does_not_matter(ink, x, y):
    moved = affinity.translate(ink, x / 8, y / 8)

    same(split(ink, EM), split(moved, EM), shift=(x / 8, y / 8))


@given(shapes, st.integers(0, 400), st.integers(0, 400), st.booleans())
@settings(max_examples=25, deadline=None)
def test_ring_start_and_winding_do_not_matter(ink, start, hole_start, backward):
    def rolled(ring, by):
        points = np.roll(np.array(ring.coords)[:-1], by, axis=0)
        return points[::-1] if backward else points

    other = Polygon(rolled(ink.exterior, start), [rolled(r, hole_start) for r in ink.interiors])

    same(split(ink, EM), split(other, EM))


@given(shapes, st.floats(0.0, 360.0))
@settings(max_examples=40, deadline=None)
def test_turning_keeps_the_number_of_columns_and_the_cover(ink, turn):
    turned = affinity.rotate(ink, turn, origin=(0, 0))

    straight, columns = split(ink, EM), split(turned, EM)

    assert len(columns) == len(straight)
    assert covered(columns, turned)[0] == pytest.approx(covered(straight, ink)[0], abs=0.01)


# ---- letters

FACES = {
    "DejaVu Sans:style=Book": "DejaVuSans.ttf",
    "DejaVu Sans:style=Bold": "DejaVuSans-Bold.ttf",
    "DejaVu Serif:style=Book": "DejaVuSerif.ttf",
    "Liberation Sans:style=Regular": "LiberationSans-Regular.ttf",
    "Liberation Serif:style=Regular": "LiberationSerif-Regular.ttf",
}


@cache
def face(pattern):
    """An installed face; fc-match answers with another one where it is missing."""
    done = subprocess.run(
        ["fc-match", "-f", "%{file}", pattern], capture_output=True, text=True, check=True
    )
    path = Path(done.stdout)
    assert path.name == FACES[pattern], f"{pattern} is not installed; fc-match gave {path}"
    return open_face(path)


def glyph(pattern, text):
    opened = face(pattern)
    em = float(opened.facts.units_per_em)
    rings = glyph_rings(opened, opened.hb_font.get_nominal_glyph(ord(text)))
    return (*split_glyph(rings, em), em)


@pytest.mark.parametrize("pattern", FACES)
def test_letters_have_the_columns_that_a_person_would_draw(pattern):
    wrong, covers, spills = [], [], []
    for text in LETTERS:
        ink, columns, _ = glyph(pattern, text)
        cover, spill = covered(columns, joined(ink))
        covers.append(cover)
        spills.append(spill)
        assert cross_count(columns) == 0, text
        if len(columns) not in COUNTS[text]:
            wrong.append(f"{text}:{len(columns)}")

    assert len(wrong) <= 1, wrong
    assert np.mean(covers) >= 0.995
    assert min(covers) >= 0.97
    assert np.mean(spills) <= 0.002


def test_stems_are_as_wide_as_the_font_draws_them():
    """I: DejaVu Sans 202 x 1493 font units, Liberation Sans 191 x 1409 (read from the outlines)."""
    for pattern, width, height in (
        ("DejaVu Sans:style=Book", 202.0, 1493.0),
        ("Liberation Sans:style=Regular", 191.0, 1409.0),
    ):
        _, (column,), _ = glyph(pattern, "I")
        assert column.widths == pytest.approx(width, abs=0.01)
        assert length(column.centre) == pytest.approx(height, abs=0.01)


@pytest.mark.parametrize("pattern", ["DejaVu Sans:style=Book", "Liberation Sans:style=Regular"])
def test_rungs_of_a_sans_stand_square_and_in_the_ink(pattern):
    cosines, out, total = [], 0, 0
    for text in LETTERS:
        ink, columns, _ = glyph(pattern, text)
        grown = shapely.buffer(joined(ink), 1e-3)
        for column in columns:
            across, ahead = column.right - column.left, tangents(column.centre)
            wide = column.widths > 1e-9
            cosines += (np.abs((across * ahead).sum(axis=1))[wide] / column.widths[wide]).tolist()
            rungs = shapely.linestrings(np.stack([column.left, column.right], axis=1))
            outside = shapely.length(shapely.difference(rungs, grown))
            out += int((outside > 0.05 * shapely.length(rungs)).sum())
            total += len(rungs)

    assert np.mean(cosines) <= 0.03
    assert out <= 0.001 * total


def test_any_character_of_a_large_font_is_split():
    """Every 29th of DejaVu Sans' 5,900 characters: arrows, braille, chess men and all."""
    opened = face("DejaVu Sans:style=Book")
    em = float(opened.facts.units_per_em)
    characters = sorted(opened.hb_font.face.unicodes)[::29]

    covers = []
    for code in characters:
        ink, columns = split_glyph(glyph_rings(opened, opened.hb_font.get_nominal_glyph(code)), em)
        assert cross_count(columns) == 0, hex(code)
        if ink:
            covers.append(covered(columns, joined(ink))[0])

    assert len(covers) > 150
    assert np.mean(covers) > 0.98


# ---- strokes drawn one by one


def box(x0, y0, x1, y1):
    return np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)], dtype=float)


def test_overlapping_contours_that_are_strokes_are_the_columns():
    """A cross of two boxes: as one outline it has two whole bars, and so it has here; but a T
    keeps the stem that the designer drew up into the bar."""
    rings = [box(0, 7, 6, 8), box(2.5, 0, 3.5, 7.9)]

    ink, columns = split_glyph(rings, EM)

    assert len(ink) == 1
    assert [length(c.centre) for c in columns] == pytest.approx([6.0, 7.9], abs=1e-6)


def test_a_counter_belongs_to_the_contour_around_it():
    """A ring with a tail over its counter, like Q: the ring is closed, the tail whole."""
    rings = [ring_points(3.0), ring_points(2.0)[::-1], box(1.0, -3.5, 2.0, -0.5)]

    _, columns = split_glyph(rings, EM)

    assert [c.closed for c in columns] == [True, False]
    assert length(columns[1].centre) == pytest.approx(3.0, abs=1e-6)


def test_overlapping_contours_that_are_no_strokes_are_split_together():
    ell = np.array(ELL.exterior.coords)[:-1]
    rings = [ell, box(0, 0, 1, 4)]

    ink, columns = split_glyph(rings, EM)

    assert columns[0].left.shape == split(ink[0], EM)[0].left.shape
    assert len(columns) == 2


def test_contours_apart_are_split_piece_by_piece_and_dust_is_left_out():
    rings = [box(0, 0, 1, 6), box(0, 7, 1, 8), box(3.0, 0, 3.04, 0.04)]

    ink, columns = split_glyph(rings, EM)

    assert len(ink) == len(columns) == 2
