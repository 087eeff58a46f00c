"""``pathgen panel``: a text at several heights and threads, and the form to note what came out."""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from pathgen.cli.command import Command
from pathgen.cli.inputs import (
    as_typed,
    listed,
    listed_heights,
    out_option,
    page_size_option,
    text_lines,
)
from pathgen.cli.plan_options import asked_line, hide, plan_options, refuse_fill
from pathgen.cli.saying import say, say_json
from pathgen.cli.waiting import told_when_long
from pathgen.errors import SettingsError

if TYPE_CHECKING:
    from pathgen.model import Plan
    from pathgen.orders.panel import Panel
    from pathgen.writers.panel_form import FormRow

__all__ = ["panel"]

_AS_TYPED = (click.Option(["--heights", "height_mm"]), click.Option(["--threads", "thread"]))
"""What a row's height and thread were typed as."""


@click.command(cls=Command)
@click.argument("text")
@click.option("--heights", default="6,5,4,3,2", metavar="LIST", help="Of capitals. [6,5,4,3,2]")
@click.option("--threads", default="40,60", metavar="LIST", help="As --thread. [40,60]")
@click.option(
    "--labels/--no-labels",
    default=True,
    help="Sew height and thread beside each row, such as 4/40. [yes]",
)
@plan_options
@out_option
@click.option("--name", metavar="NAME", help="Name of the files. [panel, and the text]")
@page_size_option
@click.option("--json", "as_json", is_flag=True, help="Print the rows as JSON, nothing else.")
def panel(
    text: str,
    heights: str,
    threads: str,
    labels: bool,
    out: Path,
    name: str | None,
    page_size: str | None,
    as_json: bool,
    **asked: Any,
) -> None:
    """Plan TEXT once for each height in each thread, below one another.

    Writes the plot, the needle table and the counts of the whole panel, and NAME.form.svg to be
    printed: each row at true size with its recipe and the verdict foretold, boxes for legible or
    not, lines for measured widths and remarks. All rows of a thread are sewn together, then the
    labels beside them. The other options hold for all rows.

    \b
    pathgen panel "Harbour Bakery"
    pathgen panel "Net Loft" --heights 4,3.5,3 --threads 40,60 --cloth pique
    """
    # \b above keeps click from wrapping the examples.
    from pathgen.orders.panel import plan_panel, write_panel
    from pathgen.writers.files import checked_name, safe_name
    from pathgen.writers.wording import CAUTION

    for option, instead in (("height_mm", "heights"), ("x_height_mm", "heights"), ("thread", "")):
        if asked[option] is not None:
            said = {"height_mm": "--height", "x_height_mm": "--x-height"}.get(option, "--thread")
            msg = f"{said} is given, but a panel has several; use --{instead or 'threads'}"
            raise SettingsError(msg)
    refuse_fill(asked)
    params = click.get_current_context().command.params
    own = [param for param in params if param.name not in ("height_mm", "thread")]
    typed = as_typed([*own, *_AS_TYPED])
    with told_when_long("planning"), typed:
        text_lines((text,))
        line = asked_line("panel", ("text",), asked).lines[0]
        named = listed("--threads", threads, "40,60")
        made = plan_panel(text, listed_heights(heights), named, line, labels=labels)
        stem = safe_name(f"panel {text}") if name is None else checked_name(name)
        paths = write_panel(made, out, stem, page_size=page_size)
    if as_json:
        data = {
            "caution": list(CAUTION),
            "files": [str(path) for path in paths],
            "rows": [_row_data(row) for row in made.rows],
        }
        say_json(data)
        return
    told = [*map(_row_line, made.rows), *_labels_line(made.plan), *_after(made, paths)]
    say(told)


hide(panel, "height_mm", "x_height_mm", "thread", "fill")


def _row_line(row: "FormRow") -> str:
    """What a row of the panel is, and what is foretold of it."""
    from pathgen.writers.reading_words import VERDICT_WORDS
    from pathgen.writers.wording import amount, grouped_thousands

    s = row.settings
    return (
        f"  {row.number:>2}  {amount(s.height_mm):<7}{s.thread.name:<10}"
        f"{grouped_thousands(row.stitches):>7} stitches   {VERDICT_WORDS[row.reading.verdict]}"
    )


def _labels_line(plan: "Plan") -> list[str]:
    """What the labels of the rows come to, if there are any."""
    from pathgen.writers.wording import amount, grouped_thousands

    lines = [n for n, line in enumerate(plan.by_line, 1) if line.is_label]
    if not lines:
        return []
    stitches = sum(c.stitches for c in plan.counts if c.scope == "line" and c.line in lines)
    height = amount(plan.by_line[lines[0] - 1].settings.height_mm)
    return [
        f"  labels    of {height} beside the rows take {grouped_thousands(stitches)} stitches;"
        " --no-labels leaves them out"
    ]


def _after(made: "Panel", paths: Sequence[Path]) -> list[str]:
    """What is said below the rows."""
    from pathgen.writers.paper import on_paper
    from pathgen.writers.wording import CAUTION

    paper = on_paper(paths[0], made.plan)
    files = [f"  {'files' if not n else '':<10}{path}" for n, path in enumerate(paths)]
    origins = dict.fromkeys(part for row in made.rows for part in row.reading.origin.split("; "))
    files += [f"  {'on paper':<10}{paper}"] if paper else []
    return [*files, f"  verdicts are {'; '.join(origins)}", " ".join(CAUTION)]


def _row_data(row: "FormRow") -> dict[str, Any]:
    """A row as plain data."""
    from pathgen.writers.reading_words import reading_data

    s = row.settings
    return {
        "height_mm": s.height_mm,
        "label": row.label,
        "needle": s.needle.label,
        "pull_mm": s.pull_mm,
        "reading": reading_data(row.reading),
        "row": row.number,
        "spacing_mm": s.spacing_mm,
        "stitches": row.stitches,
        "thread": s.thread.name,
        "underlay": s.underlay,
    }
