"""Legs of travel known from a letter alone are those that would be measured beside another one.

Held against measuring every leg between the two letters anew.
"""

import numpy as np
import pytest

from pathgen import plan
from pathgen.crossings import Outlines, together
from pathgen.stitching.links import Limits, bridges
from pathgen.stitching.stations import stations_of

LIMITS = Limits(join_mm=2.0, on_top_mm=2.0)


def across(text, apart_mm, height_mm=4.0):
    """Places of travel from the first letter of a text to the second, so far off."""
    made = plan(text, height_mm=height_mm)
    here, there = stations_of([letter.shape for letter in made.letters], made.settings)
    return here.across(there, apart_mm)


@pytest.mark.parametrize("text", ["Ha", "ob", "ke", "iW", "Öü", "ão"])
@pytest.mark.parametrize("height_mm", [2.5, 5.0])
@pytest.mark.parametrize("side", [-1.0, 1.0])
def test_bridges_cost_the_same_whether_legs_are_known_or_measured_anew(text, height_mm, side):
    known = across(text, (2.0 * side * height_mm, 0.3), height_mm)
    assert known.known is not None

    found, anew = bridges([known, known._replace(known=None)], LIMITS)

    np.testing.assert_array_equal(found.cost, anew.cost)
    np.testing.assert_array_equal(found.best, anew.best)


@pytest.mark.parametrize("apart_mm", [(0.0, 0.0), (1.0, 0.0), (0.2, -6.0)])
def test_legs_are_measured_anew_where_a_letter_may_lie_under_those_of_the_other(apart_mm):
    assert across("Ha", apart_mm).known is None


def test_shapes_taken_for_one_keep_their_edges_and_rings_stay_apart():
    """Three triangles, closed: of each the last vertex has no edge onwards."""
    ring = np.array([[0.0, 0.0], [1.0, 0.0], [0.0, 1.0], [0.0, 0.0]])
    one = Outlines(ring, np.array([1, 1, 1, 0]), 1)
    three = together([one.moved(5.0 * n, 0.0) for n in range(3)])

    assert three.edge_of.tolist() == [1, 1, 1, 0, 2, 2, 2, 0, 3, 3, 3, 0]
    assert three.lumped(2).edge_of.tolist() == [1, 1, 1, 0, 2, 2, 2, 0, 2, 2, 2, 0]
    assert (three.size, three.lumped(2).size) == (3, 2)
