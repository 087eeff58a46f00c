"""Outlines and columns of the letters, in plan mm.

Letters come again, in a text and from text to text: so each is written once, as it stands at its
own origin, and then put in its places.
"""

from functools import lru_cache

import numpy as np

from pathgen.model import Column, LetterShape, Plan
from pathgen.polygons import rings_of
from pathgen.writers.plot_paths import ring_path
from pathgen.writers.plot_style import COLUMN_TINTS, EDGE, INK, INK_FILL
from pathgen.writers.plot_svg_pen import Element, group, moved, path, short4, written
from pathgen.writers.wording import amount

__all__ = ["columns", "outline"]

KEPT_LETTERS = 2048
"""Letters that stay written, a few kB each: those of several faces."""


def outline(plan: Plan, hair: float) -> Element:
    """The filled outlines of all letters."""
    out = group(
        "outline",
        "Outline: the letters as the face draws them",
        fill=INK_FILL,
        stroke=INK,
        stroke_width=short4(hair),
        fill_rule="evenodd",
    )
    # Single subpaths keep their own fill: letters that touch must not cancel out.
    drawn = [_inked(letter.shape) for letter in plan.letters]
    out.add(moved(drawn, [(letter.at_mm[0], -letter.at_mm[1]) for letter in plan.letters]))
    return out


def columns(plan: Plan, hair: float) -> Element:
    """The stroke columns, neighbours in turns of three tints."""
    out = group(
        "columns",
        "Columns: the strokes that are filled with zigzag",
        stroke=EDGE,
        stroke_width=short4(hair),
        fill_opacity="0.85",
    )
    turn, drawn, places = 0, [], []
    for letter in plan.letters:
        if letter.shape.columns:
            drawn.append(_filled(letter.shape, letter.text, turn))
            places.append((letter.at_mm[0], -letter.at_mm[1]))
            turn = (turn + len(letter.shape.columns)) % len(COLUMN_TINTS)
    out.add(moved(drawn, places))
    return out


@lru_cache(maxsize=KEPT_LETTERS)
def _inked(shape: LetterShape) -> str:
    """The filled outline of a letter, written."""
    rings = ("".join(ring_path(ring) for ring in rings_of(polygon)) for polygon in shape.ink)
    return written(path(data) for data in rings)


@lru_cache(maxsize=KEPT_LETTERS)
def _filled(shape: LetterShape, text: str, turn: int) -> str:
    """The columns of a letter, written, the first in the tint of a turn."""
    shown = []
    for number, column in enumerate(shape.columns):
        tint = COLUMN_TINTS[(turn + number) % len(COLUMN_TINTS)]
        said = f"{text}, column {number + 1} of {len(shape.columns)}, {_widths(column)} wide"
        shown.append(group("", said, fill=tint))
        shown[-1].add(path(ring_path(np.concatenate([column.left, column.right[::-1]]))))
    return written(shown)


def _widths(column: Column) -> str:
    """The least and the greatest width of a column."""
    least, most = (round(float(w), 2) for w in (column.widths.min(), column.widths.max()))
    return f"{amount(least, '')} to {amount(most)}"
