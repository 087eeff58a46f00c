"""The needle table and the counts as CSV (RFC 4180: CRLF, quoting where needed; UTF-8).

Numbers have a dot and three decimals in any locale and are never quoted or altered. A text
cell that a spreadsheet would run as a formula is led by an apostrophe (OWASP, CSV Injection;
ASVS 1.2.10), as quoting alone does not stop it.
"""

import csv
import io
import math
from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from pathgen.model import Count, Plan
from pathgen.needles import Arrive, Part, Side, stitch_lengths_mm

__all__ = ["COUNT_HEADER", "NEEDLE_HEADER", "counts_csv", "defused", "needles_csv", "table_csv"]

NEEDLE_HEADER = "n,x_mm,y_mm,part,arrive,thread,line,letter,column,side,length_mm"
COUNT_HEADER = (
    "scope,thread,line,letter,column,text,stitches,tie_in,underlay,travel,zigzag,tie_off,trims,"
    "sewn_mm,thread_mm,width_least_mm,width_mean_mm,width_most_mm,findings,"
    "crowding_per_mm2"
)

_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n")


def needles_csv(plan: Plan) -> bytes:
    """One row a needle penetration, in sewing order, numbered from 1.

    ``length_mm`` is the distance from the previous penetration where the thread was sewn
    across it, else 0. Positions are rounded to 0.001 mm; lengths are those of the unrounded
    positions.
    """
    table = plan.needles
    columns = (
        range(1, len(table) + 1),
        _thousandths(table["x_mm"]),
        _thousandths(table["y_mm"]),
        _words(Part, table["part"]),
        _words(Arrive, table["arrive"]),
        table["thread"].tolist(),
        table["line"].tolist(),
        table["letter"].tolist(),
        table["column"].tolist(),
        _words(Side, table["side"]),
        _thousandths(stitch_lengths_mm(table)),
    )
    # One format over all rows: five times as fast as the csv module, and no cell of this table
    # can need quoting.
    row = "%d,%.3f,%.3f,%s,%s,%d,%d,%d,%d,%s,%.3f\r\n"
    cells = [cell for cells in zip(*columns, strict=True) for cell in cells]
    return (NEEDLE_HEADER + "\r\n" + row * len(table) % tuple(cells)).encode("ascii")


def _thousandths(values: NDArray[np.float64]) -> list[float]:
    """Values rounded to 0.001, without negative zeros."""
    rounded: list[float] = (np.round(values, 3) + 0.0).tolist()
    return rounded


def _words(kind: type[Part] | type[Arrive] | type[Side], codes: NDArray[np.uint8]) -> list[str]:
    """The word of each code."""
    words = [member.word for member in kind]
    return [words[code] for code in codes.tolist()]


def counts_csv(plan: Plan) -> bytes:
    """One row a count, in the plan's order; a width that does not exist is an empty cell."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(COUNT_HEADER.split(","))
    writer.writerows(_count_row(count) for count in plan.counts)
    return text.getvalue().encode("utf-8", "replace")


def table_csv(
    columns: Sequence[str], rows: Sequence[Mapping[str, str]], *, decimal_comma: bool = False
) -> bytes:
    """Any table: its heading, then a row for each mapping; what a mapping lacks is empty.

    Cells that are no numbers are made safe for spreadsheets. With ``decimal_comma`` it is as
    spreadsheets of many countries want it: numbers with a comma, semicolons between cells, and a
    byte order mark.
    """
    text = io.StringIO(newline="")
    writer = csv.writer(text, delimiter=";" if decimal_comma else ",", lineterminator="\r\n")
    writer.writerow(columns)
    for row in rows:
        cells = [row.get(name, "") for name in columns]
        numbers = [cell.replace(".", ",") if decimal_comma else cell for cell in cells]
        writer.writerow(
            number if _is_number(cell) else defused(cell)
            for cell, number in zip(cells, numbers, strict=True)
        )
    return text.getvalue().encode("utf-8-sig" if decimal_comma else "utf-8", "replace")


def _is_number(cell: str) -> bool:
    """Whether a cell is a plain number, which is never altered."""
    return cell.removeprefix("-").replace(".", "", 1).isdecimal() and cell.isascii()


def _count_row(count: Count) -> list[str | int]:
    """One count, in the order of the header."""
    lengths = (
        count.sewn_mm,
        count.thread_mm,
        count.width_least_mm,
        count.width_mean_mm,
        count.width_most_mm,
    )
    return [
        defused(count.scope),
        count.thread,
        count.line,
        count.letter,
        count.column,
        defused(count.text),
        count.stitches,
        *count.by_part,
        count.trims,
        *(_decimal(value) for value in lengths),
        count.findings,
        _decimal(count.crowding_per_mm2),
    ]


def _decimal(value: float) -> str:
    """Three decimals; empty for NaN."""
    return "" if math.isnan(value) else f"{round(value, 3) + 0.0:.3f}"


def defused(text: str) -> str:
    """Text that no spreadsheet takes for a formula."""
    return f"'{text}" if text.startswith(_FORMULA_STARTS) else text
