"""The settings with which a text of a height reads best, and what they cost in stitches.

Spacing, allowance and underlay are tried on a grid within the recipe's limits. The best choice has
the best verdict, then the greatest likeness; among those that come as near as makes no difference,
the one of fewest stitches, and of these the one nearest to the recipe.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import product
from typing import Any, NamedTuple

from pathgen.advice.trying import Trying
from pathgen.shop.recipes import settings_range
from pathgen.verdicts import Tried

__all__ = ["Tuned", "tuned"]

_SPACINGS, _ALLOWANCES = 6, 5
# Likeness that makes no difference.
_SAME_LIKENESS = 0.002


class Tuned(NamedTuple):
    """What was tried at a height.

    Attributes
    ----------
    recipe, best : Tried
        The recipe's settings, and the best, planned whole.
    tried : tuple of Tried
        All; but for the recipe and the best, stitches are estimated and likeness is that of
        letters sewn one by one.
    front : tuple of Tried
        Those that no other beats in both likeness and stitches, fewest stitches first.
    """

    recipe: Tried
    best: Tried
    tried: tuple[Tried, ...]
    front: tuple[Tried, ...]


def tuned(
    trying: Trying, height_mm: float, tell: Callable[[int, int], None] | None = None
) -> Tuned:
    """Try a grid of settings on a text.

    Parameters
    ----------
    trying : Trying
        Text, face, thread and cloth; settings that were asked for stay as they are.
    height_mm : float
        Of capitals.
    tell : function of (done, all), optional
        Told how many settings are tried, of how many.

    Raises
    ------
    PathgenError
        If the text cannot be planned.
    """
    settings = trying.ready(height_mm).settings
    spacings, pulls = settings_range(settings, trying.asked.get("shop"))
    grid: dict[str, Sequence[Any]] = {
        "spacing_mm": _steps(*spacings, _SPACINGS, settings.spacing_mm),
        "pull_mm": _steps(*pulls, _ALLOWANCES, settings.pull_mm),
        "underlay": ("none", "centre-run"),
    }
    grid = {k: (getattr(settings, k),) if k in trying.asked else v for k, v in grid.items()}
    every = [dict(zip(grid, values, strict=True)) for values in product(*grid.values())]
    recipe, own = trying.sure(height_mm)[0], trying.at(height_mm)
    # What the letters of the text take beside those sewn one by one: the runs between them.
    between = recipe.stitches - own.stitches
    tried = []
    for number, changes in enumerate(every):
        if tell is not None:
            tell(number, len(every))
        one = trying.at(height_mm, **changes)
        tried.append(replace(one, stitches=one.stitches + between))
    verdict = max(one.reading.verdict for one in tried)
    able = [n for n, one in enumerate(tried) if one.reading.verdict is verdict]
    most = max(tried[n].reading.likeness for n in able)
    near = [n for n in able if tried[n].reading.likeness >= most - _SAME_LIKENESS]
    best = min(near, key=lambda n: (tried[n].stitches, _apart(tried[n], own)))
    sure = trying.sure(height_mm, **every[best])[0]
    tried = [next((s for s in (recipe, sure) if _same(s, one)), one) for one in tried]
    return Tuned(recipe=recipe, best=sure, tried=tuple(tried), front=_front(tried))


def _same(one: Tried, other: Tried) -> bool:
    """Whether two tries are of the same settings."""
    names = ("spacing_mm", "pull_mm", "underlay")
    return all(getattr(one, name) == getattr(other, name) for name in names)


def _apart(one: Tried, own: Tried) -> tuple[float, float]:
    """How far settings are from one's own."""
    return abs(one.pull_mm - own.pull_mm), abs(one.spacing_mm - own.spacing_mm)


def _steps(least: float, most: float, count: int, own: float) -> list[float]:
    """Even steps to a hundredth, with a value of one's own among them."""
    even = (round(least + (most - least) * n / (count - 1), 2) for n in range(count))
    return sorted({*even, own})


def _front(tried: Sequence[Tried]) -> tuple[Tried, ...]:
    """Those that none beats in both likeness and stitches."""
    front: list[Tried] = []
    for one in sorted(tried, key=lambda t: (t.stitches, -t.reading.likeness)):
        if not front or one.reading.likeness > front[-1].reading.likeness:
            front.append(one)
    return tuple(front)
