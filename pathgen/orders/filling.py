"""Fields in braces, such as ``{first}``, are filled from a row of a table.

A doubled brace stands for itself. Names of fields are compared without regard to case and to
spaces around them, as columns of a spreadsheet are typed.
"""

import re
from collections.abc import Mapping
from functools import lru_cache

from pathgen.errors import SettingsError, TextError, did_you_mean

__all__ = ["fields_in", "filled", "key_of"]

_BRACES = re.compile(r"\{\{|\}\}|\{([^{}]*)\}|[{}]")


def key_of(name: str) -> str:
    """What a field or a column is compared by."""
    return " ".join(name.split()).casefold()


@lru_cache(maxsize=256)
def fields_in(text: str) -> tuple[str, ...]:
    """Fields that a text asks for, each once, in order.

    Raises
    ------
    SettingsError
        If a brace is left open or a field has no name.

    Examples
    --------
    >>> fields_in("{First} {last}, {{Quay}}")
    ('first', 'last')
    """
    found: list[str] = []
    for match in _BRACES.finditer(text):
        if match[0] in ("{", "}"):
            msg = f"text is {text!r}; a brace at sign {match.start() + 1} stands alone: double it"
            raise SettingsError(msg)
        if match[1] is not None:
            found.append(key_of(match[1]))
    if "" in found:
        msg = f"text is {text!r}; write a field's name between the braces, or double them"
        raise SettingsError(msg)
    return tuple(dict.fromkeys(found))


def filled(text: str, row: Mapping[str, str]) -> str:
    """Text with its fields filled; ``row`` holds values by `key_of` their column.

    Raises
    ------
    TextError
        If the row lacks a field.

    Examples
    --------
    >>> filled("{first} {{of}} {Last}", {"first": "Ada", "last": "Lowe"})
    'Ada {of} Lowe'
    """

    def value(match: re.Match[str]) -> str:
        if match[1] is None:
            return match[0][0]
        key = key_of(match[1])
        if key not in row:
            hint = did_you_mean(key, row)
            there = f" (there is {', '.join(row)})" if row and not hint else ""
            msg = f"text {text!r} asks for {{{match[1]}}}, which is not given{hint}{there}"
            raise TextError(msg)
        return row[key]

    return _BRACES.sub(value, text)
