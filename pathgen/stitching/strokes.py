"""What the ways to sew one column have in common.

A column is entered at one of several places and left at one of several; which of them go
together, and how much thread it takes to bring the needle out of sight from the one to where
the zigzag begins, is one table. `open_strokes` and `rings` fill it; the penetrations of a way
are only made when it is taken.
"""

from abc import ABC, abstractmethod
from collections.abc import Sequence
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Place, Points
from pathgen.model import Column
from pathgen.needles import Part
from pathgen.stitching.ties import Ties, roomiest

__all__ = ["LetterHoles", "Piece", "Stroke", "Way"]


class Piece(NamedTuple):
    """Penetrations of one part of a column, in sewing order.

    Attributes
    ----------
    part : Part
        Travel, underlay or zigzag.
    xy_mm : (N, 2) float
        Where the needle enters.
    side : (N,) uint8 or None
        `Side` of each; None for runs, which go along the middle.
    """

    part: Part
    xy_mm: Points
    side: NDArray[np.uint8] | None = None


class LetterHoles(NamedTuple):
    """Holes of the zigzag of all columns of a letter.

    Attributes
    ----------
    xy_mm : (N, 2) float
        Where the needle enters, column after column.
    ends : sequence of int
        How many are of the first columns, none of them, one, and so on.
    close_mm : (N,) float
        How far a hole of another column keeps from each.
    least_mm : float
        How far holes of one column keep from each other.
    """

    xy_mm: Points
    ends: Sequence[int]
    close_mm: NDArray[np.float64]
    least_mm: float

    def apart_mm(self, number: int) -> NDArray[np.float64]:
        """How far a new hole of the column of that number, from 1, keeps from each, (N,)."""
        apart = self.close_mm.copy()
        apart[self.ends[number - 1] : self.ends[number]] = self.least_mm
        return apart


class Stroke(ABC):
    """One column with the ways to sew it.

    Attributes
    ----------
    column : Column
        Rails in mm; a ring starts at its first rung.
    number : int
        Of the column in its letter, from 1.
    holes : (N, 2) float
        Of its zigzag.
    entries, exits : sequence of tuple of float
        First and last penetration, ties aside, of the ways there are: E and X of them.
    on_rail : sequence of bool
        Whether each entry lies on a rail, rather than under the cover.
    extra_mm : (E, X) float
        Thread in runs that only the sewing order needs, from each entry to each exit; infinite
        where no way leads.
    """

    column: Column
    number: int
    holes: Points
    entries: Sequence[Place]
    exits: Sequence[Place]
    on_rail: Sequence[bool]
    extra_mm: Sequence[Sequence[float]]

    @abstractmethod
    def sewn(self, entry: int, exit: int) -> tuple[Piece, ...]:
        """Penetrations from one entry to one exit, ties aside, in sewing order."""

    @abstractmethod
    def ties_in(self, entry: int) -> Ties:
        """Ties that may fasten the thread where the column is entered."""

    @abstractmethod
    def ties_off(self, exit: int) -> Ties:
        """Ties that may fasten the thread where the column is left."""


class Way:
    """One way to sew a column: from one of its entries to one of its exits.

    Attributes
    ----------
    stroke : Stroke
        The column.
    entry, exit : tuple of float
        First and last penetration, ties aside.

    Parameters
    ----------
    holes : (N, 2) float
        Of all the letter's zigzag: its ties keep away from them where they can.
    """

    def __init__(self, stroke: Stroke, entry: int, exit: int, holes: Points) -> None:
        self.stroke, self._entry, self._exit, self._holes = stroke, entry, exit, holes
        self.entry, self.exit = stroke.entries[entry], stroke.exits[exit]

    @cached_property
    def sewn(self) -> tuple[Piece, ...]:
        """Its penetrations, ties aside, in sewing order."""
        return self.stroke.sewn(self._entry, self._exit)

    @cached_property
    def tie_in(self) -> Points:
        """Three penetrations that fasten the thread where it begins."""
        return roomiest(self.stroke.ties_in(self._entry), self._holes)

    @cached_property
    def tie_off(self) -> Points:
        """Three penetrations that fasten the thread where it ends."""
        # The thread may have been fastened in the same column.
        holes = np.concatenate([self._holes, self.tie_in])
        return roomiest(self.stroke.ties_off(self._exit), holes)
