"""The needle table letter by letter: each letter is sewn in one go, a stretch of rows.

A stretch is told from its letter's own origin, so that it is the same wherever the letter stands.
All that it has to do with the rows before it is the hole that the needle comes from; only
penetrations that are near each other join it to the rest. So what a stretch comes to is worked
out once, and kept as long as the stretch itself.
"""

import math
from collections.abc import Callable, Hashable, Sequence
from typing import Any, Generic, NamedTuple, TypeVar

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Box
from pathgen.model import Letter, LetterShape
from pathgen.needles import NEEDLE_TABLE, Arrive, needle_table, tables_joined
from pathgen.settings import Settings

__all__ = [
    "Beside",
    "Came",
    "Hole",
    "Known",
    "Stretch",
    "came_from",
    "side_by_side",
    "way_mm",
    "with_hole",
]

Fact = TypeVar("Fact")

# Ways from letter to letter are taken to this many decimals of a mm, so that the same one is the
# same wherever it is.
_DECIMALS = 10


Hole = tuple[float, float, int, int]
"""A penetration: x and y in mm, part, column."""


class Came(NamedTuple):
    """Where the needle comes from to a letter, when the thread is not cut.

    Attributes
    ----------
    shape : LetterShape
        Of the letter before.
    apart_mm : tuple of float
        Way to that letter's origin.
    hole : Hole
        Its last penetration, from its origin.
    """

    shape: LetterShape
    apart_mm: tuple[float, float]
    hole: Hole

    @property
    def at_mm(self) -> tuple[float, float]:
        """Place of that penetration from the origin of the letter that is come to."""
        return self.hole[0] + self.apart_mm[0], self.hole[1] + self.apart_mm[1]


class Stretch:
    """Penetrations of one letter, from its own origin.

    Attributes
    ----------
    shape : LetterShape
        The letter.
    settings : Settings
        What it is sewn with.
    rows : structured array of NEEDLE_TABLE
        At least one; line and letter are 0. The first one arrives by a trim if the thread comes
        down afresh.
    came : Came or None
        Where the needle comes from; None for a thread that comes down afresh.
    hole : Hole
        The last penetration.
    box_mm : Box
        Around its penetrations.
    """

    def __init__(
        self, shape: LetterShape, settings: Settings, rows: NDArray[np.void], came: Came | None
    ) -> None:
        self.shape, self.settings, self.came = shape, settings, came
        self.rows = np.frombuffer(rows.tobytes(), NEEDLE_TABLE)
        x, y = rows["x_mm"], rows["y_mm"]
        last_x, last_y, part, _, _, _, _, column, _ = rows[-1].item()
        self.hole = (last_x, last_y, part, column)
        self.box_mm: Box = (float(x.min()), float(y.min()), float(x.max()), float(y.max()))
        self.facts: dict[Hashable, Any] = {}


def came_from(before: Letter, hole: Hole, to: Letter) -> Came:
    """Where the needle comes from to a letter: the letter before, and its last penetration."""
    return Came(before.shape, way_mm(to, before), hole)


def way_mm(here: Letter, there: Letter) -> tuple[float, float]:
    """Way from one letter to another, the same wherever they stand."""
    (here_x, here_y), (x, y) = here.at_mm, there.at_mm
    return round(x - here_x, _DECIMALS) + 0.0, round(y - here_y, _DECIMALS) + 0.0


class Known(Generic[Fact]):
    """What `find` tells of several stretches: told once of each, and kept as long as it is.

    Parameters
    ----------
    find : callable
        What it tells of a stretch must not depend on the others.
    """

    def __init__(self, find: Callable[[Sequence[Stretch]], Sequence[Fact]]) -> None:
        self._find = find

    def __call__(self, stretches: Sequence[Stretch]) -> list[Fact]:
        """What is known of each stretch."""
        new = [one for one in dict.fromkeys(stretches) if self not in one.facts]
        if new:
            for one, fact in zip(new, self._find(new), strict=True):
                one.facts[self] = fact
        return [one.facts[self] for one in stretches]


def with_hole(rows: NDArray[np.void], came: Came | None) -> NDArray[np.void]:
    """Rows of a letter, behind the penetration that the needle comes from, if there is one."""
    return rows if came is None else tables_joined([_hole_row(rows, came), rows])


def _hole_row(rows: NDArray[np.void], came: Came) -> NDArray[np.void]:
    """The penetration that the needle comes from to the rows of a letter."""
    (x, y), (_, _, part, column) = came.at_mm, came.hole
    row = needle_table(1)
    row[0] = (x, y, part, int(Arrive.TRIM), int(rows["thread"][0]), 0, 0, column, 0)
    return row


class Beside(NamedTuple):
    """Stretches far apart in one needle table, so that they can be looked at in one go.

    Attributes
    ----------
    needles : structured array of NEEDLE_TABLE
        Of each stretch the penetration that the needle comes from, then its own.
    own : tuple of Letter
        The letter of each stretch, in places and by numbers of no meaning.
    letters : tuple of Letter
        These, and those that the needle comes from.
    """

    needles: NDArray[np.void]
    own: tuple[Letter, ...]
    letters: tuple[Letter, ...]


_GAP_MM = 10.0
"""Nothing that is looked at reaches so far."""


def side_by_side(stretches: Sequence[Stretch]) -> Beside:
    """Stretches in one row, each as it would be alone."""
    own: list[Letter] = []
    before: list[Letter] = []
    rows: list[NDArray[np.void]] = []
    placed: list[tuple[int, int, float]] = []
    right = 0.0
    for index, one in enumerate(stretches, 1):
        number, (left, _, last, _) = 2 * index, one.box_mm
        if one.came is not None:
            x, _ = one.came.at_mm
            left, last = min(left, x), max(last, x)
        at = float(math.ceil(right + _GAP_MM - left))
        right = at + last
        if one.came is not None:
            shape, (x, y), _ = one.came
            place = (at + x, y)
            before.append(Letter(line=1, index=number - 1, text="", shape=shape, at_mm=place))
            rows.append(_hole_row(one.rows, one.came))
            placed.append((1, number - 1, at))
        own.append(Letter(line=1, index=number, text="", shape=one.shape, at_mm=(at, 0.0)))
        rows.append(one.rows)
        placed.append((len(one.rows), number, at))
    table = tables_joined(rows)
    sizes, numbers, ats = zip(*placed, strict=True)
    table["line"], table["letter"] = 1, np.repeat(numbers, sizes)
    table["x_mm"] += np.repeat(ats, sizes)
    return Beside(table, tuple(own), (*own, *before))
