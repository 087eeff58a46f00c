"""What the needle path looks like once sewn: every stitch a band of thread.

A zigzag stitch shows as a band of the thread's visible width. The thread's tension pulls its ends
inward, and the thread bulges out over the needle point again; where a run lies underneath, the
cloth gives way less. Runs, ties and travel are single threads and show at the thread's own
thickness. limit: the cloth between the letters is taken to stay flat.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.needles import Arrive, Part, places_mm
from pathgen.settings import Settings

__all__ = ["Bands", "sewn_bands"]


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


def sewn_bands(needles: NDArray[np.void], settings: Settings) -> Bands:
    """Bands of all stitches of a needle table, or of a stretch of one.

    Parameters
    ----------
    needles : structured array of NEEDLE_TABLE
        The stitch to its first row is not seen, as it starts outside.
    settings : Settings
        Uses ``sewn_look`` and ``thread``.

    Returns
    -------
    Bands
        One a sewn stitch; a stitch without length has none.
    """
    look = settings.sewn_look
    at = places_mm(needles)
    start, way = at[:-1], np.diff(at, axis=0)
    size = np.hypot(way[:, 0], way[:, 1])
    sewn = (needles["arrive"][1:] == Arrive.SEW) & (size > 0.0)
    cover = needles["part"][1:] == Part.ZIGZAG
    pull = np.where(_over_underlay(needles)[1:], look.over_underlay, 1.0) * look.pull_in_mm
    shorter = np.where(cover, pull - look.overhang_mm, 0.0)
    # A stitch that is pulled in to nothing still shows where the needle went.
    shorter = np.minimum(shorter, size / 2.0)[sewn]
    half = np.where(cover, look.width_mm, settings.thread.diameter_mm)[sewn] / 2.0
    ahead = way[sewn] / size[sewn, None]
    aside = half[:, None] * np.column_stack([ahead[:, 1], -ahead[:, 0]])
    foot = start[sewn] + shorter[:, None] * ahead
    top = foot + (size[sewn] - 2.0 * shorter)[:, None] * ahead
    corners = np.stack([foot + aside, top + aside, top - aside, foot - aside], axis=1)
    return Bands(corners, np.flatnonzero(sewn) + 1)


def _over_underlay(needles: NDArray[np.void]) -> NDArray[np.bool_]:
    """Whether a run was sewn under each penetration's column."""
    keys = needles["line"].astype(np.int64) << 48
    keys += needles["letter"].astype(np.int64) << 24
    keys += needles["column"]
    # numpy's own isin would load its masked arrays first, at every start of the tool.
    having = np.sort(keys[needles["part"] == Part.UNDERLAY])
    if not len(having):
        return np.zeros(len(keys), dtype=np.bool_)
    near = np.minimum(np.searchsorted(having, keys), len(having) - 1)
    return np.asarray(having[near] == keys)
