"""Travel that crosses bare cloth, where everybody sees it."""

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from pathgen.model import Arrive, Finding, Letter, Level, Part
from pathgen.polygons import lengths_inside
from pathgen.settings import Settings

__all__ = ["bare_travel"]

# Shorter than this, a stitch across a gap disappears between the letters (placeholder until
# sewn samples set it).
_LIMIT_MM = 0.3


def bare_travel(
    needles: NDArray[np.void], letters: Sequence[Letter], settings: Settings
) -> Iterator[Finding]:
    """One finding a column that is reached by a run over more than 0.3 mm of bare cloth."""
    ink = {(letter.line, letter.index): letter.ink for letter in letters}
    for before, row in _arrivals(needles):
        places = [(int(n["line"]), int(n["letter"])) for n in (needles[before], needles[row])]
        segment = np.array([[[n["x_mm"], n["y_mm"]] for n in (needles[before], needles[row])]])
        total = float(np.hypot(*(segment[0, 1] - segment[0, 0])))
        near = [p for place in dict.fromkeys(places) for p in ink[place]]
        inked = float(lengths_inside(segment, near).sum())
        bare = total - inked - 2.0 * settings.pull_mm
        if bare > _LIMIT_MM:
            x, y = segment[0].mean(axis=0)
            yield Finding(
                code="bare-travel",
                level=Level.NOTE,
                at_mm=(float(x), float(y)),
                line=places[1][0],
                letter=places[1][1],
                column=int(needles[row]["column"]),
                measured=bare,
                limit=_LIMIT_MM,
                advice="trim here if it shows",
            )


def _arrivals(needles: NDArray[np.void]) -> Iterator[tuple[int, int]]:
    """Last row of each column and first row under cover of the next, where no trim parts them."""
    column = np.stack([needles[k].astype(np.int64) for k in ("line", "letter", "column")])
    changes = np.flatnonzero((column[:, 1:] != column[:, :-1]).any(axis=0)) + 1
    for row in changes.tolist():
        if needles["arrive"][row] == Arrive.SEW:
            yield row - 1, _settled(needles, row)


def _settled(needles: NDArray[np.void], row: int) -> int:
    """First row from ``row`` on that is no travel."""
    while needles["part"][row] == Part.TRAVEL:
        row += 1
    return row
