"""Places where thread lies in too many layers: hard lumps that deflect the needle.

The length of all thread on top, times its thickness, over the ground that it lies on, is how
many layers cover it: a zigzag is about two thread widths over its spacing, and columns that
overlap, underlay and travel add theirs. It is measured in squares of 0.6 mm, which lie the same on
a letter wherever it stands; letters that lie on one another are told as touching.
"""

from collections.abc import Iterator, Sequence
from itertools import groupby, pairwise

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points
from pathgen.model import Finding, Level
from pathgen.needles import Arrive
from pathgen.review.rows import finding_at, worst_rows
from pathgen.settings import Settings

__all__ = ["MOST_LAYERS", "layers_at", "thread_heaps"]

MOST_LAYERS = 4.0
"""Layers of thread beyond which a place is a lump (ours, a placeholder: two columns that overlap
at a joint, with underlay and travel under both, stay under it)."""

_CELL_MM = 0.2
"""Side of a cell; a place is three by three of them."""

_APART_CELLS, _OFF_CELL = 6.0, 0.01
"""Cells from one letter to the next, and how far a letter's edge lies off a cell's: so that no
edge lies on a line between cells, where rounding would decide."""

_SAMPLE_MM = 0.1
"""Thread is laid into the cells in pieces about this long."""

_BLOCK_ROWS = 4096
_MOST_CELLS = 4_000_000
"""Longer tables, and those that cover more cells, are looked at in pieces, so that memory stays
flat: letter by letter, and only a letter that is too much alone in pieces itself."""


def thread_heaps(needles: NDArray[np.void], xy_mm: Points, settings: Settings) -> Iterator[Finding]:
    """One finding a column with a place of too many layers, at its thickest."""
    layers = layers_at(needles, xy_mm, settings.thread.diameter_mm)
    for place, row in worst_rows(needles, layers, layers > MOST_LAYERS + 1e-9):
        yield finding_at(
            place,
            xy_mm[row],
            code="thread-bulk",
            level=Level.CHECK,
            measured=layers[row],
            limit=MOST_LAYERS,
            unit="layers",
            advice="open the spacing, leave out underlay or take a finer thread",
        )


def layers_at(needles: NDArray[np.void], xy_mm: Points, thread_mm: float) -> NDArray[np.float64]:
    """Layers of thread around each penetration, (N,)."""
    sewn = needles["arrive"] == Arrive.SEW
    out = np.zeros(len(needles))
    letters = _letter_rows(needles)
    pieces = _blocks(letters)
    while pieces:
        piece = pieces.pop()
        rows = slice(piece[0].start, piece[-1].stop)
        begins = np.array([letter.start for letter in piece]) - rows.start
        here = _side_by_side(xy_mm[rows], begins)
        if len(here) > 1 and np.prod(np.ptp(here, axis=0) / _CELL_MM + 7.0) > _MOST_CELLS:
            pieces += _halves(piece)
        else:
            leads = sewn[rows].copy()
            leads[begins] = False
            out[rows] = _layers(here, leads, thread_mm)
    return out


def _letter_rows(needles: NDArray[np.void]) -> list[slice]:
    """Rows of each letter, which is sewn in one go; long letters are cut in even pieces."""
    line, letter = needles["line"], needles["letter"]
    new = (line[1:] != line[:-1]) | (letter[1:] != letter[:-1])
    ends = [*(np.flatnonzero(new) + 1).tolist(), len(needles)]
    return [
        slice(at, min(at + _BLOCK_ROWS, end))
        for begin, end in pairwise([0, *ends])
        for at in range(begin, end, _BLOCK_ROWS)
    ]


def _blocks(letters: Sequence[slice]) -> list[list[slice]]:
    """Letters that are looked at in one go."""
    groups = groupby(letters, key=lambda letter: letter.stop // _BLOCK_ROWS)
    return [list(group) for _, group in groups]


def _halves(piece: list[slice]) -> list[list[slice]]:
    """A block in two: whole letters, or one letter halfway."""
    if len(piece) > 1:
        return [piece[: len(piece) // 2], piece[len(piece) // 2 :]]
    (rows,) = piece
    half = (rows.start + rows.stop) // 2
    return [[slice(rows.start, half)], [slice(half, rows.stop)]]


def _side_by_side(xy_mm: Points, begins: NDArray[np.intp]) -> Points:
    """Letters moved into one row, each the same way on the cells as it would be alone."""
    least = np.minimum.reduceat(xy_mm, begins)
    wide = np.maximum.reduceat(xy_mm[:, 0], begins) - least[:, 0]
    cells = np.floor(wide / _CELL_MM) + _APART_CELLS
    begin_mm = (np.cumsum(cells) - cells + _OFF_CELL) * _CELL_MM
    sizes = np.diff(begins, append=len(xy_mm))
    moved = np.column_stack([begin_mm - least[:, 0], _OFF_CELL * _CELL_MM - least[:, 1]])
    return xy_mm + np.repeat(moved, sizes, axis=0)


def _layers(xy_mm: Points, sewn: NDArray[np.bool_], thread_mm: float) -> NDArray[np.float64]:
    """The same for one block; ``sewn`` tells whether thread leads to a row."""
    ways = np.diff(xy_mm, axis=0)
    length = np.where(sewn[1:], np.hypot(ways[:, 0], ways[:, 1]), 0.0)
    many = np.ceil(length / _SAMPLE_MM).astype(np.int64)
    way = np.repeat(np.arange(len(many)), many)
    step = np.arange(len(way)) - np.repeat(np.cumsum(many) - many, many)
    share = (step + 0.5) / many[way]
    spots = xy_mm[way] + share[:, None] * ways[way]
    least = np.full(2, -2.0 * _CELL_MM)
    across, up = (((xy_mm.max(axis=0) - least) / _CELL_MM).astype(np.int64) + 3).tolist()
    cell = ((spots - least) / _CELL_MM).astype(np.int64)
    laid = np.bincount(
        cell[:, 1] * across + cell[:, 0], weights=length[way] / many[way], minlength=across * up
    ).reshape(up, across)
    rows = laid[:-2] + laid[1:-1] + laid[2:]
    blocks = rows[:, :-2] + rows[:, 1:-1] + rows[:, 2:]
    at = ((xy_mm - least) / _CELL_MM).astype(np.int64) - 1
    return np.asarray(blocks[at[:, 1], at[:, 0]] * thread_mm / (3.0 * _CELL_MM) ** 2)
