"""Drawings that an earlier result took more of, such as sheet 3 of a plot that now has two.

Whoever prints a folder would print them with the new ones. They go when the new ones come, as
the earlier ones do that are written over. Nothing else goes: a file counts only if it has the
very name, is a plain file, and says in its title which of how many it is.
"""

import re
from collections.abc import Sequence
from pathlib import Path
from stat import S_ISREG

__all__ = ["left_over", "numbered"]

_TITLE_BYTES = 65_536
"""A title stands at the very beginning of a drawing; this holds the longest."""


def numbered(title: str, kind: str, number: int, count: int) -> str:
    """Title of one drawing of several: ``Quay, sheet 2 of 3``; of one alone as it is."""
    return title if count == 1 else f"{title}, {kind} {number} of {count}"


def left_over(folder: Path, stem: str, ending: str, kind: str, count: int) -> Sequence[str]:
    """Names of drawings of an earlier result whose number is beyond ``count``.

    Parameters
    ----------
    folder : Path
        Where results lie; it may be missing.
    stem, ending : str
        Drawing 2 is named ``STEM.ENDING-2.svg``.
    kind : str
        What `numbered` calls them.
    count : int
        How many the new result has; the first carries no number.

    Returns
    -------
    sequence of str
        File names, lowest number first.
    """
    named = re.compile(re.escape(f"{stem}.{ending}-") + r"([2-9]|[1-9]\d{1,3})\.svg")
    try:
        found = [(path, named.fullmatch(path.name)) for path in folder.iterdir()]
        old = sorted((int(match[1]), path) for path, match in found if match)
        return [path.name for n, path in old if n > count and _says(path, kind, n)]
    except OSError:
        return []


def _says(path: Path, kind: str, number: int) -> bool:
    """Whether a plain file's title says that it is this one of several."""
    if not S_ISREG(path.lstat().st_mode):
        return False
    with path.open("rb") as file:
        begin = file.read(_TITLE_BYTES)
    said = rb"<title>[^<]*, %b %d of \d+</title><desc>" % (kind.encode(), number)
    return re.search(said, begin) is not None
