"""A user's own threads, needles, cloths and recipes: TOML files laid over the bundled shop.

The bundled files are written in the same way; an example is in the README. Tables:
``[fibres]`` density by name; ``[threads.NAME]`` with ``tex`` or ``count``; ``[needles.SIZE]``;
``[cloths.NAME]``; ``[[recipes.THREAD]]`` one row a height; ``[defaults]``. Entries may say
``like`` another, and ``origin`` (of all figures) and ``origins`` (of single ones).
"""

from collections.abc import Sequence
from pathlib import Path
from types import MappingProxyType
from typing import Any

from pathgen.errors import SettingsError
from pathgen.materials import STABILITIES
from pathgen.settings import CHOICES
from pathgen.shop.schema import (
    Field,
    Named,
    Number,
    Rows,
    Table,
    Text,
    Texts,
    checked,
    located,
    read_toml,
)
from pathgen.shop.shelves import Shop
from pathgen.shop.stocking import MisfitError, bundled, stocked

__all__ = ["CLOTH_FIELDS", "SHOP_FIELDS", "shop_with"]

_KIND = "shop file"


def _number(about: str, least: int, most: int, **more: Any) -> Number:
    return Number(about=about, least=least, most=most, needed=more.pop("needed", False), **more)


def _text(about: str, **more: Any) -> Text:
    return Text(about=about, needed=more.pop("needed", False), **more)


_ORIGINS: dict[str, Field] = {
    "origin": _text("where the figures are from"),
    "origins": Named(about="where single figures are from", needed=False, each=_text("an origin")),
}

_THREAD: dict[str, Field] = {
    "like": _text("thread that the rest is taken from"),
    "label": _text("what the cone says"),
    "tex": _number("grams per 1,000 m", 1, 500),
    "count": _text("a count in any system"),
    "plies": _number("yarns twisted into it", 1, 12, whole=True),
    "fibre": _text("what it is made of"),
    "density_g_cm3": _number("density of the fibre", 0, 20),
    "packing": _number("share of the cross section that is fibre", 0, 1),
    "least_column_mm": _number("narrowest column, allowance included", 0, 5),
    **_ORIGINS,
}

_NEEDLE: dict[str, Field] = {
    "number": _number("number of the size", 1, 30, whole=True),
    "table_blade_mm": _number("blade after a standard's table", 0, 3),
    "eye_mm": _number("width of the eye", 0, 3),
    **_ORIGINS,
}

CLOTH_FIELDS: MappingProxyType[str, Field] = MappingProxyType(
    {
        "like": _text("cloth that the rest is taken from"),
        "also": Texts(about="other names", needed=False),
        "stability": _text("how well it holds still", choices=STABILITIES),
        "pile_mm": _number("height of loops or nap", 0, 20),
        "thickness_mm": _number("thickness with its backing", 0, 20),
        "pull_more_mm": _number("added to the allowance", -1, 1),
        "spacing_factor": _number("times the recipe's spacing", 0, 3),
        "holes_limit": _number("penetrations in a disc of the blade", 1, 100),
        "least_height_mm": _number("capitals below this sink into it", 0, 100),
        "sewing": _text("order of the letters that it wants", choices=CHOICES["sewing"]),
        "remark": _text("what small letters suffer on it"),
        **_ORIGINS,
    }
)
"""Fields of a cloth, in a shop file or a cloth file."""

_RECIPE: dict[str, Field] = {
    "height_mm": _number("height of capitals", 1, 100, needed=True),
    "spacing_mm": _number("spacing on one side", 0, 2, needed=True),
    "pull_mm": _number("pull allowance, a side", 0, 1, needed=True),
    "underlay": _text(
        "underlay", choices=("none", "centre-run", "edge-run", "zigzag"), needed=True
    ),
    "needle": _number("metric size", 30, 200, whole=True, needed=True),
    "speed_spm": _number("stitches a minute", 50, 2000),
    "origin": _text("where the row is from"),
}

_DEFAULTS: dict[str, Field] = {
    "thread": _text("name of a thread"),
    "cloth": _text("name of a cloth"),
    "height_mm": _number("height of capitals", 1, 100),
    "line_spacing_heights": _number("line to line, in letter heights", 1, 10),
}


def _tables(about: str, fields: dict[str, Field] | MappingProxyType[str, Field]) -> Named:
    return Named(about=about, needed=False, each=Table(about=about, fields=fields))


SHOP_FIELDS: MappingProxyType[str, Field] = MappingProxyType(
    {
        "fibres": Named(
            about="density of fibres", needed=False, each=_number("density in g/cm3", 0, 20)
        ),
        "threads": _tables("threads", _THREAD),
        "needles": _tables("needles", _NEEDLE),
        "cloths": _tables("cloths", CLOTH_FIELDS),
        "recipes": Named(
            about="recipes", needed=False, each=Rows(about="rows of a recipe", fields=_RECIPE)
        ),
        "defaults": Table(about="defaults", needed=False, fields=_DEFAULTS),
    }
)
"""The schema of a shop file."""


def shop_with(paths: Sequence[str | Path], base: Shop | None = None) -> Shop:
    """A shop with the user's own files laid over it, the later over the earlier.

    Parameters
    ----------
    paths : sequence of str or Path
        Shop files.
    base : Shop, optional
        What they are laid over; the bundled one if left out.

    Raises
    ------
    SettingsError
        If a file cannot be read or breaks a rule; the message names file, line, field, value
        and rule.
    """
    shop = bundled() if base is None else base
    for path in map(Path, paths):
        text = read_toml(path, _KIND)
        found = checked(text, SHOP_FIELDS, _KIND, str(path))
        for table, field in (("threads", "packing"), ("threads", "density_g_cm3")):
            _positive(found, text, str(path), table, field)
        try:
            shop = stocked(shop, found, path.name)
        except MisfitError as error:
            raise located(text, error.place, _KIND, str(path), str(error)) from None
    return shop


def _positive(found: dict[str, Any], text: str, name: str, table: str, field: str) -> None:
    """Refuse a figure of 0 that others are divided by.

    Raises
    ------
    SettingsError
        If there is one.
    """
    for entry, given in found.get(table, {}).items():
        if field in given and given[field] == 0:
            fault = f"{table}.{entry}.{field} is 0; allowed more than 0"
            error: SettingsError = located(text, (table, entry, field), _KIND, name, fault)
            raise error
