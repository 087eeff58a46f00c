"""What each line of a plan is asked for, and what it is then set and sewn with.

Most plans have one setting for all their lines. Where lines differ, each has a record of its
own, and everything that tells of a plan line by line reads it there.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Points
from pathgen.settings import Settings

__all__ = ["AskedLine", "FaceFacts", "LineSettings", "SewingField", "numbered_threads"]


@dataclass(frozen=True, slots=True, kw_only=True)
class FaceFacts:
    """What is known of a face.

    Attributes
    ----------
    name : str
        Family and style as the font states them.
    source : str
        The file as the user named it, or the bundled face's name.
    units_per_em : int
        Font units to the em (OpenType ``head``).
    cap_height_fu, x_height_fu : float
        Tops of the outlines of H and x, measured, in font units.
    least_mm, most_mm : float
        Heights of capitals that it was drawn for; 0 and infinite where that is not known.
    index : int
        Which face of a collection, from 0.
    axes : tuple of (str, float)
        Places on the axes of a variable font.
    meant_tex : float
        Thread that these heights are for; 0 where that is not known.
    """

    name: str
    source: str
    units_per_em: int
    cap_height_fu: float
    x_height_fu: float
    least_mm: float = 0.0
    most_mm: float = math.inf
    index: int = 0
    axes: tuple[tuple[str, float], ...] = ()
    meant_tex: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedLine:
    """A line to be planned with a face and settings of its own.

    Attributes
    ----------
    text : str
        May hold line ends; each part is then a line with these settings.
    face, index, axes : optional
        As for `plan`.
    asked : mapping of str to object
        Further arguments of `plan` by name, such as ``height_mm`` and ``thread``.
    origins : mapping of str to str
        Who asked for each of them, such as ``job file``; ``option`` for what is not listed.
    """

    text: str
    face: str | Path | None = None
    index: int = 0
    axes: Mapping[str, float] = field(default_factory=dict)
    asked: Mapping[str, Any] = field(default_factory=dict)
    origins: Mapping[str, str] = field(default_factory=dict)


FIELD_MM = (1.0, 2000.0)
"""Least and greatest side of a sewing field that may be asked for."""

FIELD_NAME = "the sewing field"
"""What a field is called that has no name."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SewingField:
    """What a hoop or a cap frame lets the needle reach.

    Attributes
    ----------
    name : str
        What the shop calls it.
    width_mm, height_mm : float
        Its size; both are the diameter of a round one.
    is_round : bool
        Whether its corners are out of reach.
    origin : str
        Who asked for it: ``option`` or ``job file``.
    """

    name: str
    width_mm: float
    height_mm: float
    is_round: bool = False
    origin: str = "option"

    @property
    def limits_mm(self) -> tuple[float, ...]:
        """Width and height, or the diameter of a round one."""
        return (self.width_mm,) if self.is_round else (self.width_mm, self.height_mm)

    def takes_mm(self, points: Points) -> NDArray[np.float64]:
        """How much of each limit each point takes, (N, 1 or 2), all centred in the field.

        Machines centre a lettering by its box, so each point takes twice its way from the middle.
        """
        middle = (points.min(axis=0) + points.max(axis=0)) / 2.0
        out = np.abs(points - middle)
        return 2.0 * (np.hypot(out[:, :1], out[:, 1:]) if self.is_round else out)


@dataclass(frozen=True, slots=True, kw_only=True)
class LineSettings:
    """One line of a plan.

    Attributes
    ----------
    text : str
        As written.
    face : FaceFacts
        The face that it is set in.
    settings : Settings
        What it is planned with, and where each value came from.
    thread : int
        Number of its thread, from 1, in the order in which threads are sewn.
    down_mm : float
        How far its baseline lies below the first.
    is_label : bool
        Whether it says which line is which, as on a panel of samples, and is no lettering that
        was asked for; its letters may stand on several baselines.
    """

    text: str
    face: FaceFacts
    settings: Settings
    thread: int = 1
    down_mm: float = 0.0
    is_label: bool = False


def numbered_threads(settings: list[Settings]) -> list[int]:
    """Number of each line's thread: from 1, a new one for each new thread or colour."""
    numbers: dict[object, int] = {}
    return [numbers.setdefault(line.thread, len(numbers) + 1) for line in settings]
