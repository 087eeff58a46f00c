"""How much of a straight segment lies inside a shape: many segments, many shapes, numpy only.

A shape is the row of its outlines' vertices. One pass tells on which side of every line each
vertex lies; where that changes along an edge, the line crosses it.
"""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points, placed

__all__ = ["Outlines", "lengths_inside", "lengths_inside_each", "together"]


# Segments times vertices weighed at once: 160 MB of scratch memory.
MOST_AT_ONCE = 10_000_000


class Outlines(NamedTuple):
    """All rings of several shapes in one row of vertices, the ink on their left.

    Attributes
    ----------
    vertices : (V, 2) float
        Ring after ring, each closed by its first vertex again.
    owner : (V,) int
        Which shape each vertex belongs to.
    joined_on : (V,) bool
        Whether an edge leads from each vertex to the next one.
    size : int
        How many shapes.
    """

    vertices: Points
    owner: NDArray[np.int64]
    joined_on: NDArray[np.bool_]
    size: int

    def moved(self, x: float, y: float) -> "Outlines":
        """The same outlines elsewhere."""
        return self._replace(vertices=self.vertices + np.array([x, y]))

    def placed(self, scale: float, turn_rad: float, x: float, y: float) -> "Outlines":
        """The same outlines scaled, turned counter-clockwise about the origin, then moved."""
        return self._replace(vertices=placed(self.vertices, scale, turn_rad, x, y))


def together(outlines: Sequence[Outlines]) -> Outlines:
    """Outlines of all shapes, numbered on from one to the next."""
    if len(outlines) == 1:
        return outlines[0]
    before = np.cumsum([0, *(o.size for o in outlines)])
    return Outlines(
        np.concatenate([o.vertices for o in outlines]),
        np.concatenate([o.owner + n for o, n in zip(outlines, before[:-1], strict=True)]),
        np.concatenate([o.joined_on for o in outlines]),
        int(before[-1]),
    )


def lengths_inside(segments: NDArray[np.float64], outlines: Outlines) -> NDArray[np.float64]:
    """Length of each of K straight segments, shape (K, 2, 2), inside each of S shapes, (K, S)."""
    return lengths_inside_each([(segments, outlines)])[0][:, 1:]


_Question = tuple[NDArray[np.float64], Outlines]


def lengths_inside_each(asked: Sequence[_Question]) -> list[NDArray[np.float64]]:
    """Lengths of segments (K, 2, 2) inside shapes, many questions at once: faster than one by one.

    Returns
    -------
    list of (K, 1 + S) float
        For each question the whole length of each segment, then how much is inside each shape.

    Notes
    -----
    The line through a segment leaves a shape where an edge crosses it from right to left and
    enters it where one crosses from left to right; the places of leaving less those of
    entering, held between the segment's ends, add up to the part inside.
    """
    # Fresh memory is slow: all questions are worked out in the same place.
    most = max((len(ends) * len(outlines.vertices) for ends, outlines in asked), default=0)
    scratch = np.empty((2, min(most, MOST_AT_ONCE)))
    return [_in_blocks(*question, scratch) for question in asked]


def _in_blocks(
    segments: NDArray[np.float64], outlines: Outlines, scratch: NDArray[np.float64]
) -> NDArray[np.float64]:
    """One question of `lengths_inside_each`, in as many blocks as the scratch memory asks for."""
    block = max(1, scratch.shape[1] // max(1, len(outlines.vertices)))
    if len(segments) <= block:
        return _lengths_inside(segments, outlines, scratch)
    cuts = range(block, len(segments), block)
    return np.concatenate([_lengths_inside(s, outlines, scratch) for s in np.split(segments, cuts)])


def _lengths_inside(
    segments: NDArray[np.float64], outlines: Outlines, scratch: NDArray[np.float64]
) -> NDArray[np.float64]:
    """One block of a question, worked out in scratch memory."""
    corners = np.ones((3, len(outlines.vertices)))
    corners[:2] = outlines.vertices.T
    aside, ahead, size = _lines(segments)
    shape = (len(segments), len(outlines.vertices))
    off, share = scratch[:, : shape[0] * shape[1]]
    np.matmul(aside, corners, out=off.reshape(shape))
    np.matmul(ahead, corners, out=share.reshape(shape))
    left = off > 0.0
    spot = np.flatnonzero(left[1:] != left[:-1])
    # Where the edge meets the line through the segment, as a share of the segment.
    here, begin = off.take(spot), share.take(spot)
    after = spot + 1
    meet = begin + here / (here - off.take(after)) * (share.take(after) - begin)
    where = np.minimum(np.maximum(meet, 0.0), 1.0)
    # The table has a column before the shapes, and one after them for what is no edge.
    columns = 2 + outlines.size
    segment, vertex = np.divmod(spot, max(1, shape[1]))
    owner = np.where(outlines.joined_on, outlines.owner, outlines.size)
    place = segment * columns + owner.take(vertex) + 1
    table = np.bincount(
        place, weights=np.where(here > 0.0, -where, where), minlength=len(segments) * columns
    ).reshape(-1, columns)[:, :-1]
    table[:, 0] = 1.0
    return np.asarray(table * size[:, None])


def _lines(
    segments: NDArray[np.float64],
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Factors (K, 3) of x, y and 1 for K segments, and their lengths.

    The first give the distance of a point to the left of the line, times the length; the others
    its place along the segment, as a share.
    """
    x, y = segments[:, 0, 0], segments[:, 0, 1]
    dx, dy = segments[:, 1, 0] - x, segments[:, 1, 1] - y
    squares = dx * dx + dy * dy
    aside, ahead = np.empty((2, len(segments), 3))
    aside[:, 0], aside[:, 1] = -dy, dx
    aside[:, 2] = dy * x - dx * y
    sharing = 1.0 / np.maximum(squares, np.finfo(float).tiny)
    dx, dy = dx * sharing, dy * sharing
    ahead[:, 0], ahead[:, 1] = dx, dy
    ahead[:, 2] = -(dx * x + dy * y)
    return aside, ahead, np.sqrt(squares)
