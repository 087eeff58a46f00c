"""From which height on a face can be sewn in a thread.

Letters scale, thread does not: below some height the columns of a face are too narrow for the
thread, or its counters too small. The limits are those that the review holds a plan against.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

from pathgen.settings import GAP_THREADS, NEARLY_LEAST, Thread
from pathgen.shop.recipes import least_height_mm, recipe_at
from pathgen.shop.shelves import Shop
from pathgen.shop.stocking import bundled

__all__ = ["LeastHeight", "least_heights"]

# Heights are tried from the lowest to the highest that a plan allows, this far apart.
_STEPS_PER_MM = 10
_LOWEST_MM, _HIGHEST_MM = 1, 100


@dataclass(frozen=True, slots=True, kw_only=True)
class LeastHeight:
    """Least sensible height of a face in a thread.

    Attributes
    ----------
    thread : Thread
        The thread, in the allowance of its recipe.
    column_mm, counter_mm, recipe_mm : float
        Height of capitals from which on the usual column is wide enough, the counters stay
        open, and the recipe of the thread holds.
    """

    thread: Thread
    column_mm: float
    counter_mm: float
    recipe_mm: float

    @property
    def height_mm(self) -> float:
        """The greatest of the three."""
        return max(self.column_mm, self.counter_mm, self.recipe_mm)


def least_heights(
    column: float, counter: float | None, shop: Shop | None = None
) -> tuple[LeastHeight, ...]:
    """Least sensible height in each thread that has a recipe.

    Parameters
    ----------
    column : float
        Width of the usual column, in capital heights.
    counter : float or None
        Widest circle in the smallest counter, in capital heights; None if there is none.
    shop : Shop, optional
        What is known; the bundled one if left out.

    Returns
    -------
    tuple of LeastHeight
        Thread by thread as listed; heights to a tenth of a mm, upward. Infinite where no
        height that a plan allows is enough.
    """
    shop = shop or bundled()
    return tuple(_least(thread, column, counter, shop) for thread in shop.recipe_threads())


def _least(thread: Thread, column: float, counter: float | None, shop: Shop) -> LeastHeight:
    """Least height in one thread.

    A column grows by the allowance on both sides, or to the thread's least column where that
    is more, and a counter shrinks by as much.
    """
    wide_mm = NEARLY_LEAST * thread.least_column_mm
    open_mm = GAP_THREADS * thread.diameter_mm

    def left_open_mm(height_mm: float, pull_mm: float) -> float:
        growth_mm = max(pull_mm, (thread.least_column_mm - column * height_mm) / 2.0)
        return math.inf if counter is None else counter * height_mm - 2.0 * growth_mm

    return LeastHeight(
        thread=thread,
        column_mm=_first(thread, shop, lambda h, pull: column * h + 2.0 * pull >= wide_mm),
        counter_mm=_first(thread, shop, lambda h, pull: left_open_mm(h, pull) >= open_mm),
        recipe_mm=least_height_mm(thread, shop),
    )


def _first(thread: Thread, shop: Shop, enough: Callable[[float, float], bool]) -> float:
    """First height that is enough, with the recipe's allowance at that height."""
    for step in range(_LOWEST_MM * _STEPS_PER_MM, _HIGHEST_MM * _STEPS_PER_MM + 1):
        height_mm = step / _STEPS_PER_MM
        if enough(height_mm, recipe_at(thread, height_mm, shop).pull_mm):
            return height_mm
    return math.inf
