"""The splitter at the ends and turns of strokes: serifs, slabs, round feet and bends."""

import numpy as np
import pytest
import shapely
from column_shapes import EM, covered
from shapely.geometry import Polygon

from pathgen.columns.split import split
from pathgen.geometry import length
from pathgen.polygons import joined


def slabbed(stem, height, reach, thick):
    """An I with a slab across each end, its stem's lower left corner at the origin."""
    slabs = [shapely.box(-reach, y, stem + reach, y + thick) for y in (0.0, height - thick)]
    return joined([shapely.box(0.0, 0.0, stem, height), *slabs])


@pytest.mark.parametrize("hollow", [0.7, 1.0, 1.3])
def test_legs_that_meet_in_a_round_foot_are_two_strokes(hollow):
    """The v of a typewriter: its foot is as round as its legs are thick, the inside sharp."""
    foot = [(0.85, 0.45), (0.75, 0.25), (0.6, 0.08), (0.4, -0.06), (0.2, -0.13)]
    left = [(-x, y) for x, y in foot]
    legs = [(3.3, 6), (2.2, 6), (0, hollow), (-2.2, 6), (-3.3, 6)]
    ink = Polygon([*legs, *left, (0, -0.15), *foot[::-1]])

    columns = split(ink, EM)

    assert len(columns) == 2
    assert covered(columns, ink)[0] > 0.985


def arc(centre, radii, first, last, count):
    turn = np.radians(np.linspace(first, last, count))
    return np.column_stack([np.cos(turn), np.sin(turn)]) * radii + centre


def test_a_turn_that_is_round_outside_and_inside_is_one_stroke_however_far_it_turns():
    """The foot of an italic l: a stem comes down, a hairline goes up."""
    outside = arc((0.1, 0.45), (0.7, 0.55), 165.0, 320.0, 14)
    inside = arc((0.4, 0.75), (0.12, 0.12), -60.0, -200.0, 8)
    ink = Polygon([(1.5, 6), *outside, (1.9, 1.6), (1.75, 1.75), *inside, (2.4, 6)])

    assert len(split(ink, EM)) == 1


@pytest.mark.parametrize(("reach", "thick"), [(0.8, 0.3), (1.2, 0.5), (1.1, 0.75)])
def test_slabs_of_a_serif_letter_go_with_their_stem(reach, thick):
    """Shapes in the range of printed serifs: reach 0.7 to 1.7 and thickness 0.2 to 0.9 of the stem,
    measured on twelve faces."""
    ink = slabbed(1.0, 7.3, reach, thick)

    (column,) = split(ink, EM)

    assert length(column.centre) == pytest.approx(7.3, abs=0.02)
    assert column.widths[0] == pytest.approx(1.0 + 2.0 * reach, abs=0.02)
    assert covered([column], ink)[0] > 0.99


@pytest.mark.parametrize("lean", [-2.0, 2.0])
def test_a_slab_with_round_corners_is_swept_along_its_foot(lean):
    """A slanted stem whose slab has no corner to find its edge by."""
    stem = Polygon([(2, 0.5), (3, 0.5), (3 + lean, 7), (2 + lean, 7)])
    ink = joined([stem, shapely.LineString([(1.35, 0.35), (3.65, 0.35)]).buffer(0.35)])

    (column,) = split(ink, EM)

    foot = column.centre[:, 1] < 0.3
    rungs = (column.right - column.left)[foot]
    assert foot.sum() > 3
    assert np.abs(rungs[:, 1]).max() < 0.05
    assert covered([column], ink)[0] > 0.97


def test_the_bar_of_a_narrow_bold_t_is_no_serif():
    """Stem 1.6, bar 4.8 x 1.2: overhang as long as the stem is wide."""
    ink = joined([shapely.box(1.6, 0.0, 3.2, 7.0), shapely.box(0.0, 6.1, 4.8, 7.3)])

    columns = split(ink, EM)

    assert len(columns) == 2


def test_no_rung_stands_in_the_step_from_a_stem_to_its_slab():
    """The drawing has two widths, 1.0 and 2.6; between them the column does not advance."""
    (column,) = split(slabbed(1.0, 7.3, 0.8, 0.3), EM)

    either = np.minimum(np.abs(column.widths - 1.0), np.abs(column.widths - 2.6))
    assert either.max() < 0.01
    steps = np.abs(np.diff(column.widths)) > 0.1
    assert steps.sum() == 2
    assert np.abs(np.diff(column.centre[:, 1]))[steps].max() < 0.01


@pytest.mark.parametrize("right", [0.6, 1.2])
def test_no_rung_leaves_the_ink_at_a_hollow_slab(right):
    """The foot of an old-style letter falls in by a thirtieth of its length or less."""
    foot = np.linspace(-0.6, 1.0 + right, 9)
    hollow = 0.05 * (1.0 - ((foot - foot.mean()) / np.ptp(foot) * 2.0) ** 2)
    over = [(1.0 + right, 0.4), (1.0, 0.4), (1.0, 7.0), (0.0, 7.0), (0.0, 0.4), (-0.6, 0.4)]
    ink = Polygon([*zip(foot, hollow, strict=True), *over])

    (column,) = split(ink, EM)

    rungs = shapely.linestrings(np.stack([column.left, column.right], axis=1))
    outside = shapely.length(shapely.difference(rungs, ink.buffer(1e-6)))
    assert (outside / shapely.length(rungs)).max() < 0.01
    assert covered([column], ink)[0] > 0.98


def angles_deg(rungs):
    """Angle of each rung against the x axis, -90 to 90 degrees."""
    x, y = rungs.T
    return np.degrees(np.arctan(y / x))


@pytest.mark.parametrize("slope", [0.4, 0.7])
def test_a_slanted_stem_is_sewn_square_up_to_the_corner_of_its_slab(slope):
    """A leg of X: square to it, the last rung that touches no slab is that through the corner."""
    height, stem, thick = 7.3, 1.2, 0.5
    run = slope * (height - thick)
    leg = [(0.0, thick), (stem, thick), (stem + run, height), (run, height)]
    ink = joined([Polygon(leg), shapely.box(-0.9, 0.0, stem + 0.9, thick)])

    (column,) = split(ink, EM)

    # On the side that leans over the slab the square through the corner is this much higher.
    rise = stem * slope / (1.0 + slope**2)
    low, high = np.sort([column.left[:, 1], column.right[:, 1]], axis=0)
    on_stem = (low > thick + 0.25) & (high > thick + rise) & (high < height - 1.0)
    lean_deg = -np.degrees(np.arctan(slope))
    assert on_stem.sum() > 20
    assert np.abs(angles_deg((column.right - column.left)[on_stem]) - lean_deg).max() < 8.0
    in_slab = high < thick + 1e-6
    assert np.abs((column.right - column.left)[in_slab, 1]).max() < 0.01


@pytest.mark.parametrize("drop", [0.0, 0.25])
def test_a_flag_on_one_side_leaves_its_stem_square(drop):
    """The head of b: the slab's lower edge slants by ``drop``; all of the stem is sewn level."""
    flag = [(0.0, 6.5 - drop), (-0.9, 6.6), (-0.9, 7.0), (1.0, 7.0), (1.0, 0.0), (0.0, 0.0)]
    ink = Polygon(flag)

    (column,) = split(ink, EM)

    assert np.abs((column.right - column.left)[:, 1]).max() < 0.02
    assert covered([column], ink)[0] > 0.995


def test_a_bend_is_sewn_square_until_it_has_swollen_into_a_beak():
    """The head of c: its stroke bends about the origin, and from 68 degrees on swells on the inside
    to an upright edge."""
    outside = arc((0.0, 0.0), 3.0, 200.0, 50.0, 60)
    inside = arc((0.0, 0.0), 2.2, 68.0, 200.0, 50)
    beak = [(1.93, 0.9), (1.55, 0.9), (1.45, 1.25), (1.25, 1.6), (1.05, 1.85)]
    ink = Polygon([*outside, *beak, *inside])

    (column,) = split(ink, EM)

    across, out = column.left - column.right, column.centre
    place_deg = np.degrees(np.arctan2(out[:, 1], out[:, 0]))
    in_bend = (place_deg > 62.0) & (place_deg < 180.0)
    off_deg = (np.degrees(np.arctan2(across[:, 1], across[:, 0])) - place_deg + 90.0) % 180.0 - 90.0
    assert in_bend.sum() > 20
    assert np.abs(off_deg[in_bend]).max() < 10.0
    edge = column.centre[:, 0] > 1.7
    assert np.abs(across[edge, 0]).max() < 0.05
    assert covered([column], ink)[0] > 0.985


@pytest.mark.parametrize("turn_deg", [100.0, 130.0, 160.0])
@pytest.mark.parametrize("hollow", [0.5, 0.9])
def test_a_tight_bend_that_is_cut_square_is_sewn_to_its_cut(hollow, turn_deg):
    """A J: a stem of width 1, bent round the origin and cut across. Its last rung is the cut, and
    its centre line a straight one of 5 and an arc of radius ``hollow`` + 0.5."""
    outside = arc((0.0, 0.0), hollow + 1.0, 0.0, -turn_deg, 40)
    inside = arc((0.0, 0.0), hollow, -turn_deg, 0.0, 40)
    ink = Polygon([(hollow, 5.0), *inside[::-1], *outside[::-1], (hollow + 1.0, 5.0)])

    (column,) = split(ink, EM)

    ends = np.array([column.left[[0, -1]], column.right[[0, -1]]])
    low = ends[:, np.argmin(ends.mean(axis=0)[:, 1])]
    cut = np.array([inside[0], outside[-1]])
    assert min(np.abs(low - cut).max(), np.abs(low[::-1] - cut).max()) < 0.01
    bend = (hollow + 0.5) * np.radians(turn_deg)
    assert length(column.centre) == pytest.approx(5.0 + bend, rel=0.01)
    assert covered([column], ink)[0] > 0.995
