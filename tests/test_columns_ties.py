"""Ties between triangles are decided by us, so every version of GEOS gives the same columns."""

import numpy as np
import pytest
from column_shapes import COLUMNS, EM

from pathgen.columns import triangles
from pathgen.columns.outline import leant, traced
from pathgen.columns.split import split
from pathgen.columns.triangles import triangulated
from pathgen.polygons import constrained_triangles

# All but the plain bars, which are split without triangles.
SHAPES = [name for name, (ink, _) in COLUMNS.items() if len(ink.exterior.coords) != 5]


def off_circle(points, mesh):
    """How far each four points of two neighbouring triangles are from standing on one circle.

    The determinant that tells it (Guibas and Stolfi, ACM Transactions on Graphics 4, 1985, section
    4), over the fourth power of the size of the four.
    """
    found = []
    for code, edge in mesh.facing.items():
        first, last = divmod(code, len(points))
        triangle, apex = edge // 3, mesh.apexes[edge]
        twin = mesh.facing.get(last * len(points) + first)
        if twin is None or code > last * len(points) + first:
            continue
        a, b, c, d = points[[first, last, apex, mesh.apexes[twin]]]
        rows = np.array([a, b, c]) - d
        table = np.column_stack([rows, (rows**2).sum(axis=1)])
        found.append(abs(np.linalg.det(table)) / np.abs(rows).max() ** 4)
        assert mesh.corners[triangle].tolist().count(apex) == 1
    return np.array(found)


def test_without_leaning_there_are_ties_by_the_dozen():
    outlines = [traced(COLUMNS[name][0], EM) for name in SHAPES]

    ties = sum((off_circle(o.points, triangulated(o)) < 1e-9).sum() for o in outlines)

    assert ties > 24


@pytest.mark.parametrize("name", SHAPES)
def test_no_four_points_stand_on_one_circle_in_the_plane_that_leans(name):
    """A last bit is 1e-16 of the size; the fourth power of it is nothing beside 1e-9."""
    outline = traced(COLUMNS[name][0], EM)

    assert off_circle(leant(outline.points), triangulated(outline)).min(initial=1.0) > 1e-9


@pytest.mark.parametrize("name", COLUMNS)
def test_columns_do_not_hang_on_the_order_in_which_triangles_come(name, monkeypatch):
    ink, _ = COLUMNS[name]
    usual = split(ink, EM)
    rng = np.random.default_rng(7)

    def shuffled(polygon):
        found = rng.permutation(constrained_triangles(polygon))
        found[::2] = found[::2, ::-1]
        return np.roll(found, 1, axis=1)

    monkeypatch.setattr(triangles, "constrained_triangles", shuffled)
    others = split(ink, EM)

    assert len(others) == len(usual)
    for one, other in zip(usual, others, strict=True):
        assert np.array_equal(one.left, other.left)
        assert np.array_equal(one.right, other.right)
