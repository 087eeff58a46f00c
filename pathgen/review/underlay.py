"""Underlay that shows beside its column.

Underlay is to lie under the cover by at least half its own thickness. Its penetrations, and the
middles of its stitches, which cut bends, are held against the nearest rung of their column, as
wide as it is sewn.
"""

from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points
from pathgen.model import Finding, Letter, LetterShape, Level
from pathgen.needles import Arrive, Part
from pathgen.review.growth import usual_widths_mm
from pathgen.review.rows import finding_at, worst_rows
from pathgen.settings import Settings

__all__ = ["underlay_showing"]

_LIMIT_MM = 0.05
"""Thread may look out so far in silence: rungs are not looked at more finely."""


_DECIMALS = 10
"""Spots are taken to this many decimals of a mm from their letter, so that the same ones are the
same wherever it stands."""


class _Rungs(NamedTuple):
    """All rungs of a letter in one row: middle, direction across, half width, and whose."""

    middle: Points
    across: Points
    half_mm: NDArray[np.float64]
    column: NDArray[np.int64]


def underlay_showing(
    letters: Sequence[Letter], needles: NDArray[np.void], xy_mm: Points, settings: Settings
) -> Iterator[Finding]:
    """One finding a column whose underlay looks out from under it, where it does most."""
    under = needles["part"] == Part.UNDERLAY
    if not under.any():
        return
    half_mm = settings.thread.diameter_mm / 2.0
    stitched = under & np.append(False, under[:-1]) & (needles["arrive"] == Arrive.SEW)
    out = np.full(len(needles), -np.inf)
    key = needles["line"].astype(np.int64) << 32 | needles["letter"]
    for letter in letters:
        rows = np.flatnonzero(under & (key == (letter.line << 32 | letter.index)))
        if len(rows):
            chords = rows[stitched[rows]]
            spots = np.concatenate([xy_mm[rows], (xy_mm[chords] + xy_mm[chords - 1]) / 2.0])
            of = np.concatenate([rows, chords])
            column = needles["column"][of].astype(np.int64)
            here = np.round(spots - letter.at_mm, _DECIMALS) + 0.0
            widths = usual_widths_mm(letter.shape)
            growth = tuple(settings.pull_mm + settings.widening_mm(width) for width in widths)
            beyond = _beyond_mm(here.tobytes(), column.tobytes(), letter.shape, growth)
            np.maximum.at(out, of, beyond + half_mm)
    for place, row in worst_rows(needles, out, out > _LIMIT_MM + 1e-9):
        yield finding_at(
            place,
            xy_mm[row],
            code="underlay-shows",
            level=Level.CHECK,
            measured=out[row],
            limit=_LIMIT_MM,
            advice="leave the underlay out, or make its stitches shorter",
        )


@lru_cache(maxsize=4096)
def _beyond_mm(
    spots_mm: bytes, column_numbers: bytes, shape: LetterShape, growth_mm: tuple[float, ...]
) -> NDArray[np.float64]:
    """How far each spot, from the letter's origin, lies outside its column as sewn.

    Letters come again with the same underlay: each is looked at once.
    """
    spots = np.frombuffer(spots_mm).reshape(-1, 2)
    column = np.frombuffer(column_numbers, np.int64)
    rungs, growth = _rungs(shape), np.array(growth_mm)
    apart = spots[:, None] - rungs.middle
    square = (apart * apart).sum(axis=2)
    square[column[:, None] != rungs.column] = np.inf
    nearest = square.argmin(axis=1)
    offset = np.abs((apart[np.arange(len(spots)), nearest] * rungs.across[nearest]).sum(axis=1))
    out = offset - rungs.half_mm[nearest] - growth[column - 1]
    out.flags.writeable = False
    return np.asarray(out)


@lru_cache(maxsize=1024)
def _rungs(shape: LetterShape) -> _Rungs:
    """Rungs of all columns of a letter."""
    left = np.concatenate([c.left for c in shape.columns])
    right = np.concatenate([c.right for c in shape.columns])
    width = np.hypot(*(left - right).T)
    across = (left - right) / np.maximum(width, 1e-12)[:, None]
    column = np.repeat(np.arange(1, len(shape.columns) + 1), [len(c.left) for c in shape.columns])
    return _Rungs((left + right) / 2.0, across, width / 2.0, column)
