"""Settings for a height, a thread and a cloth: default, then recipe, then what the user asks.

Between two heights of a thread's recipe, spacing and allowance are interpolated; underlay,
needle and speed are those of the lower height, since underlay must not show at the smaller size.
Beyond the tallest the tallest holds (larger is always easier); below the least the least holds,
and the review says so. Recipes are for stable twill; a cloth changes spacing and allowance.
"""

from collections.abc import Mapping
from dataclasses import fields, replace
from typing import Any

from pathgen.materials import Cloth
from pathgen.settings import Settings, Thread
from pathgen.shop.colours import colour_hex
from pathgen.shop.look import over_underlay, sewn_look
from pathgen.shop.shelves import Recipe, Shop
from pathgen.shop.stock import cloth_named, needle_named, thread_named
from pathgen.shop.stocking import bundled

__all__ = [
    "finer_threads",
    "least_height_mm",
    "on_cloth",
    "recipe_at",
    "settings_for",
    "settings_range",
]

_OF_RECIPE = ("spacing_mm", "pull_mm", "underlay", "needle", "speed_spm")


def settings_for(
    *,
    height_mm: float | None = None,
    thread: str | None = None,
    needle: str | None = None,
    cloth: str | None = None,
    colour: str | None = None,
    options: Mapping[str, Any] | None = None,
    origins: Mapping[str, str] | None = None,
    shop: Shop | None = None,
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
    shop : Shop, optional
        What is known; the bundled one if left out.

    Raises
    ------
    SettingsError
        If a value is unknown or out of range.
    """
    shop = shop or bundled()
    defaults = shop.defaults
    asked = {
        "height_mm": height_mm,
        "thread": thread,
        "needle": needle,
        "cloth": cloth,
        **(options or {}),
    }
    asked = {name: value for name, value in asked.items() if value is not None}
    height = asked.get("height_mm", defaults.height_mm)
    chosen = thread_named(str(asked.get("thread", defaults.thread)), shop)
    if colour is not None:
        named = colour.strip().lower()
        chosen = replace(chosen, colour=colour_hex(colour), colour_name=named)
    ground = cloth_named(str(asked.get("cloth", defaults.cloth)), shop)
    plain = recipe_at(chosen, height, shop)
    plain = replace(plain, underlay=str(asked.get("underlay", plain.underlay)))
    recipe, changed = on_cloth(plain, chosen, ground)
    values: dict[str, Any] = {
        "height_mm": height,
        "thread": chosen,
        "cloth": ground,
        "least_column_mm": chosen.least_column_mm,
        "least_height_mm": least_height_mm(chosen, shop),
        "line_spacing_mm": defaults.line_spacing_heights * height,
        "recipe_speed_spm": recipe.speed_spm,
        "sewn_look": sewn_look(chosen, ground),
        **{name: getattr(recipe, name) for name in _OF_RECIPE},
        **({"sewing": ground.sewing} if ground.sewing else {}),
        **{k: v for k, v in asked.items() if k not in ("thread", "needle", "cloth")},
    }
    values["needle"] = needle_named(str(asked.get("needle", recipe.needle)), shop)
    told = _origins(asked, recipe, changed, origins or {})
    return Settings(**values, origins=told)


def _origins(
    asked: Mapping[str, Any],
    recipe: Recipe,
    changed: Mapping[str, str],
    askers: Mapping[str, str],
) -> dict[str, str]:
    """Where each field of Settings came from."""
    word = "shop file" if recipe.file else "recipe"
    out = dict.fromkeys((f.name for f in fields(Settings) if f.name != "origins"), "default")
    out |= dict.fromkeys((*_OF_RECIPE, "least_height_mm", "recipe_speed_spm"), word)
    out |= {"least_column_mm": "thread", **changed}
    return out | {name: askers.get(name, "option") for name in asked if name in out}


def finer_threads(thread: Thread, shop: Shop | None = None) -> tuple[Thread, ...]:
    """Threads with a recipe of their own that are finer, the nearest first."""
    finer = (t for t in (shop or bundled()).recipe_threads() if t.tex < thread.tex)
    return tuple(sorted(finer, key=lambda one: -one.tex))


# A recipe is stretched by a tenth without a trial (common practice, no published source: a face
# may go 10 % under its suggested least height without new settings).
_STRETCH = 0.1
# Least share of a recipe's allowance: with less, columns that meet come apart (ours).
_LEAST_ALLOWANCE = 0.5


def settings_range(
    settings: Settings, shop: Shop | None = None
) -> tuple[tuple[float, float], tuple[float, float]]:
    """Least and most spacing, and least and most allowance, that may be tried in a thread.

    Spacing from a tenth under the closest row of the thread's recipe to a tenth over the loosest;
    allowance from half of the least one to the most. A cloth changes them as it does the recipe.
    """
    shop = shop or bundled()
    rows = shop.rows(shop.recipe_thread(settings.thread).key)
    changed = [on_cloth(row, settings.thread, settings.cloth)[0] for row in rows]
    spacings = sorted(row.spacing_mm for row in changed)
    pulls = sorted(row.pull_mm for row in changed)
    return (
        (round(spacings[0] * (1.0 - _STRETCH), 2), round(spacings[-1] * (1.0 + _STRETCH), 2)),
        (round(pulls[0] * _LEAST_ALLOWANCE, 2), pulls[-1]),
    )


def least_height_mm(thread: Thread, shop: Shop | None = None) -> float:
    """Lowest height that the recipe for a thread goes down to."""
    shop = shop or bundled()
    return shop.rows(shop.recipe_thread(thread).key)[0].height_mm


def recipe_at(thread: Thread, height_mm: float, shop: Shop | None = None) -> Recipe:
    """Recipe for a thread at a height, on stable twill.

    A thread without a recipe of its own takes that of the nearest one in tex.

    Examples
    --------
    >>> from pathgen.shop.stock import thread_named
    >>> recipe_at(thread_named("40"), 4.5).spacing_mm
    0.55
    """
    shop = shop or bundled()
    rows = shop.rows(shop.recipe_thread(thread).key)
    below = max((r for r in rows if r.height_mm <= height_mm), key=_height, default=rows[0])
    above = min((r for r in rows if r.height_mm >= height_mm), key=_height, default=rows[-1])
    gap = above.height_mm - below.height_mm
    share = (height_mm - below.height_mm) / gap if gap > 0.0 else 0.0
    return replace(
        below,
        height_mm=height_mm,
        spacing_mm=_between(below.spacing_mm, above.spacing_mm, share),
        pull_mm=_between(below.pull_mm, above.pull_mm, share),
        file=below.file or above.file,
    )


def _height(row: Recipe) -> float:
    return row.height_mm


def _between(below: float, above: float, share: float) -> float:
    """Value a share of the way up, to a hundredth of a mm: finer is not set on a machine."""
    return round(below + share * (above - below), 2)


def on_cloth(recipe: Recipe, thread: Thread, cloth: Cloth) -> tuple[Recipe, dict[str, str]]:
    """A recipe as a cloth changes it, and the origin of each value that it changed.

    Sewn samples of the thread set the allowance, less over underlay, which holds the cloth; else
    the cloth's hints are added to it.
    """
    changed = {"sewing": "cloth"} if cloth.sewing else {}
    both = f"{'shop file' if recipe.file else 'recipe'}, cloth"
    spacing_mm = round(recipe.spacing_mm * cloth.spacing_factor, 2)
    pull_mm = round(max(0.0, recipe.pull_mm + cloth.pull_more_mm), 2)
    sewn = cloth.sewn_with(thread)
    if sewn is not None:
        share = 1.0 if recipe.underlay == "none" else over_underlay(sewn)
        pull_mm = round(sewn.allowance_over(share), 2)
        changed["pull_mm"] = "cloth file"
    elif pull_mm != recipe.pull_mm:
        changed["pull_mm"] = both
    if spacing_mm != recipe.spacing_mm:
        changed["spacing_mm"] = both
    return replace(recipe, spacing_mm=spacing_mm, pull_mm=pull_mm), changed
