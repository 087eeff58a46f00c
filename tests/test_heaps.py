"""Needle heaps: counted like all pairs of distances, and not made by our own runs."""

import string
from functools import cache

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from outside import font_file

from pathgen import Part, plan
from pathgen.geometry import neighbours
from pathgen.needles import needle_table
from pathgen.stitching.rows import without_heaps_each

TEXT = " ".join(string.ascii_letters + string.digits + "&@%!?.,:")


@given(st.integers(0, 60), st.integers(0, 999))
def test_neighbours_are_those_of_all_pairs(count, seed):
    points = np.random.default_rng(seed).uniform(0.0, 0.4, (count, 2))
    apart = np.hypot(*(points[:, None] - points[None]).transpose(2, 0, 1))
    expected = np.argwhere(np.triu(apart <= 0.1, 1))

    pairs, distances = neighbours(points, 0.1)
    order = np.lexsort((pairs[:, 1], pairs[:, 0]))
    assert pairs[order].tolist() == expected.tolist()
    assert distances[order] == pytest.approx(apart[tuple(expected.T)])


@cache
def heaps(name, thread, height):
    face = None if name is None else font_file(name)
    made = plan(TEXT, face=face, thread=thread, height_mm=height)
    return [finding for finding in made.findings if finding.code == "needle-heap"]


@pytest.mark.parametrize(("thread", "height"), [("60", 2), ("60", 3), ("40", 4), ("40", 6)])
@pytest.mark.parametrize("name", [None, "DejaVuSans.ttf", "LiberationSerif-Regular.ttf"])
def test_no_more_than_three_penetrations_within_a_tenth_of_a_mm(name, thread, height):
    assert heaps(name, thread, height) == []


def run_of(x_mm):
    """A run along the x axis."""
    table = needle_table(len(x_mm))
    table["x_mm"], table["part"] = x_mm, Part.TRAVEL
    return table


def test_letters_have_no_part_in_one_another_s_heaps():
    """Two holes of each at one place: four together, were they of one letter."""
    pair, heap = run_of([0.0, 0.05, 1.0]), run_of([0.0, 0.03, 0.05, 0.08, 1.0])
    free = without_heaps_each([pair, pair, heap], plan("o").settings)

    assert free[0] is pair
    assert free[1] is pair
    assert free[2].tolist() != heap.tolist()
