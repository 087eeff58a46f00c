"""Travel that crosses bare cloth, where everybody sees it."""

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from pathgen.model import Finding, Letter, Level
from pathgen.needles import Arrive, Part, places_mm
from pathgen.polygons import lengths_inside, outlines_of
from pathgen.settings import Settings

__all__ = ["bare_travel"]

# Shorter than this, a stitch across a gap disappears between the letters (placeholder until
# sewn samples set it).
_LIMIT_MM = 0.3


def bare_travel(
    needles: NDArray[np.void], letters: Sequence[Letter], settings: Settings
) -> Iterator[Finding]:
    """One finding a column that is reached by a run over more than 0.3 mm of bare cloth.

    Needle points lie outside the ink by the allowance; that much is not counted where the
    travel leaves one rail, and where it comes to another. Uses ``pull_mm``.
    """
    ink = {(letter.line, letter.index): letter.ink for letter in letters}
    xy = places_mm(needles)
    lines, letters_of, columns = (needles[k].tolist() for k in ("line", "letter", "column"))
    for before, row in _arrivals(needles):
        here, there = ((lines[i], letters_of[i]) for i in (before, row))
        # A run that ends on the centre line is under cover before it swings to the rail.
        direct = row == before + 1
        end = row if direct else row - 1
        allowed = (2.0 if direct else 1.0) * settings.pull_mm
        legs = np.stack([xy[before:end], xy[before + 1 : end + 1]], axis=1)
        total = np.hypot(*(legs[:, 1] - legs[:, 0]).T)
        if total.sum() - allowed <= _LIMIT_MM:
            continue
        near = [shape for place in dict.fromkeys((here, there)) for shape in ink[place]]
        bare = total - lengths_inside(legs, outlines_of(near)).sum(axis=1)
        if bare.sum() - allowed > _LIMIT_MM:
            x, y = legs[bare.argmax()].mean(axis=0)
            yield Finding(
                code="bare-travel",
                level=Level.NOTE,
                at_mm=(float(x), float(y)),
                line=there[0],
                letter=there[1],
                column=columns[row],
                measured=float(bare.sum() - allowed),
                limit=_LIMIT_MM,
                advice="trim here if it shows",
            )


def _arrivals(needles: NDArray[np.void]) -> Iterator[tuple[int, int]]:
    """Last row of each column and first row under cover of the next, where no trim parts them."""
    column = np.stack([needles[k].astype(np.int64) for k in ("line", "letter", "column")])
    changes = np.flatnonzero((column[:, 1:] != column[:, :-1]).any(axis=0)) + 1
    arrive, part = needles["arrive"].tolist(), needles["part"].tolist()
    for row in changes.tolist():
        if arrive[row] == Arrive.SEW:
            yield row - 1, next(i for i in range(row, len(part)) if part[i] != Part.TRAVEL)
