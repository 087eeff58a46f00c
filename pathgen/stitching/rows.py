"""Needle points of a letter's columns in sewing order become rows of the needle table."""

import math
from collections.abc import Iterator, Sequence
from itertools import accumulate, pairwise, zip_longest
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Place, Points, neighbours
from pathgen.near import near_inside
from pathgen.needles import Arrive, Part, Side, needle_table, places_mm, tables_joined
from pathgen.settings import HEAP, HEAP_MM, SAME_HOLE_MM, Settings
from pathgen.sewing import Sewing
from pathgen.stitching.strokes import Piece, Way

__all__ = ["Visit", "heaped_across", "needle_rows", "without_heaps", "without_heaps_each"]


# Zigzag of no more holes than this can spare none.
_SPARE = 4


class Visit(NamedTuple):
    """One column on the way through a letter.

    Attributes
    ----------
    way : Way
        Which column, and how it is sewn.
    cut : bool
        Whether the thread comes down afresh: at the very start, or after a trim.
    corner : tuple of (float, float)
        Where the travel to it turns: one place or none.

    All places are mm from the letter's own origin.
    """

    way: Way
    cut: bool
    corner: tuple[Place, ...]


class _Chunk(NamedTuple):
    """Penetrations of one part of one column, in sewing order."""

    column: int
    part: Part
    xy_mm: Points
    side: NDArray[np.uint8] | None = None
    cut: bool = False


# A place as two plain numbers: most chunks are a few points, too few for arrays to pay.
_Place = Sequence[float]


def needle_rows(
    letters: Sequence[Sequence[Visit]],
    starts_mm: Sequence[_Place],
    fastened: Sequence[bool],
    settings: Settings,
) -> list[NDArray[np.void]]:
    """Needle tables of letters, columns sewn one after the other; line and letter are 0.

    Uses ``run_mm``, ``longest_stitch_mm`` and ``least_stitch_mm``: a stitch of underlay or travel
    shorter than the least is left out, as the needle would enter the hole it just made.

    Parameters
    ----------
    letters : sequence of sequence of Visit
        At least one each.
    starts_mm : sequence of (2,) float
        Where the needle comes from to each letter; not looked at if the thread comes down afresh.
    fastened : sequence of bool
        Whether the thread is tied off at the end of each.
    settings : Settings
        What the letters are sewn with.
    """
    chunks = [
        list(_chunks(*letter, settings))
        for letter in zip(letters, starts_mm, fastened, strict=True)
    ]
    table = _table([chunk for letter in chunks for chunk in letter])
    ends = [0, *accumulate(sum(len(chunk.xy_mm) for chunk in letter) for letter in chunks)]
    return [table[first:last] for first, last in pairwise(ends)]


def _chunks(
    visits: Sequence[Visit], needle: _Place, fastened: bool, settings: Settings
) -> Iterator[_Chunk]:
    """Penetrations of one letter, given where the needle comes from."""
    for visit, after in zip_longest(visits, visits[1:]):
        yield from _sewn(visit, None if visit.cut else needle, settings)
        needle = visit.way.exit
        if fastened if after is None else after.cut:
            number = visit.way.stroke.number
            yield _Chunk(number, Part.TIE_OFF, visit.way.tie_off)


def _sewn(visit: Visit, needle: _Place | None, settings: Settings) -> Iterator[_Chunk]:
    """One column: tie-in or travel, then its pieces."""
    way, least, column = visit.way, settings.least_stitch_mm, visit.way.stroke.number
    arrival: list[_Place] = []
    turns: list[_Place] = []
    if needle is None:
        tie_in = way.tie_in
        yield _Chunk(column, Part.TIE_IN, tie_in, cut=True)
        needle = tie_in[-1].tolist()
    else:
        turns = [needle, *visit.corner, way.entry]
        arrival = _between(turns, settings.run_stitch_mm)
    # Travel inside the column goes on from that to it.
    pieces = way.sewn if way.sewn[0].part == Part.TRAVEL else (_NO_TRAVEL, *way.sewn)
    for (part, xy, side), after in zip_longest(pieces, pieces[1:]):
        if side is None:
            run, arrival = arrival + _places(xy), []
            kept = _apart(needle, run, least, turns)
            if after is not None and after.side is not None:
                back = [needle, *run] if part == Part.TRAVEL else run
                if _off_centre(part, settings):
                    back = []
                _end_short(needle, kept, back, after.xy_mm[0].tolist(), least)
            if kept:
                yield _Chunk(column, part, np.array(kept))
                needle = kept[-1]
            last = part
            continue
        begin = xy[0].tolist()
        if math.dist(needle, begin) > settings.longest_stitch_mm:
            by = [needle, _middle(xy, side), begin]
            more = np.array(_between(by, settings.run_stitch_mm))
            yield _Chunk(column, last, more)
            needle = more[-1].tolist()
        near = settings.same_hole_mm if len(xy) > _SPARE else SAME_HOLE_MM
        skip = int(math.dist(needle, begin) < near)
        yield _Chunk(column, part, xy[skip:], side[skip:])
        needle = xy[-1].tolist()


def _off_centre(part: int, settings: Settings) -> bool:
    """Whether stitches of a part may cross bare cloth: underlay beside the centre line."""
    return part == int(Part.UNDERLAY) and settings.underlay != "centre-run"


def _middle(zigzag: Points, side: NDArray[np.uint8]) -> _Place:
    """Middle of a zigzag's first stitch from rail to rail.

    A wide slab is come to by there: straight to its far end the way is over bare cloth.
    """
    return zigzag[side != int(Side.CENTRE)][:2].mean(axis=0).tolist()


_NO_TRAVEL = Piece(Part.TRAVEL, np.zeros((0, 2)))


def _places(points: Points) -> list[_Place]:
    """Points as plain numbers."""
    return [(x, y) for x, y in points.tolist()]


def _between(turns: Sequence[_Place], run_mm: float) -> list[_Place]:
    """Needle points of a run strictly between the first and last of its turns."""
    points: list[_Place] = []
    for (x, y), (to_x, to_y) in pairwise(turns):
        pieces = max(1, math.ceil(math.hypot(to_x - x, to_y - y) / run_mm - 1e-9))
        for i in range(1, pieces):
            share = i / pieces
            points.append((x + share * (to_x - x), y + share * (to_y - y)))
        points.append((to_x, to_y))
    return points[:-1]


def _apart(
    needle: _Place, run: Sequence[_Place], least_mm: float, turns: Sequence[_Place] = ()
) -> list[_Place]:
    """Run without the points too near the one before them; rather that one than a turn."""
    kept: list[_Place] = []
    for point in run:
        while kept and point in turns and math.dist(point, kept[-1]) < least_mm:
            kept.pop()
        if math.dist(point, kept[-1] if kept else needle) >= least_mm:
            kept.append(point)
    return kept


def _end_short(
    needle: _Place, kept: list[_Place], run: Sequence[_Place], ahead: _Place, least_mm: float
) -> None:
    """Draw the end of a run back along it, until it is not too near what comes after the run.

    What is kept are some of the points that the run was laid out with, and only the stitches
    between all of them lie where they should. Where none are given, points are left out instead.
    """
    while kept and math.dist(kept[-1], ahead) < least_mm:
        end = kept.pop()
        before = kept[-1] if kept else needle
        for (x, y), (back_x, back_y) in pairwise(_back_from(end, run)):
            for share in _BACK_SHARES:
                point = (x + share * (back_x - x), y + share * (back_y - y))
                if min(math.dist(point, ahead), math.dist(point, before)) >= least_mm:
                    kept.append(point)
                    return
            if (back_x, back_y) == before:
                break


def _back_from(end: _Place, run: Sequence[_Place]) -> Sequence[_Place]:
    """Points of a run from one of them back to its first."""
    return run[run.index(end) :: -1] if run else ()


# How far back along its last stitch a run may end.
_BACK_SHARES = (0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7)


def _table(chunks: Sequence[_Chunk]) -> NDArray[np.void]:
    """Rows of the needle table, filled column by column."""
    sizes = [len(chunk.xy_mm) for chunk in chunks]
    table = needle_table(sum(sizes))
    if not chunks:
        return table
    xy = np.concatenate([chunk.xy_mm for chunk in chunks])
    table["x_mm"], table["y_mm"] = xy[:, 0], xy[:, 1]
    table["thread"] = 1
    table["part"] = np.repeat([int(chunk.part) for chunk in chunks], sizes)
    table["column"] = np.repeat([chunk.column for chunk in chunks], sizes)
    side = np.full(len(table), int(Side.CENTRE))
    starts = [0, *accumulate(sizes)]
    for chunk, first, last in zip(chunks, starts[:-1], starts[1:], strict=True):
        if chunk.side is not None:
            side[first:last] = chunk.side
    table["side"] = side
    cuts = [first for chunk, first in zip(chunks, starts, strict=False) if chunk.cut]
    table["arrive"][cuts] = int(Arrive.TRIM)
    return table


# How far a point of a run moves along it to leave a heap: forward, or else back.
_MOVES_MM = (1.5 * HEAP_MM, -1.5 * HEAP_MM)


def without_heaps(table: NDArray[np.void], settings: Settings) -> NDArray[np.void]:
    """Table whose runs make no heaps: their points move a little, or else are left out.

    Uses ``underlay``.
    """
    before = table
    for move_mm in _MOVES_MM:
        rows = _heaped(table)
        if not rows:
            return table
        table = _moved(table, before, rows, move_mm, settings)
    rows = _heaped(table)
    return _without_empty_stitches(np.delete(table, rows)) if rows else table


def heaped_across(sewing: Sewing) -> bool:
    """Whether a heap has penetrations of more than one letter."""
    pairs, distances = sewing.across
    pairs = pairs[distances <= HEAP_MM]
    if not len(pairs):
        return False
    near = np.bincount(pairs.ravel(), minlength=len(sewing.needles))
    joins = near > 0
    for one, start in zip(near_inside(sewing.stretches), sewing.starts.tolist(), strict=False):
        own = one.pairs[one.distances_mm <= HEAP_MM].ravel() + start
        near += np.bincount(own, minlength=len(near))
    return bool((near[joins] >= HEAP).any())


# How much wider is looked, whatever the last bits say.
_ROOM = 1.0 + 1e-6


def without_heaps_each(
    tables: Sequence[NDArray[np.void]], settings: Settings
) -> list[NDArray[np.void]]:
    """As `without_heaps`, for the table of each of several letters."""
    letter = np.repeat(np.arange(len(tables)), [len(table) for table in tables])
    pairs, _ = neighbours(places_mm(tables_joined(tables)), _ROOM * HEAP_MM, letter)
    crowded = np.bincount(pairs.ravel(), minlength=len(letter)) >= HEAP
    heaped = set(letter[crowded].tolist())
    return [
        without_heaps(table, settings) if n in heaped else table for n, table in enumerate(tables)
    ]


def _heaped(table: NDArray[np.void]) -> list[int]:
    """Points of runs without which no more than `HEAP` penetrations are close together."""
    runs = _runs(table)
    pairs, _ = neighbours(places_mm(table), HEAP_MM)
    if len(pairs) == 0 or np.bincount(pairs.ravel()).max() < HEAP:
        return []
    beside: dict[int, set[int]] = {}
    for a, b in pairs.tolist():
        beside.setdefault(a, {a}).add(b)
        beside.setdefault(b, {b}).add(a)
    gone: set[int] = set()
    for row in sorted(beside):
        spare = sorted(other for other in beside[row] - gone if runs[other])
        excess = len(beside[row] - gone) - HEAP if row not in gone else 0
        gone.update(spare[: max(0, excess)])
    return sorted(gone)


def _moved(
    table: NDArray[np.void],
    before: NDArray[np.void],
    rows: Sequence[int],
    move_mm: float,
    settings: Settings,
) -> NDArray[np.void]:
    """Table with some points moved along their runs as before, by at most a third of a stitch.

    The stitch from a tie to a run, or from a run to zigzag, may leave the column; so may those of
    underlay beside the centre line.
    """
    xy, runs = places_mm(before), _runs(before)
    moved = table.copy()
    for row in rows:
        other = min(row + 1, len(table) - 1) if move_mm > 0.0 else max(row - 1, 0)
        if not runs[other] or _off_centre(table["part"][row], settings):
            continue
        step = xy[other] - xy[row]
        size = float(np.hypot(*step))
        share = min(abs(move_mm) / size, 1.0 / 3.0) if size > 0.0 else 0.0
        moved["x_mm"][row], moved["y_mm"][row] = xy[row] + share * step
    return moved


def _without_empty_stitches(table: NDArray[np.void]) -> NDArray[np.void]:
    """Table without the points of runs that now follow one at the same place."""
    keep = np.ones(len(table), dtype=bool)
    last = 0
    runs = _runs(table).tolist()
    xy = places_mm(table).tolist()
    for row in range(1, len(table)):
        if runs[row] and math.dist(xy[row], xy[last]) < SAME_HOLE_MM:
            keep[row] = False
        else:
            last = row
    return table[keep]


def _runs(table: NDArray[np.void]) -> NDArray[np.bool_]:
    """Which penetrations belong to runs, rather than to zigzag or ties."""
    return _IS_RUN[table["part"]]


_IS_RUN = np.isin(np.arange(len(Part)), (Part.UNDERLAY, Part.TRAVEL))
