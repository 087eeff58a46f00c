"""The needle table letter by letter: each letter is sewn in one go, a stretch of rows.

A stretch is told from its letter's own origin, so that it is the same wherever the letter stands.
All that it has to do with the rows before it is the hole that the needle comes from; only
penetrations that are near each other join it to the rest. So what a stretch comes to is worked
out once, and kept as long as the stretch itself.
"""

import math
from collections.abc import Callable, Hashable, Sequence
from itertools import accumulate
from typing import Any, Generic, NamedTuple, TypeVar

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Box
from pathgen.model import Letter, LetterShape
from pathgen.needles import NEEDLE_TABLE, Arrive, needle_table, places_mm, tables_joined
from pathgen.settings import Settings

__all__ = [
    "Beside",
    "Came",
    "Hole",
    "Known",
    "Stretch",
    "boxes",
    "came_from",
    "one_by_one",
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
    """

    def __init__(
        self, shape: LetterShape, settings: Settings, rows: NDArray[np.void], came: Came | None
    ) -> None:
        self.shape, self.settings, self.came = shape, settings, came
        self.rows = np.frombuffer(rows.tobytes(), NEEDLE_TABLE)
        x, y, part, *_, column, _ = rows[-1].item()
        self.hole: Hole = (x, y, part, column)
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
        try:
            return [one.facts[self] for one in stretches]
        except KeyError:
            new = [one for one in dict.fromkeys(stretches) if self not in one.facts]
        for one, fact in zip(new, self._find(new), strict=True):
            one.facts[self] = fact
        return [one.facts[self] for one in stretches]


def _boxes(stretches: Sequence[Stretch]) -> list[Box]:
    """Box of each stretch."""
    xy = places_mm(tables_joined([one.rows for one in stretches]))
    starts = [*accumulate([len(one.rows) for one in stretches[:-1]], initial=0)]
    least, most = np.minimum.reduceat(xy, starts), np.maximum.reduceat(xy, starts)
    return [
        (left, foot, right, top)
        for (left, foot), (right, top) in zip(least.tolist(), most.tolist(), strict=True)
    ]


boxes: Known[Box] = Known(_boxes)
"""Box around the penetrations of each stretch."""


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
    """Stretches in one needle table, so that they can be looked at in one go.

    Attributes
    ----------
    needles : structured array of NEEDLE_TABLE
        Of each stretch the penetration that the needle comes from, then its own.
    own : tuple of Letter
        The letter of each stretch: of line 1, the first one number 2, the next 4, and so on.
    letters : tuple of Letter
        These, and those that the needle comes from, each with the number before.
    """

    needles: NDArray[np.void]
    own: tuple[Letter, ...]
    letters: tuple[Letter, ...]


_Part = tuple[LetterShape, NDArray[np.void], Came | None]
"""A stretch, or one to be: its letter, its rows, and where the needle comes from."""


def one_by_one(parts: Sequence[_Part], at_mm: Sequence[float]) -> Beside:
    """Stretches one after the other in a needle table, each so far along x."""
    own: list[Letter] = []
    before: list[Letter] = []
    rows: list[NDArray[np.void]] = []
    placed: list[tuple[int, int, float]] = []
    for number, ((shape, table, came), at) in enumerate(zip(parts, at_mm, strict=True), 1):
        own.append(Letter(line=1, index=2 * number, text="", shape=shape, at_mm=(at, 0.0)))
        if came is not None:
            x, y = came.apart_mm
            led = Letter(line=1, index=2 * number - 1, text="", shape=came.shape, at_mm=(at + x, y))
            before.append(led)
            rows.append(_hole_row(table, came))
            placed.append((1, led.index, at))
        rows.append(table)
        placed.append((len(table), 2 * number, at))
    needles = tables_joined(rows)
    sizes, numbers, ats = zip(*placed, strict=True)
    needles["line"], needles["letter"] = 1, np.repeat(numbers, sizes)
    needles["x_mm"] += np.repeat(ats, sizes)
    return Beside(needles, tuple(own), (*own, *before))


_GAP_MM = 10.0
"""Nothing that is looked at reaches so far."""


def side_by_side(stretches: Sequence[Stretch]) -> Beside:
    """Stretches far apart in a row, each as it would be alone."""
    places: list[float] = []
    right = 0.0
    for one, (left, _, last, _) in zip(stretches, boxes(stretches), strict=True):
        if one.came is not None:
            x, _ = one.came.at_mm
            left, last = min(left, x), max(last, x)
        places.append(float(math.ceil(right + _GAP_MM - left)))
        right = places[-1] + last
    return one_by_one([(one.shape, one.rows, one.came) for one in stretches], places)
