"""Ground that shows between the stitches.

Thread covers 2 d / spacing of the ground, d its diameter. The recipes of small lettering go
down to 0.67 on purpose, as thread spreads. The spacing that is asked for is held against a least
cover, once. In bends the outer points lie farther apart than asked, up to twice as far by geometry
alone; there it is judged whether bare ground gets so wide that fluff does not bridge it.
"""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points, distances
from pathgen.model import Finding, Level
from pathgen.needles import Arrive, Part
from pathgen.review.rows import finding_at, worst_rows
from pathgen.settings import GAP_THREADS, Settings

__all__ = ["LEAST_COVER", "ground_in_columns", "ground_showing"]

LEAST_COVER = 0.6
"""Least cover that is taken not to show (ours: a tenth under that of the sparsest recipe, 40 wt
at 4 mm)."""

_DEPTH = 0.25
"""How deep in a stroke bare ground is looked for, as a share of the stitch: nearer to its edge
every zigzag is ragged, and the eye takes that for the edge (ours)."""

_MOST_PAIRS = 1_000_000
"""Wedges times stitches of a letter that are held against one another, the widest wedges first:
far more than letters have, unless somebody means harm."""


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
    """One finding a column in which ground shows between two stitches, at its widest.

    Two stitches that meet inside a bend leave a wedge of ground outside it, as wide as their
    outer points lie apart, less towards the inside. A bend spreads stitches by its geometry,
    so the wedge is held against what shows, not against the spacing asked for.
    """
    if settings.thread.cover(settings.spacing_mm) < LEAST_COVER:
        return
    limit = GAP_THREADS * settings.thread.diameter_mm
    width = settings.sewn_look.width_mm
    bare = (1.0 - _DEPTH) * side_spacings_mm(needles, xy_mm) - width
    wedges = np.flatnonzero(bare > limit + 1e-9)
    if not len(wedges):
        return
    bare[wedges] -= _covered_mm(needles, xy_mm, wedges, bare[wedges], width)
    for place, row in worst_rows(needles, bare, bare > limit + 1e-9):
        yield finding_at(
            place,
            _spots(xy_mm, row),
            code="sparse-bend",
            level=Level.NOTE,
            measured=bare[row],
            limit=limit,
            advice="bare cloth between two stitches: take a closer spacing if it shows",
        )


def _spots(xy_mm: Points, rows: NDArray[np.intp] | int) -> Points:
    """Middle of the wedge before each row, as deep in the stroke as ground is looked for."""
    outer = (xy_mm[rows] + xy_mm[rows - 2]) / 2.0
    return np.asarray(outer + _DEPTH * (xy_mm[rows - 1] - outer))


def _covered_mm(
    needles: NDArray[np.void],
    xy_mm: Points,
    wedges: NDArray[np.intp],
    bare_mm: NDArray[np.float64],
    width_mm: float,
) -> NDArray[np.float64]:
    """How much of each wedge the zigzag of the letter's other columns covers, from one side."""
    out = np.zeros(len(wedges))
    sewn = (needles["part"] == Part.ZIGZAG) & (needles["arrive"] == Arrive.SEW)
    of_letter = np.column_stack([needles["line"], needles["letter"]]).astype(np.int64)
    begins = np.flatnonzero((np.diff(of_letter, axis=0) != 0).any(axis=1)) + 1
    letter = np.searchsorted(begins, wedges, side="right")
    for number in sorted(set(letter.tolist())):
        low, high = np.concatenate([[0], begins, [len(needles)]])[number : number + 2]
        ends = low + 1 + np.flatnonzero(sewn[low + 1 : high])
        here = np.flatnonzero(letter == number)
        here = here[np.argsort(-bare_mm[here], kind="stable")][: 1 + _MOST_PAIRS // len(ends)]
        columns = needles["column"]
        other = columns[wedges[here]][:, None] != columns[ends]
        apart = distances(_spots(xy_mm, wedges[here]), xy_mm[ends - 1], xy_mm[ends])
        nearest = np.where(other, apart, np.inf).min(axis=1, initial=np.inf)
        half = bare_mm[here] / 2.0
        out[here] = half - np.clip(nearest - width_mm / 2.0, 0.0, half)
    return out


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
