"""The needle table: every penetration of a plan, one row each, in sewing order.

Numbers that have a word in the files are enumerations; `Word.word` is the word.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points

__all__ = [
    "NEEDLE_TABLE",
    "Arrive",
    "Crowding",
    "Part",
    "Side",
    "Word",
    "jumps_made",
    "needle_table",
    "places_mm",
    "stitch_lengths_mm",
    "tables_joined",
]


class Word(IntEnum):
    """A number in the needle table that has a word in the files.

    Arrays are compared with the plain number, ``int(word)``: ten times as fast as with the word.
    """

    @property
    def word(self) -> str:
        """The word used in files and on screens, such as ``tie-in``."""
        return self.name.lower().replace("_", "-")


class Part(Word):
    """What a penetration belongs to."""

    TIE_IN = 0
    UNDERLAY = 1
    TRAVEL = 2
    ZIGZAG = 3
    TIE_OFF = 4


class Arrive(Word):
    """What the machine did just before a penetration."""

    SEW = 0
    JUMP = 1
    TRIM = 2
    CHANGE = 3


class Side(Word):
    """Where across its column a penetration lies, seen in sewing direction of the rails."""

    LEFT = 0
    RIGHT = 1
    CENTRE = 2


NEEDLE_TABLE = np.dtype(
    [
        ("x_mm", np.float64),
        ("y_mm", np.float64),
        ("part", np.uint8),
        ("arrive", np.uint8),
        ("thread", np.uint16),
        ("line", np.uint16),
        ("letter", np.uint32),
        ("column", np.uint32),
        ("side", np.uint8),
    ]
)
"""One row a needle penetration; ``letter`` counts in its line, ``column`` in its letter."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Crowding:
    """How close the penetrations of a needle table are, row by row.

    Attributes
    ----------
    per_mm2 : (N,) float
        Penetrations in a disc of the blade's size around each, itself included, by its area.
    nearest_mm : (N,) float
        Distance to the nearest other one; infinite beyond the blade's radius.
    limit_per_mm2 : (N,) float
        What cloth and needle bear.
    blade_mm : (N,) float
        Nominal blade.
    """

    per_mm2: NDArray[np.float64]
    nearest_mm: NDArray[np.float64]
    limit_per_mm2: NDArray[np.float64]
    blade_mm: NDArray[np.float64]


def needle_table(rows: int) -> NDArray[np.void]:
    """A needle table of zeros."""
    return np.zeros(rows, dtype=NEEDLE_TABLE)


def tables_joined(tables: Iterable[NDArray[np.void]]) -> NDArray[np.void]:
    """Needle tables one after the other.

    As their bytes: numpy compares the fields of each two first, which takes fifty times as long.
    """
    return np.frombuffer(bytearray(b"".join([table.tobytes() for table in tables])), NEEDLE_TABLE)


def places_mm(needles: NDArray[np.void]) -> Points:
    """Where each penetration is, (N, 2)."""
    xy = np.empty((len(needles), 2))
    xy[:, 0], xy[:, 1] = needles["x_mm"], needles["y_mm"]
    return xy


def jumps_made(needles: NDArray[np.void], longest_mm: float) -> int:
    """How many jumps the machine makes between stretches of sewing, none longer than given.

    A row is a penetration, so a jump has none: a way without stitching that is farther than
    the longest jump is still one row, and the machine makes it in several. The way to the
    very first penetration is not known, and not counted.
    """
    rows = np.flatnonzero(needles["arrive"][1:] != int(Arrive.SEW))
    before, after = (places_mm(needles[rows + n]).tolist() for n in (0, 1))
    ways = (math.dist(*ends) for ends in zip(before, after, strict=True))
    return sum(max(1, math.ceil(way / longest_mm - 1e-9)) for way in ways)


def stitch_lengths_mm(needles: NDArray[np.void]) -> NDArray[np.float64]:
    """Length of the stitch that ends at each penetration; 0 after a jump, trim or change."""
    x, y, out = needles["x_mm"], needles["y_mm"], np.zeros(len(needles))
    np.hypot(x[1:] - x[:-1], y[1:] - y[:-1], out=out[1:])
    out[needles["arrive"] != int(Arrive.SEW)] = 0.0
    return out
