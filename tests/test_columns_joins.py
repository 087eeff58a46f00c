"""The splitter where strokes meet or end awkwardly: nothing bare, nothing spilt, no stroke lost.

The shapes are unions of strokes, so how many there are, and that they fill the ink, is known.
"""

import numpy as np
import pytest
import shapely
from column_shapes import EM, covered
from outside import font_file
from shapely.geometry import LineString, Polygon

from pathgen.columns.split import split, split_glyph
from pathgen.geometry import unit
from pathgen.lettering.fontfile import open_face
from pathgen.lettering.outlines import glyph_rings
from pathgen.polygons import joined


def stroke(*points, width=1.0):
    """A pen drawn along points, its ends cut off square."""
    return LineString(points).buffer(width / 2.0, cap_style="flat", join_style="mitre")


def arc(centre, radius, first, last):
    turn = np.radians(np.linspace(first, last, 24))
    return np.column_stack([np.cos(turn), np.sin(turn)]) * radius + centre


@pytest.mark.parametrize(("width", "run"), [(0.9, 2.2), (1.3, 1.7), (1.7, 1.7)])
def test_arm_and_leg_of_a_narrow_k_are_two_strokes_beside_its_stem(width, run):
    """They turn into one another by no more than a bend may, but do not cross the stem."""
    stem, foot = shapely.box(0.0, 0.0, width, 7.3), width + 0.25
    arm = stroke((foot, 3.0), (foot + run, 7.3), width=0.85 * width)
    leg = stroke((foot, 4.2), (foot + run, 0.0), width=0.85 * width)
    ink = shapely.intersection(joined([stem, arm, leg]), shapely.box(0.0, 0.0, 9.0, 7.3))

    columns = split(ink, EM)
    cover, spill = covered(columns, ink)

    assert len(columns) == 3
    assert cover > 0.99
    assert spill < 0.02


@pytest.mark.parametrize("side", [-1.0, 1.0])
def test_a_hollow_slanted_end_is_drawn_to_its_tip(side):
    """A pen's slanted end that falls in: no straight rung joins its corners inside the ink."""
    end = [(2.0, 7.0), (1.4, 6.2), (0.8, 5.85), (0.0, 5.75)]
    ink = Polygon([(0, 0), (2 * side, 0), *[(x * side, y) for x, y in end]])

    (column,) = split(ink, EM)

    assert max(column.left[:, 1].max(), column.right[:, 1].max()) == pytest.approx(7.0, abs=0.02)
    assert covered([column], ink)[0] > 0.985


def test_the_short_tongue_of_a_heavy_3_goes_with_a_bowl():
    """Half as long as its strokes are wide, which on the side of one that goes on were a spur."""
    upper = stroke(*arc((0.0, 5.4), 1.4, 150.0, -80.0), width=1.6)
    lower = stroke(*arc((0.0, 2.2), 1.8, 80.0, -150.0), width=1.6)
    tongue = shapely.box(-1.0, 3.4, 0.5, 4.6)
    ink = joined([upper, lower, tongue])

    columns = split(ink, EM)

    assert len(columns) == 2
    assert covered(columns, ink)[0] > 0.97


@pytest.mark.parametrize("height", [6.0, 6.3])
def test_nothing_is_spilt_between_a_slab_and_an_arm_below_it(height):
    """The r of a typewriter: the slab is left of the stem, the arm leaves it on the right."""
    stem, slab = shapely.box(0.0, 0.0, 0.8, 7.0), shapely.box(-1.2, 6.3, 0.8, 7.0)
    arm = stroke(*arc((2.2, height - 1.6), 1.8, 150.0, 50.0), width=0.8)
    ink = joined([stem, slab, arm])

    columns = split(ink, EM)
    cover, spill = covered(columns, ink)

    assert len(columns) == 2
    assert cover > 0.99
    assert spill < 0.003


def test_each_leg_of_a_bold_m_belongs_to_the_arch_before_it():
    """The arch after the middle leg leaves it thin; both turn into it alike."""
    face = open_face(font_file("DejaVuSans-Bold.ttf"))
    rings = glyph_rings(face, face.hb_font.get_nominal_glyph(ord("m")))

    _, columns = split_glyph(rings, float(face.facts.units_per_em))
    stem, middle, last = sorted(columns, key=lambda column: column.centre[-1, 0])

    assert (stem.centre[-1, 1], middle.centre[-1, 1], last.centre[-1, 1]) == (0.0, 0.0, 0.0)
    assert stem.centre[0, 0] < middle.centre[0, 0] < middle.centre[-1, 0] < last.centre[-1, 0]
    assert middle.centre[0, 0] < 0.6 * middle.centre[-1, 0]


@pytest.mark.parametrize("lean", [35.0, 45.0])
def test_a_slab_on_a_slanted_arm_is_sewn_along_the_slab(lean):
    """The arm of a serif K: flat on top, whatever the slant, and thin at its right end."""
    run = 5.0 * np.tan(np.radians(lean))
    arm = stroke((0.0, 0.0), (run, 5.0), width=0.6)
    slab = shapely.box(run - 1.2, 4.6, run + 1.2, 5.0)
    ink = shapely.intersection(joined([arm, slab]), shapely.box(-9.0, -9.0, 19.0, 5.0))

    (column,) = split(ink, EM)

    top = column.centre[:, 1] > 4.7
    rungs = unit(column.right - column.left)[top]
    assert top.sum() >= 2
    assert np.abs(rungs[:, 1]).max() < 0.05
    assert covered([column], ink)[0] > 0.97


@pytest.mark.parametrize("height", [7.5, 8.0])
def test_a_ring_on_the_point_of_an_a_is_a_column_of_its_own(height):
    """The ring of Å stands in the letter or on it: no part of its legs, nor are they one stroke."""
    legs = [stroke((x, 0.0), (3.3, 7.2), width=0.85) for x in (0.5, 6.1)]
    hole = shapely.Point(3.3, height).buffer(0.63)
    ink = joined([*legs, shapely.Point(3.3, height).buffer(1.17)]).difference(hole)

    columns = split(ink, EM)

    (around,) = (column for column in columns if column.closed)
    assert len(columns) == 3
    assert np.median(around.widths) == pytest.approx(0.54, rel=0.05)
    assert covered(columns, ink)[0] > 0.98


def test_the_foot_of_a_stem_with_bars_close_above_it_is_sewn():
    """The E of a heavy Æ: a bar from the left, one to the right a little higher, one at the foot;
    between the lowest two the stem is a tenth as long as it is wide."""
    boxes = [
        (4.92, 0.0, 6.84, 7.3),
        (4.92, 0.0, 9.2, 1.5),
        (4.92, 3.1, 9.3, 4.5),
        (4.92, 5.9, 9.3, 7.3),
        (2.0, 1.7, 5.0, 3.1),
    ]
    ink = joined([shapely.box(*box) for box in boxes])

    columns = split(ink, EM)

    stem = min(columns, key=lambda column: np.ptp(column.centre[:, 0]))
    assert len(columns) == len(boxes)
    assert np.ptp(stem.centre[:, 1]) == pytest.approx(7.3, abs=0.05)
    assert covered(columns, ink)[0] > 0.99


@pytest.mark.parametrize(("reach", "is_bar"), [(2.2, True), (1.0, False)])
def test_the_foot_of_a_heavy_1_is_a_bar_if_it_reaches_farther_than_a_serif(reach, is_bar):
    """Stem 1.9 wide, its foot 1.4 high; above, a flag keeps the stem from being that of a T."""
    ink = joined(
        [
            shapely.box(0.0, 0.0, 1.9, 7.3),
            shapely.box(-reach, 0.0, 1.9 + reach, 1.4),
            Polygon([(0.2, 5.7), (0.2, 7.3), (-1.9, 6.9), (-1.9, 5.3)]),
        ]
    )

    columns = split(ink, EM)

    lying = [c for c in columns if np.ptp(c.centre[:, 0]) > 1.9 + reach]
    assert (len(columns), len(lying)) == ((3, 1) if is_bar else (2, 0))
    assert covered(columns, ink)[0] > 0.99


@pytest.mark.parametrize("below", [0.15, 0.3, 0.45])
def test_the_stem_of_an_at_sign_runs_down_to_the_tail_that_comes_round_to_its_foot(below):
    """A ring against a stem; the foot, less than half a width below it, turns into a tail."""
    bowl = LineString(arc((0.0, 0.0), 2.0, 0.0, 360.0)).buffer(0.5)
    foot = -1.5 - below
    tail = stroke((1.5, foot - 0.5), *arc((2.5, foot + 2.5), 3.0, -90.0, 45.0))
    ink = joined([bowl, shapely.box(1.5, foot - 1.0, 2.5, 2.8), tail])

    columns = split(ink, EM)

    stem = min(columns, key=lambda column: np.ptp(column.centre[:, 0]))
    assert len(columns) == 3
    assert np.ptp(stem.centre[:, 1]) == pytest.approx(2.8 - (foot - 1.0), abs=0.05)
    assert covered(columns, ink)[0] > 0.99


@pytest.mark.parametrize("letter", "{}")
@pytest.mark.parametrize(
    "face", ["DejaVuSans-Bold.ttf", "DejaVuSans.ttf", "LiberationSans-Bold.ttf"]
)
def test_the_point_of_a_brace_is_sewn_to_its_end(face, letter):
    """However heavy the face: a person draws two strokes and leaves no corner bare."""
    font = open_face(font_file(face))
    rings = glyph_rings(font, font.hb_font.get_nominal_glyph(ord(letter)))

    (ink,), columns = split_glyph(rings, float(font.facts.units_per_em))
    cover, spill = covered(columns, ink)

    assert len(columns) == 2
    assert cover > 0.99
    assert spill < 0.003
