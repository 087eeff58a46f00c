"""``pathgen compare``: one text in several ways, side by side."""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from pathgen.cli.command import Command
from pathgen.cli.inputs import as_typed, axis_places, name_option, out_option, text_lines
from pathgen.cli.plan_options import asked_shop, plan_options
from pathgen.cli.saying import say_json
from pathgen.cli.waiting import told_when_long

if TYPE_CHECKING:
    from pathgen.writers.compare_rows import Way

__all__ = ["compare"]

_COMMON = ("text", "face_index", "axis", "shop", "out", "name", "as_json")


@click.command(cls=Command)
@click.argument("text", nargs=-1, required=True)
@plan_options
@out_option
@name_option
@click.option("--json", "as_json", is_flag=True, help="Print the table as JSON, nothing else.")
def compare(
    text: tuple[str, ...],
    face_index: int,
    axis: tuple[str, ...],
    shop: tuple[str, ...],
    out: Path,
    name: str | None,
    as_json: bool,
    **asked: tuple[Any, ...],
) -> None:
    """Plan TEXT in two to four ways and write NAME.compare.svg and NAME.compare.csv.

    Give an option once for each way; the first values of all options go together, then the
    second. An option given once holds for all ways.

    \b
    pathgen compare "Harbour Bakery" --thread 40 --thread 60
    pathgen compare "Harbour Bakery" --thread 40 --height 5 --thread 60 --height 4
    pathgen compare "Net Loft" --height 4 --thread 60 --cloth twill --cloth pique
    """
    # \b above keeps click from wrapping the examples.
    from pathgen.advice.compare import compared, paired, write_comparison
    from pathgen.writers.compare_rows import ways_data

    with as_typed(click.get_current_context().command.params), told_when_long("comparing"):
        ways = compared(
            text_lines(text),
            paired(asked),
            index=face_index,
            axes=axis_places(axis),
            shop=asked_shop(shop),
        )
        files = [str(path) for path in write_comparison(ways, out, name)]
    if as_json:
        say_json(ways_data(ways, files))
    else:
        click.echo("\n".join(_lines(ways, files)))


def _lines(ways: "Sequence[Way]", files: Sequence[str]) -> list[str]:
    """The table, one column a way, then which comes out best."""
    from pathgen.writers.compare_rows import conclusion, outcome_rows, settings_rows
    from pathgen.writers.summary import one_line
    from pathgen.writers.wording import CAUTION, lettering_as_written

    heads = [one_line(way.label) for way in ways]
    rows = [(row.name, row.values) for row in (*settings_rows(ways), *outcome_rows(ways))]
    wide = [max(len(head), *(len(values[n]) for _, values in rows)) for n, head in enumerate(heads)]
    lines = [one_line(lettering_as_written(ways[0].plan.lines))]
    for name, values in [("", heads), *rows]:
        cells = "  ".join(f"{one_line(v):>{w}}" for v, w in zip(values, wide, strict=True))
        lines.append(f"  {name:<18}{cells}".rstrip())
    lines += [f"  {one_line(conclusion(ways))}", f"  Verdict: {ways[0].reading.origin}."]
    lines += [f"  {'files' if n == 0 else '':<18}{path}" for n, path in enumerate(files)]
    return [*lines, " ".join(CAUTION)]


def _repeatable(param: click.Parameter) -> click.Parameter:
    """An option of a plan that may be given once for each way."""
    if not isinstance(param, click.Option) or param.name in _COMMON or param.is_flag:
        return param
    return click.Option(
        [*param.opts, str(param.name)],
        type=param.type,
        multiple=True,
        help=param.help,
        metavar=param.metavar,
    )


compare.params = [_repeatable(p) for p in compare.params if p.name not in ("fill", "ligatures")]
