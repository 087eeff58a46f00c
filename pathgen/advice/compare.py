"""The same text planned in several ways, side by side: "40 or 60 weight?" on one page."""

from collections.abc import Mapping, Sequence
from itertools import combinations
from pathlib import Path
from typing import Any

from pathgen.errors import SettingsError
from pathgen.legibility import read
from pathgen.model import Plan
from pathgen.pipeline import plan
from pathgen.writers.compare_page import compare_page
from pathgen.writers.compare_rows import MOST_WAYS, Way, ways_csv, ways_named
from pathgen.writers.files import checked_name, safe_name, write_together

__all__ = ["compared", "paired", "write_comparison"]


def paired(asked: Mapping[str, Sequence[Any]]) -> tuple[dict[str, Any], ...]:
    """Settings of each way: the first values of all settings go together, the second, and so on.

    Parameters
    ----------
    asked : mapping of str to sequence
        Values of each setting, in the order of the ways. A setting with one value holds for
        all ways; one without any is left out.

    Raises
    ------
    SettingsError
        If two settings have several values each, but not as many, or there are not two ways to
        four.

    Examples
    --------
    >>> paired({"thread": ["40", "60"], "height_mm": [4.0], "needle": []})
    ({'thread': '40', 'height_mm': 4.0}, {'thread': '60', 'height_mm': 4.0})
    """
    counts = {name: len(values) for name, values in asked.items() if len(values) > 1}
    if len(set(counts.values())) > 1:
        named = {name: name.removesuffix("_mm").replace("_", " ") for name in counts}
        told = ", ".join(f"{named[name]} {count}" for name, count in counts.items())
        msg = f"ways do not pair up ({told}); give each setting once, or once for each way"
        raise SettingsError(msg)
    many = max(counts.values(), default=1)
    if not 2 <= many <= MOST_WAYS:
        msg = (
            f"ways are {many}; allowed 2 to {MOST_WAYS}: give an option once for each, such as"
            f" --thread 40 --thread 60"
        )
        raise SettingsError(msg)
    given = {name: values for name, values in asked.items() if len(values)}
    return tuple(
        {name: values[way if len(values) > 1 else 0] for name, values in given.items()}
        for way in range(many)
    )


def compared(
    text: str | Sequence[str], ways: Sequence[Mapping[str, Any]], **common: Any
) -> tuple[Way, ...]:
    """A text planned and read in each of several ways.

    Parameters
    ----------
    text : str or sequence of str
        One or more lines.
    ways : sequence of mapping
        Arguments of `plan` for each way, such as ``{"thread": "60"}``.
    **common
        Arguments that hold for all of them.

    Raises
    ------
    PathgenError
        If an input cannot be used, or two ways are sewn the same.

    Examples
    --------
    >>> fine, coarse = compared("Quay", [{"thread": "60"}, {"thread": "40"}], height_mm=4.0)
    >>> fine.plan.whole.stitches > coarse.plan.whole.stitches
    True
    """
    plans = [plan(text, **{**common, **way}) for way in ways]
    _check_that_they_differ(plans)
    labels = ways_named(plans)
    return tuple(
        Way(label=label, plan=made, reading=read(made))
        for label, made in zip(labels, plans, strict=True)
    )


def _check_that_they_differ(plans: Sequence[Plan]) -> None:
    """Refuse a way that is another one again, however its values were written."""
    for (n, one), (m, other) in combinations(enumerate(plans, 1), 2):
        if one.by_line == other.by_line:
            msg = (
                f"ways {n} and {m} are sewn the same; give an option another value in"
                " each, such as --thread 40 --thread 60, or plan one way by pathgen plot"
            )
            raise SettingsError(msg)


def write_comparison(
    ways: Sequence[Way], folder: Path, name: str | None = None
) -> tuple[Path, ...]:
    """Write the page and the table of a comparison, both or neither.

    Raises
    ------
    SettingsError
        If the name would not be a plain file name.
    OutputError
        If a file cannot be written.
    """
    lines = ways[0].plan.lines
    stem = safe_name(" ".join(lines)) if name is None else checked_name(name)
    files = {
        f"{stem}.compare.svg": compare_page(ways).encode(),
        f"{stem}.compare.csv": ways_csv(ways),
    }
    return write_together(folder, files)
