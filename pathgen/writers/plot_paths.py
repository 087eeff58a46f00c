"""Path data through many points, written at once: (x, -y) in mm, three decimals.

The same digits as in the needle table, so that any SVG reader gets the table's points back.
"""

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points
from pathgen.writers.digits import Words, decimals, led, looked_up, text_of, thousandths

__all__ = ["dots", "points_written", "ring_path", "runs"]


def points_written(points: Points) -> Words:
    """Each point as ``x y``, y down, for the paths that follow."""
    x, y = thousandths(points[:, 0]), thousandths(points[:, 1])
    return np.concatenate([decimals(x), decimals(-y, " ")], axis=1)


def ring_path(points: Points) -> str:
    """A closed subpath."""
    return _through(points_written(points), np.arange(len(points)) == 0) + "Z"


def runs(chosen: NDArray[np.bool_], at: Words) -> str:
    """Path through the chosen stitches; stitch i leads from point i - 1 to point i."""
    ends = chosen.copy()
    ends[:1] = False
    shown = ends.copy()
    shown[:-1] |= ends[1:]
    return _through(at[shown], ~ends[shown])


def dots(rows: NDArray[np.integer] | NDArray[np.bool_], at: Words) -> str:
    """A subpath of no length at each of the chosen points; such show as their caps.

    Source: SVG 1.1, section 11.4.
    """
    here = at[rows]
    return text_of(led("M", len(here)), here, led("h0", len(here))).decode("ascii")


def _through(at: Words, starts: NDArray[np.bool_]) -> str:
    """Path through points, a new subpath at each start."""
    return text_of(looked_up((" ", "M"), starts.view(np.uint8)), at).decode("ascii")
