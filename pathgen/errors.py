"""What can be wrong with an input. Each message says thing, value, rule and remedy in one line."""

from collections.abc import Iterable

__all__ = [
    "FontError",
    "OutputError",
    "PathgenError",
    "SettingsError",
    "TextError",
    "did_you_mean",
    "one_of",
]


class PathgenError(Exception):
    """An input could not be used; the message is one line for the person who gave it."""


class FontError(PathgenError):
    """The font file is missing, malformed, or has nothing that can be sewn."""


class TextError(PathgenError):
    """The text is empty, has a control character, or a letter that the face lacks."""


class SettingsError(PathgenError):
    """A setting is out of its range or not one of its choices."""


class OutputError(PathgenError):
    """The results could not be written; nothing was left half-written."""


def one_of(words: Iterable[str]) -> str:
    """Words of which one is to be chosen.

    Examples
    --------
    >>> one_of(("left", "centre", "right")), one_of(("a4", "letter"))
    ('left, centre or right', 'a4 or letter')
    """
    *first, last = words
    return f"{', '.join(first)} or {last}" if first else last


def did_you_mean(given: str, right: Iterable[str]) -> str:
    """A clause that asks for the nearest right name; empty where none is near.

    Examples
    --------
    >>> did_you_mean("center", ("left", "centre", "right"))
    "; did you mean 'centre'?"
    """
    from difflib import get_close_matches

    near = get_close_matches(given.lower(), list(right), n=1, cutoff=0.6)
    return f"; did you mean {near[0]!r}?" if near else ""
