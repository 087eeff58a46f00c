"""Tables as they are written become a `Shop`; new entries stand over those of an earlier one.

An entry of a known name changes only the figures that it gives; a new one may say ``like`` to
take what it leaves out from another. The tables must have been checked (`shopfile`); those that
are bundled are checked by a test.
"""

import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import fields, replace
from functools import cache
from pathlib import Path
from typing import Any

from pathgen.errors import SettingsError, did_you_mean
from pathgen.materials import Cloth, Needle, Origins, Thread
from pathgen.shop.shelves import Recipe, Shop, plain_name
from pathgen.yarncount import tex_of

__all__ = ["MisfitError", "bundled", "clothed", "stocked"]

_FILES = ("threads", "needles", "cloths", "recipes")


class MisfitError(SettingsError):
    """An entry that its schema allows but the rest of the shop does not.

    Attributes
    ----------
    place : tuple
        Tables, fields and row numbers down to it.
    """

    def __init__(self, place: tuple[str | int, ...], message: str) -> None:
        super().__init__(message)
        self.place = place


@cache
def bundled() -> Shop:
    """The shop that is part of the tool."""
    shop = Shop()
    for name in _FILES:
        text = Path(__file__).with_name(f"{name}.toml").read_text(encoding="utf-8")
        shop = stocked(shop, tomllib.loads(text))
    return shop


def stocked(shop: Shop, found: Mapping[str, Any], source: str = "") -> Shop:
    """A shop with the entries of a file over its own.

    Parameters
    ----------
    shop : Shop
        What there is already.
    found : mapping
        Checked tables ``fibres``, ``threads``, ``needles``, ``cloths``, ``recipes``,
        ``defaults``.
    source : str
        What origins call the file; empty for a bundled one.

    Raises
    ------
    MisfitError
        If an entry lacks something, or names what there is not.
    """
    fibres = dict(shop.fibres) | {k: float(v) for k, v in found.get("fibres", {}).items()}
    shop = replace(shop, fibres=tuple(fibres.items()))
    for name, given in found.get("threads", {}).items():
        shop = replace(shop, threads=_over(shop.threads, _thread(shop, name, given, source)))
    for name, given in found.get("needles", {}).items():
        shop = replace(shop, needles=_over(shop.needles, _needle(shop, name, given, source)))
    for name, given in found.get("cloths", {}).items():
        made = clothed(shop, name, given, source, ("cloths", name))
        shop = replace(shop, cloths=_over(shop.cloths, made))
    for name, rows in found.get("recipes", {}).items():
        for number, row in enumerate(rows):
            shop = _with_row(shop, name, row, source, ("recipes", name, number))
    return _with_defaults(shop, found.get("defaults", {}))


def _over(old: tuple[Any, ...], new: Any) -> tuple[Any, ...]:
    """Entries with a new one in the place of its namesake, else last."""
    field = {Thread: "key", Needle: "size", Cloth: "name"}[type(new)]
    names = [getattr(entry, field) for entry in old]
    if getattr(new, field) not in names:
        return (*old, new)
    return tuple(new if getattr(e, field) == getattr(new, field) else e for e in old)


def _origins(old: Origins, given: Mapping[str, Any], source: str, told: Iterable[str]) -> Origins:
    """Where each figure is from: of the told ones this file, of others what was known."""
    kept = dict(old)
    said = given.get("origins", {})
    general = given.get("origin", "")
    for field in told:
        own = said.get(field, general)
        kept[field] = ": ".join(part for part in (source, own) if part)
    return tuple(sorted((field, origin) for field, origin in kept.items() if origin))


def _plain(given: Mapping[str, Any], of: type) -> dict[str, Any]:
    """Fields of a class that a table gives, numbers as float where the class has float."""
    kinds = {f.name: f.type for f in fields(of)}
    out = {}
    for name, value in given.items():
        if name in kinds and name not in ("name", "key", "origins"):
            out[name] = float(value) if kinds[name] in (float, float | None) else value
    return out


def _said(place: tuple[str | int, ...]) -> str:
    return ".".join(map(str, place))


def _start(
    known: Iterable[str], given: Mapping[str, Any], place: tuple[str | int, ...], name: str
) -> str | None:
    """Name of the entry that a new one starts from; None if it stands alone."""
    names = list(known)
    like = given.get("like")
    if like is not None and plain_name(like) not in names:
        near = did_you_mean(like, names)
        msg = f"{_said(place)}.like is {like!r}{near or '; choose one of ' + ', '.join(names)}"
        raise MisfitError((*place, "like"), msg)
    return like if like is not None else name if plain_name(name) in names else None


def _thread(shop: Shop, name: str, given: Mapping[str, Any], source: str) -> Thread:
    place = ("threads", name)
    name = plain_name(name).removesuffix("wt").strip()
    start = _start([plain_name(t.key) for t in shop.threads], given, place, name)
    values = _plain(given, Thread)
    if "count" in given:
        tex = tex_of(given["count"])
        if tex is None:
            msg = (
                f"threads.{name}.count is {given['count']!r}; write it such as '120 den x 2', "
                f"'Nm 60/2' or '27 tex'"
            )
            raise MisfitError((*place, "count"), msg)
        values.setdefault("tex", tex)
    if "fibre" in given and "density_g_cm3" not in given:
        if given["fibre"] not in dict(shop.fibres):
            listed = ", ".join(dict(shop.fibres))
            msg = (
                f"threads.{name}.fibre is {given['fibre']!r}; choose one of {listed}, or give "
                f"density_g_cm3 too"
            )
            raise MisfitError((*place, "fibre"), msg)
        values["density_g_cm3"] = dict(shop.fibres)[given["fibre"]]
    old = shop.thread(start) if start is not None else None
    if old is None and "tex" not in values:
        msg = f"threads.{name} has neither tex nor count; give one, or like another thread"
        raise MisfitError(place, msg)
    origins = _origins(old.origins if old else (), given, source, values)
    if old is not None:
        return replace(old, key=name, origins=origins, **values)
    values = {"label": name, "least_column_mm": 0.0, **values}
    made = Thread(key=name, origins=origins, **values)
    return made if "least_column_mm" in given else _with_least_column(shop, made)


def _with_least_column(shop: Shop, thread: Thread) -> Thread:
    """A thread whose least column is that of the nearest one, by its thickness."""
    near = shop.recipe_thread(thread)
    least_mm = round(near.least_column_mm * thread.diameter_mm / near.diameter_mm, 2)
    said = ("least_column_mm", f"that of {near.label}, times its thickness beside it (ours)")
    return replace(thread, least_column_mm=least_mm, origins=(*thread.origins, said))


def _needle(shop: Shop, name: str, given: Mapping[str, Any], source: str) -> Needle:
    if not name.isdecimal() or not 30 <= int(name) <= 200:
        msg = f"needles.{name} is not a metric size; allowed 30 to 200, such as [needles.75]"
        raise MisfitError(("needles", name), msg)
    values = _plain(given, Needle)
    old = shop.needle(int(name)) or Needle(size=int(name))
    return replace(old, origins=_origins(old.origins, given, source, values), **values)


def clothed(
    shop: Shop,
    name: str,
    given: Mapping[str, Any],
    source: str,
    place: tuple[str | int, ...],
) -> Cloth:
    """A cloth from its table.

    Raises
    ------
    MisfitError
        If it is ``like`` one that there is not, or lacks stability or thickness.
    """
    known = {plain_name(n): c for c in shop.cloths for n in (c.name, *c.also)}
    start = _start(known, given, place, name)
    values = _plain(given, Cloth) | ({"also": tuple(given["also"])} if "also" in given else {})
    old = known[plain_name(start)] if start is not None else None
    lacking = [f for f in ("stability", "thickness_mm") if old is None and f not in values]
    if lacking:
        msg = f"{_said(place)} lacks {' and '.join(lacking)}; give them, or like another cloth"
        raise MisfitError(place, msg)
    origins = _origins(old.origins if old else (), given, source, values)
    steady = values.get("stability", old.stability if old else "firm") != "loose"
    values |= {"name": plain_name(name), "steady": steady, "origins": origins}
    if old is None:
        return Cloth(**values)
    own_name = plain_name(name) in (old.name, *map(plain_name, old.also))
    values["name"] = old.name if own_name else values["name"]
    if not own_name:
        values.setdefault("also", ())
    return replace(old, **values)


def _with_row(
    shop: Shop, name: str, row: Mapping[str, Any], source: str, place: tuple[str | int, ...]
) -> Shop:
    """A shop with one more recipe row, in the place of one of the same thread and height."""
    thread = shop.thread(name)
    if thread is None:
        listed = ", ".join(t.key for t in shop.threads)
        msg = f"recipes.{name} is for a thread that is not listed; choose one of {listed}"
        raise MisfitError(place, msg)
    if shop.needle(row["needle"]) is None:
        listed = ", ".join(str(n.size) for n in shop.needles)
        msg = f"recipes.{name} asks for needle {row['needle']}; choose one of {listed}"
        raise MisfitError((*place, "needle"), msg)
    origin = ": ".join(part for part in (source, row.get("origin", "")) if part)
    values = _plain(row, Recipe) | {"thread": thread.key, "origin": origin, "file": source}
    made = Recipe(**values)
    kept = (r for r in shop.recipes if (r.thread, r.height_mm) != (made.thread, made.height_mm))
    return replace(shop, recipes=(*kept, made))


def _with_defaults(shop: Shop, given: Mapping[str, Any]) -> Shop:
    values: dict[str, Any] = {k: v if isinstance(v, str) else float(v) for k, v in given.items()}
    defaults = replace(shop.defaults, **values)
    for field, found in (("thread", shop.thread), ("cloth", shop.cloth)):
        name = given.get(field)
        if name is not None and found(name) is None:
            msg = f"defaults.{field} is {name!r}, which is not listed"
            raise MisfitError(("defaults", field), msg)
    return replace(shop, defaults=defaults)
