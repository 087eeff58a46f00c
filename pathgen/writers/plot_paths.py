"""Path data through many points, written at once: (x, -y) in mm, three decimals.

The same digits as in the needle table, so that any SVG reader gets the table's points back.
"""

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points
from pathgen.writers.digits import Words, decimals, joined, led, text_of, thousandths

__all__ = ["dots", "points_written", "ring_path", "runs"]


def points_written(points: Points) -> Words:
    """Each point as ``Mx yh0``, y down: a dot, and what the paths below are put together from."""
    x, y = thousandths(points[:, 0]), thousandths(points[:, 1])
    count = len(points)
    return joined(led("M", count), decimals(x), decimals(-y, " "), led("h0", count))


def ring_path(points: Points) -> str:
    """A closed subpath."""
    return _through(points_written(points), np.arange(len(points)) == 0) + "Z"


def runs(chosen: NDArray[np.bool_], at: Words) -> str:
    """Path through the chosen stitches; stitch i leads from point i - 1 to point i."""
    ends = chosen.copy()
    ends[:1] = False
    shown = ends.copy()
    shown[:-1] |= ends[1:]
    rows = shown.nonzero()[0]
    return _through(at.take(rows, axis=0), ~ends.take(rows))


def dots(rows: NDArray[np.integer], at: Words) -> str:
    """A subpath of no length at each of the chosen points; such show as their caps.

    Source: SVG 1.1, section 11.4.
    """
    return text_of(at.take(rows, axis=0)).decode("ascii")


def _through(at: Words, starts: NDArray[np.bool_]) -> str:
    """Path through points, a new subpath at each start."""
    at[:, 0] = np.where(starts, led("M", 1)[0, 0], led(" ", 1)[0, 0])
    at[:, -1] = 0
    return text_of(at).decode("ascii")
