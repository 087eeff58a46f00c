"""What the needle path looks like once sewn: every stitch a band of thread.

A zigzag stitch shows as a band of the thread's visible width. The thread's tension pulls its ends
inward, and the thread bulges out over the needle point again; where a run lies underneath, the
cloth gives way less. Runs, ties and travel are single threads and show at the thread's own
thickness. limit: the cloth between the letters is taken to stay flat.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.needles import Arrive, Part
from pathgen.settings import Settings

__all__ = ["Bands", "MiddleLines", "middle_lines", "sewn_bands"]


class Bands(NamedTuple):
    """Bands of thread, in sewing order.

    Attributes
    ----------
    corners_mm : (B, 4, 2) float
        Counter-clockwise, from the right hand corner at the start of each stitch.
    row : (B,) int
        Row of the needle table at which the stitch ends.
    """

    corners_mm: NDArray[np.float64]
    row: NDArray[np.int64]


class MiddleLines(NamedTuple):
    """Middle lines of the bands of thread, in sewing order; (B,) each.

    Attributes
    ----------
    x_mm, y_mm : float
        Where each starts.
    ahead_x, ahead_y : float
        Its direction, of length 1.
    long_mm, wide_mm : float
        Length and width of the band.
    row : int
        Row of the needle table at which the stitch ends.
    """

    x_mm: NDArray[np.float64]
    y_mm: NDArray[np.float64]
    ahead_x: NDArray[np.float64]
    ahead_y: NDArray[np.float64]
    long_mm: NDArray[np.float64]
    wide_mm: NDArray[np.float64]
    row: NDArray[np.int64]


def middle_lines(needles: NDArray[np.void], settings: Settings) -> MiddleLines:
    """Middle lines of all stitches of a needle table, or of a stretch of one.

    Parameters
    ----------
    needles : structured array of NEEDLE_TABLE
        The stitch to its first row is not seen, as it starts outside.
    settings : Settings
        Uses ``sewn_look`` and ``thread``.

    Returns
    -------
    MiddleLines
        One a sewn stitch; a stitch without length has none.
    """
    look = settings.sewn_look
    x, y, part = (needles[name].copy() for name in ("x_mm", "y_mm", "part"))
    way_x, way_y = x[1:] - x[:-1], y[1:] - y[:-1]
    size = np.hypot(way_x, way_y)
    rows = ((needles["arrive"][1:] == Arrive.SEW) & (size > 0.0)).nonzero()[0]
    size, cover = size[rows], part[rows + 1] == Part.ZIGZAG
    pull = np.where(_over_underlay(needles, part)[rows + 1], look.over_underlay, 1.0)
    # A stitch that is pulled in to nothing still shows where the needle went.
    shorter = np.where(cover, pull * look.pull_in_mm - look.overhang_mm, 0.0)
    shorter = np.minimum(shorter, size / 2.0)
    ahead_x, ahead_y = way_x[rows] / size, way_y[rows] / size
    return MiddleLines(
        x_mm=x[rows] + shorter * ahead_x,
        y_mm=y[rows] + shorter * ahead_y,
        ahead_x=ahead_x,
        ahead_y=ahead_y,
        long_mm=size - 2.0 * shorter,
        wide_mm=np.where(cover, look.width_mm, settings.thread.diameter_mm),
        row=rows + 1,
    )


def sewn_bands(needles: NDArray[np.void], settings: Settings) -> Bands:
    """Bands of all stitches: as `middle_lines`, with their width."""
    lines = middle_lines(needles, settings)
    ahead = np.column_stack([lines.ahead_x, lines.ahead_y])
    aside = (lines.wide_mm / 2.0)[:, None] * np.column_stack([lines.ahead_y, -lines.ahead_x])
    foot = np.column_stack([lines.x_mm, lines.y_mm])
    top = foot + lines.long_mm[:, None] * ahead
    corners = np.stack([foot + aside, top + aside, top - aside, foot - aside], axis=1)
    return Bands(corners, lines.row)


def _over_underlay(needles: NDArray[np.void], part: NDArray[np.uint8]) -> NDArray[np.bool_]:
    """Whether a run was sewn under each penetration's column."""
    keys = needles["line"].astype(np.int64) << 48
    keys += needles["letter"].astype(np.int64) << 24
    keys += needles["column"]
    # numpy's own isin would load its masked arrays first, at every start of the tool.
    having = keys[part == Part.UNDERLAY]
    if not len(having):
        return np.zeros(len(keys), dtype=np.bool_)
    having.sort()
    near = np.minimum(having.searchsorted(keys), len(having) - 1)
    return np.asarray(having[near] == keys)
