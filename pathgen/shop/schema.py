"""TOML files that people write, checked field by field against a schema.

An error names the file, the line, the field, its value, the rule and, for a misspelt name, the
nearest right one. Numbers with a point come as `decimal.Decimal`, exactly as written.
"""

import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Any

from pathgen.errors import SettingsError, did_you_mean, one_of

__all__ = [
    "Field",
    "Flag",
    "Named",
    "Number",
    "Place",
    "Rows",
    "Table",
    "Text",
    "Texts",
    "checked",
    "located",
    "read_toml",
]

MOST_BYTES = 1_000_000
"""Larger files are not what they are said to be."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """A field of a schema.

    Attributes
    ----------
    about : str
        What it holds, said when it is missing.
    needed : bool
        Whether it must be there; one that need not be is simply absent from the result.
    """

    about: str
    needed: bool = True

    def fault(self, value: Any) -> str:
        """The rule that a value breaks, as a clause; empty for none."""
        raise NotImplementedError


@dataclass(frozen=True, slots=True, kw_only=True)
class Number(Field):
    """A number from ``least`` to ``most``, both allowed; ``places`` after the point at most."""

    least: int
    most: int
    whole: bool = False
    places: int = 6

    def fault(self, value: Any) -> str:
        """Not a number, out of range, or finer than is kept."""
        kind = "a whole number" if self.whole else "a number"
        rule = f"allowed {kind} from {self.least} to {self.most}"
        wanted = (int,) if self.whole else (int, Decimal)
        if isinstance(value, bool) or not isinstance(value, wanted):
            return rule
        number = Decimal(value)
        if not number.is_finite() or not self.least <= number <= self.most:
            return rule
        if -int(number.normalize().as_tuple().exponent) > self.places:
            return f"allowed {self.places} digits after the point"
        return ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Text(Field):
    """A text on one line, from ``choices`` where there are any."""

    choices: tuple[str, ...] = ()
    most: int = 200

    def fault(self, value: Any) -> str:
        """Not a text, too long, unprintable, or not one of the choices."""
        if self.choices and value not in self.choices:
            return f"choose {one_of(self.choices)}{_nearest(str(value), self.choices)}"
        if not isinstance(value, str):
            return "write a text in quotes"
        if len(value) > self.most or not value.isprintable() or not value.strip():
            return f"write a text on one line, of 1 to {self.most} signs"
        return ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Texts(Field):
    """A list of texts, each on one line."""

    most: int = 20

    def fault(self, value: Any) -> str:
        """Not a list of texts."""
        one = Text(about=self.about)
        if not isinstance(value, list) or len(value) > self.most or any(map(one.fault, value)):
            return f"write a list of at most {self.most} texts, each on one line"
        return ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Flag(Field):
    """True or false."""

    def fault(self, value: Any) -> str:
        """Neither of the two."""
        return "" if isinstance(value, bool) else "write true or false"


@dataclass(frozen=True, slots=True, kw_only=True)
class Table(Field):
    """A table of fields."""

    fields: Mapping[str, Field]

    def fault(self, value: Any) -> str:
        """Not a table; its fields are checked one by one."""
        return "" if isinstance(value, dict) else "write a table"


@dataclass(frozen=True, slots=True, kw_only=True)
class Rows(Field):
    """Tables in a row, ``[[name]]``, each of the same fields."""

    fields: Mapping[str, Field]

    def fault(self, value: Any) -> str:
        """Not a list of tables, or an empty one."""
        rows = isinstance(value, list) and value and all(isinstance(row, dict) for row in value)
        return "" if rows else "write one table or more, each under its own [[...]]"


@dataclass(frozen=True, slots=True, kw_only=True)
class Named(Field):
    """A table whose names are the user's own, each holding the same kind of field."""

    each: Field

    def fault(self, value: Any) -> str:
        """Not a table, or a name that could not be asked for."""
        if not isinstance(value, dict):
            return "write a table"
        bad = [name for name in value if not name.isprintable() or not 1 <= len(name.strip()) <= 60]
        return f"allowed names of 1 to 60 printable signs, not {_shown(bad[0])}" if bad else ""


def read_toml(path: Path, kind: str) -> str:
    """Text of a TOML file.

    Parameters
    ----------
    path : Path
        The file.
    kind : str
        What it is, for messages, such as ``rate card``.

    Raises
    ------
    SettingsError
        If it cannot be read, is not UTF-8 or is far too large.
    """
    try:
        size = path.stat().st_size
        if not (path.is_file() or path.is_dir()):  # a pipe would keep us waiting
            msg = f"{kind} {path} is not a file; give a TOML file"
            raise SettingsError(msg)
        data = path.read_bytes() if size <= MOST_BYTES else b""
    except OSError as error:
        reason = (error.strerror or "unknown reason").lower()
        msg = f"{kind} {path} cannot be read: {reason}"
        raise SettingsError(msg) from error
    if size > MOST_BYTES:
        msg = f"{kind} {path} has {size} bytes; allowed {MOST_BYTES}"
        raise SettingsError(msg)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        msg = f"{kind} {path} is not UTF-8 at byte {error.start}; save it as UTF-8"
        raise SettingsError(msg) from error


Place = tuple[str | int, ...]
"""Where a field stands: names of tables and fields, and numbers of rows from 0."""


def checked(text: str, fields: Mapping[str, Field], kind: str, name: str) -> dict[str, Any]:
    """What a TOML text holds, all of it known to keep to the schema.

    Parameters
    ----------
    text : str
        The file's text.
    fields : mapping of str to Field
        The schema of the whole.
    kind, name : str
        What the file is and what it is called, for messages.

    Returns
    -------
    dict
        As in the file; whole numbers are int, others Decimal.

    Raises
    ------
    SettingsError
        At the first field that is unknown, missing, or breaks its rule.
    """
    try:
        found = tomllib.loads(text, parse_float=Decimal)
    except (tomllib.TOMLDecodeError, RecursionError, ValueError) as error:
        reason = str(error)
        if isinstance(error, RecursionError):
            reason = "tables are nested too deep"
        elif not isinstance(error, tomllib.TOMLDecodeError):
            reason = "a whole number has thousands of figures"
        msg = f"{kind} {name} is not TOML: {reason[:1].lower()}{reason[1:]}"
        raise SettingsError(msg) from error
    for place, fault in _faults(found, fields, ()):
        raise located(text, place, kind, name, fault)
    return found


def located(text: str, place: Place, kind: str, name: str, fault: str) -> SettingsError:
    """The error that tells a fault with its file and line."""
    line = _line_of(text, place)
    at = f", line {line}" if line else ""
    return SettingsError(f"{kind} {name}{at}: {fault}")


def _faults(
    found: Mapping[str, Any], fields: Mapping[str, Field], within: Place
) -> Iterator[tuple[Place, str]]:
    """Every fault of a table and of the tables in it, with its place."""
    for name, value in found.items():
        place = (*within, name)
        if name not in fields:
            yield place, f"unknown field {_said(place)}{_nearest(name, tuple(fields))}"
            continue
        fault = fields[name].fault(value)
        if fault:
            yield place, f"{_said(place)} is {_shown(value)}; {fault}"
        else:
            yield from _inner(fields[name], value, place)
    for name, field in fields.items():
        if field.needed and name not in found:
            yield within, f"{_said((*within, name))} is missing: {field.about}"


def _inner(field: Field, value: Any, place: Place) -> Iterator[tuple[Place, str]]:
    """Faults inside a table or rows of them."""
    if isinstance(field, Table):
        yield from _faults(value, field.fields, place)
    if isinstance(field, Named):
        for name, inner in value.items():
            yield from _faults({name: inner}, {name: field.each}, place)
    if isinstance(field, Rows):
        for number, row in enumerate(value):
            yield from _faults(row, field.fields, (*place, number))


def _said(place: Place) -> str:
    """A place as a reader counts, such as ``breaks[2].pieces``."""
    said = ""
    for part in place:
        said += f"[{part + 1}]" if isinstance(part, int) else f".{part}"
    return said.removeprefix(".")


def _shown(value: Any) -> str:
    """A value in a message: short, on one line."""
    shown = str(value) if isinstance(value, Decimal | int) else repr(value)
    shown = {"True": "true", "False": "false"}.get(shown, shown)
    return shown if len(shown) <= 60 else f"{shown[:57]}..."


def _nearest(name: str, right: tuple[str, ...]) -> str:
    """A clause with the nearest right name, or with all of them where none is near."""
    listed = f"; choose one of {', '.join(right)}" if len(right) <= 12 else ""
    return did_you_mean(name, right) or listed


_HEADER = re.compile(r"\s*(\[\[?)\s*([^\[\]]+?)\s*\]\]?\s*(?:#.*)?")
_KEY = re.compile(r"""\s*((?:[\w-]+|"[^"]*"|'[^']*')(?:\s*\.\s*(?:[\w-]+|"[^"]*"|'[^']*'))*)\s*=""")


def _line_of(text: str, place: Place) -> int:
    """Line where a place is written, or the nearest table around it; 0 for the whole file."""
    lines: dict[Place, int] = {(): 0}
    rows: dict[Place, int] = {}
    here: Place = ()
    for number, line in enumerate(text.splitlines(), 1):
        if header := _HEADER.fullmatch(line):
            here = _opened(_parts(header[2]), header[1] == "[[", rows)
            lines.setdefault(here, number)
        elif key := _KEY.match(line):
            lines.setdefault((*here, *_parts(key[1])), number)
    while place not in lines:
        place = place[:-1]
    return lines[place]


def _opened(names: list[str], new_row: bool, rows: dict[Place, int]) -> Place:
    """Place that a header opens; ``rows`` counts the rows of each list so far."""
    here: Place = ()
    for depth, name in enumerate(names, 1):
        here = (*here, name)
        if new_row and depth == len(names):
            rows[here] = rows.get(here, -1) + 1
        if here in rows:
            here = (*here, rows[here])
    return here


def _parts(dotted: str) -> list[str]:
    """Names of a dotted key, freed of quotes."""
    return [part.strip().strip("\"'") for part in dotted.split(".")]
