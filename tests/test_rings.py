"""Rings are entered and left where the way to their neighbours is short."""

import numpy as np
import pytest
from shapes import plain_settings, ring

from pathgen import Part, plan
from pathgen.needles import Side
from pathgen.stitching.zigzag import zigzag


def last_of_ring(made, letter):
    """How far from its middle the last hole of a ring is, and the centre line there."""
    (column,) = letter.columns
    rows = made.needles[made.needles["letter"] == letter.index]
    rows = rows[rows["part"] == Part.ZIGZAG]
    last = np.array([rows["x_mm"][-1], rows["y_mm"][-1]])
    middle = column.centre[:-1].mean(axis=0)
    rung = np.hypot(*(column.centre - last).T).argmin()
    return np.hypot(*(last - middle)), np.hypot(*(column.centre[rung] - middle))


@pytest.mark.parametrize("face", [None, "tholepin"])
@pytest.mark.parametrize(("height", "thread"), [(1.5, "60"), (2.0, "60"), (3.0, "60"), (5.0, "40")])
def test_rings_are_left_on_their_outer_side_however_small(face, height, thread):
    """From the inner side the way to the next letter would lie on top of the ring."""
    made = plan("oOn0on", face=face, height_mm=height, thread=thread)
    rings = [one for one in made.letters if len(one.columns) == 1 and one.columns[0].closed]

    assert len(rings) == 4
    for letter in rings:
        hole, centre = last_of_ring(made, letter)
        assert hole > centre, (letter.index, letter.text)


def test_a_ring_too_small_to_be_closed_ends_where_a_larger_one_begins():
    """Of radius 0.5 and width 0.5, spacing 0.4: 8 pitches, 16 holes, no room for a 17th."""
    small, large = ring(0.5, 0.5), ring(3.0, 1.0)
    by = plain_settings(spacing_mm=0.4)
    around, closed = zigzag(small, by), zigzag(large, by)

    assert len(around.xy_mm) <= 16
    assert around.xy_mm[-1] == pytest.approx([0.25, 0.0], abs=1e-9)
    assert around.side[-1] == closed.side[0] == closed.side[-1] == Side.LEFT
    assert closed.xy_mm[0] == pytest.approx([2.5, 0.0], abs=1e-9)
