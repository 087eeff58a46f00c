"""``pathgen learn``: filled forms become a cloth file."""

from pathlib import Path

import click

from pathgen.cli.command import Command
from pathgen.cli.inputs import FILE, out_option
from pathgen.cli.plan_options import asked_shop, shop_option
from pathgen.cli.saying import say, say_json
from pathgen.cli.waiting import told_when_long
from pathgen.errors import SettingsError

__all__ = ["learn"]


@click.command(cls=Command)
@click.argument("forms", nargs=-1, required=True, type=FILE)
@out_option
@click.option("--like", metavar="CLOTH", help="Listed cloth that an unknown one is most like.")
@click.option("--log", type=FILE, help="Log that the rows are added to.")
@click.option("--keep-outliers", is_flag=True, help="Fit outliers like the rest.")
@shop_option
@click.option("--json", "as_json", is_flag=True, help="Print what was learnt as JSON.")
def learn(
    forms: tuple[Path, ...],
    out: Path,
    like: str | None,
    log: Path | None,
    keep_outliers: bool,
    shop: tuple[str, ...],
    as_json: bool,
) -> None:
    """Learn from FORMS: filled forms of `pathgen trial`, and logs, of one shop or of several.

    For each cloth CLOTH.cloth.toml is written, which every command takes by --cloth FILE, and
    CLOTH.learnt.svg, which shows how far each measurement lies off its fit. Earlier cloth files are
    kept beside the new one. Too little is refused, and how much is missing is said; with --log it
    is kept for the next time.

    \b
    pathgen learn pique-40.form.csv pique-60.form.csv --like pique
    pathgen learn our-log.csv their-log.csv
    """
    # \b above keeps click from wrapping the examples.
    from pathgen.orders.learning import learn as learn_from
    from pathgen.writers.lesson_words import fault_lines, lesson_data, lesson_lines
    from pathgen.writers.wording import CAUTION

    with told_when_long("learning"):
        done = learn_from(
            forms, out, like=like, log=log, keep_all=keep_outliers, shop=asked_shop(shop)
        )
    faults = fault_lines(done.reading.faults)
    if as_json:
        data = {
            "faults": faults,
            "files": [str(path) for path in done.files],
            "lessons": [lesson_data(lesson) for lesson in done.lessons],
        }
        say_json(data)
    else:
        for line in faults:
            click.echo(line)
        for lesson in done.lessons:
            say(lesson_lines(lesson))
        if done.reading.blank:
            click.echo(f"  {done.reading.blank} rows were not filled in")
        if log is not None:
            click.echo(f"  {done.logged} rows were added to {log}")
            if not done.files:
                click.echo("  too little to learn from yet")
        for number, path in enumerate(done.files):
            click.echo(f"  {'' if number else 'files':<7}{path}")
        if done.files:
            click.echo(" ".join(CAUTION))
    if not done.files and not log:
        msg = "too little was measured to learn from; see what is missing above"
        raise SettingsError(msg)
