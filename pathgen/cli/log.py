"""``pathgen log``: what was sewn, and what came of it, added to the shop's own log."""

import datetime
from pathlib import Path
from typing import Any

import click

from pathgen.cli.command import Command
from pathgen.cli.inputs import FILE, as_typed
from pathgen.cli.plan_options import plan_options, planned
from pathgen.errors import SettingsError

__all__ = ["log"]


@click.command(cls=Command)
@click.argument("text", nargs=-1, required=True)
@click.option("--log", "path", type=FILE, required=True, help="The log (CSV).")
@click.option("--date", required=True, help="Day it was sewn, such as 2027-03-01.")
@click.option("--unread", default="", metavar="LETTERS", help="Could not be read. [none]")
@click.option("--none-read", is_flag=True, help="No letter could be read.")
@click.option("--remark", default="", help="What else came of it.")
@click.option("--title", default="", help="What the job is called. [the text]")
@plan_options
def log(
    text: tuple[str, ...],
    path: Path,
    date: str,
    unread: str,
    none_read: bool,
    remark: str,
    title: str,
    **asked: Any,
) -> None:
    """Add TEXT as it was sewn to a log: a row a letter, with the margin foretold and the outcome.

    Give the options of `pathgen plot` that it was sewn with. The log is only ever added to, and
    `pathgen learn` starts from it.

    \b
    pathgen log "Harbour Bakery" --height 4 --date 2027-03-01 --log sewn.csv
    pathgen log "est. 1974" --height 2 --thread 60 --unread e9 --date 2027-03-01 --log sewn.csv
    """
    # \b above keeps click from wrapping the examples.
    from pathgen.orders.sewnlog import added_to_log, sewn_rows

    with as_typed(click.get_current_context().command.params):
        try:
            day = datetime.date.fromisoformat(date).isoformat()
        except ValueError as error:
            msg = f"--date is {date!r}; write the day such as 2027-03-01"
            raise SettingsError(msg) from error
        made = planned(text, asked)
        rows = sewn_rows(
            made,
            job=title or " ".join(made.lines),
            date=day,
            unread=unread,
            none_read=none_read,
            remark=remark,
        )
        added = added_to_log(path, rows)
    known = len(rows) - added
    click.echo(f"{added} letters added to {path}" + (f", {known} stood in it" if known else ""))
