"""Path data through many points, written at once: (x, -y) in mm, three decimals.

The same digits as in the needle table, so that any SVG reader gets the table's points back.
Points and stitches are of kinds, and all paths are written in one go, a path a kind.
"""

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points
from pathgen.writers.digits import Words, decimals, joined, led, text_of, thousandths

__all__ = ["dots", "points_written", "ring_path", "runs"]

_FIRST, _AFTER = 0, -2
"""Signs of a written point: the ``M``, and an empty one behind its ``h0``."""


def points_written(points: Points) -> Words:
    """Each point as ``Mx yh0``, y down: a dot, and what the paths below are put together from."""
    count = len(points)
    at = decimals(thousandths(np.concatenate([points[:, 0], -points[:, 1]])), " ")
    at.view(np.uint8)[:count, _FIRST] = ord("M")
    return joined(at[:count], at[count:], led("h0", count))


def ring_path(points: Points) -> str:
    """A closed subpath."""
    at = points_written(points)
    at.view(np.uint8)[1:, _FIRST] = ord(" ")
    at[:, -1] = 0
    return text_of(at).decode("ascii") + "Z"


def runs(kinds: NDArray[np.integer], at: Words) -> dict[int, str]:
    """Path through the stitches of each kind; stitch i leads from point i - 1 to point i."""
    rows = kinds[1:].argsort(kind="stable") + 1
    kinds = kinds[rows]
    first = np.ones(len(rows), dtype=np.bool_)
    first[1:] = (rows[1:] != rows[:-1] + 1) | (kinds[1:] != kinds[:-1])
    # Before the first stitch of each run, the point that it leads from.
    place = np.arange(len(rows)) + first.cumsum()
    through = np.empty(len(rows) + int(first.sum()), dtype=np.int64)
    through[place] = rows
    starts = place[first] - 1
    through[starts] = rows[first] - 1
    written = at.take(through, axis=0)
    signs = written.view(np.uint8)
    signs[:, _FIRST] = ord(" ")
    signs[starts, _FIRST] = ord("M")
    written[:, -1] = 0
    return _each(kinds, place, written)


def dots(kinds: NDArray[np.integer], at: Words) -> dict[int, str]:
    """A subpath of no length at each point of each kind; such show as their caps.

    Source: SVG 1.1, section 11.4.
    """
    rows = kinds.argsort(kind="stable")
    return _each(kinds[rows], np.arange(len(rows)), at.take(rows, axis=0))


def _each(kinds: NDArray[np.integer], place: NDArray[np.int64], written: Words) -> dict[int, str]:
    """The path of each kind, all written one after the other, in order of kinds."""
    if not len(kinds):
        return {}
    last = np.flatnonzero(kinds[1:] != kinds[:-1])
    written.view(np.uint8)[place[last], _AFTER] = ord("\n")
    texts = text_of(written).decode("ascii").split("\n")
    return dict(zip([*kinds[last].tolist(), int(kinds[-1])], texts, strict=True))
