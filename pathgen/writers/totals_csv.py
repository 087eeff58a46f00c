"""The totals of many names as CSV: one row a name, and the sum of all below."""

import csv
import io
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from pathgen.model import Plan
from pathgen.needles import Part
from pathgen.writers.tables_csv import defused
from pathgen.writers.wording import level_counts, sewn_size_mm

__all__ = ["TOTAL_HEADER", "TotalRow", "measured", "measured_cells", "totals_csv"]

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


def measured_cells(plan: Plan) -> str:
    """Figures of a plan, parted by commas: none needs quoting."""
    whole = plan.whole
    levels = level_counts(plan)
    cells = (
        *(f"{size:.3f}" for size in sewn_size_mm(plan)),
        len(plan.letters),
        sum(count.scope == "column" for count in plan.counts),
        whole.stitches,
        *whole.by_part,
        whole.trims,
        plan.changes,
        *(f"{value:.3f}" for value in (whole.sewn_mm, whole.thread_mm, plan.sew_s)),
        *(levels[level] for level in ("stop", "check", "note")),
    )
    return ",".join(map(str, cells))


def measured(cells: str) -> dict[str, float]:
    """Figures by their column."""
    return dict(zip(_MEASURED, map(float, cells.split(",")), strict=True))


def totals_csv(rows: Iterable[TotalRow]) -> Iterator[bytes]:
    """Table of all rows, piece by piece, its last row the sum of all that were planned.

    Names that come twice are counted twice, as each is sewn. Of widths and heights the last row
    tells the greatest.
    """
    yield (",".join(TOTAL_HEADER) + "\r\n").encode("ascii")
    sums = [0.0] * len(_MEASURED)
    for row in rows:
        yield _line([row.row, defused(row.text), row.file, defused(row.fault)], row.cells)
        for place, cell in enumerate(row.cells.split(",") if row.cells else ()):
            value = float(cell)
            sums[place] = max(sums[place], value) if place < _SIZES else sums[place] + value
    cells = (
        f"{value:.3f}" if name.endswith(("_mm", "_s")) else f"{value:.0f}"
        for name, value in zip(_MEASURED, sums, strict=True)
    )
    yield _line(["all", "", "", ""], ",".join(cells))


def _line(begin: list[str | int], cells: str) -> bytes:
    """A record: quoted where needed, then the figures."""
    text = io.StringIO(newline="")
    csv.writer(text, lineterminator="").writerow(begin)
    return f"{text.getvalue()},{cells or ',' * (len(_MEASURED) - 1)}\r\n".encode("utf-8", "replace")
