"""Lay a centre run under a column.

A run of single stitches along the centre line holds the cloth before the zigzag covers it. It
stays short of both ends so that it cannot show, and its chords stay close to the centre line
where that bends.
"""

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points, along, at_distances
from pathgen.model import Column
from pathgen.settings import Settings

__all__ = ["centre_run", "run_along"]

# How far the run stays from each end, in column widths (common practice: out of sight; no
# published figure).
_SHORT_OF_END_WIDTHS = 0.6
# A chord of the run strays from the centre line by at most this share of the half width.
_STRAY_SHARE = 0.25


def centre_run(column: Column, settings: Settings) -> Points:
    """Needle points of a run along the centre line, from the first rung towards the last.

    Parameters
    ----------
    column : Column
        Rails in mm.
    settings : Settings
        Uses ``run_mm``.

    Returns
    -------
    (N, 2) float
        Empty when the column is too short to hide a run.
    """
    centre = column.centre
    width = float(np.median(column.widths))
    total = float(along(centre)[-1])
    short = 0.0 if column.closed else _SHORT_OF_END_WIDTHS * width
    if total - 2.0 * short < settings.run_mm / 2.0:
        return np.zeros((0, 2))
    line = at_distances(centre, np.linspace(short, total - short, max(2, len(centre))))
    return run_along(line, settings.run_mm, _STRAY_SHARE * width / 2.0)


def run_along(line: Points, run_mm: float, stray_mm: float) -> Points:
    """Needle points along a polyline, both its ends among them.

    Stitches are even pieces of the line, none longer than ``run_mm``, and as many as it takes
    for every chord to stay within ``stray_mm`` of the line, so far as its own points tell.
    """
    where = along(line)
    count = max(1, int(np.ceil(where[-1] / run_mm - 1e-9)))
    most = max(count, len(line) - 1)
    while count < most and _stray(line, where, count) > stray_mm:
        count += 1
    return at_distances(line, np.linspace(0.0, where[-1], count + 1))


def _stray(line: Points, where: NDArray[np.float64], count: int) -> float:
    """Largest distance of the line's points from the chord above them."""
    stops = np.linspace(0.0, where[-1], count + 1)
    ends = at_distances(line, stops)
    chord = np.clip(np.searchsorted(stops, where, side="right") - 1, 0, count - 1)
    start, ahead = ends[chord], ends[chord + 1] - ends[chord]
    size = np.hypot(ahead[:, 0], ahead[:, 1])
    off = line - start
    across = np.abs(ahead[:, 0] * off[:, 1] - ahead[:, 1] * off[:, 0])
    return float(np.max(np.divide(across, size, out=np.zeros_like(size), where=size > 0.0)))
