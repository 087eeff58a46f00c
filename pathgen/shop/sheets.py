"""Tables as spreadsheets write them: any usual encoding, commas, semicolons or tabs, quotes.

Rows are numbered as a spreadsheet numbers them, the heading being row 1. What cannot be used is
named and left out, the rest is read.
"""

import csv
import io
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from pathgen.errors import SettingsError
from pathgen.trials import Fault, Grade

__all__ = ["Sheet", "SheetRow", "read_sheet"]

MOST_BYTES = 50_000_000
"""Larger files are not what they are said to be."""

_SEPARATORS = (",", ";", "\t")


class SheetRow(NamedTuple):
    """A row and its number; cells by heading, freed of spaces, missing ones empty."""

    number: int
    cells: dict[str, str]


class Sheet(NamedTuple):
    """A table.

    Attributes
    ----------
    name : str
        The file, as the user named it.
    heading : tuple of str
        Names of the columns in lower case, without spaces around them.
    rows : tuple of SheetRow
        Those that have any cell.
    faults : tuple of Fault
        Rows that were left out, and how the file was read where that was not plain.
    """

    name: str
    heading: tuple[str, ...]
    rows: tuple[SheetRow, ...]
    faults: tuple[Fault, ...]


def read_sheet(path: Path) -> Sheet:
    """A table from a CSV file.

    Parameters
    ----------
    path : Path
        UTF-8 with or without byte order mark, UTF-16 with one, or Windows-1252.

    Raises
    ------
    SettingsError
        If it cannot be read, has no heading, or names a column twice.
    """
    name = str(path)
    text, notes = _decoded(path)
    first = text.lstrip("\r\n").split("\n", 1)[0]
    separator = max(_SEPARATORS, key=first.count)
    # A lone carriage return ends a row too, as old spreadsheets write it.
    source = io.StringIO(text.replace("\r\n", "\n").replace("\r", "\n"), newline="")
    reader = csv.reader(source, delimiter=separator)
    try:
        records = list(reader)
    except csv.Error as error:
        msg = f"table {name}, line {reader.line_num} is no CSV: {error}"
        raise SettingsError(msg) from error
    start = next((n for n, record in enumerate(records) if any(map(str.strip, record))), None)
    if start is None:
        msg = f"table {name} is empty; the first row names the columns"
        raise SettingsError(msg)
    heading = tuple(" ".join(cell.lower().split()) for cell in records[start])
    _check_heading(heading, name)
    rows: list[SheetRow] = []
    faults = list(notes)
    for number, record in enumerate(records[start + 1 :], start + 2):
        cells = [_bare(cell.strip()) for cell in record]
        if not any(cells):
            continue
        if len(cells) > len(heading) and any(cells[len(heading) :]):
            rule = f"{len(cells)} cells; the heading has {len(heading)}"
            faults.append(Fault(file=name, row=number, field="", said="", rule=rule))
            continue
        cells += [""] * (len(heading) - len(cells))
        pairs = zip(heading, cells[: len(heading)], strict=True)
        rows.append(SheetRow(number, {key: cell for key, cell in pairs if key}))
    return Sheet(name=name, heading=heading, rows=tuple(rows), faults=tuple(faults))


def _bare(cell: str) -> str:
    """A cell without the apostrophe that keeps a spreadsheet from running it as a formula."""
    return cell[1:] if cell[:1] == "'" and cell[1:2] in ("=", "+", "-", "@") else cell


def _decoded(path: Path) -> tuple[str, list[Fault]]:
    """The text of a file, and how it had to be read."""
    try:
        data = path.read_bytes()
    except OSError as error:
        msg = f"table {path} cannot be read: {(error.strerror or 'unknown reason').lower()}"
        raise SettingsError(msg) from error
    if len(data) > MOST_BYTES:
        msg = f"table {path} has {len(data)} bytes; allowed {MOST_BYTES}"
        raise SettingsError(msg)
    for encoding, note in _encodings(data):
        try:
            text = data.decode(encoding)
        except UnicodeDecodeError:
            continue
        if "\0" in text:
            break
        rule = f"read as {note}" if note else ""
        fault = Fault(file=str(path), row=0, field="", said="", rule=rule, grade=Grade.READ)
        return text, [fault] if note else []
    msg = f"table {path} is no text; save it as CSV in UTF-8"
    raise SettingsError(msg)


def _encodings(data: bytes) -> Iterator[tuple[str, str]]:
    """Encodings to be tried, each with a note where it is not the plain one."""
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        yield "utf-16", ""
        return
    yield "utf-8-sig", ""
    yield "cp1252", "Windows-1252, as it is not UTF-8"


def _check_heading(heading: tuple[str, ...], name: str) -> None:
    """No column is named twice."""
    named = [cell for cell in heading if cell]
    twice = sorted({cell for cell in named if named.count(cell) > 1})
    if twice:
        msg = f"table {name} names column {twice[0]!r} twice; give each a name of its own"
        raise SettingsError(msg)
