"""Where the columns of a letter meet, whatever its size: told once a glyph, and kept with it."""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from pathgen.geometry import between
from pathgen.model import Column

__all__ = ["Meeting", "meetings"]

# Places along each column that are looked at.
_LOOKED_AT = 17
# Columns meet where their centre lines come this near, in half widths of both.
_MEET_SHARE = 1.3
# With more columns than this in a letter, its orders would be too many to weigh by doors too.
_MOST_COLUMNS = 6


class Meeting(NamedTuple):
    """Two columns where they come nearest.

    Attributes
    ----------
    column, other : int
        Which columns, from 0; each pair is told both ways round.
    share, other_share : float
        How far along the centre line of each, 0 to 1.
    """

    column: int
    other: int
    share: float
    other_share: float


def meetings(columns: Sequence[Column]) -> tuple[Meeting, ...]:
    """Columns that meet; none in a letter of more than six."""
    count = len(columns)
    if not 1 < count <= _MOST_COLUMNS:
        return ()
    shares = np.linspace(0.0, 1.0, _LOOKED_AT)
    lines = np.concatenate([between(c.centre, c.where, shares * c.where[-1]) for c in columns])
    gap = np.hypot(*(lines[:, None] - lines).transpose(2, 0, 1))
    gap = gap.reshape(count, _LOOKED_AT, count, _LOOKED_AT)
    found = []
    for k, other in np.ndindex(count, count):
        here, there = divmod(int(gap[k, :, other].argmin()), _LOOKED_AT)
        reach = _MEET_SHARE * (columns[k].usual_width + columns[other].usual_width) / 2.0
        # The nearest places lie between those that are looked at.
        reach += columns[k].where[-1] / (2 * _LOOKED_AT)
        if k != other and gap[k, here, other, there] <= reach:
            found.append(Meeting(k, other, float(shares[here]), float(shares[there])))
    return tuple(found)
