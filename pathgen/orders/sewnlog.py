"""A shop's log of what it has sewn and what came of it: a table that is only ever added to.

It has the columns of a form, so that `pathgen learn` can start from it, and from several shops'
logs together.
"""

import os
from collections.abc import Mapping, Sequence
from pathlib import Path

from pathgen.errors import OutputError, SettingsError
from pathgen.model import Plan
from pathgen.orders.foretelling import letter_cells
from pathgen.orders.samples import COLUMNS, bare_cell
from pathgen.orders.table import open_table
from pathgen.writers.tables_csv import table_csv

__all__ = ["added_to_log", "sewn_rows"]


def added_to_log(path: Path, rows: Sequence[Mapping[str, str]]) -> int:
    """Add rows to a log, those left out that stand in it already; how many were added.

    The log is made if it is missing; what it holds is never changed.

    Raises
    ------
    SettingsError
        If the file is no log.
    OutputError
        If it cannot be written.
    """
    known: set[tuple[str, ...]] = set()
    fresh = not path.exists() or path.stat().st_size == 0
    if not fresh:
        table_before = open_table(path)
        if table_before.columns != COLUMNS:
            msg = f"log {path} has other columns than a log; give the name of a new file"
            raise SettingsError(msg)
        known = {
            tuple(bare_cell(row.cells[name]) for name in COLUMNS)
            for row in table_before.rows()
            if not row.fault
        }
    new = [row for row in rows if tuple(row.get(name, "") for name in COLUMNS) not in known]
    table = table_csv(COLUMNS, new)
    if not fresh:
        table = table.split(b"\r\n", 1)[1]
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        if new:
            _append(path, table)
    except OSError as error:
        reason = (error.strerror or "unknown reason").lower()
        msg = f"log {path} could not be written: {reason}"
        raise OutputError(msg) from error
    return len(new)


def _append(path: Path, data: bytes) -> None:
    """Add whole lines at the end in one go, down to the disk."""
    with open(path, "ab+") as file:
        if file.tell() > 0:
            file.seek(-1, os.SEEK_END)
            if file.read(1) not in b"\r\n":
                data = b"\r\n" + data
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def sewn_rows(
    plan: Plan, *, job: str, date: str, unread: str = "", none_read: bool = False, remark: str = ""
) -> list[dict[str, str]]:
    """Rows for a sewn text: each letter, with its margin and whether it was read.

    Parameters
    ----------
    plan : Plan
        What was sewn.
    job, date : str
        What it is called; the day it was sewn.
    unread : str
        The letters that could not be read.
    none_read : bool
        Whether no letter could be read.
    remark : str
        What else came of it.

    Raises
    ------
    SettingsError
        If a letter was not in the text.
    """
    written = {letter.text for letter in plan.letters}
    for sign in unread:
        if sign not in written and not sign.isspace():
            msg = f"unread is {unread!r}; {sign!r} is no letter of the text; write them in a row"
            raise SettingsError(msg)
    rows = []
    for cells in letter_cells(job, plan):
        read = not none_read and cells["text"] not in unread
        rows.append({**cells, "date": date, "read": "yes" if read else "no", "remark": remark})
    return rows
