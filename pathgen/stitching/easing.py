"""Give crowded needle points room: the trade's short stitches.

On the inside of a bend, where a column turns about a corner, and where it passes over itself, the
points of a zigzag come too close: thread piles up and the needle cuts the cloth. Such points step
back into the column, each only as far as it takes to keep the least stitch from all others,
so that inside a bend about every second stitch becomes a short one. Points with room enough,
such as those on the outside, stay where they are, and so do the ends. Where a narrow column
has no place left for a point, it is left out: the thread would only pile up there.
"""

import math
from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points
from pathgen.settings import Settings

__all__ = ["eased", "least_apart_mm", "stepped_back"]

# Deepest step back, in widths of the column there: farther on are the other side's points.
_DEEPEST_WIDTHS = 0.75
# Where the asked spacing itself is under the least stitch, points keep this share of it.
_SPACING_SHARE = 0.8
# Points whose distances to all others are told at once.
_AT_ONCE = 512
# Two points at just the least distance have room, whatever the last bits say.
_ROOM = 1.0 - 1e-9


def least_apart_mm(settings: Settings) -> float:
    """Distance that the points of a zigzag keep. Uses ``least_stitch_mm``, ``spacing_mm``."""
    return min(settings.least_stitch_mm, _SPACING_SHARE * settings.spacing_mm)


def eased(
    points: Points, across_mm: Points, least_mm: float, *, closed: bool = False
) -> tuple[Points, NDArray[np.bool_]]:
    """Points of a zigzag, the crowded ones stepped back.

    Parameters
    ----------
    points : (N, 2) float
        In sewing order.
    across_mm : (N, 2) float
        From each point to the other side of the column.
    least_mm : float
        Distance that points keep.
    closed : bool
        Whether it goes around a ring, so that it has no ends.

    Returns
    -------
    points : (N, 2) float
        No two of those kept nearer than ``least_mm``.
    kept : (N,) bool
        Which are not left out.
    """
    kept = np.ones(len(points), dtype=bool)
    crowded = _crowded(points, least_mm)
    if not len(crowded):
        return points, kept
    depth = np.hypot(across_mm[:, 0], across_mm[:, 1])
    reach = least_mm + _DEEPEST_WIDTHS * (depth[crowded] + depth.max())
    near = _squares(points[crowded], points) < (reach * reach)[:, None]
    places = points.tolist()
    settled = np.bincount(crowded, minlength=len(points)) == 0
    there = settled.tolist()
    steps = across_mm.tolist()
    rows = dict(zip(crowded.tolist(), near, strict=True))
    for k in _ends_first(rows, len(points), closed=closed):
        others = [places[j] for j in np.flatnonzero(rows[k]).tolist() if there[j]]
        share = _first_room(places[k], steps[k], others, least_mm)
        kept[k] = there[k] = share <= _DEEPEST_WIDTHS
        places[k] = [p + share * a for p, a in zip(places[k], steps[k], strict=True)]
    return np.where(kept[:, None], np.array(places), points), kept


def stepped_back(
    point: Points, across_mm: Points, others: Points, least_mm: float
) -> Points | None:
    """Point moved across its column, (2,), as little as gives it room from the others, (N, 2).

    ``across_mm`` leads to the other side. None where nowhere has room enough.
    """
    reach = least_mm + _DEEPEST_WIDTHS * math.hypot(*across_mm)
    near = others[_squares(point[None], others)[0] < reach * reach]
    share = _first_room(point.tolist(), across_mm.tolist(), near.tolist(), least_mm)
    return point + share * across_mm if share <= _DEEPEST_WIDTHS else None


def _ends_first(crowded: Iterable[int], count: int, *, closed: bool) -> list[int]:
    """Order in which crowded points find their places: the corners of both ends, then on."""
    corners = () if closed else (0, count - 1, 1, count - 2)
    return sorted(crowded, key=lambda k: (corners.index(k) if k in corners else len(corners), k))


def _first_room(
    point: Sequence[float],
    across: Sequence[float],
    others: Sequence[Sequence[float]],
    least_mm: float,
) -> float:
    """Share of the way across at which a point first keeps its distance from all others.

    Each of the others bars the shares between the roots of a quadratic.
    """
    (x, y), (ax, ay) = point, across
    size = ax * ax + ay * ay
    barred = []
    for ox, oy in others:
        dx, dy = x - ox, y - oy
        off = dx * dx + dy * dy - least_mm * least_mm
        lead = ax * dx + ay * dy
        root = lead * lead - size * off
        if root > 0.0 and (off < 0.0 or lead < 0.0):
            root = math.sqrt(root)
            barred.append(((-lead - root) / size, (-lead + root) / size))
    share = 0.0
    for start, end in sorted(barred):
        if start > share:
            break
        share = max(share, end)
    return share


def _crowded(points: Points, least_mm: float) -> NDArray[np.intp]:
    """Indices of the points that are too near to another one."""
    limit = least_mm * least_mm * _ROOM
    starts = range(0, len(points), _AT_ONCE)
    near = [(_squares(points[i : i + _AT_ONCE], points) < limit).sum(axis=1) for i in starts]
    return np.flatnonzero(np.concatenate(near) > 1)


def _squares(points: Points, others: Points) -> NDArray[np.float64]:
    """Squares of the distances from points (N, 2) to others (M, 2)."""
    dx = points[:, :1] - others[:, 0]
    dy = points[:, 1:] - others[:, 1]
    return np.asarray(dx * dx + dy * dy)
