"""The splitter against outlines whose centre lines and widths are known.

Pen lines given a width (truth.py): away from joints and ends, columns must lie on the pen's way
and be as wide as the pen. Then shapes whose medial axis and measures are known in closed form
(Blum, "A transformation for extracting new descriptors of shape", 1967, and school geometry).
"""

import math
from dataclasses import dataclass
from functools import cache

import numpy as np
import pytest
import shapely
from letter_table import COUNTS, LETTERS
from shapely import affinity
from shapely.geometry import LineString, Point, Polygon
from truth import Truth, letter_truth, stroked

from pathgen.columns.split import split
from pathgen.geometry import length
from pathgen.model import Column

# Hershey capitals are 21 units high; 0.7 em, as in most faces.
EM = 30.0

# What a person sewing would not see: 0.01 mm in a stroke of 0.5 mm.
MEDIAN_WIDTH_ERROR = 0.02
WIDTH_ERROR_95 = 0.05
OFF_WIDTHS = 0.05


@dataclass(frozen=True)
class Found:
    """How far columns are from the truth, in stroke widths, where strokes are free."""

    columns: tuple[Column, ...]
    missed: float  # farthest free point of a true centre line from a column's centre line
    astray: float  # farthest rung's middle from a true centre line
    width_median: float
    width_95: float


def found(truth: Truth) -> Found:
    """Split an outline and hold the columns against the strokes."""
    columns = tuple(column for piece in truth.ink for column in split(piece, EM))
    true_lines = shapely.union_all([LineString(stroke) for stroke in truth.strokes])
    lines = shapely.union_all([LineString(column.centre) for column in columns])
    points, free = np.concatenate(truth.strokes), np.concatenate(truth.free)
    assert free.sum() > 4, "too little of the letter is free to be judged"
    middles = np.concatenate([column.centre for column in columns])
    widths = np.concatenate([column.widths for column in columns])
    judged = free[shapely.STRtree(shapely.points(points)).nearest(shapely.points(middles))]
    errors = np.abs(widths[judged] / truth.width - 1.0)
    return Found(
        columns,
        missed=shapely.distance(shapely.points(points[free]), lines).max() / truth.width,
        astray=shapely.distance(shapely.points(middles[judged]), true_lines).max() / truth.width,
        width_median=float(np.median(errors)),
        width_95=float(np.quantile(errors, 0.95)),
    )


def assert_true(result: Found) -> None:
    """The promise, for free parts of strokes."""
    assert result.width_median <= MEDIAN_WIDTH_ERROR
    assert result.width_95 <= WIDTH_ERROR_95
    assert result.missed <= OFF_WIDTHS
    assert result.astray <= OFF_WIDTHS


# ---- letters of a pen

# Pens as for regular and for semi-bold text: a tenth and a seventh of the capitals.
PENS = [
    pytest.param(2.0, True, id="regular-round"),
    pytest.param(2.0, False, id="regular-flat"),
    pytest.param(3.0, True, id="bold-round"),
    pytest.param(3.0, False, id="bold-flat"),
]


@cache
def written(face: str, letter: str, width: float, round_ends: bool) -> Found:
    return found(letter_truth(face, letter, width, round_ends=round_ends))


@pytest.mark.parametrize(("width", "round_ends"), PENS)
@pytest.mark.parametrize("letter", LETTERS)
def test_columns_of_plain_letters_are_the_pen_strokes(letter, width, round_ends):
    assert_true(written("futural", letter, width, round_ends))


@pytest.mark.parametrize(("width", "round_ends"), PENS)
@pytest.mark.parametrize("letter", LETTERS)
def test_plain_letters_have_as_many_columns_as_a_person_would_draw(letter, width, round_ends):
    # The 3 of this face is flat on top: bar, slant and bowl.
    accepted = (1, 2, 3) if letter == "3" else COUNTS[letter]

    assert len(written("futural", letter, width, round_ends).columns) in accepted


@pytest.mark.parametrize("letter", LETTERS[:52])
def test_columns_of_a_running_hand_are_the_pen_strokes(letter):
    """Loops, crossings and hairpin turns."""
    assert_true(written("scripts", letter, 2.0, True))


# The face has a sign, not a letter, at J.
@pytest.mark.parametrize("letter", LETTERS[:52].replace("J", ""))
def test_columns_of_greek_letters_are_the_pen_strokes(letter):
    assert_true(written("greek", letter, 2.0, True))


def test_truth_has_the_area_of_its_strokes():
    """A stadium of length 21 and width 2: 42 + pi, less 0.16 % of the discs for their chords."""
    truth = letter_truth("futural", "l", 2.0, round_ends=True)

    assert sum(piece.area for piece in truth.ink) == pytest.approx(42.0 + math.pi, abs=0.01)


def test_a_column_beside_the_pen_stroke_is_noticed():
    """The check itself: a stroke drawn a tenth of its width beside where it is said to be."""
    truth = stroked([[(0, 0), (20, 0)]], 2.0, round_ends=False)
    beside = Truth(
        ink=tuple(affinity.translate(piece, 0.0, 0.2) for piece in truth.ink),
        width=truth.width,
        strokes=truth.strokes,
        free=truth.free,
    )

    with pytest.raises(AssertionError):
        assert_true(found(beside))


# ---- strokes with joints, at any angle

T = 2.0


def turned(lines, angle):
    return [
        np.array(affinity.rotate(LineString(line), angle, origin=(0, 0)).coords) for line in lines
    ]


def bent(angle):
    """Two arms of 12 at an angle."""
    turn = math.radians(angle)
    return [[(12, 0), (0, 0), (12 * math.cos(turn), 12 * math.sin(turn))]]


def tee(angle):
    """A stem of 12 on a bar of 20."""
    turn = math.radians(angle)
    return [[(-10, 0), (10, 0)], [(0, 0), (12 * math.cos(turn), 12 * math.sin(turn))]]


def cross(angle):
    """Two bars of 20."""
    turn = math.radians(angle)
    arm = (10 * math.cos(turn), 10 * math.sin(turn))
    return [[(-10, 0), (10, 0)], [(-arm[0], -arm[1]), arm]]


JOINTS = {"L": bent, "T": tee, "X": cross}


@pytest.mark.parametrize("round_ends", [True, False], ids=["round", "flat"])
@pytest.mark.parametrize("turn", [0.0, 17.0, 45.0, 90.0])
@pytest.mark.parametrize("angle", [60.0, 75.0, 90.0])
@pytest.mark.parametrize("shape", JOINTS)
def test_arms_of_joints_keep_their_width_and_place(shape, angle, turn, round_ends):
    truth = stroked(turned(JOINTS[shape](angle), turn), T, round_ends=round_ends)

    result = found(truth)

    assert len(result.columns) == 2
    assert_true(result)


@pytest.mark.parametrize("turn", [0.0, 17.0, 45.0, 90.0])
@pytest.mark.parametrize(
    ("shape", "medial"),
    [("L", 2.0 * (2.0 - math.sqrt(2.0))), ("T", 1.25), ("X", math.sqrt(2.0))],
)
def test_widths_at_square_joints_are_not_those_of_the_medial_axis(shape, medial, turn):
    """The largest discs at an L, T and X of stroke t have diameters of 1.172 t, 1.25 t and 1.414
    t; no rung may be wider than half way there."""
    truth = stroked(turned(JOINTS[shape](90.0), turn), T, round_ends=False)

    columns = found(truth).columns

    widest = max(column.widths.max() for column in columns)
    assert widest / T < 1.0 + (medial - 1.0) / 2.0


# ---- shapes in closed form


@pytest.mark.parametrize("turn", [0.0, 30.0, 90.0])
def test_rectangle_is_one_column_of_its_length_and_width(turn):
    """10 x 2: the medial axis stops h / 2 short of both ends; the column must not."""
    ink = affinity.rotate(shapely.box(0, 0, 10, 2), turn)

    (column,) = split(ink, EM)

    assert length(column.centre) == pytest.approx(10.0, abs=1e-3)
    assert column.widths == pytest.approx(2.0, abs=1e-3)


@pytest.mark.parametrize(("outer", "inner"), [(3.0, 2.0), (6.0, 5.0), (7.0, 4.0)])
def test_annulus_is_a_ring_of_length_pi_sum_and_width_difference(outer, inner):
    hole = list(Point(0, 0).buffer(inner, quad_segs=64).exterior.coords)
    ink = Polygon(Point(0, 0).buffer(outer, quad_segs=64).exterior.coords, [hole])

    (column,) = split(ink, EM)

    assert column.closed
    assert length(column.centre) == pytest.approx(math.pi * (outer + inner), rel=0.005)
    assert column.widths == pytest.approx(outer - inner, rel=0.01)


@pytest.mark.parametrize("turn", [0.0, 30.0, 90.0])
def test_ellipse_is_one_column_on_its_long_axis(turn):
    """Half axes a = 4, b = 2. Its medial axis is the part |x| <= (a^2 - b^2) / a = 3 of the long
    axis; the chord across it at x is 2 b sqrt(1 - x^2 / a^2)."""
    ellipse = affinity.scale(Point(0, 0).buffer(1.0, quad_segs=64), 4.0, 2.0)

    (column,) = split(affinity.rotate(ellipse, turn, origin=(0, 0)), EM)

    straight = affinity.rotate(LineString(column.centre), -turn, origin=(0, 0))
    x, y = np.array(straight.coords).T
    inner = np.abs(x) <= 3.0
    assert inner.sum() > 5
    assert np.abs(y[inner]).max() < OFF_WIDTHS * 4.0
    chords = 4.0 * np.sqrt(1.0 - (x[inner] / 4.0) ** 2)
    assert column.widths[inner] == pytest.approx(chords, rel=0.02)


def test_oval_ring_is_as_long_as_its_ellipse():
    """A pen of 1.6 along an ellipse of half axes 8 and 4, whose perimeter is 38.753793 (complete
    elliptic integral of the second kind, 4 a E(e))."""
    turn = np.linspace(0.0, 2.0 * math.pi, 73)
    oval = np.column_stack([8.0 * np.cos(turn), 4.0 * np.sin(turn)])

    result = found(stroked([oval], 1.6, round_ends=True))

    (column,) = result.columns
    assert column.closed
    assert length(column.centre) == pytest.approx(38.753793, rel=0.005)
    assert_true(result)


def test_spiral_is_followed_to_its_core():
    """r = a phi for two turns from phi = pi: length a / 2 (phi sqrt(1 + phi^2) + asinh phi)."""

    def arc(phi):
        return 0.5 * (phi * math.sqrt(1.0 + phi * phi) + math.asinh(phi))

    phi = np.linspace(math.pi, 5.0 * math.pi, 100)
    line = np.column_stack([phi * np.cos(phi), phi * np.sin(phi)])
    truth = stroked([line], 2.0, round_ends=False)

    result = found(truth)

    (column,) = result.columns
    assert length(column.centre) == pytest.approx(arc(5.0 * math.pi) - arc(math.pi), rel=0.005)
    assert_true(result)
