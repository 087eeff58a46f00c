"""The totals of many names as CSV: one row a name, and the sum of all below."""

import csv
import io
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from pathgen.model import Finding, Level, Plan
from pathgen.needles import Part
from pathgen.writers.tables_csv import defused
from pathgen.writers.wording import sewn_size_mm

__all__ = [
    "TOTAL_HEADER",
    "Measures",
    "Sums",
    "TotalRow",
    "figure",
    "measured",
    "measured_cells",
    "measures_of",
    "totals_csv",
]

_MEASURED = (
    "width_mm",
    "height_mm",
    "letters",
    "columns",
    "stitches",
    *(part.word.replace("-", "_") for part in Part),
    "trims",
    "changes",
    "sewn_mm",
    "thread_mm",
    "sew_s",
    "stops",
    "checks",
    "notes",
)
TOTAL_HEADER = ("row", "text", "file", "fault", *_MEASURED)

_SIZES = 2
"""The first cells are sizes: of all names the greatest is told, not the sum."""


class TotalRow(NamedTuple):
    """One row of a names table.

    Attributes
    ----------
    row : int
        As the spreadsheet numbers it.
    text : str
        What is sewn, lines parted by a slash.
    file : str
        Stem of its files; empty for none.
    fault : str
        Why it could not be planned; empty if it was.
    cells : str
        Its figures, from `measured_cells`; empty where there are none.
    """

    row: int
    text: str
    file: str
    fault: str
    cells: str


class Measures(NamedTuple):
    """Figures of a plan that its row tells.

    Attributes
    ----------
    width_mm, height_mm : float
        Between the outermost needle points.
    letters, columns, stitches, trims, changes : int
        How many; ``by_part`` are the stitches of each `Part`.
    sewn_mm, thread_mm, sew_s : float
        Length of all stitches, needle thread, and machine time.
    stops, checks, notes : int
        Findings of each level.
    """

    width_mm: float
    height_mm: float
    letters: int
    columns: int
    stitches: int
    by_part: tuple[int, ...]
    trims: int
    changes: int
    sewn_mm: float
    thread_mm: float
    sew_s: float
    stops: int
    checks: int
    notes: int


def measures_of(plan: Plan, findings: Sequence[Finding] | None = None) -> Measures:
    """Figures of a plan, with all its findings or some of them."""
    whole = plan.whole
    levels = [f.level for f in (plan.findings if findings is None else findings)]
    width_mm, height_mm = sewn_size_mm(plan)
    return Measures(
        width_mm=width_mm,
        height_mm=height_mm,
        letters=len(plan.letters),
        columns=sum(len(letter.shape.columns) for letter in plan.letters),
        stitches=whole.stitches,
        by_part=whole.by_part,
        trims=whole.trims,
        changes=plan.changes,
        sewn_mm=whole.sewn_mm,
        thread_mm=whole.thread_mm,
        sew_s=plan.sew_s,
        stops=levels.count(Level.STOP),
        checks=levels.count(Level.CHECK),
        notes=levels.count(Level.NOTE),
    )


def measured_cells(m: Measures) -> str:
    """Figures as cells, parted by commas: none needs quoting."""
    parts = ",".join(map(str, m.by_part))
    return (
        f"{m.width_mm:.3f},{m.height_mm:.3f},{m.letters},{m.columns},{m.stitches},{parts},"
        f"{m.trims},{m.changes},{m.sewn_mm:.3f},{m.thread_mm:.3f},{m.sew_s:.3f},"
        f"{m.stops},{m.checks},{m.notes}"
    )


def measured(cells: str) -> dict[str, float]:
    """Figures by their column."""
    return dict(zip(_MEASURED, map(float, cells.split(",")), strict=True))


def figure(cells: str, column: str) -> float:
    """One of them alone."""
    return float(cells.split(",")[_MEASURED.index(column)])


class Sums:
    """Figures of many names taken together: sums, but of widths and heights the greatest."""

    def __init__(self) -> None:
        self._sums = [0.0] * len(_MEASURED)

    def add(self, cells: str) -> None:
        """Take in the figures of one more name, from `measured_cells`."""
        for place, cell in enumerate(cells.split(",")):
            value, before = float(cell), self._sums[place]
            self._sums[place] = max(before, value) if place < _SIZES else before + value

    @property
    def cells(self) -> str:
        """As `measured_cells`."""
        return ",".join(
            f"{value:.3f}" if name.endswith(("_mm", "_s")) else f"{value:.0f}"
            for name, value in zip(_MEASURED, self._sums, strict=True)
        )


def totals_csv(rows: Iterable[TotalRow], sums: Sums) -> Iterator[bytes]:
    """Table of all rows, piece by piece, its last row all of them together.

    Names that come twice are counted twice, as each is sewn. ``sums`` is added to.
    """
    yield (",".join(TOTAL_HEADER) + "\r\n").encode("ascii")
    for row in rows:
        yield _line([row.row, defused(row.text), row.file, defused(row.fault)], row.cells)
        if row.cells:
            sums.add(row.cells)
    yield _line(["all", "", "", ""], sums.cells)


def _line(begin: list[str | int], cells: str) -> bytes:
    """A record: quoted where needed, then the figures."""
    text = io.StringIO(newline="")
    csv.writer(text, lineterminator="").writerow(begin)
    return f"{text.getvalue()},{cells or ',' * (len(_MEASURED) - 1)}\r\n".encode("utf-8", "replace")
