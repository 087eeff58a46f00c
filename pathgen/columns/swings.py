"""Rungs between two others swing out over a corner of the outline, where these lie unluckily.

A needle point goes to any place between two rungs, and across from there. Where one rung stands on
an edge, and the next at the hollow corner that the edge ends in, turned past the edge, those
between come below the corner before they are at it: over bare cloth. A rung from the corner
straight on along the edge keeps them in.
"""

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from pathgen.columns.plane import Places, as_points, turn
from pathgen.polygons import Polygon, distances

__all__ = ["INWARD", "PROBES", "inserted", "with_swings"]

INWARD = np.array([[-1.0], [1.0]])
"""On which side of each rail, left and right, the other one lies: 1 for the left."""

# Rungs where lines from rung to rung begin, and where they end.
_FIRST, _LAST = slice(None, -1), slice(1, None)
PROBES = np.linspace(0.03, 0.97, 17)
"""Where along a line it is looked up whether it is inside the ink."""


def with_swings(
    ink: Polygon, rails: Places, ends: NDArray[np.intp], stray_em: float
) -> tuple[Places, NDArray[np.intp]]:
    """Rails (2, N) with a rung more wherever those between two would leave the ink by so much.

    Strokes are laid end to end and stop before ``ends``; so they are when they come back.
    """
    new: dict[int, list[complex]] = {}
    far = rails[::-1]
    for one, other, inward in ((_FIRST, _LAST, INWARD), (_LAST, _FIRST, -INWARD)):
        base = rails[:, one]
        edge = rails[:, other] - base
        past = inward * turn(edge, far[:, other] - base).imag < -stray_em * np.abs(edge)
        past[:, ends[:-1] - 1] = False
        for side, k in zip(*(found.tolist() for found in past.nonzero()), strict=True):
            places = (two[side, at][k] for two in (rails, far) for at in (one, other))
            rung = _straight_on(ink, stray_em, *map(complex, places))
            if rung is not None:
                new.setdefault(k + 1, rung if side == 0 else rung[::-1])
    return inserted(rails, ends, new)


def _straight_on(
    ink: Polygon, stray_em: float, base: complex, corner: complex, begin: complex, end: complex
) -> list[complex] | None:
    """A rung from a corner straight on along its edge; None if none is needed.

    ``begin`` and ``end`` are the other ends of the rungs at the base of the edge and at its corner.
    """
    edge = corner - base
    above, below = (turn(edge, there - base).imag for there in (begin, end))
    if above * below > 0.0:  # all the way past it
        return None
    share = above / (above - below)
    # Rungs pass below the corner from there on: half way on to the last, most of them do.
    half = (1.0 + share) / 2.0
    foot, top = base + half * edge, begin + half * (end - begin)
    ahead = turn(edge, top - foot).real
    by = (1.0 - half) * abs(edge) ** 2 / ahead if ahead else 0.0
    if not 0.0 < by < 1.0:
        return None
    bare = distances(ink, as_points([foot + by * p * (top - foot) for p in PROBES.tolist()]))
    return [corner, begin + share * (end - begin)] if bare.max() > stray_em else None


def inserted(
    rails: Places, ends: NDArray[np.intp], new: Mapping[int, list[complex]]
) -> tuple[Places, NDArray[np.intp]]:
    """Rails with new rungs before those of these numbers, and where each stroke ends now."""
    if not new:
        return rails, ends
    at = np.array(list(new))
    rails = np.insert(rails, at, np.array(list(new.values())).T, axis=1)
    return rails, ends + (at[:, None] < ends).sum(axis=0)
