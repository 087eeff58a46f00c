"""Threads, needles and cloths by the names a shop uses for them.

The figures are in recipes.toml, each with its origin. A thread may also be given by its count:
tex, decitex or denier (ISO 1144: tex is grams per 1,000 m, denier per 9,000 m).
"""

import re
import tomllib
from functools import cache
from pathlib import Path
from typing import Any

from pathgen.errors import SettingsError
from pathgen.settings import Cloth, Needle, Thread

__all__ = ["cloth_named", "knowledge", "needle_named", "recipe_key", "thread_named"]

_COUNT = re.compile(r"(\d+(?:\.\d+)?)\s*(tex|dtex|den)", re.IGNORECASE)
_TEX_PER = {"tex": 1.0, "dtex": 0.1, "den": 1.0 / 9.0}
_TEX_RANGE = (5.0, 120.0)


@cache
def knowledge() -> dict[str, Any]:
    """Everything in recipes.toml."""
    return tomllib.loads(Path(__file__).with_name("recipes.toml").read_text(encoding="utf-8"))


def recipe_key(thread: Thread) -> str:
    """Weight whose recipes a thread takes: that of the listed thread nearest in tex."""
    threads = knowledge()["threads"]
    return min(threads, key=lambda key: abs(float(threads[key]["tex"]) - thread.tex))


def thread_named(name: str) -> Thread:
    """Thread for a weight such as ``40`` or ``60 wt``, or a count such as ``27tex``.

    A thread given by count has the least column of the nearest listed one, by its thickness.

    Raises
    ------
    SettingsError
        If it is neither a listed weight nor a count between 5 and 120 tex.
    """
    threads = knowledge()["threads"]
    key = name.strip().lower().removesuffix("wt").strip()
    if key in threads:
        return Thread(**threads[key])
    match = _COUNT.fullmatch(name.strip())
    if match is None:
        msg = (
            f"thread is {name!r}; choose a weight ({', '.join(threads)}) or give a count "
            f"such as 27tex, 270dtex or 240den"
        )
        raise SettingsError(msg)
    tex = float(match[1]) * _TEX_PER[match[2].lower()]
    if not _TEX_RANGE[0] <= tex <= _TEX_RANGE[1]:
        msg = (
            f"thread is {name!r}, {tex:.4g} tex; allowed {_TEX_RANGE[0]:g} to {_TEX_RANGE[1]:g} tex"
        )
        raise SettingsError(msg)
    thread = Thread(label=f"{tex:.4g} tex", tex=tex, least_column_mm=0.0)
    near = Thread(**threads[recipe_key(thread)])
    least = round(near.least_column_mm * thread.diameter_mm / near.diameter_mm, 2)
    return Thread(label=thread.label, tex=tex, least_column_mm=least)


def needle_named(name: str) -> Needle:
    """Needle for a size such as ``75/11``, ``75`` or ``11``.

    Raises
    ------
    SettingsError
        If the size is not listed, or its two numbers do not belong together.
    """
    numbers = {int(size): number for size, number in knowledge()["needles"]["sizes"].items()}
    sizes = {number: size for size, number in numbers.items()}
    found = [int(part) for part in name.split("/") if part.strip().isdecimal()]
    if len(found) == 1 and "/" not in name:
        size = found[0] if found[0] in numbers else sizes.get(found[0])
        if size is not None:
            return Needle(size=size, number=numbers[size])
    if len(found) == 2 and numbers.get(found[0]) == found[1]:
        return Needle(size=found[0], number=found[1])
    listed = ", ".join(f"{size}/{number}" for size, number in numbers.items())
    msg = f"needle is {name!r}; choose one of {listed}"
    raise SettingsError(msg)


def cloth_named(name: str) -> Cloth:
    """Cloth by its name in recipes.toml.

    Raises
    ------
    SettingsError
        If it is not listed.
    """
    cloths = knowledge()["cloths"]
    key = " ".join(name.lower().replace("-", " ").split())
    if key not in cloths:
        msg = f"cloth is {name!r}; choose one of {', '.join(cloths)}"
        raise SettingsError(msg)
    return Cloth(name=key, **cloths[key])
