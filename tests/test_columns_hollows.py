"""Rails go round the hollow corners of serifs: no line between two rungs leaves the ink."""

import subprocess
from pathlib import Path

import numpy as np
import pytest
import shapely
from column_shapes import cross_count

from pathgen.columns.hollows import CUT_EM, kept_inside
from pathgen.columns.outline import traced
from pathgen.columns.rails import Rails
from pathgen.columns.split import split_glyph
from pathgen.lettering.fontfile import open_face
from pathgen.lettering.outlines import glyph_rings
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
        np.array([[0.2, 0.9], [0.2, 0.15], [0.0, 0.1], [0.0, 0.0]]),
        np.array([[0.4, 0.9], [0.4, 0.15], [0.4, 0.1], [0.4, 0.0]]),
    )

    [(found, closed)] = kept_inside(outline, [(rails, False)])

    assert not closed
    assert len(found.left) == len(found.right) == 5
    assert found.left[2] == pytest.approx([0.2, 0.1], abs=0.002)
    assert found.right[2] == pytest.approx([0.4, 0.125])


def test_a_rail_inside_the_ink_stays_as_it_is():
    outline = traced(shapely.Polygon(FOOT), 1.0)
    rails = Rails(np.array([[0.2, 0.9], [0.2, 0.1]]), np.array([[0.4, 0.9], [0.4, 0.1]]))

    [(found, _)] = kept_inside(outline, [(rails, False)])

    assert found.left is rails.left and found.right is rails.right
