"""Ground that shows between the stitches.

Thread covers 2 d / spacing of the ground, d its diameter. The recipes of small lettering go
down to 0.67 on purpose, as thread spreads; the outer side of a tight bend may be sparser still.
Held against the same limit are the spacing that is asked for, once, and the needle points of
each column.
"""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points
from pathgen.model import Finding, Level
from pathgen.needles import Part
from pathgen.review.rows import finding_at, worst_rows
from pathgen.settings import Settings

__all__ = ["LEAST_COVER", "ground_in_columns", "ground_showing"]

LEAST_COVER = 0.6
"""Least cover that is taken not to show (ours: a tenth under that of the sparsest recipe, 40 wt
at 4 mm)."""

_BEND_SHARE = 0.75
"""In a bend, cover may fall to this share of it before anybody looks (placeholder)."""


def ground_showing(settings: Settings) -> Iterator[Finding]:
    """One finding if the spacing that is asked for leaves the ground bare."""
    cover = settings.thread.cover(settings.spacing_mm)
    if cover < LEAST_COVER * (1.0 - 1e-9):
        yield Finding(
            code="ground-shows",
            level=Level.CHECK,
            at_mm=(0.0, 0.0),
            measured=cover,
            limit=LEAST_COVER,
            unit="of the ground covered",
            advice="take a closer spacing or a thicker thread",
        )


def ground_in_columns(
    needles: NDArray[np.void], xy_mm: Points, settings: Settings
) -> Iterator[Finding]:
    """One finding a column whose points on one side lie too far apart, at its sparsest."""
    if settings.thread.cover(settings.spacing_mm) < LEAST_COVER:
        return
    limit = _BEND_SHARE * LEAST_COVER
    spacing = side_spacings_mm(needles, xy_mm)
    widest = settings.thread.ideal_spacing_mm / limit
    for place, row in worst_rows(needles, spacing, spacing > widest + 1e-9):
        yield finding_at(
            place,
            (xy_mm[row] + xy_mm[row - 2]) / 2.0,
            code="sparse-bend",
            level=Level.NOTE,
            measured=settings.thread.cover(float(spacing[row])),
            limit=limit,
            unit="of the ground covered",
            advice="take a closer spacing if the bend shows ground",
        )


def side_spacings_mm(needles: NDArray[np.void], xy_mm: Points) -> NDArray[np.float64]:
    """Distance of each zigzag point from the last one on its side of its column; 0 for none."""
    out = np.zeros(len(needles))
    if len(needles) < 3:
        return out
    same = needles["part"][2:] == Part.ZIGZAG
    for name in ("part", "line", "letter", "column", "side"):
        same &= needles[name][2:] == needles[name][:-2]
    for name in ("part", "line", "letter", "column"):
        same &= needles[name][2:] == needles[name][1:-1]
    same &= needles["side"][2:] != needles["side"][1:-1]
    apart = xy_mm[2:] - xy_mm[:-2]
    out[2:] = np.where(same, np.hypot(apart[:, 0], apart[:, 1]), 0.0)
    return out
