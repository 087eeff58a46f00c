"""Findings made of rows of the needle table: the worst row of each column that breaks a limit."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from pathgen.model import Finding, Level

__all__ = ["Place", "finding_at", "place_of", "worst_rows"]

Place = tuple[int, int, int]
"""Line, letter and column of a row."""


def place_of(needles: NDArray[np.void], row: int) -> Place:
    """What a row belongs to."""
    needle = needles[row]
    return int(needle["line"]), int(needle["letter"]), int(needle["column"])


def worst_rows(
    needles: NDArray[np.void],
    badness: NDArray[np.float64] | NDArray[np.int64],
    beyond: NDArray[np.bool_],
) -> Iterator[tuple[Place, int]]:
    """Each column with a row beyond a limit, and its worst such row (the first of equals).

    Parameters
    ----------
    needles : structured array of NEEDLE_TABLE
        N rows.
    badness : (N,) float or int
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


def finding_at(
    place: Place,
    at_mm: NDArray[np.float64],
    *,
    code: str,
    level: Level,
    measured: float,
    limit: float,
    advice: str,
    unit: str = "mm",
) -> Finding:
    """What is found in a column, at a point (2,) of it; the rest as in `Finding`."""
    line, letter, column = place
    return Finding(
        code=code,
        level=level,
        at_mm=(float(at_mm[0]), float(at_mm[1])),
        line=line,
        letter=letter,
        column=column,
        measured=float(measured),
        limit=limit,
        unit=unit,
        advice=advice,
    )
