"""A needle table with the stretches that it is made of, and what joins them.

Two letters are joined by the hole that the needle comes from, which the stretch itself knows of,
and by penetrations that are near each other, which are told here.
"""

from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.model import Letter
from pathgen.near import Near, first_rows, near_across
from pathgen.needles import Arrive, tables_joined
from pathgen.settings import Settings
from pathgen.stretches import Stretch, came_from

__all__ = ["Sewing", "in_place", "joined", "sewing_of"]


class Sewing(NamedTuple):
    """A needle table, and the stretches that it is made of.

    Attributes
    ----------
    needles : structured array of NEEDLE_TABLE
        In sewing order.
    letters : tuple of Letter
        That of each stretch.
    stretches : tuple of Stretch
        In sewing order.
    starts : (S + 1,) int
        First row of each stretch, and how many rows there are.
    across : Near
        Penetrations of different stretches that are near each other.
    """

    needles: NDArray[np.void]
    letters: tuple[Letter, ...]
    stretches: tuple[Stretch, ...]
    starts: NDArray[np.int64]
    across: Near


def in_place(letters: Sequence[Letter], stretches: Sequence[Stretch]) -> NDArray[np.void]:
    """Needle table of stretches, each in the place of its letter."""
    table = tables_joined([one.rows for one in stretches])
    placed = np.array([(*letter.at_mm, letter.line, letter.index) for letter in letters])
    x, y, line, index = placed.reshape(-1, 4).repeat([len(one.rows) for one in stretches], 0).T
    table["x_mm"] += x
    table["y_mm"] += y
    table["line"], table["letter"] = line, index
    table["arrive"][:1] = Arrive.JUMP
    return table


def joined(letters: Sequence[Letter], stretches: Sequence[Stretch]) -> Sewing:
    """Stretches of one setting, which are kept, each in the place of its letter."""
    return _sewing(in_place(letters, stretches), letters, stretches, kept=True)


def sewing_of(needles: NDArray[np.void], letters: Sequence[Letter], settings: Settings) -> Sewing:
    """The stretches that any needle table is made of."""
    by_place = {(letter.line, letter.index): letter for letter in letters}
    line, index = needles["line"], needles["letter"]
    new = (line[1:] != line[:-1]) | (index[1:] != index[:-1])
    cuts = [0, *(np.flatnonzero(new) + 1).tolist(), len(needles)] if len(needles) else [0]
    sewn: list[Letter] = []
    stretches: list[Stretch] = []
    for start, end in pairwise(cuts):
        letter = by_place[int(line[start]), int(index[start])]
        rows = needles[start:end].copy()
        rows["x_mm"] -= letter.at_mm[0]
        rows["y_mm"] -= letter.at_mm[1]
        rows["line"] = rows["letter"] = 0
        came = None
        if start and rows["arrive"][0] == Arrive.SEW:
            came = came_from(sewn[-1], stretches[-1].hole, letter)
        sewn.append(letter)
        stretches.append(Stretch(letter.shape, settings, rows, came))
    return _sewing(needles, sewn, stretches, kept=False)


def _sewing(
    needles: NDArray[np.void],
    letters: Sequence[Letter],
    stretches: Sequence[Stretch],
    *,
    kept: bool,
) -> Sewing:
    """A needle table of stretches in their places."""
    starts = first_rows(stretches)
    across = near_across(needles, starts, letters, stretches, kept=kept)
    return Sewing(needles, tuple(letters), tuple(stretches), starts, across)
