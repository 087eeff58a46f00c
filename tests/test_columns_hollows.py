"""Rails go round the hollow corners of serifs: no line between two rungs leaves the ink."""

import subprocess
from pathlib import Path

import numpy as np
import pytest
import shapely
from column_shapes import cross_count

from pathgen.columns.hollows import CUT_EM, LEFT, MEASURED, STRAY_EM, kept_inside
from pathgen.columns.outline import traced
from pathgen.columns.rails import Rails
from pathgen.columns.split import split_glyph
from pathgen.lettering.fontfile import open_face
from pathgen.lettering.outlines import glyph_rings
from pathgen.model import Column
from pathgen.polygons import joined


def strays_em(columns, ink, em):
    """How far rails leave the ink, looked up at eight places between any two rungs (shapely)."""
    farthest = 0.0
    for column in columns:
        for rail in (column.left, column.right):
            at = np.linspace(0, len(rail) - 1, 8 * (len(rail) - 1) + 1)
            along = [np.interp(at, np.arange(len(rail)), rail[:, axis]) for axis in (0, 1)]
            farthest = max(farthest, shapely.distance(shapely.points(*along), ink).max())
    return farthest / em


@pytest.mark.parametrize(
    ("pattern", "letters"),
    [
        ("DejaVu Serif:style=Book", "gqpdAVbHklnU"),
        ("DejaVu Serif:style=Bold", "l1HhnmKkFUY"),
        ("Liberation Serif:style=Bold", "bduhl"),
    ],
)
def test_no_rail_cuts_the_hollow_corner_of_a_serif(pattern, letters):
    path = subprocess.run(
        ["fc-match", "-f", "%{file}", pattern], capture_output=True, text=True, check=True
    ).stdout
    face = open_face(Path(path))
    em = float(face.facts.units_per_em)
    for letter in letters:
        ink, columns = split_glyph(
            glyph_rings(face, face.hb_font.get_nominal_glyph(ord(letter))), em
        )
        assert strays_em(columns, joined(ink), em) < 2.0 * CUT_EM, letter
        assert cross_count(columns) == 0, letter


# A stem 0.2 wide, from 0 up to 1, on a slab 0.6 wide and 0.1 high, drawn by hand.
FOOT = [
    (0.0, 0.0),
    (0.6, 0.0),
    (0.6, 0.1),
    (0.4, 0.1),
    (0.4, 1.0),
    (0.2, 1.0),
    (0.2, 0.1),
    (0, 0.1),
]


def test_a_rail_from_the_stem_to_the_tip_of_the_slab_goes_by_the_corner():
    outline = traced(shapely.Polygon(FOOT), 1.0)
    rails = Rails(
        np.array([[0.4, 0.9], [0.4, 0.15], [0.4, 0.1], [0.4, 0.0]]),
        np.array([[0.2, 0.9], [0.2, 0.15], [0.0, 0.1], [0.0, 0.0]]),
    )

    [(found, closed)] = kept_inside(outline, [(rails, False)])

    assert not closed
    assert len(found.left) == len(found.right) == 6
    assert found.right[2] == pytest.approx([0.2, 0.1], abs=0.002)
    assert found.left[2] == pytest.approx([0.4, 0.125])
    # And on along the slab: else rungs would swing from the one to the other over the corner.
    assert found.right[3] == pytest.approx([0.2, 0.1], abs=0.002)
    assert found.left[3] == pytest.approx([0.4, 0.1], abs=0.002)


def test_a_rung_along_the_slab_ends_where_the_stem_begins():
    outline = traced(shapely.Polygon(FOOT), 1.0)
    rails = Rails(
        np.array([[0.4, 0.9], [0.4, 0.15], [0.55, 0.1], [0.6, 0.1], [0.6, 0.0]]),
        np.array([[0.2, 0.9], [0.2, 0.15], [0.05, 0.1], [0.0, 0.1], [0.0, 0.0]]),
    )

    [(found, _)] = kept_inside(outline, [(rails, False)])

    assert len(found.left) == len(found.right) == 5
    assert found.left[2] == pytest.approx([0.4, 0.1])
    assert found.right[2] == pytest.approx([0.2, 0.1])
    kept = [0, 1, 3, 4]
    assert (found.left[kept] == rails.left[kept]).all()
    assert (found.right[kept] == rails.right[kept]).all()


def test_no_rung_between_two_swings_over_the_corner_that_they_turn_about():
    """A flag on a stem, as on a 1: from its last rung to the first of the stem half way on one end
    is at (0.1, 0.75), the other at (0.4, 0.85), and the rung between passes below the corner.
    """
    flag = [(0.2, 0.0), (0.4, 0.0), (0.4, 1.0), (0.0, 0.8), (0.0, 0.7), (0.2, 0.8)]
    rails = Rails(
        np.array([[0.4, 1.0], [0.4, 0.95], [0.4, 0.75], [0.4, 0.0]]),
        np.array([[0.0, 0.8], [0.0, 0.7], [0.2, 0.8], [0.2, 0.0]]),
    )

    [(found, _)] = kept_inside(traced(shapely.Polygon(flag), 1.0), [(rails, False)])

    # From the corner straight on along the lower edge of the flag, which rises by one in two.
    assert len(found.left) == len(rails.left) + 1
    assert found.right[2] == pytest.approx([0.2, 0.8])
    assert found.left[2] == pytest.approx([0.4, 0.9])
    for k, share in np.ndindex(len(found.left) - 1, 9):
        ends = [r[k] + share / 8.0 * (r[k + 1] - r[k]) for r in (found.left, found.right)]
        assert shapely.Polygon(flag).buffer(STRAY_EM).covers(shapely.LineString(ends))


@pytest.mark.parametrize("closed", [False, True])
def test_inside_a_bend_rails_are_drawn_in_until_the_lines_between_rungs_keep_to_the_ink(closed):
    """A chord over 9 degrees of a circle of radius 0.2 is 0.2 (1 - cos 4.5) = 0.0006 em inside it:
    twice what may be. Drawn in by that, as far as it can be told, it is less than may be, and its
    ends just so much nearer to the outer rail."""
    whole = np.radians(np.linspace(0.0, 360.0 if closed else 180.0, 721 if closed else 361))
    turn = np.radians(np.linspace(0.0, 360.0 if closed else 180.0, 41 if closed else 21))
    turn[-1] = turn[0] if closed else turn[-1]
    inner, outer = (r * np.column_stack([np.cos(whole), np.sin(whole)]) for r in (0.2, 0.3))
    shape = (
        shapely.Polygon(outer, [inner])
        if closed
        else shapely.Polygon(np.concatenate([outer, inner[::-1]]))
    )
    outline = traced(shape, 1.0)
    # Seen from the lower left corner of the ink; counter-clockwise, the inner side is the left one.
    corner = np.array([0.3, 0.3 if closed else 0.0])
    left, right = (r * np.column_stack([np.cos(turn), np.sin(turn)]) + corner for r in (0.2, 0.3))

    [(found, _)] = kept_inside(outline, [(Rails(left, right), closed)])

    ink = shapely.transform(shape, lambda points: points + corner)
    strays = strays_em([Column(left=found.left, right=found.right)], ink, 1.0)
    outside = 0.2 * (1.0 - np.cos(np.radians(4.5)))
    drawn_in = outside / MEASURED - LEFT * STRAY_EM
    assert 0.0 < strays < STRAY_EM
    assert strays == pytest.approx(outside - drawn_in, rel=0.05)
    assert (found.right == right).all()
    assert (found.left[0] == found.left[-1]).all() == closed
    by = np.hypot(*(found.left - left).T)
    assert by == pytest.approx(drawn_in, abs=0.1 * STRAY_EM)


def test_a_rail_inside_the_ink_stays_as_it_is():
    outline = traced(shapely.Polygon(FOOT), 1.0)
    rails = Rails(np.array([[0.2, 0.9], [0.2, 0.1]]), np.array([[0.4, 0.9], [0.4, 0.1]]))

    [(found, _)] = kept_inside(outline, [(rails, False)])

    assert found.left is rails.left and found.right is rails.right


def test_a_rail_that_stands_still_beside_the_ink_is_drawn_in_too():
    outline = traced(shapely.Polygon(FOOT), 1.0)
    rails = Rails(
        np.array([[0.4, 0.9], [0.401, 0.6], [0.401, 0.6], [0.4, 0.2]]),
        np.array([[0.2, 0.9], [0.2, 0.6], [0.2, 0.5], [0.2, 0.2]]),
    )

    [(found, _)] = kept_inside(outline, [(rails, False)])

    # No line to draw in leads from the one to the other point, but both are on lines that stray.
    assert found.left[1:3, 0] == pytest.approx([0.4, 0.4], abs=1.1 * STRAY_EM)
    assert (found.right == rails.right).all()
