"""The paths that travel may take, and how long each is: over bare cloth, on ink, under columns.

Travel goes straight, or around one corner on the centre line of a column.
"""

from collections.abc import Iterator, Sequence
from itertools import accumulate, pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.column import CentreLines
from pathgen.crossings import Outlines, lengths_inside_each
from pathgen.geometry import Points

__all__ = ["Places", "Spokes", "corners_of", "measured", "paths", "spokes"]

# Where on a column's centre line travel may turn, as shares of its length.
_CORNER_SHARES = np.array([0.15, 0.5, 0.85])
# Paths between all columns by all corners take memory that grows with the fourth power of the
# number of columns: 200 MB for these.
MOST_TURNING = 20


def corners_of(centres: CentreLines, counts: Sequence[int]) -> list[Points]:
    """Where travel in letters of so many columns may turn: a few points on each centre line.

    Nowhere for more than `MOST_TURNING` columns: travel goes straight there.
    """
    stops = (centres.totals[:, None] * _CORNER_SHARES).ravel()
    turns = centres.between(stops, np.arange(len(stops)) // len(_CORNER_SHARES))
    ends = accumulate((len(_CORNER_SHARES) * count for count in counts), initial=0)
    return [
        turns[first : last if count <= MOST_TURNING else first]
        for count, (first, last) in zip(counts, pairwise(ends), strict=True)
    ]


class Spokes(NamedTuple):
    """Legs between a letter's own corners and its exits and entries.

    Whole length of each, how much is on ink, and under any cover that is sewn later.

    Attributes
    ----------
    out : (3, C, R) float
        From exits to corners, for travel that leaves the letter: it is all sewn before.
    back : (3, C, E) float
        From corners to entries, for travel that comes to the letter: it is all sewn later.
    """

    out: NDArray[np.float64]
    back: NDArray[np.float64]


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
        Within a letter first its ink, where travel is not over bare cloth, then what each column
        covers once it is sewn. Between two, first the ink that the one adds to that of the other,
        then the other's, and what all of its columns cover.
    known : (Spokes, Spokes) or None
        Of the letter that is left, whose corners come first, and of the one that is entered:
        known where neither's lead over the other letter.
    """

    exits: Points
    entries: Points
    exit_growth_mm: NDArray[np.float64]
    entry_growth_mm: NDArray[np.float64]
    corners: Points
    lines: Outlines
    known: tuple[Spokes, Spokes] | None = None

    @property
    def several(self) -> bool:
        """Whether a letter has several columns: one alone has no travel inside."""
        return self.lines.size > 2


def measured(asked: Sequence[Places], *, between: bool) -> Iterator[NDArray[np.float64]]:
    """Whole length of every leg, how much is on ink, and under each cover, (2 + N, legs).

    Between letters only one cover is told of. Legs that are known are left out, and so are those
    straight from a letter's only column to itself.
    """
    questions = [
        (_legs(places, straight=between or places.several), places.lines) for places in asked
    ]
    for lengths in lengths_inside_each(questions):
        if between:
            left, own, under = lengths[1:]
            left += own
            # Covers overlap where columns meet, and all of them together cover the ink.
            np.minimum(under, own, out=own)
            lengths = lengths[:3]
        yield lengths


def paths(places: Places, legs: NDArray[np.float64]) -> NDArray[np.float64]:
    """Every path as its legs were `measured`, and how much is neither on ink nor over bare cloth.

    (3 + N, P, R, E)
    """
    a, b, n = len(places.exits), len(places.entries), len(legs)
    out, back = _turned(places, legs)
    paths = np.empty((n + 1, 1 + len(places.corners), a, b))
    paths[:-1, 0] = legs[:, : a * b].reshape(n, a, b)
    turned, both = paths[:-1, 1:], [(out, back)]
    if places.known is not None:
        both = [(places.known[0].out, back), (out, places.known[1].back)]
    for out, back in both:
        np.add(out[..., None], back[:, :, None], out=turned[:, : out.shape[1]])
        turned = turned[:, out.shape[1] :]
    np.add(places.exit_growth_mm[:, None], places.entry_growth_mm, out=paths[-1])
    return paths


def spokes(places: Places, legs: NDArray[np.float64]) -> Spokes:
    """Those of a letter, from all its legs."""
    any_cover = legs[:3].copy()
    np.minimum(np.add.reduce(legs[2:], axis=0), legs[1], out=any_cover[2])
    out, back = _turned(places, any_cover)
    out[2] = 0.0
    return Spokes(out, back)


def _turned(
    places: Places, legs: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Legs from exits to corners, (N, C, R), and from corners to entries, (N, C, E)."""
    a, b, (ahead, behind) = len(places.exits), len(places.entries), _corners(places)
    last = legs.shape[1] - len(behind) * b
    first = last - len(ahead) * a
    return (
        legs[:, first:last].reshape(len(legs), len(ahead), a),
        legs[:, last:].reshape(len(legs), len(behind), b),
    )


def _corners(places: Places) -> tuple[Points, Points]:
    """Corners to which legs are measured from exits, and from which to entries."""
    if places.known is None:
        return places.corners, places.corners
    own = places.known[0].out.shape[1]
    return places.corners[own:], places.corners[:own]


def _legs(places: Places, *, straight: bool) -> NDArray[np.float64]:
    """Segments from exits to entries, from exits to corners, and from corners to each entry."""
    exits, entries, (ahead, behind) = places.exits, places.entries, _corners(places)
    a, b, c, d = len(exits), len(entries), len(ahead), len(behind)
    legs = np.empty((a * b + a * c + b * d, 2, 2))
    direct = legs[: a * b].reshape(a, b, 2, 2)
    direct[:, :, 0], direct[:, :, 1] = exits[:, None], entries
    out = legs[a * b : a * (b + c)].reshape(c, a, 2, 2)
    out[:, :, 0], out[:, :, 1] = exits, ahead[:, None]
    back = legs[a * (b + c) :].reshape(d, b, 2, 2)
    back[:, :, 0], back[:, :, 1] = behind[:, None], entries
    return legs if straight else legs[a * b :]
