"""What each line of a plan is set and sewn with: text, face, settings and thread.

Most plans have one setting for all their lines. Where lines differ, each has a record of its
own, and everything that tells of a plan line by line reads it there.
"""

from dataclasses import dataclass

from pathgen.settings import Settings

__all__ = ["FaceFacts", "LineSettings", "numbered_threads"]


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
    """

    name: str
    source: str
    units_per_em: int
    cap_height_fu: float
    x_height_fu: float


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
    """

    text: str
    face: FaceFacts
    settings: Settings
    thread: int = 1
    down_mm: float = 0.0


def numbered_threads(settings: list[Settings]) -> list[int]:
    """Number of each line's thread: from 1, a new one for each new thread or colour."""
    numbers: dict[object, int] = {}
    return [numbers.setdefault(line.thread, len(numbers) + 1) for line in settings]
