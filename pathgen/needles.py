"""The needle table: every penetration of a plan, one row each, in sewing order.

Numbers that have a word in the files are enumerations; `Word.word` is the word.
"""

from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

__all__ = ["NEEDLE_TABLE", "Arrive", "Part", "Side", "Word", "needle_table"]


class Word(IntEnum):
    """A number in the needle table that has a word in the files."""

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


def needle_table(rows: int) -> NDArray[np.void]:
    """A needle table of zeros."""
    return np.zeros(rows, dtype=NEEDLE_TABLE)
