"""A trial panel: bars, rings and letters to be sewn and measured, with a form to fill in.

Sewn once on the cloth that is meant, it teaches what the recipe can only guess: how much the cloth
pulls in, how far thread bulges, and from which margin on letters are read.
"""

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, NamedTuple

from pathgen.lines import AskedLine
from pathgen.model import Plan
from pathgen.orders.foretelling import common_cells, letter_cells
from pathgen.orders.gauges import gauge_plan, gauges, needle_sizes_mm
from pathgen.orders.samples import COLUMNS
from pathgen.pipeline import plan_lines
from pathgen.writers.files import checked_name
from pathgen.writers.plot_svg import plots_encoded
from pathgen.writers.tables_csv import counts_csv, needles_csv, table_csv
from pathgen.writers.trial_form import Mark, trial_form

__all__ = ["HEIGHTS_MM", "SIGNS", "Trial", "trial", "trial_files"]

HEIGHTS_MM = (6.0, 5.0, 4.0, 3.0, 2.0)
"""Heights of the letters, if none are asked for."""

SIGNS = "aceghknosBR38"
"""Letters that are sewn at each height, if none are asked for: those easily taken for others."""


class Trial(NamedTuple):
    """What is sewn, and the form that goes with it.

    Attributes
    ----------
    name : str
        What the panel is called.
    gauges, letters : Plan
        Bars and rings; letters, a line a height.
    rows : tuple of dict
        The form, a row for each thing to be looked at, by `COLUMNS`.
    marks : tuple of Mark
        Where each bar and ring stands.
    """

    name: str
    gauges: Plan
    letters: Plan
    rows: tuple[dict[str, str], ...]
    marks: tuple[Mark, ...]


def trial(
    name: str,
    *,
    heights_mm: Sequence[float] = HEIGHTS_MM,
    signs: str = SIGNS,
    face: str | Path | None = None,
    index: int = 0,
    axes: dict[str, float] | None = None,
    asked: dict[str, Any] | None = None,
) -> Trial:
    """Plan a trial panel.

    Parameters
    ----------
    name : str
        What the panel is called in its form.
    heights_mm : sequence of float
        Heights of the letters.
    signs : str
        The letters that are sewn at each height.
    face, index, axes : optional
        As for `plan`.
    asked : dict
        Further arguments of `plan`; a height there is that of the recipe for the bars.

    Raises
    ------
    FontError, TextError, SettingsError
        If an input cannot be used.
    """
    options = dict(asked or {})
    of_letters = {name: value for name, value in options.items() if name != "x_height_mm"}
    lines = [
        AskedLine(
            text=signs,
            face=face,
            index=index,
            axes=axes or {},
            asked={**of_letters, "height_mm": height},
        )
        for height in heights_mm
    ]
    letters = plan_lines(lines)
    base = plan_lines(
        [AskedLine(text=signs[:1], face=face, index=index, axes=axes or {}, asked=options)]
    ).settings
    bars = gauge_plan(base)
    rows = (*_gauge_rows(name, bars), *letter_cells(name, letters, len(gauges())))
    marks = tuple(Mark(g.number, g.label, *g.centre_mm) for g in gauges())
    return Trial(name=name, gauges=bars, letters=letters, rows=rows, marks=marks)


def _gauge_rows(name: str, plan: Plan) -> Iterator[dict[str, str]]:
    """A row for each bar and ring."""
    for gauge, needle_mm in zip(gauges(), needle_sizes_mm(plan), strict=True):
        bar = gauge.kind == "bar"
        yield {
            **common_cells(name, plan, gauge.number),
            "kind": gauge.kind,
            "underlay": gauge.underlay,
            "direction_deg": f"{gauge.direction_deg:g}" if bar else "",
            "drawn_mm": f"{gauge.drawn_mm:g}",
            "needle_mm": f"{round(needle_mm, 3) + 0.0:.3f}",
        }


def trial_files(made: Trial, *, decimal_comma: bool = False) -> dict[str, bytes]:
    """Files of a trial by name: plots and tables of both plans, the form as page and as table.

    With ``decimal_comma`` the table is as spreadsheets of many countries want it.

    Raises
    ------
    SettingsError
        If the name would not be a plain file name.
    """
    stem = checked_name(made.name)
    files: dict[str, bytes] = {}
    for plan, kind in ((made.gauges, "bars"), (made.letters, "letters")):
        files[f"{stem}.{kind}.svg"] = plots_encoded(plan)[0]
        files[f"{stem}.{kind}.needles.csv"] = needles_csv(plan)
        files[f"{stem}.{kind}.counts.csv"] = counts_csv(plan)
    files[f"{stem}.form.svg"] = trial_form(
        made.name, made.gauges, made.letters, made.marks, made.rows
    ).encode()
    files[f"{stem}.form.csv"] = table_csv(COLUMNS, made.rows, decimal_comma=decimal_comma)
    return files
