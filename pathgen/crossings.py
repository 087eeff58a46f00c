"""How much of a straight segment lies inside a shape: many segments, many shapes, numpy only.

A shape is the row of its outlines' vertices. One pass tells on which side of every line each
vertex lies; where that changes along an edge, the line crosses it.
"""

from collections.abc import Iterator, Sequence
from itertools import accumulate
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points, placed

__all__ = ["Outlines", "lengths_inside", "lengths_inside_each", "lengths_under_any", "together"]


# Segments times vertices weighed at once: 160 MB of scratch memory.
MOST_AT_ONCE = 10_000_000
# Segments times vertices of questions answered together: few enough that their crossings, about
# one in twenty, stay near the processor (measured: from 200,000 on it takes longer).
_MOST_TOGETHER = 50_000
# The square of a segment with a length is no less.
_TINY = float(np.finfo(np.float64).tiny)


class Outlines(NamedTuple):
    """All rings of several shapes in one row of vertices, the ink on their left.

    Attributes
    ----------
    vertices : (V, 2) float
        Ring after ring, each closed by its first vertex again.
    edge_of : (V,) int
        Which shape, from 1, the edge from each vertex to the next one belongs to; 0 for none, at
        the last vertex of a ring.
    size : int
        How many shapes.
    """

    vertices: Points
    edge_of: NDArray[np.int64]
    size: int

    def moved(self, x: float, y: float) -> "Outlines":
        """The same outlines elsewhere."""
        if x == y == 0.0:
            return self
        return Outlines(np.add(self.vertices, (x, y)), self.edge_of, self.size)

    def lumped(self, count: int) -> "Outlines":
        """The same outlines, all shapes from that number on taken for one."""
        if self.size == count:
            return self
        return Outlines(self.vertices, np.minimum(self.edge_of, count), count)

    def placed(self, scale: float, turn_rad: float, x: float, y: float) -> "Outlines":
        """The same outlines scaled, turned counter-clockwise about the origin, then moved."""
        return self._replace(vertices=placed(self.vertices, scale, turn_rad, x, y))


def together(outlines: Sequence[Outlines], *, shared: int = 0) -> Outlines:
    """Outlines of all shapes, numbered on from one to the next.

    The first ``shared`` shapes of each are taken for the same ones.
    """
    if len(outlines) == 1:
        return outlines[0]
    before = [*accumulate([o.size - shared for o in outlines], initial=0)]
    edges = [
        o.edge_of + n * (o.edge_of > shared) if n else o.edge_of
        for o, n in zip(outlines, before, strict=False)
    ]
    vertices = np.concatenate([o.vertices for o in outlines])
    return Outlines(vertices, np.concatenate(edges), shared + before[-1])


def lengths_inside(segments: NDArray[np.float64], outlines: Outlines) -> NDArray[np.float64]:
    """Length of each of K straight segments, shape (K, 2, 2), inside each of S shapes, (K, S)."""
    return lengths_inside_each([(segments, outlines)])[0][1:].T


def lengths_under_any(
    asked: Sequence[tuple[NDArray[np.float64], Outlines, Sequence[bool]]],
) -> NDArray[np.float64]:
    """Length of each straight segment inside at least one of some of the shapes.

    Asked are segments (K, 2, 2), shapes, and which of these count; told are the lengths for all
    of the questions, one after the other.

    Notes
    -----
    Along the line through a segment it is counted in how many of the shapes it runs: one more
    where it enters one, one less where it leaves.
    """
    lines, whole = _lines(np.concatenate([segments for segments, _, _ in asked]))
    most = max(len(segments) * len(outlines.vertices) for segments, outlines, _ in asked)
    scratch = np.empty((2, most))
    crossings = []
    first = 0
    for segments, outlines, shapes in asked:
        last = first + len(segments)
        segment, row, ends = _crossings(lines[:, first:last], outlines, scratch)
        counts = np.array([False, *shapes])[row]
        crossings.append((first + segment[counts], ends[..., counts]))
        first = last
    segment = np.concatenate([each for each, _ in crossings])
    where, rise = _met(np.concatenate([ends for _, ends in crossings], axis=2))
    order = np.lexsort((where, segment))
    where, segment = where[order], segment[order]
    # From the last crossing of a line none is run in.
    within = np.cumsum(np.where(rise[order] < 0.0, 1, -1)) > 0
    pieces = (where[1:] - where[:-1]) * within[:-1]
    return np.bincount(segment[:-1], pieces, len(whole)) * whole


_Question = tuple[NDArray[np.float64], Outlines]


def lengths_inside_each(asked: Sequence[_Question]) -> list[NDArray[np.float64]]:
    """Lengths of segments (K, 2, 2) inside shapes, many questions at once: faster than one by one.

    Returns
    -------
    list of (1 + S, K) float
        For each question the whole length of each segment, then how much is inside each shape.

    Notes
    -----
    The line through a segment leaves a shape where an edge crosses it from right to left and
    enters it where one crosses from left to right; the places of leaving less those of
    entering, held between the segment's ends, add up to the part inside.
    """
    answers: list[NDArray[np.float64]] = []
    group: list[_Question] = []
    size = 0
    for segments, outlines in asked:
        group.append((segments, outlines))
        size += len(segments) * len(outlines.vertices)
        if size > _MOST_TOGETHER:
            answers += _answers(group)
            group, size = [], 0
    return [*answers, *_answers(group)] if group else answers


def _answers(asked: Sequence[_Question]) -> Iterator[NDArray[np.float64]]:
    """Answers to questions, their crossings weighed all at once."""
    lines, whole = _lines(np.concatenate([segments for segments, _ in asked]))
    # Fresh memory is slow: all questions are worked out in the same place.
    most = max(len(segments) * len(outlines.vertices) for segments, outlines in asked)
    scratch = np.empty((2, min(most, MOST_AT_ONCE)))
    crossings = []
    first = bins = 0
    for segments, outlines in asked:
        count = len(segments)
        block = max(1, scratch.shape[1] // max(1, len(outlines.vertices)))
        for i in range(0, count, block):
            rows = slice(first + i, first + min(i + block, count))
            segment, row, ends = _crossings(lines[:, rows], outlines, scratch)
            crossings.append((bins + i + segment + count * row, ends))
        first += count
        bins += count * (outlines.size + 1)
    table = _inside(crossings, bins)
    first = bins = 0
    for segments, outlines in asked:
        count, used = len(segments), len(segments) * (outlines.size + 1)
        answer = table[bins : bins + used].reshape(-1, count)
        answer[0] = 1.0
        answer *= whole[first : first + count]
        yield answer
        first += count
        bins += used


def _crossings(
    lines: NDArray[np.float64], outlines: Outlines, scratch: NDArray[np.float64]
) -> tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.float64]]:
    """Where outlines cross the lines through segments: which segment, and which row of its answer.

    Then how far to the left of the line, and where along it, both ends of the edge lie, (2, 2, M);
    all worked out in scratch memory. The first row of an answer is for what is no edge.
    """
    many, count = len(outlines.vertices), lines.shape[1]
    corners = np.ones((3, many))
    corners[:2] = outlines.vertices.T
    off = scratch[:, : count * many]
    np.matmul(lines, corners, out=off.reshape(2, count, many))
    left = off[0] > 0.0
    (spot,) = (left[1:] != left[:-1]).nonzero()
    segment = spot // max(1, many)
    row = outlines.edge_of.take(spot - many * segment)
    return segment, row, scratch.take(spot + _BOTH_ENDS, axis=1)


_BOTH_ENDS = np.array([[0], [1]])


def _inside(
    crossings: Sequence[tuple[NDArray[np.int64], NDArray[np.float64]]], bins: int
) -> NDArray[np.float64]:
    """Share of a segment inside a shape, for each of the bins, from all its crossings."""
    place = np.concatenate([spots for spots, _ in crossings])
    where, rise = _met(np.concatenate([ends for _, ends in crossings], axis=2))
    table = np.bincount(place, np.copysign(where, rise), bins)
    return table.astype(np.float64, copy=False)


def _met(ends: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Where edges cross lines, given their ends, as a share of the segment, held between its ends.

    Then how much further left an edge ends than it begins: above 0 where the line leaves a shape.
    """
    (here, there), (begin, end) = ends
    rise = there - here
    return np.minimum(np.maximum(begin - here / rise * (end - begin), 0.0), 1.0), rise


def _lines(segments: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Two times factors (K, 3) of x, y and 1 for K segments, and their lengths.

    The first give the distance of a point to the left of the line, times the length; the others
    its place along the segment, as a share.
    """
    x, y = segments[:, 0].T
    dx, dy = (segments[:, 1] - segments[:, 0]).T
    squares = dx * dx + dy * dy
    aside, ahead = lines = np.empty((2, len(segments), 3))
    aside[:, 0], aside[:, 1] = -dy, dx
    aside[:, 2] = dy * x - dx * y
    sharing = 1.0 / np.maximum(squares, _TINY)
    dx, dy = dx * sharing, dy * sharing
    ahead[:, 0], ahead[:, 1] = dx, dy
    ahead[:, 2] = -(dx * x + dy * y)
    return lines, np.sqrt(squares)
