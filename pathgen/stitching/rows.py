"""Needle points of columns in sewing order become rows of the needle table."""

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points
from pathgen.model import Letter
from pathgen.needles import Arrive, Part, Side, needle_table, places_mm
from pathgen.polygons import near_pairs
from pathgen.settings import HEAP, HEAP_MM, Settings
from pathgen.stitching.strokes import Stroke, Way

__all__ = ["Visit", "needle_rows"]


# Nearer than this the needle would enter the hole that it is in: columns that share a corner.
SAME_HOLE_MM = 0.05


class Visit(NamedTuple):
    """One column on the way.

    Attributes
    ----------
    letter, stroke, way : Letter, Stroke, Way
        Which column, and how it is sewn.
    cut : bool
        Whether the thread comes down afresh: at the very start, or after a trim.
    corner : (0, 2) or (1, 2) float
        Where the travel to it turns, in place.

    The stroke's and the way's points are mm from the letter's own origin.
    """

    letter: Letter
    stroke: Stroke
    way: Way
    cut: bool
    corner: Points


class _Chunk(NamedTuple):
    """Penetrations of one part of one column, in sewing order."""

    visit: Visit
    part: Part
    xy_mm: Points
    side: NDArray[np.uint8] | None = None
    cut: bool = False


def needle_rows(visits: Sequence[Visit], settings: Settings) -> NDArray[np.void]:
    """Needle table of columns sewn one after the other.

    Uses ``run_mm`` and ``least_stitch_mm``: a stitch of underlay or travel shorter than the
    least is left out, as the needle would enter the hole it just made.
    """
    chunks: list[_Chunk] = []
    needle: Points | None = None
    for i, visit in enumerate(visits):
        chunks += _sewn(visit, None if visit.cut else needle, settings)
        needle = visit.way.exit + visit.letter.at_mm
        if i + 1 == len(visits) or visits[i + 1].cut:
            tie_off = visit.stroke.tie_off(visit.way) + visit.letter.at_mm
            chunks.append(_Chunk(visit, Part.TIE_OFF, tie_off))
    return _without_heaps(_table([chunk for chunk in chunks if len(chunk.xy_mm)]))


def _sewn(visit: Visit, needle: Points | None, settings: Settings) -> Iterator[_Chunk]:
    """One column: tie-in or travel, then underlay, then zigzag."""
    way, least = visit.way, settings.least_stitch_mm
    at_mm = np.array(visit.letter.at_mm)
    zigzag, side = way.zigzag.xy_mm + at_mm, way.zigzag.side
    if needle is None:
        tie_in = visit.stroke.tie_in(way) + at_mm
        yield _Chunk(visit, Part.TIE_IN, tie_in, cut=True)
        needle, there = tie_in[-1], way.travel + at_mm
    else:
        turns = np.concatenate([needle[None], visit.corner, (way.entry + at_mm)[None]])
        there = np.concatenate([_between(turns, settings.run_mm), way.travel + at_mm])
    travel = _apart(needle, there, zigzag[0], least)
    yield _Chunk(visit, Part.TRAVEL, travel)
    needle = travel[-1] if len(travel) else needle
    underlay = _apart(needle, way.underlay + at_mm, zigzag[0], least)
    yield _Chunk(visit, Part.UNDERLAY, underlay)
    needle = underlay[-1] if len(underlay) else needle
    skip = int(math.dist(needle, zigzag[0]) < SAME_HOLE_MM)
    yield _Chunk(visit, Part.ZIGZAG, zigzag[skip:], side[skip:])


def _between(turns: Points, run_mm: float) -> Points:
    """Needle points of a run strictly between the first and last of its turns."""
    legs = []
    for start, end in pairwise(turns):
        pieces = max(1, math.ceil(math.dist(start, end) / run_mm - 1e-9))
        legs.append(start + (np.arange(1, pieces + 1) / pieces)[:, None] * (end - start))
    return np.concatenate(legs)[:-1]


def _apart(needle: Points, run: Points, ahead: Points, least_mm: float) -> Points:
    """Run without the points too near the one before them, or to what comes after the run."""
    kept: list[Points] = []
    for point in run:
        if min(math.dist(point, needle), math.dist(point, ahead)) >= least_mm:
            kept.append(point)
            needle = point
    return np.array(kept).reshape(-1, 2)


def _table(chunks: Sequence[_Chunk]) -> NDArray[np.void]:
    """Rows of the needle table, filled column by column."""
    sizes = [len(chunk.xy_mm) for chunk in chunks]
    table = needle_table(sum(sizes))
    if not chunks:
        return table
    xy = np.concatenate([chunk.xy_mm for chunk in chunks])
    table["x_mm"], table["y_mm"] = xy[:, 0], xy[:, 1]
    table["thread"] = 1
    table["part"] = np.repeat([chunk.part for chunk in chunks], sizes)
    table["line"] = np.repeat([chunk.visit.letter.line for chunk in chunks], sizes)
    table["letter"] = np.repeat([chunk.visit.letter.index for chunk in chunks], sizes)
    table["column"] = np.repeat([chunk.visit.stroke.number for chunk in chunks], sizes)
    table["side"] = np.concatenate(
        [
            np.full(size, Side.CENTRE) if chunk.side is None else chunk.side
            for chunk, size in zip(chunks, sizes, strict=True)
        ]
    )
    starts = np.cumsum([0, *sizes[:-1]])
    table["arrive"][starts[[chunk.cut for chunk in chunks]]] = Arrive.TRIM
    table["arrive"][0] = Arrive.JUMP
    return table


def _without_heaps(table: NDArray[np.void]) -> NDArray[np.void]:
    """Table without the points of runs that make a heap with others; a run may skip one."""
    xy = places_mm(table)
    near: dict[int, set[int]] = {}
    for a, b in near_pairs(xy, HEAP_MM).tolist():
        near.setdefault(a, {a}).add(b)
        near.setdefault(b, {b}).add(a)
    runs = np.isin(table["part"], (Part.UNDERLAY, Part.TRAVEL))
    gone: set[int] = set()
    for row in sorted(near):
        spare = sorted(other for other in near[row] - gone if runs[other])
        excess = len(near[row] - gone) - HEAP if row not in gone else 0
        gone.update(spare[: max(0, excess)])
    return _without_empty_stitches(np.delete(table, sorted(gone))) if gone else table


def _without_empty_stitches(table: NDArray[np.void]) -> NDArray[np.void]:
    """Table without the points of runs that now follow one at the same place."""
    keep = np.ones(len(table), dtype=bool)
    last = 0
    runs = np.isin(table["part"], (Part.UNDERLAY, Part.TRAVEL)).tolist()
    xy = places_mm(table).tolist()
    for row in range(1, len(table)):
        if runs[row] and math.dist(xy[row], xy[last]) < SAME_HOLE_MM:
            keep[row] = False
        else:
            last = row
    return table[keep]
