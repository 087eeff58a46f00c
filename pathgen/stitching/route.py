"""One needle path through all letters.

Letters are sewn in reading order, line by line; within a letter in the order that costs least.
Where the next column is near, or its ink hides the way, the needle travels there by a run; else
the thread is tied off, cut, and tied in again.
"""

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points
from pathgen.model import Arrive, Letter, Part, Side, needle_table
from pathgen.polygons import joined
from pathgen.settings import Settings
from pathgen.stitching.order import Step, best_order
from pathgen.stitching.strokes import Stroke, strokes_of
from pathgen.stitching.underlay import run_along

__all__ = ["route"]

# Stitches of underlay and travel shorter than this are left out: the needle would enter the
# hole it just made (common practice: least stitch 0.3 to 0.5 mm, no published source).
LEAST_RUN_MM = 0.3


def route(letters: Sequence[Letter], settings: Settings) -> NDArray[np.void]:
    """Needle table of a text.

    Parameters
    ----------
    letters : sequence of Letter
        In sewing order; each with its columns in mm.
    settings : Settings
        Uses ``join_mm``, ``run_mm`` and what zigzag and underlay use.

    Returns
    -------
    structured array of NEEDLE_TABLE
        Empty when no letter has a column.
    """
    chunks: list[NDArray[np.void]] = []
    needle: Points | None = None
    done: tuple[Letter, Stroke, Step] | None = None
    for letter in letters:
        strokes = list(strokes_of(letter.columns, settings))
        if not strokes:
            continue
        near = letter.ink if done is None else (*letter.ink, *done[0].ink)
        for step in best_order(strokes, joined(near), needle, settings.join_mm):
            stroke = strokes[step.stroke]
            if step.trim and done is not None:
                chunks.append(_tied_off(*done))
            fresh = step.trim or done is None
            chunks += _sewn(letter, stroke, step, None if fresh else needle, settings)
            done, needle = (letter, stroke, step), stroke.exit(step.start)
    if done is None:
        return needle_table(0)
    table = np.concatenate([*chunks, _tied_off(*done)])
    table["arrive"][0] = Arrive.JUMP
    return table


def _tied_off(letter: Letter, stroke: Stroke, step: Step) -> NDArray[np.void]:
    """Rows that fasten the thread at the end of a column."""
    return _rows(letter, stroke, Part.TIE_OFF, stroke.tie_off(step.start))


def _sewn(
    letter: Letter, stroke: Stroke, step: Step, needle: Points | None, settings: Settings
) -> Iterator[NDArray[np.void]]:
    """Rows of one column: tie-in or travel, then underlay, then zigzag."""
    if needle is None:
        tie_in = _rows(letter, stroke, Part.TIE_IN, stroke.tie_in(step.start))
        tie_in["arrive"][0] = Arrive.TRIM
        yield tie_in
        needle = stroke.tie_in(step.start)[-1]
    else:
        way = np.array([needle, stroke.entry(step.start)])
        between = run_along(way, settings.run_mm, np.inf)[1:-1]
        yield _rows(letter, stroke, Part.TRAVEL, between)
        needle = between[-1] if len(between) else needle
    run = _apart(needle, stroke.run_from(step.start))
    yield _rows(letter, stroke, Part.UNDERLAY, run)
    stitches = stroke.zigzag_from(step.start)
    zigzag = _rows(letter, stroke, Part.ZIGZAG, stitches.xy_mm)
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


def _rows(letter: Letter, stroke: Stroke, part: Part, points: Points) -> NDArray[np.void]:
    """Rows of the needle table for some points of one column, on its centre line."""
    rows = needle_table(len(points))
    rows["x_mm"], rows["y_mm"] = points[:, 0], points[:, 1]
    rows["part"], rows["side"] = part, Side.CENTRE
    rows["thread"], rows["line"] = 1, letter.line
    rows["letter"], rows["column"] = letter.index, stroke.number
    return rows
