"""A panel of samples: one text at several heights and threads, and the form to note what came out.

All rows of a thread stand together, so that the machine changes threads as seldom as can be; in
each thread the heights come in the order asked for. Each row is what `plan` would make of it
alone, with the recipe for its height and thread.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from pathgen.errors import SettingsError
from pathgen.geometry import length
from pathgen.legibility import read
from pathgen.lettering.text import checked_lines
from pathgen.lines import AskedLine
from pathgen.model import Count, Letter, Plan
from pathgen.orders.row_labels import row_label, row_labels
from pathgen.pipeline import plan_files, plan_letters, plan_lines, set_lines
from pathgen.ready import ready_line
from pathgen.writers.files import write_together
from pathgen.writers.leftovers import left_over
from pathgen.writers.panel_form import FormRow, panel_forms

__all__ = ["Panel", "plan_panel", "write_panel"]

MOST_ROWS = 60
"""A panel with more is a book."""

FREE_MM = 7.0
"""Below each row, so that rows are told apart and cut apart."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """A panel of samples.

    Attributes
    ----------
    plan : Plan
        All rows, each a line.
    rows : tuple of FormRow
        What the form tells of each.
    """

    plan: Plan
    rows: tuple[FormRow, ...]


def plan_panel(
    text: str,
    heights_mm: Sequence[float],
    threads: Sequence[str],
    line: AskedLine | None = None,
    *,
    labels: bool = False,
) -> Panel:
    """Plan a panel of samples.

    Parameters
    ----------
    text : str
        One line.
    heights_mm : sequence of float
        Capital heights.
    threads : sequence of str
        As in `plan`.
    line : AskedLine, optional
        Face and further settings of all rows; its text, height and thread are not looked at.
    labels : bool
        Whether height and thread of each row are sewn beside it.

    Raises
    ------
    FontError, TextError, SettingsError
        If an input cannot be used; the message is one line.
    """
    asked = line or AskedLine(text=text)
    if "\n" in text.strip():
        msg = "text has several lines; a panel sews one line at each height"
        raise SettingsError(msg)
    count = len(heights_mm) * len(threads)
    if not 1 <= count <= MOST_ROWS:
        msg = f"the panel has {count} rows; allowed 1 to {MOST_ROWS}"
        raise SettingsError(msg)
    rows = [
        replace(asked, text=text.strip(), **_row_settings(asked, height, thread))
        for thread in dict.fromkeys(threads)
        for height in dict.fromkeys(heights_mm)
    ]
    by_line, letters = set_lines([(checked_lines(row.text)[0], ready_line(row)) for row in rows])
    beside = row_labels(rows, by_line, letters) if labels else ((), ())
    made = plan_letters((*by_line, *beside[0]), (*letters, *beside[1]))
    counts = [count for count in made.counts if count.scope == "line"]
    return Panel(
        plan=made,
        rows=tuple(
            _form_row(made, number, row, count, row_label(by_line[number - 1]) if labels else "")
            for number, (row, count) in enumerate(zip(rows, counts, strict=False), 1)
        ),
    )


def write_panel(
    made: Panel, folder: Path, stem: str, *, page_size: str | None = None
) -> tuple[Path, ...]:
    """Write plot, needle table, counts and form of a panel, all together or not at all.

    Further sheets and pages of an earlier panel of this name that are not needed any more are
    taken away. Parameters and errors are those of `write_plan`.
    """
    files = plan_files(made.plan, stem, page_size=page_size)
    sheets = sum(name.endswith(".svg") for name in files)
    forms = panel_forms(made.plan, made.rows)
    for number, form in enumerate(forms, 1):
        files[f"{stem}.form{'' if number == 1 else f'-{number}'}.svg"] = form.encode()
    old = (("sheet", "sheet", sheets), ("form", "page", len(forms)))
    without = [name for kind in old for name in left_over(folder, stem, *kind)]
    return write_together(folder, files, without=without)


def _row_settings(line: AskedLine, height_mm: float, thread: str) -> dict[str, Any]:
    """Settings of a row: those of all rows, its height and its thread, and room to be labelled."""
    asked = {name: value for name, value in line.asked.items() if name != "x_height_mm"}
    asked |= {"height_mm": height_mm, "thread": thread}
    origins = dict(line.origins)
    if asked.get("line_spacing_mm") is None:
        asked["line_spacing_mm"] = height_mm + FREE_MM
        origins["line_spacing_mm"] = "panel"
    return {"asked": asked, "origins": origins}


def _form_row(made: Plan, number: int, asked: AskedLine, count: Count, label: str) -> FormRow:
    """What the form tells of a row, with the verdict on it alone."""
    by = made.by_line[number - 1]
    letters = tuple(letter for letter in made.letters if letter.line == number)
    needles = made.needles[made.needles["line"] == number]
    stem = _stem(letters)
    grow = 2.0 * by.settings.pull_mm
    return FormRow(
        number=number,
        settings=by.settings,
        down_mm=by.down_mm,
        letters=letters,
        stitches=count.stitches,
        width_mm=float(needles["x_mm"].max() - needles["x_mm"].min()) if len(needles) else 0.0,
        stem_of=stem[0],
        stem_mm=max(stem[1] + grow, by.settings.least_column_mm),
        reading=read(plan_lines([asked])),
        label=label,
    )


def _stem(letters: Sequence[Letter]) -> tuple[str, float]:
    """The letter whose longest column is to be measured, the first, and its usual width."""
    for letter in letters:
        if letter.shape.columns:
            column = max(letter.shape.columns, key=lambda column: length(column.centre))
            return letter.text, column.usual_width
    return "", 0.0
