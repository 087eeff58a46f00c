"""A cloth in a file of its own, with what sewn samples have shown on it.

Any command takes it by ``--cloth FILE.toml``; `cloth_text` writes it. Version 1::

    format = "pathgen cloth 1"
    date = 2026-11-25                # the day of the samples, as the user gave it
    name = "harbour pique"
    note = "panel 3, water-soluble film on top"   # optional

    [cloth]                          # as [cloths.NAME] in a shop file; all optional with like
    like = "pique"

    [[sewn]]                         # one a thread; optional
    thread = "40"                    # a label for people
    tex = 26.667                     # what counts: samples hold for threads within 8 % of it
    pull_mm = 0.17                   # each side of a column comes out so much inside its points
    pull_error_mm = 0.012            # its standard error
    overhang_mm = 0.09               # thread bulges so far beyond its points
    overhang_error_mm = 0.010
    along_mm = 0.15                  # pull of columns that run along the cloth, and
    across_mm = 0.19                 # across it, where the samples tell them apart
    over_underlay = 0.8              # pull over underlay by pull without
    samples = 48

    [verdict]                        # limits of the reading verdict; optional
    well_margin = 0.03               # from this confusion margin on letters read well,
    reads_margin = 0.005             # and from this they read at all
    well_likeness = 0.91             # the same for the likeness to the drawn letter; optional
    reads_likeness = 0.88
    samples = 310

The allowance of a plan on such a cloth is pull less overhang of its thread, with which columns
come out as wide as drawn; `Settings.origins` then says ``cloth file``.
"""

import datetime
import math
from collections.abc import Mapping, Sequence
from dataclasses import fields, replace
from pathlib import Path
from typing import Any

from pathgen.errors import SettingsError
from pathgen.materials import Cloth, SewnThread, VerdictLimits
from pathgen.shop.schema import Field, Number, Rows, Table, Text, checked, located, read_toml
from pathgen.shop.shelves import Shop
from pathgen.shop.shopfile import CLOTH_FIELDS
from pathgen.shop.stocking import MisfitError, bundled, clothed

__all__ = ["CLOTH_FILE_FIELDS", "FORMAT", "cloth_from", "cloth_text"]

FORMAT = "pathgen cloth 1"
"""Name and version of the schema; a file of another one is refused."""

_KIND = "cloth file"


class _Date(Field):
    """A day, as TOML has it."""

    def fault(self, value: Any) -> str:
        """Not a day, or a day with a time."""
        return (
            "" if type(value) is datetime.date else "write a day such as 2026-11-25, without quotes"
        )


def _number(about: str, least: int, most: int, *, needed: bool = False) -> Number:
    return Number(about=about, least=least, most=most, needed=needed)


def _samples() -> Number:
    return Number(
        about="measurements behind it", least=0, most=10_000_000, whole=True, needed=False
    )


_SEWN: dict[str, Field] = {
    "thread": Text(about="a label", needed=False),
    "tex": _number("count of the thread", 1, 500, needed=True),
    "pull_mm": _number("pull on each side", -1, 1, needed=True),
    "pull_error_mm": _number("standard error", 0, 5),
    "overhang_mm": _number("overhang of thread", -1, 1),
    "overhang_error_mm": _number("standard error", 0, 5),
    "along_mm": _number("pull along the cloth", -1, 1),
    "across_mm": _number("pull across the cloth", -1, 1),
    "over_underlay": _number("pull over underlay by pull without", 0, 3),
    "samples": _samples(),
}

_VERDICT: dict[str, Field] = {
    "well_margin": _number("margin from which letters read well", -1, 1, needed=True),
    "reads_margin": _number("margin from which letters read", -1, 1, needed=True),
    "well_likeness": _number("likeness from which letters read well", -1, 1),
    "reads_likeness": _number("likeness from which letters read", -1, 1),
    "samples": _samples(),
}

CLOTH_FILE_FIELDS: Mapping[str, Field] = {
    "format": Text(about="the version, such as format = 'pathgen cloth 1'", choices=(FORMAT,)),
    "date": _Date(about="the day of the samples"),
    "name": Text(about="what the cloth is called", most=60),
    "note": Text(about="a remark", needed=False),
    "cloth": Table(about="the cloth itself", fields=CLOTH_FIELDS),
    "sewn": Rows(about="what samples have shown, by thread", needed=False, fields=_SEWN),
    "verdict": Table(about="limits of the verdict", needed=False, fields=_VERDICT),
}
"""The schema of a cloth file."""


def cloth_from(path: str | Path, shop: Shop | None = None) -> Cloth:
    """Cloth of a cloth file.

    Parameters
    ----------
    path : str or Path
        The file.
    shop : Shop, optional
        Where ``like`` is looked up; the bundled one if left out.

    Raises
    ------
    SettingsError
        If it cannot be read or breaks a rule; the message names file, line, field, value and
        rule.
    """
    text = read_toml(Path(path), _KIND)
    found = checked(text, CLOTH_FILE_FIELDS, _KIND, str(path))
    day = found["date"].isoformat()
    source = f"cloth file {Path(path).name} of {day}"
    table = found["cloth"] if found["cloth"] else {}
    try:
        cloth = clothed(shop or bundled(), found["name"], table, source, ("cloth",))
    except MisfitError as error:
        raise located(text, error.place, _KIND, str(path), str(error)) from None
    limits = found.get("verdict")
    if limits is not None and limits["reads_margin"] > limits["well_margin"]:
        fault = f"verdict.reads_margin is {limits['reads_margin']}; allowed up to well_margin"
        raise located(text, ("verdict", "reads_margin"), _KIND, str(path), fault)
    return replace(
        cloth,
        name=" ".join(found["name"].split()),
        sewn=tuple(SewnThread(**_figures(row, SewnThread)) for row in found.get("sewn", ())),
        verdict=VerdictLimits(**_figures(limits, VerdictLimits)) if limits else None,
        date=day,
    )


def _figures(row: Mapping[str, Any], of: type) -> dict[str, Any]:
    """The figures of a table that a class has."""
    names = {f.name: f.type for f in fields(of)}
    return {k: int(v) if names[k] is int else float(v) for k, v in row.items() if k in names}


def cloth_text(
    name: str,
    like: str,
    date: str,
    sewn: Sequence[tuple[str, SewnThread]],
    verdict: VerdictLimits | None = None,
    note: str = "",
) -> str:
    """The text of a cloth file; `cloth_from` reads the same figures back, to a millionth.

    Parameters
    ----------
    name, like : str
        The cloth, and the listed one that the rest is taken from.
    date : str
        Day of the samples, such as ``2026-11-25``.
    sewn : sequence of (str, SewnThread)
        Label of each thread and what its samples have shown.
    verdict : VerdictLimits, optional
        Limits of the reading verdict.
    note : str
        A remark.

    Raises
    ------
    SettingsError
        If the date is not a day, or a text would not fit one line.
    """
    try:
        day = datetime.date.fromisoformat(date).isoformat()
    except ValueError:
        msg = f"date is {date!r}; write a day such as 2026-11-25"
        raise SettingsError(msg) from None
    lines = [f"format = {_quoted(FORMAT)}", f"date = {day}", f"name = {_quoted(name)}"]
    lines += [f"note = {_quoted(note)}"] if note else []
    lines += ["", "[cloth]", f"like = {_quoted(like)}"]
    for label, one in sewn:
        lines += ["", "[[sewn]]", f"thread = {_quoted(label)}", *_assignments(one)]
    if verdict is not None:
        lines += ["", "[verdict]", *_assignments(verdict)]
    return "\n".join(lines) + "\n"


def _assignments(of: SewnThread | VerdictLimits) -> list[str]:
    """One line a figure that is known."""
    values = ((f.name, getattr(of, f.name)) for f in fields(of))
    return [f"{name} = {_decimal(value)}" for name, value in values if not math.isnan(value)]


def _decimal(value: float) -> str:
    """A number in TOML: six decimals at most, whole numbers without any."""
    if isinstance(value, int):
        return str(value)
    text = f"{round(value, 6) + 0.0:.6f}".rstrip("0")
    return text + "0" if text.endswith(".") else text


def _quoted(text: str) -> str:
    """A basic string of TOML 1.0.

    Raises
    ------
    SettingsError
        If the text has signs that do not print.
    """
    if not text.isprintable() or not text.strip():
        msg = f"text is {text!r}; write it on one line, with printable signs"
        raise SettingsError(msg)
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'
