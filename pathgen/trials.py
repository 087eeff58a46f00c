"""The data of a trial: what was measured on sewn samples, and what was learnt from it."""

import math
from dataclasses import dataclass
from enum import IntEnum

__all__ = [
    "Estimate",
    "Fault",
    "Grade",
    "Lesson",
    "LimitLesson",
    "Outlier",
    "Residual",
    "Sample",
    "ThreadLesson",
]

NAN = math.nan


class Grade(IntEnum):
    """What becomes of a cell that is not as it should be: read all the same, or left out."""

    READ = 0
    LEFT_OUT = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """A cell or row of a filled form that is not as it should be.

    Attributes
    ----------
    file : str
        As the user named it.
    row : int
        As a spreadsheet counts, the heading being row 1.
    field, said : str
        Column and what stands in it; both may be empty.
    rule : str
        What should stand there, or how it was read.
    grade : Grade
        Whether it was read all the same.
    """

    file: str
    row: int
    field: str
    said: str
    rule: str
    grade: Grade = Grade.LEFT_OUT


@dataclass(frozen=True, slots=True, kw_only=True)
class Sample:
    """One measured thing: a bar, a ring, or a letter.

    Attributes
    ----------
    file, row : str, int
        Where it is written.
    kind : str
        ``bar``, ``ring`` or ``letter``.
    panel, date : str
        Which panel or job, and the day of it.
    thread, tex, cloth, underlay : str, float, str, str
        What it was sewn with and on.
    direction_deg : float
        How a bar runs: 0 across the cloth, 90 along it.
    drawn_mm, needle_mm : float
        Width of a bar or counter of a ring as drawn, and between the needle points.
    text, height_mm, margin : str, float, float
        A letter, its height, and the margin that the verdict had foretold.
    spacing_mm, pull_mm, face, face_index, axes : float, float, str, int, str
        What else the letter was planned with; axes as ``tag=value``, parted by spaces.
    edge_mm, holes_mm : float
        Sewn width of a bar from edge to edge of the thread, and between needle holes.
    counter_mm : float
        Sewn counter of a ring; 0 for a closed one.
    read : bool or None
        Whether the letter was read.

    Numbers that are not known are NaN.
    """

    file: str
    row: int
    kind: str
    panel: str
    date: str
    thread: str
    tex: float
    cloth: str
    underlay: str = "none"
    direction_deg: float = NAN
    drawn_mm: float = NAN
    needle_mm: float = NAN
    text: str = ""
    height_mm: float = NAN
    margin: float = NAN
    spacing_mm: float = NAN
    pull_mm: float = NAN
    face: str = ""
    face_index: int = 0
    axes: str = ""
    edge_mm: float = NAN
    holes_mm: float = NAN
    counter_mm: float = NAN
    read: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """A fitted value.

    Attributes
    ----------
    value, error : float
        The value and its standard error.
    within : float
        Half of the interval that holds the truth in 95 of 100 tables.
    samples : int
        Measurements behind it.
    """

    value: float
    error: float
    within: float
    samples: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Residual:
    """One measurement beside its fit, all mm on one side of the column.

    Attributes
    ----------
    needle_mm, off_mm : float
        Width between needle points; measured less fitted.
    direction_deg : float
        How the bar runs.
    holes : bool
        Measured between holes, not edges.
    aside : bool
        Set aside as an outlier.
    """

    needle_mm: float
    off_mm: float
    direction_deg: float
    holes: bool
    aside: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlier:
    """A measurement that the others cannot explain.

    Attributes
    ----------
    file, row, field : str, int, str
        Where it is written.
    measured_mm, expected_mm : float
        What stands there, and what the fit of the others gives.
    guess : str
        What may have happened; empty for nothing that comes to mind.
    """

    file: str
    row: int
    field: str
    measured_mm: float
    expected_mm: float
    guess: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadLesson:
    """What bars and rings have taught of a thread on a cloth.

    Attributes
    ----------
    thread, tex : str, float
        The thread.
    pull, overhang, allowance : Estimate or None
        Pull a side, overhang a side, and the allowance that makes sewn width drawn width, all
        without underlay; None where there was too little.
    over_run_only : bool
        Whether all bars lay over underlay, so that pull and allowance are those over underlay.
    along, across : Estimate or None
        Pull of columns that run along and across the cloth, where they differ.
    over_underlay : Estimate or None
        Pull over a run as a share of pull without.
    allowance_over : Estimate or None
        The allowance over a run.
    with_all : float
        The allowance if no outlier were set aside; NaN without any.
    spread_mm : float
        Standard deviation of one measurement of a side.
    by_width : Estimate or None
        Change of pull for each mm of width, where the bars carry one.
    counters : Estimate or None
        How much more open the rings' counters are than the bars foretell.
    closed_mm, open_mm : float
        Widest counter, as drawn, of the rings that closed; narrowest of those that stayed open.
        NaN where there is none.
    outliers : tuple of Outlier
        Set aside, the farthest first.
    residuals : tuple of Residual
        Every measurement.
    lacking : tuple of str
        What could not be fitted, and how much is missing.
    """

    thread: str
    tex: float
    pull: Estimate | None = None
    overhang: Estimate | None = None
    allowance: Estimate | None = None
    over_run_only: bool = False
    along: Estimate | None = None
    across: Estimate | None = None
    over_underlay: Estimate | None = None
    allowance_over: Estimate | None = None
    with_all: float = NAN
    spread_mm: float = NAN
    by_width: Estimate | None = None
    counters: Estimate | None = None
    closed_mm: float = NAN
    open_mm: float = NAN
    outliers: tuple[Outlier, ...] = ()
    residuals: tuple[Residual, ...] = ()
    lacking: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitLesson:
    """What letters have taught of the verdict on a cloth.

    Attributes
    ----------
    reads, well : Estimate or None
        Margin from which half of the letters, and nine in ten, were read.
    at, steepness : float
        The fitted curve: log odds at margin 0, and their rise.
    margins, read : tuple
        What it was fitted to.
    lacking : tuple of str
        Why there is no fit, and how much is missing.
    """

    reads: Estimate | None = None
    well: Estimate | None = None
    at: float = NAN
    steepness: float = NAN
    margins: tuple[float, ...] = ()
    read: tuple[bool, ...] = ()
    lacking: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Lesson:
    """All that was learnt of one cloth.

    Attributes
    ----------
    cloth : str
        Its name.
    date : str
        The latest day of its samples.
    threads : tuple of ThreadLesson
        In order of appearance.
    limits : LimitLesson
        Of the verdict.
    """

    cloth: str
    date: str
    threads: tuple[ThreadLesson, ...]
    limits: LimitLesson
