"""``pathgen plot``: one text to one plot and its tables."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click

from pathgen.cli.command import Command
from pathgen.cli.inputs import as_typed, field_option, name_option, out_option, page_size_option
from pathgen.cli.plan_options import plan_options, planned
from pathgen.cli.saying import say, say_json
from pathgen.cli.waiting import told_when_long

__all__ = ["plot"]


@click.command(cls=Command)
@click.argument("text", nargs=-1, required=True)
@plan_options
@field_option
@out_option
@name_option
@page_size_option
@click.option("--page", is_flag=True, help="Write NAME.review.html too: step through the plan.")
@click.option("--sewn", is_flag=True, help="Write NAME.sewn.svg too: the lettering as thread.")
@click.option("--cloth-colour", metavar="COLOUR", help="Cloth of --sewn: navy, #1f3a5f. [undyed]")
@click.option("--json", "as_json", is_flag=True, help="Print the summary as JSON, nothing else.")
@click.option("--strict", is_flag=True, help="Exit code 3 if a finding says stop.")
def plot(
    text: tuple[str, ...],
    out: Path,
    name: str | None,
    page_size: str | None,
    page: bool,
    sewn: bool,
    cloth_colour: str | None,
    as_json: bool,
    strict: bool,
    **asked: Any,
) -> None:
    """Plan TEXT and write NAME.svg, NAME.needles.csv and NAME.counts.csv.

    Several TEXTs, or \\n inside one, make several lines. What you leave out is what stands in
    [brackets]; "recipe" is the one for height, thread and cloth. A TEXT that is a TOML file is a
    job of several lines; see the README.

    \b
    pathgen plot "Harbour Bakery" --height 5
    pathgen plot "Harbour Bakery" "est. 1974" --thread 60 --height 3 --align centre
    pathgen plot "Harbour Bakery" --height 6 --field 75x30mm
    pathgen plot "Net Loft" --arc 40 --face MyFont.ttf --out plots
    pathgen plot "Net Loft" --colour white --sewn --cloth-colour navy
    pathgen plot apron.toml --fill first=Ada --fill last=Lowe
    """
    # \b above keeps click from wrapping the examples.
    from pathgen.legibility import read
    from pathgen.model import Level
    from pathgen.pipeline import write_plan
    from pathgen.writers.paper import on_paper
    from pathgen.writers.summary import summary_data, summary_lines

    typed = as_typed(click.get_current_context().command.params)
    with told_when_long("planning"), typed:
        made = planned(text, asked)
        reading = read(made)
        paths = write_plan(
            made,
            out,
            name,
            page_size=page_size,
            page=page,
            reading=reading,
            sewn=sewn,
            cloth_colour=cloth_colour,
        )
    files = [str(path) for path in paths]
    if as_json:
        say_json(summary_data(made, files, reading))
    else:
        say(summary_lines(made, files, reading, _earlier(paths), on_paper(paths[0], made)))
    if strict and any(finding.level is Level.STOP for finding in made.findings):
        raise click.exceptions.Exit(3)


def _earlier(paths: Sequence[Path]) -> list[str]:
    """Pages of this name that show the plan of an earlier run, not of this one."""
    pages = [paths[0].with_suffix(ending) for ending in (".review.html", ".sewn.svg")]
    return [str(page) for page in pages if page not in paths and page.is_file()]
