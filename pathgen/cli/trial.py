"""``pathgen trial``: a panel to sew and measure, with a form to fill in."""

from pathlib import Path
from typing import Any

import click

from pathgen.cli.command import Command
from pathgen.cli.inputs import as_typed, axis_places, listed_heights, out_option
from pathgen.cli.plan_options import (
    asked_settings,
    asked_shop,
    hide,
    plan_options,
    refuse_fill,
)
from pathgen.cli.waiting import told_when_long
from pathgen.errors import SettingsError

__all__ = ["trial"]

MOST_LETTERS = 600


@click.command(cls=Command)
@click.option("--heights", default="6,5,4,3,2", metavar="LIST", help="Of the letters. [6,5,4,3,2]")
@click.option("--letters", metavar="TEXT", help="Sewn at each height. [those easily confused]")
@click.option("--decimal-comma", is_flag=True, help="Form for spreadsheets that write 0,6 for 0.6.")
@plan_options
@out_option
@click.option("--name", default="trial", metavar="NAME", help="Of panel and files. [trial]")
def trial(
    heights: str, letters: str | None, decimal_comma: bool, out: Path, name: str, **asked: Any
) -> None:
    """Plan a trial panel: bars of known widths, rings of known counters, and letters.

    Sew it on the cloth that is meant, with the thread that is meant; measure it with a loupe, fill
    in NAME.form.csv (NAME.form.svg is the same to be printed), and let `pathgen learn` make a
    cloth file of it. The other files are needle plans of the bars and of the letters. A panel is
    sewn with one thread: make one for each.

    \b
    pathgen trial --thread 40 --cloth pique --name pique-40
    pathgen trial --thread 60 --heights 4,3,2 --face tholepin --name twill-60
    """
    # \b above keeps click from wrapping the examples.
    from pathgen.orders.trial import SIGNS, trial_files
    from pathgen.orders.trial import trial as trial_of
    from pathgen.writers.files import write_keeping
    from pathgen.writers.wording import CAUTION

    refuse_fill(asked)
    options = {key: value for key, value in asked_settings(asked).items() if value is not None}
    face, index, axes = options.pop("face", None), asked["face_index"], axis_places(asked["axis"])
    options["shop"] = asked_shop(asked["shop"])
    signs = letters if letters is not None else SIGNS
    params = [p for p in click.get_current_context().command.params if p.name != "height_mm"]
    typed = as_typed([*params, click.Option(["--heights", "height_mm"])])
    with told_when_long("planning"), typed:
        sizes = _heights(heights, len(signs))
        made = trial_of(
            name, heights_mm=sizes, signs=signs, face=face, index=index, axes=axes, asked=options
        )
        files = write_keeping(out, trial_files(made, decimal_comma=decimal_comma))
    bars, signs_planned = made.gauges.whole, made.letters.whole
    click.echo(
        f"Trial panel {name}: {made.gauges.settings.thread.name}, {made.gauges.settings.cloth.name}"
    )
    click.echo(f"  bars and rings  {len(made.gauges.letters)} in {bars.stitches:,} stitches")
    click.echo(
        f"  letters         {len(made.letters.letters)} in {signs_planned.stitches:,} stitches"
    )
    for n, path in enumerate(files):
        click.echo(f"  {'files' if n == 0 else '':<16}{path}")
    click.echo(" ".join(CAUTION))


hide(trial, "fill")


def _heights(typed: str, signs: int) -> list[float]:
    """Heights of the letters, tallest first, each once."""
    sizes = sorted(set(listed_heights(typed)), reverse=True)
    if len(sizes) * signs > MOST_LETTERS:
        msg = (
            f"--heights has {len(sizes)} heights of {signs} letters; allowed {MOST_LETTERS} in all"
        )
        raise SettingsError(msg)
    return sizes
