"""Score of the splitter on pen letters of known strokes, in hands that the tests do not ask for.

    python tests/bench/score_truth.py

test_columns_truth.py asks for upright letters of two pens. Here the same letters are slanted,
narrow, wide, light and heavy: a row a hand with the letters that have as many columns as a person
would draw, and keep the widths and the places of the pen, and for each other letter what is
wrong. ``little`` is a letter so heavy that none of its strokes is free of the others.
"""

import math
import sys
from dataclasses import dataclass
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))
sys.path.insert(0, str(Path(__file__).parents[2]))

from letter_table import COUNTS
from test_columns_truth import MEDIAN_WIDTH_ERROR, OFF_WIDTHS, WIDTH_ERROR_95, found
from truth import Truth, hershey_lines, stroked

# The 3 of the face is flat on top: bar, slant and bowl.
ACCEPTED = COUNTS | {"3": (1, 2, 3)}


@dataclass(frozen=True)
class Hand:
    """How letters are written."""

    name: str
    pen: float
    slant_deg: float = 0.0
    stretch: float = 1.0


HANDS = (
    Hand("light", 1.4),
    Hand("regular", 2.0),
    Hand("bold", 3.0),
    Hand("heavy", 3.6),
    Hand("slanted", 2.0, slant_deg=12.0),
    Hand("slanted bold", 3.0, slant_deg=12.0),
    Hand("narrow", 2.0, stretch=0.7),
    Hand("narrow bold", 3.0, stretch=0.7),
    Hand("wide", 2.0, stretch=1.3),
    Hand("wide bold", 3.0, stretch=1.3),
)


def written(hand: Hand, letter: str, *, round_ends: bool) -> Truth:
    """A letter in a hand: the pen's way is slanted and stretched, not the pen."""
    lean = math.tan(math.radians(hand.slant_deg))
    way = np.array([[hand.stretch, 0.0], [lean, 1.0]])
    lines = [line @ way for line in hershey_lines("futural", letter)]
    return stroked(lines, hand.pen, round_ends=round_ends)


def faults(truth: Truth, accepted: tuple[int, ...]) -> str:
    """What is wrong with a letter's columns; empty if nothing is."""
    if sum(int(free.sum()) for free in truth.free) < 5:
        return "little"
    result = found(truth)
    figures = (
        ("missed", result.missed, OFF_WIDTHS),
        ("astray", result.astray, OFF_WIDTHS),
        ("width", result.width_median, MEDIAN_WIDTH_ERROR),
        ("width95", result.width_95, WIDTH_ERROR_95),
    )
    wrong = [f"{name} {figure:.2f}" for name, figure, limit in figures if figure > limit]
    if len(result.columns) not in accepted:
        wrong.insert(0, str(len(result.columns)))
    return ", ".join(wrong)


def main() -> None:
    """Print the table."""
    print(f"{'hand':14} {'ends':5} right  wrong")
    for hand in HANDS:
        for round_ends in (True, False):
            found_wrong = [
                f"{letter} ({wrong})"
                for letter, counts in ACCEPTED.items()
                if (wrong := faults(written(hand, letter, round_ends=round_ends), counts))
            ]
            right = len(ACCEPTED) - len(found_wrong)
            ends = "round" if round_ends else "flat"
            print(f"{hand.name:14} {ends:5} {right:2d}/{len(ACCEPTED)}  {' '.join(found_wrong)}")


if __name__ == "__main__":
    main()
