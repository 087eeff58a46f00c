"""``pathgen settings``: the settings with which a text of a height reads best."""

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from pathgen.cli.command import Command
from pathgen.cli.inputs import as_typed, name_option, out_option
from pathgen.cli.plan_options import plan_options
from pathgen.cli.saying import say, say_json
from pathgen.cli.trying_options import kept_params, trying_of
from pathgen.cli.waiting import told_when_long

if TYPE_CHECKING:
    from pathgen.advice.tuning import Tuned
    from pathgen.verdicts import Tried

__all__ = ["settings"]

DEFAULT_MM = 5.0
"""Height of capitals where none is asked for, as for a plot."""


@click.command(cls=Command)
@click.argument("text", nargs=-1, required=True)
@plan_options
@out_option
@name_option
@click.option("--json", "as_json", is_flag=True, help="Print the answer as JSON, nothing else.")
def settings(
    text: tuple[str, ...],
    out: Path,
    name: str | None,
    as_json: bool,
    height_mm: float | None,
    **asked: Any,
) -> None:
    """Try spacing, allowance and underlay on TEXT and write NAME.settings.svg.

    Choices stay within what the recipe of the thread allows; what you give stays as it is. The
    best has the best verdict and a likeness to the letters as drawn that no other betters by more
    than 0.002, and of these the fewest stitches. The plot shows what more stitches buy.

    \b
    pathgen settings "Harbour Bakery" --height 4
    pathgen settings "Harbour Bakery" --height 3 --thread 60 --cloth pique
    """
    # \b above keeps click from wrapping the examples.
    from pathgen.advice.tuning import tuned
    from pathgen.writers.files import checked_name, safe_name, write_together
    from pathgen.writers.summary import one_line
    from pathgen.writers.tradeoff_svg import tradeoff_svg
    from pathgen.writers.wording import CAUTION, amount, lettering_as_written

    typed = as_typed(click.get_current_context().command.params)
    with typed, told_when_long("trying settings") as told:
        trying = trying_of(text, asked)
        ready = trying.ready(DEFAULT_MM if height_mm is None else height_mm)
        found = tuned(
            trying,
            ready.settings.height_mm,
            lambda done, count: told(f"trying settings, {done} of {count} tried"),
        )
        written = lettering_as_written(trying.lines)
        stem = safe_name(written) if name is None else checked_name(name)
        height = amount(ready.settings.height_mm)
        plot = tradeoff_svg(
            f"{written}, {height}, {ready.settings.thread.name} on {ready.settings.cloth.name}",
            found.tried,
            found.front,
            (("recipe", found.recipe), ("best", found.best)),
            ready.settings.sewn_look.limits,
        )
        (file,) = write_together(out, {f"{stem}.settings.svg": plot.encode()})
    if as_json:
        say_json({**_data(found, str(file)), "caution": list(CAUTION)})
        return
    click.echo(one_line(f"{written}: capitals {height}, {ready.settings.thread.name}"))
    say([one_line(line) for line in _lines(found)])
    click.echo(f"  file    {file}\n{' '.join(CAUTION)}")


def _lines(found: "Tuned") -> Iterator[str]:
    """The recipe's settings, the best, and the ones in between."""
    yield f"  {'':<8} spacing  allowance  {'underlay':<12}stitches  likeness  verdict"
    yield _row("recipe", found.recipe)
    yield _row("best", found.best)
    yield f"  fewest stitches for each likeness, of {len(found.tried)} tried (stitches estimated):"
    for one in found.front:
        yield _row("", one)
    yield f"  {found.best.reading.origin}"


def _row(name: str, one: "Tried") -> str:
    from pathgen.writers.reading_words import VERDICT_WORDS

    return (
        f"  {name:<8}{one.spacing_mm:>8.2f}{one.pull_mm:>11.2f}  {one.underlay:<12}"
        f"{one.stitches:>8,}  {one.reading.likeness:>8.3f}  {VERDICT_WORDS[one.reading.verdict]}"
    )


def _data(found: "Tuned", file: str) -> dict[str, Any]:
    """An answer as plain data."""
    return {
        "best": _tried_data(found.best),
        "files": [file],
        "front": [_tried_data(one) for one in found.front],
        "recipe": _tried_data(found.recipe),
        "tried": len(found.tried),
    }


def _tried_data(one: "Tried") -> dict[str, Any]:
    return {
        "likeness": round(one.reading.likeness, 3),
        "pull_mm": one.pull_mm,
        "spacing_mm": one.spacing_mm,
        "stitches": one.stitches,
        "underlay": one.underlay,
        "verdict": one.reading.verdict.word,
    }


settings.params = kept_params(settings.params, ("text", "out", "name", "as_json", "height_mm"))
