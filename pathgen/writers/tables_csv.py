"""The needle table and the counts as CSV (RFC 4180: CRLF, quoting where needed; UTF-8).

Numbers have a dot and three decimals in any locale and are never quoted or altered. A text
cell that a spreadsheet would run as a formula is led by an apostrophe (OWASP, CSV Injection;
ASVS 1.2.10), as quoting alone does not stop it.
"""

import csv
import io
import math
import re
from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import Any

import numpy as np

from pathgen.model import Count, Plan
from pathgen.needles import Arrive, Part, Side, stitch_lengths_mm
from pathgen.writers.digits import decimals, joined, led, looked_up, text_of, thousandths, whole

__all__ = ["COUNT_HEADER", "NEEDLE_HEADER", "counts_csv", "defused", "needles_csv", "table_csv"]

NEEDLE_HEADER = "n,x_mm,y_mm,part,arrive,thread,line,letter,column,side,length_mm"
COUNT_HEADER = (
    "scope,thread,line,letter,column,text,stitches,tie_in,underlay,travel,zigzag,tie_off,trims,"
    "sewn_mm,thread_mm,narrowest_column_mm,width_least_mm,width_mean_mm,width_most_mm,"
    "findings,crowding_per_mm2"
)

_TO_QUOTE = re.compile('[,"\r\n]')

# By part, then by arrival: both in one look.
_PARTS = tuple(f",{part.word},{arrive.word}" for part in Part for arrive in Arrive)
_SIDES = tuple(f",{side.word}" for side in Side)

# What a count comes to, among its fields.
_FROM, _TO = map(Count._fields.index, ("by_part", "thread"))

_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n")


def needles_csv(plan: Plan) -> bytes:
    """One row a needle penetration, in sewing order, numbered from 1.

    ``length_mm`` is the distance from the previous penetration where the thread was sewn
    across it, else 0. Positions are rounded to 0.001 mm; lengths are those of the unrounded
    positions.
    """
    table = plan.needles
    rows = joined(
        whole(np.arange(1, len(table) + 1)),
        decimals(thousandths(table["x_mm"]), ","),
        decimals(thousandths(table["y_mm"]), ","),
        looked_up(_PARTS, len(Arrive) * table["part"] + table["arrive"]),
        *(whole(table[name], ",") for name in ("thread", "line", "letter", "column")),
        looked_up(_SIDES, table["side"]),
        decimals(thousandths(stitch_lengths_mm(table)), ","),
        led("\r\n", len(table)),
    )
    return NEEDLE_HEADER.encode("ascii") + b"\r\n" + text_of(rows)


def counts_csv(plan: Plan) -> bytes:
    """One row a count, in the plan's order; a width that does not exist is an empty cell."""
    rows = "".join([_count_row(count) for count in plan.counts])
    return f"{COUNT_HEADER}\r\n{rows}".encode("utf-8", "replace")


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


def _count_row(count: Count) -> str:
    """One count as a row, in the order of the header."""
    return (
        f"{count.scope},{count.thread},{count.line},{count.letter},{count.column},"
        f"{_cell(count.text)},{_figures(count[_FROM:_TO])}"
    )


@lru_cache(maxsize=8192)
def _figures(figures: tuple[Any, ...]) -> str:
    """What a count comes to, from ``by_part`` on; known letters come to the same again."""
    by_part, trims, *lengths_mm, findings, crowding = figures
    parts = ",".join(map(str, (sum(by_part), *by_part)))
    lengths = ",".join(map(_decimal, lengths_mm))
    return f"{parts},{trims},{lengths},{findings},{_decimal(crowding)}\r\n"


def _decimal(value: float) -> str:
    """Three decimals; empty for NaN."""
    return "" if math.isnan(value) else f"{value + 0.0:.3f}"


@lru_cache(maxsize=1024)
def _cell(text: str) -> str:
    """Text as a cell, in quotes where it needs them (RFC 4180, section 2, rules 6 and 7)."""
    safe = defused(text)
    return '"' + safe.replace('"', '""') + '"' if _TO_QUOTE.search(safe) else safe


def defused(text: str) -> str:
    """Text that no spreadsheet takes for a formula."""
    return f"'{text}" if text.startswith(_FORMULA_STARTS) else text
