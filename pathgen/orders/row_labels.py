"""What stands beside each row of a panel on the cloth: its height and thread, such as ``4/40``.

Samples are cut apart and handed round, and the plot is not always with them. The labels are
sewn with the thread of their row, in a bundled face and at a height that every thread sews well.
All labels of a thread are one line of the plan, sewn after its rows.
"""

from collections.abc import Sequence
from dataclasses import replace
from itertools import count

from pathgen.lettering.layout import lay_out
from pathgen.lettering.text import checked_lines
from pathgen.letters import letters_of
from pathgen.lines import AskedLine, LineSettings
from pathgen.model import Letter
from pathgen.ready import ReadyLine, ready_line

__all__ = ["LABEL_MM", "row_label", "row_labels"]

LABEL_MM = 4.0
"""Height of a label's figures; that where the recipe of the thread begins, if it is higher up."""

GAP_MM = 5.0
"""Between labels and rows, so that nobody takes them for one text."""

_SHARED = ("cloth", "shop", "needle", "colour", "speed_spm")
"""What a label has in common with its row; all else is the recipe's."""


def row_labels(
    asked: Sequence[AskedLine], rows: Sequence[LineSettings], letters: Sequence[Letter]
) -> tuple[tuple[LineSettings, ...], tuple[Letter, ...]]:
    """Lines of labels, one for each thread, and their letters.

    Parameters
    ----------
    asked : sequence of AskedLine
        What each row was asked for.
    rows : sequence of LineSettings
        The rows, from line 1.
    letters : sequence of Letter
        Those of the rows, in their places.

    Returns
    -------
    tuple of LineSettings, tuple of Letter
        Lines that follow the rows, and letters to the left of the leftmost row, each label on the
        baseline that its row begins on.
    """
    edge_mm = min((p.bounds[0] for k in letters for p in k.ink), default=0.0) - GAP_MM
    begins = {k.line: k.at_mm for k in sorted(letters, key=lambda k: -k.at_mm[0])}
    lines: list[LineSettings] = []
    placed: list[Letter] = []
    for thread in dict.fromkeys(row.thread for row in rows):
        numbers = [n for n, row in enumerate(rows, 1) if row.thread == thread]
        by = _ready(asked[numbers[0] - 1])
        texts = [row_label(rows[n - 1]) for n in numbers]
        line, index = len(rows) + len(lines) + 1, count(1)
        for number, text in zip(numbers, texts, strict=True):
            down_mm = -begins.get(number, (0.0, -rows[number - 1].down_mm))[1]
            placed += _placed(text, by, line, index, edge_mm, down_mm)
            next(index)  # the space between two labels of a line
        lines.append(
            LineSettings(
                text=" ".join(texts),
                face=by.face.facts,
                settings=by.settings,
                thread=thread,
                is_label=True,
            )
        )
    return tuple(lines), tuple(placed)


def _ready(row: AskedLine) -> ReadyLine:
    """Face and settings of the labels in the thread of a row."""
    asked = {name: row.asked[name] for name in _SHARED if row.asked.get(name) is not None}
    asked |= {"thread": row.asked["thread"], "height_mm": LABEL_MM}
    origins = {**row.origins, "height_mm": "panel"}
    by = ready_line(AskedLine(text="", asked=asked, origins=origins))
    least_mm = by.settings.least_height_mm
    if least_mm <= LABEL_MM:
        return by
    return ready_line(AskedLine(text="", asked={**asked, "height_mm": least_mm}, origins=origins))


def row_label(row: LineSettings) -> str:
    """Height and thread; of a thread's name what every bundled face has."""
    name = row.settings.thread.name.removesuffix(" wt")
    kept = "".join(sign for sign in name if sign.isascii() and (sign.isalnum() or sign in ".-"))
    return f"{row.settings.height_mm:g}/{kept or row.thread}"


def _placed(
    text: str, by: ReadyLine, line: int, index: "count[int]", edge_mm: float, down_mm: float
) -> list[Letter]:
    """Letters of a label that ends at the edge."""
    letters = list(letters_of(lay_out(checked_lines(text), by.face, by.settings), [by.face]))
    right_mm = max(part.bounds[2] for letter in letters for part in letter.ink)
    return [
        replace(
            letter,
            line=line,
            index=next(index),
            at_mm=(letter.at_mm[0] + edge_mm - right_mm, letter.at_mm[1] - down_mm),
        )
        for letter in letters
    ]
