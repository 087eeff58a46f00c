"""Settings for a height, a thread and a cloth: default, then recipe, then what the user asks.

Between two heights of a thread's recipe, spacing and allowance are interpolated; the underlay
is that of the lower height, since it must not show at the smaller size. Beyond the tallest the
tallest holds (larger is always easier); below the least the least holds, and the review says so.
"""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from pathgen.settings import Settings, Thread
from pathgen.shop.colours import colour_hex
from pathgen.shop.stock import (
    cloth_named,
    knowledge,
    needle_named,
    recipe_key,
    thread_named,
)

__all__ = ["least_height_mm", "recipe_at", "settings_for"]


def settings_for(
    *,
    height_mm: float | None = None,
    thread: str | None = None,
    needle: str | None = None,
    cloth: str | None = None,
    colour: str | None = None,
    options: Mapping[str, Any] | None = None,
    origins: Mapping[str, str] | None = None,
) -> Settings:
    """Settings with where each value came from.

    Parameters
    ----------
    height_mm : float, optional
        Letter height.
    thread, needle, cloth : str, optional
        Names as in `stock`.
    colour : str, optional
        What the thread is drawn in: a plain name or CSS hex.
    options : mapping of str to object, optional
        Other fields of `Settings`; None stands for not asked.
    origins : mapping of str to str, optional
        Who asked for each field; ``option`` for those not listed.

    Raises
    ------
    SettingsError
        If a value is unknown or out of range.
    """
    defaults = knowledge()["defaults"]
    asked = {
        "height_mm": height_mm,
        "thread": thread,
        "needle": needle,
        "cloth": cloth,
        **(options or {}),
    }
    asked = {name: value for name, value in asked.items() if value is not None}
    height = asked.get("height_mm", defaults["height_mm"])
    chosen = thread_named(str(asked.get("thread", defaults["thread"])))
    if colour is not None:
        chosen = replace(chosen, colour=colour_hex(colour))
    recipe = recipe_at(recipe_key(chosen), height)
    values: dict[str, Any] = {
        "height_mm": height,
        "thread": chosen,
        "cloth": cloth_named(str(asked.get("cloth", defaults["cloth"]))),
        "least_column_mm": chosen.least_column_mm,
        "least_height_mm": least_height_mm(chosen),
        "line_spacing_mm": defaults["line_spacing_heights"] * height,
        "speed_spm": defaults["speed_spm"],
        **recipe,
        **{k: v for k, v in asked.items() if k not in ("thread", "needle", "cloth")},
    }
    values["needle"] = needle_named(str(asked.get("needle", recipe["needle"])))
    return Settings(**values, origins=_origins(asked, recipe, origins or {}))


def _origins(
    asked: Mapping[str, Any], recipe: Mapping[str, Any], askers: Mapping[str, str]
) -> dict[str, str]:
    """Where each field of Settings came from."""
    fields = [name for name in Settings.__dataclass_fields__ if name != "origins"]
    return {
        name: askers.get(name, "option")
        if name in asked
        else "recipe"
        if name in recipe
        else "default"
        for name in fields
    }


def _rows(thread: str) -> list[dict[str, Any]]:
    """Recipe rows of a listed thread, lowest height first."""
    return sorted(knowledge()["recipes"][thread], key=lambda row: row["height_mm"])


def least_height_mm(thread: Thread) -> float:
    """Lowest height that the recipe for a thread goes down to."""
    return _height(_rows(recipe_key(thread))[0])


def recipe_at(thread: str, height_mm: float) -> dict[str, Any]:
    """Spacing, allowance, underlay and needle for a listed thread at a height.

    Examples
    --------
    >>> recipe_at("40", 4.5)
    {'spacing_mm': 0.55, 'pull_mm': 0.2, 'underlay': 'none', 'needle': 75}
    """
    rows = _rows(thread)
    below = max((r for r in rows if r["height_mm"] <= height_mm), key=_height, default=rows[0])
    above = min((r for r in rows if r["height_mm"] >= height_mm), key=_height, default=rows[-1])
    gap = _height(above) - _height(below)
    share = (height_mm - _height(below)) / gap if gap > 0.0 else 0.0
    return {
        "spacing_mm": _between(below, above, share, "spacing_mm"),
        "pull_mm": _between(below, above, share, "pull_mm"),
        "underlay": below["underlay"],
        "needle": below["needle"],
    }


def _height(row: Mapping[str, Any]) -> float:
    return float(row["height_mm"])


def _between(below: Mapping[str, Any], above: Mapping[str, Any], share: float, name: str) -> float:
    """Value a share of the way up, to a hundredth of a mm: finer is not set on a machine."""
    return round(below[name] + share * (above[name] - below[name]), 2)
