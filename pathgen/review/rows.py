"""Findings made of rows of the needle table: the worst row of each column that breaks a limit."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

__all__ = ["Place", "place_of", "worst_rows"]

Place = tuple[int, int, int]
"""Line, letter and column of a row."""


def place_of(needles: NDArray[np.void], row: int) -> Place:
    """What a row belongs to."""
    needle = needles[row]
    return int(needle["line"]), int(needle["letter"]), int(needle["column"])


def worst_rows(
    needles: NDArray[np.void], badness: NDArray[np.float64], beyond: NDArray[np.bool_]
) -> Iterator[tuple[Place, int]]:
    """Each column with a row beyond a limit, and its worst such row (the first of equals).

    Parameters
    ----------
    needles : structured array of NEEDLE_TABLE
        N rows.
    badness : (N,) float
        More is worse.
    beyond : (N,) bool
        Rows that break the limit.
    """
    worst: dict[Place, int] = {}
    for row in np.flatnonzero(beyond).tolist():
        place = place_of(needles, row)
        if place not in worst or badness[row] > badness[worst[place]]:
            worst[place] = row
    yield from worst.items()
