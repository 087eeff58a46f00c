"""Arranging: which way a column runs, and which comes first.

By the habit of handwriting: stems from top to bottom, bars from left to right, rings
counter-clockwise from the top; columns from the upper left to the lower right.
"""

import numpy as np

from pathgen.columns.rails import Rails
from pathgen.geometry import Points, signed_area

__all__ = ["directed", "place"]

# A stroke whose ends lie on a line flatter than this, as rise over run, is a bar.
BAR_SLOPE = 0.5  # -30 %: alike; +30 %: alike

# Places are compared after rounding to so many decimals of an em, so that ties are ties.
DECIMALS = 6  # -30 %: same; +30 %: same


def directed(rails: Rails, *, closed: bool) -> Rails:
    """The same rungs in the usual direction; a ring from its topmost rung on."""
    if closed:
        middle = (rails.left + rails.right) / 2.0
        if signed_area(middle) < 0.0:
            rails, middle = rails.reversed, middle[::-1]
        first = int(np.argmax(np.round(middle[:-1, 1], DECIMALS)))
        return Rails(*(np.roll(rail[:-1], -first, axis=0)[_once_round(rail)] for rail in rails))
    (ax, ay), (bx, by) = _middle(rails, 0), _middle(rails, -1)
    run, rise = round(bx - ax, DECIMALS), round(by - ay, DECIMALS)
    is_bar = abs(rise) < BAR_SLOPE * abs(run)
    backward = run < 0.0 if is_bar else rise > 0.0
    return rails.reversed if backward else rails


def _once_round(rail: Points) -> list[int]:
    """Numbers of a ring's rungs, the first again at the end."""
    return [*range(len(rail) - 1), 0]


def place(rails: Rails) -> tuple[float, float]:
    """Sorting key: where a column begins, from the upper left to the lower right."""
    x, y = (round(each, DECIMALS) for each in _middle(rails, 0))
    return (x - y, x)


def _middle(rails: Rails, rung: int) -> tuple[float, float]:
    """Middle of a rung, x and y."""
    x, y = ((rails.left[rung] + rails.right[rung]) / 2.0).tolist()
    return x, y
