"""The paths that travel may take, and how long each is: over bare cloth, on ink, under columns.

Travel goes straight, or around one corner on the centre line of a column.
"""

from collections.abc import Iterator, Sequence
from itertools import accumulate, pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.crossings import Outlines, lengths_inside_each
from pathgen.geometry import Points, between_each
from pathgen.model import Column

__all__ = ["Places", "corners_of", "measured"]

# Where on a column's centre line travel may turn, as shares of its length.
_CORNER_SHARES = np.array([0.15, 0.5, 0.85])
# Paths between all columns by all corners take memory that grows with the fourth power of the
# number of columns: 200 MB for these.
MOST_TURNING = 20


def corners_of(letters: Sequence[Sequence[Column]]) -> list[Points]:
    """Where travel in each letter may turn: a few points on the centre line of each column.

    Nowhere for more than `MOST_TURNING` columns: travel goes straight there.
    """
    turning = [columns if len(columns) <= MOST_TURNING else () for columns in letters]
    centres = [column.centre for columns in turning for column in columns]
    where = [column.where for columns in turning for column in columns]
    stops = [_CORNER_SHARES * along[-1] for along in where]
    turns = between_each(centres, where, stops) if centres else np.zeros((0, 2))
    ends = accumulate((len(_CORNER_SHARES) * len(columns) for columns in turning), initial=0)
    return [turns[first:last] for first, last in pairwise(ends)]


class Places(NamedTuple):
    """Between what to travel, and over what.

    Attributes
    ----------
    exits, entries : (R, 2), (E, 2) float
        Where travel begins and ends.
    exit_growth_mm, entry_growth_mm : (R,), (E,) float
        How far outside the ink each lies: so much of a travel is under the letters' own thread,
        neither over bare cloth nor on ink.
    corners : (C, 2) float
        Where it may turn.
    lines : Outlines
        First the ink, where travel is not over bare cloth, then what each column covers once it
        is sewn.
    inks, own_inks : int
        How many of the lines' shapes are ink, and how many of these, the last, belong to the
        letter that is entered.
    """

    exits: Points
    entries: Points
    exit_growth_mm: NDArray[np.float64]
    entry_growth_mm: NDArray[np.float64]
    corners: Points
    lines: Outlines
    inks: int
    own_inks: int


def measured(asked: Sequence[Places], *, one_cover: bool) -> Iterator[NDArray[np.float64]]:
    """Whole length of every path, how much is on ink, and under each cover.

    Or under any of them, where it does not matter which. Last, how much is neither on ink nor over
    bare cloth. For each of the places (3 + C, R, E, P).
    """
    legs = [(_legs(places), places.lines) for places in asked]
    for places, lengths in zip(asked, lengths_inside_each(legs), strict=True):
        a, b, c = len(places.exits), len(places.entries), len(places.corners)
        inked = lengths[1 : 1 + places.inks].sum(axis=0, keepdims=True)
        under = lengths[1 + places.inks :]
        if one_cover:
            # Covers overlap where columns meet, and all of them together cover the ink.
            own = lengths[1 + places.inks - places.own_inks : 1 + places.inks]
            under = np.minimum(under.sum(axis=0), own.sum(axis=0))[None]
        many = np.concatenate([lengths[:1], inked, under])
        paths = np.empty((len(many) + 1, a, b, 1 + c))
        paths[:-1, ..., 0] = many[:, : a * b].reshape(len(many), a, b)
        out = many[:, a * b : a * (b + c)].reshape(len(many), a, 1, c)
        back = many[:, a * (b + c) :].reshape(len(many), 1, b, c)
        np.add(out, back, out=paths[:-1, ..., 1:])
        growth = places.exit_growth_mm[:, None] + places.entry_growth_mm
        paths[-1] = growth[:, :, None]
        yield paths


def _legs(places: Places) -> NDArray[np.float64]:
    """Segments from exits to entries, from exits to corners, and from corners to each entry."""
    exits, entries, corners = places.exits, places.entries, places.corners
    a, b, c = len(exits), len(entries), len(corners)
    legs = np.empty((a * b + a * c + b * c, 2, 2))
    straight = legs[: a * b].reshape(a, b, 2, 2)
    straight[:, :, 0], straight[:, :, 1] = exits[:, None], entries
    out = legs[a * b : a * (b + c)].reshape(a, c, 2, 2)
    out[:, :, 0], out[:, :, 1] = exits[:, None], corners
    back = legs[a * (b + c) :].reshape(b, c, 2, 2)
    back[:, :, 0], back[:, :, 1] = corners, entries[:, None]
    return legs
