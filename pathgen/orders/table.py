"""A table of names as spreadsheets write it: CSV in several encodings and with several separators.

UTF-8 with or without a byte order mark, UTF-16 with one; what is neither is read as Windows-1252,
and that is said. The separator is a comma, a semicolon or a tab, whichever the head has most of,
or what a first line ``sep=;`` says. Cells may be quoted and hold separators, quotes and line
breaks (RFC 4180). Rows have the numbers that a spreadsheet shows: the head is row 1.
"""

import csv
import io
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import NamedTuple

from pathgen.errors import SettingsError, did_you_mean
from pathgen.orders.filling import key_of

__all__ = ["NamesTable", "TableRow", "open_table"]

MOST_BYTES = 500_000_000
"""Larger tables were given by mistake."""

MOST_SIGNS = 1_000
"""A cell with more is no name."""

_MARKS = (
    (b"\xef\xbb\xbf", "utf-8-sig", "UTF-8"),
    (b"\xff\xfe", "utf-16", "UTF-16"),
    (b"\xfe\xff", "utf-16", "UTF-16"),
)
_SEPARATORS = {",": "comma", ";": "semicolon", "\t": "tab"}
_PIECE_BYTES = 1 << 20
_HEAD_SIGNS = 100_000


class TableRow(NamedTuple):
    """A row of a table: its number as a spreadsheet shows it, its cells, or what is wrong."""

    number: int
    cells: Mapping[str, str]
    fault: str = ""


class NamesTable(NamedTuple):
    """A table that can be read from its beginning any number of times.

    Attributes
    ----------
    path : Path
        The file.
    encoding : str
        As Python calls it.
    separator : str
        One sign.
    columns : tuple of str
        The head, each compared by `key_of`.
    notes : tuple of str
        What had to be guessed and should be looked at.
    skipped : int
        Lines before the head: 1 where the first says which separator.
    """

    path: Path
    encoding: str
    separator: str
    columns: tuple[str, ...]
    notes: tuple[str, ...] = ()
    skipped: int = 0

    def rows(self) -> Iterator[TableRow]:
        """Rows below the head, one at a time; those without any cell filled are left out."""
        with self.path.open(encoding=self.encoding, newline="") as file:
            for _ in range(self.skipped):
                file.readline()
            reader = csv.reader(file, delimiter=self.separator, strict=True)
            number = 0
            while True:
                number += 1
                try:
                    cells = next(reader)
                except StopIteration:
                    return
                except csv.Error as error:
                    yield TableRow(number, {}, _said(error))
                    continue
                if number > 1 and any(cell.strip() for cell in cells):
                    yield self._row(number, cells)

    def _row(self, number: int, cells: Sequence[str]) -> TableRow:
        """Cells by column; those that the row lacks are empty."""
        beyond = [cell for cell in cells[len(self.columns) :] if cell.strip()]
        if beyond:
            fault = f"has {len(cells)} cells, the head {len(self.columns)}; quote cells that hold"
            fault += f" a {_SEPARATORS[self.separator]}"
            return TableRow(number, {}, fault)
        if max(map(len, cells)) > MOST_SIGNS:
            return TableRow(number, {}, f"has a cell of {max(map(len, cells))} signs")
        filled = {
            name: cell.strip() for name, cell in zip(self.columns, cells, strict=False) if name
        }
        return TableRow(number, {name: filled.get(name, "") for name in self.columns if name})

    def check(self, fields: Sequence[str]) -> None:
        """Refuse a table that lacks a field, or has it twice.

        Raises
        ------
        SettingsError
            With the nearest column.
        """
        for field in fields:
            count = self.columns.count(field)
            if count > 1:
                msg = f"table {self.path} has the column {field!r} {count} times; keep one"
                raise SettingsError(msg)
            if not count:
                there = [name for name in self.columns if name]
                hint = did_you_mean(field, there) or f"; its head is {', '.join(there)}"
                msg = f"table {self.path} has no column {field!r}{hint}"
                raise SettingsError(msg)


def open_table(path: Path) -> NamesTable:
    """Look at a table: its encoding, separator and head.

    Raises
    ------
    SettingsError
        If it cannot be read, or has no head.
    """
    encoding, notes = _encoding(path)
    with path.open(encoding=encoding, newline="") as file:
        begin = file.read(_HEAD_SIGNS)
    first = begin.splitlines()[0] if begin.strip() else ""
    skipped = int(first.lower().startswith("sep=") and first[4:] in _SEPARATORS)
    if skipped:
        begin = begin[len(first) :].lstrip("\r\n")
    separator = first[4:] if skipped else _separator(begin)
    try:
        head = next(csv.reader(io.StringIO(begin, newline=""), delimiter=separator), [])
    except csv.Error as error:
        msg = f"table {path}, row 1: {_said(error)}"
        raise SettingsError(msg) from error
    columns = tuple(key_of(cell) for cell in head)
    if not any(columns):
        msg = f"table {path} is empty; its first row must name the columns, such as first,last"
        raise SettingsError(msg)
    return NamesTable(path, encoding, separator, columns, tuple(notes), skipped)


def _encoding(path: Path) -> tuple[str, list[str]]:
    """Encoding of a file, and what is to be said of it."""
    try:
        size = path.stat().st_size
        if not (path.is_file() or path.is_dir()):  # a pipe would keep us waiting
            msg = f"table {path} is not a file; give a CSV file"
            raise SettingsError(msg)
        if size > MOST_BYTES:
            msg = f"table {path} has {size} bytes; allowed {MOST_BYTES}"
            raise SettingsError(msg)
        with path.open("rb") as file:
            begin = file.read(4)
        for mark, encoding, name in _MARKS:
            if begin.startswith(mark):
                return _checked(path, encoding, name), []
        if b"\0" in begin:
            msg = f"table {path} looks like UTF-16 without a byte order mark; save it as UTF-8"
            raise SettingsError(msg)
        if not _broken(path, "utf-8"):
            return "utf-8", []
        note = "is not UTF-8 and was read as Windows-1252; look at letters with marks"
        return _checked(path, "cp1252", "UTF-8 or Windows-1252"), [f"table {path} {note}"]
    except OSError as error:
        msg = f"table {path} cannot be read: {(error.strerror or 'unknown reason').lower()}"
        raise SettingsError(msg) from error


def _checked(path: Path, encoding: str, name: str) -> str:
    """The encoding, if the whole file keeps to it."""
    if _broken(path, encoding):
        msg = f"table {path} is not {name}; save it as UTF-8"
        raise SettingsError(msg)
    return encoding


def _broken(path: Path, encoding: str) -> bool:
    """Whether a file, read piece by piece, is in another encoding."""
    try:
        with path.open(encoding=encoding, newline="") as file:
            while file.read(_PIECE_BYTES):
                pass
    except UnicodeError:
        return True
    return False


def _separator(begin: str) -> str:
    """The separator that the head has most of, quoted parts aside; a comma for none."""
    counts = dict.fromkeys(_SEPARATORS, 0)
    quoted = False
    for sign in begin:
        if sign == '"':
            quoted = not quoted
        elif not quoted and sign in "\r\n":
            break
        elif not quoted and sign in counts:
            counts[sign] += 1
    return max(counts, key=lambda sign: counts[sign])


def _said(error: csv.Error) -> str:
    """What a row's cells get wrong."""
    if "end of data" in str(error):
        return "opens a quote that is never closed"
    if "expected after" in str(error):
        return "has signs after a closing quote; double the quotes inside a cell"
    return f"cannot be read: {error}"
