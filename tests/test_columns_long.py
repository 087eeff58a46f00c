"""Outlines that are no letters: 20,000 points are thinned before triangles cost a minute."""

import numpy as np
import pytest

from pathgen.columns.split import MOST_POINTS, MOST_VERTICES, split, split_glyph
from pathgen.geometry import length
from pathgen.polygons import Polygon, vertices

TURN = np.linspace(0.0, 60.0 * np.pi, 10_000)


def spiral(width=4.0):
    """A band of even width wound thirty times, 20,000 points."""
    inner = (10.0 + 2.0 * TURN)[:, None] * np.column_stack([np.cos(TURN), np.sin(TURN)])
    outer = (10.0 + width + 2.0 * TURN)[:, None] * np.column_stack([np.cos(TURN), np.sin(TURN)])
    return np.concatenate([inner, outer[::-1]])


def test_long_spiral_is_still_one_column_of_its_length_and_width():
    """Archimedes' spiral r = c + b t: length is the integral of sqrt(r^2 + b^2)."""
    ink, columns = split_glyph([spiral()], 1000.0)
    radius = 12.0 + 2.0 * TURN
    exact = np.trapezoid(np.sqrt(radius**2 + 2.0**2), TURN)

    assert len(ink) == len(columns) == 1
    assert length(columns[0].centre) == pytest.approx(exact, rel=0.01)
    assert columns[0].usual_width == pytest.approx(4.0, rel=0.05)


def test_scribble_is_thinned_and_split_without_an_error():
    scribble = np.cumsum(np.random.default_rng(0).normal(0.0, 8.0, (20_000, 2)), axis=0)
    ink, columns = split_glyph([scribble], 1000.0)

    assert columns
    assert sum(vertices(piece) for piece in ink) < 20_000


def test_outline_at_the_limit_is_left_as_it_is():
    turn = np.linspace(0.0, 2.0 * np.pi, MOST_VERTICES, endpoint=False)[1:]
    star = (
        np.column_stack([np.cos(turn), np.sin(turn)]) * (300.0 + 60.0 * np.cos(5.0 * turn))[:, None]
    )
    ink, _ = split_glyph([star], 1000.0)

    assert len(star) < MOST_POINTS
    assert vertices(ink[0]) == len(star) + 1
    assert split(Polygon(star), 1000.0)
