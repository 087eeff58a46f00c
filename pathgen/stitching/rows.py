"""Needle points of columns in sewing order become rows of the needle table."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points
from pathgen.model import Arrive, Letter, Part, Side, needle_table
from pathgen.settings import Settings
from pathgen.stitching.strokes import Stroke
from pathgen.stitching.underlay import run_along

__all__ = ["LEAST_RUN_MM", "Visit", "needle_rows"]

# Stitches of underlay and travel shorter than this are left out: the needle would enter the
# hole it just made (common practice: least stitch 0.3 to 0.5 mm, no published source).
LEAST_RUN_MM = 0.3


@dataclass(frozen=True, slots=True, eq=False)
class Visit:
    """One column on the way.

    Attributes
    ----------
    letter, stroke : Letter, Stroke
        Which column.
    start : int
        End at which it is entered.
    cut : bool
        Whether the thread comes down afresh: at the very start, or after a trim.
    """

    letter: Letter
    stroke: Stroke
    start: int
    cut: bool


def needle_rows(visits: Sequence[Visit], settings: Settings) -> NDArray[np.void]:
    """Needle table of columns sewn one after the other. Uses ``run_mm``."""
    chunks: list[NDArray[np.void]] = []
    needle: Points | None = None
    for i, visit in enumerate(visits):
        chunks += _sewn(visit, None if visit.cut else needle, settings)
        needle = visit.stroke.exit(visit.start)
        if i + 1 == len(visits) or visits[i + 1].cut:
            chunks.append(_rows(visit, Part.TIE_OFF, visit.stroke.tie_off(visit.start)))
    if not chunks:
        return needle_table(0)
    table = np.concatenate(chunks)
    table["arrive"][0] = Arrive.JUMP
    return table


def _sewn(visit: Visit, needle: Points | None, settings: Settings) -> Iterator[NDArray[np.void]]:
    """Rows of one column: tie-in or travel, then underlay, then zigzag."""
    stroke, start = visit.stroke, visit.start
    if needle is None:
        tie_in = _rows(visit, Part.TIE_IN, stroke.tie_in(start))
        tie_in["arrive"][0] = Arrive.TRIM
        yield tie_in
        needle = stroke.tie_in(start)[-1]
    else:
        way = np.array([needle, stroke.entry(start)])
        between = run_along(way, settings.run_mm, np.inf)[1:-1]
        yield _rows(visit, Part.TRAVEL, between)
        needle = between[-1] if len(between) else needle
    yield _rows(visit, Part.UNDERLAY, _apart(needle, stroke.run_from(start)))
    stitches = stroke.zigzag_from(start)
    zigzag = _rows(visit, Part.ZIGZAG, stitches.xy_mm)
    zigzag["side"] = stitches.side
    yield zigzag


def _apart(needle: Points, run: Points) -> Points:
    """Run without the points that lie too near the penetration before them."""
    kept = []
    for point in run:
        if np.hypot(*(point - needle)) >= LEAST_RUN_MM:
            kept.append(point)
            needle = point
    return np.array(kept).reshape(-1, 2)


def _rows(visit: Visit, part: Part, points: Points) -> NDArray[np.void]:
    """Rows for some points of one column, on its centre line."""
    rows = needle_table(len(points))
    rows["x_mm"], rows["y_mm"] = points[:, 0], points[:, 1]
    rows["part"], rows["side"] = part, Side.CENTRE
    rows["thread"], rows["line"] = 1, visit.letter.line
    rows["letter"], rows["column"] = visit.letter.index, visit.stroke.number
    return rows
