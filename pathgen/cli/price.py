"""``pathgen price``: what an order of a lettering costs, with the working."""

from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

import click

from pathgen.cli.command import Command
from pathgen.cli.inputs import FILE, FOLDER, as_typed, name_option, named_file
from pathgen.cli.plan_options import asked_job, asked_line, plan_options, planned
from pathgen.cli.saying import say, say_json
from pathgen.cli.waiting import told_when_long
from pathgen.errors import SettingsError

if TYPE_CHECKING:
    from pathgen.model import Plan
    from pathgen.orders.names import BadRow
    from pathgen.pricing import RateCard
    from pathgen.writers.quote_paper import Paper
    from pathgen.writers.quote_rows import QuoteHead

__all__ = ["price"]


class _PriceCommand(Command):
    """The command that leaves bad rows of a table out of the price."""

    exit_codes = (
        "Exit codes: 0 done; 1 rows of a table could not be planned: each is listed, and the"
        " others are priced; or an input could not be used: one line says what and why, and"
        " nothing was written; 2 wrong usage"
    )


@click.command(cls=_PriceCommand)
@click.argument("text", nargs=-1)
@click.option("--rates", type=FILE, help="Your rate card (TOML).")
@click.option(
    "--quantity", metavar="LIST", help="Pieces: 12,48,144. [where the card's bands begin]"
)
@click.option("--job", type=FILE, help="Job file that names are set in.")
@click.option("--repeat", is_flag=True, help="A repeat order: nothing for set-up.")
@click.option("--template", is_flag=True, help="Print a rate card to fill in, and stop.")
@click.option("--for", "customer", default="", help="Customer, for the head of the quote.")
@click.option("--number", default="", help="Number of the quote.")
@click.option("--date", default="", help="Date of the quote, as it is to be printed.")
@click.option("--out", type=FOLDER, help="Folder for the files. [none: nothing is written]")
@name_option
@click.option("--json", "as_json", is_flag=True, help="Print the quote as JSON, nothing else.")
@plan_options
def price(
    text: tuple[str, ...],
    rates: Path | None,
    quantity: str | None,
    job: Path | None,
    repeat: bool,
    template: bool,
    customer: str,
    number: str,
    date: str,
    out: Path | None,
    name: str | None,
    as_json: bool,
    **asked: Any,
) -> None:
    """Price TEXT by a rate card: stitches, minutes, thread, a price a piece at each quantity.

    TEXT may be a job file, or a table of names (TABLE.csv, with --job), of which each row is a
    piece. There is no default price: write your own rate card, beginning with --template, whose
    figures are invented. With --out the quote is also written as NAME.quote.txt and, to be
    printed, NAME.quote.html. The other options are those of `pathgen plot`.

    \b
    pathgen price --template > rates.toml
    pathgen price "Harbour Bakery" --rates rates.toml --quantity 12,48,144
    pathgen price "Harbour Bakery" --height 4 --thread 60 --rates rates.toml --out quotes
    pathgen price staff.csv --job apron.toml --rates rates.toml
    """
    # \b above keeps click from wrapping the examples.
    from pathgen.shop import ratecard

    if template:
        click.echo(ratecard.template(), nl=False)
        return
    if not text:
        msg = "nothing to price: give a text"
        raise click.UsageError(msg)
    if rates is None:
        msg = (
            "--rates is missing: a price needs your rate card;"
            " pathgen price --template prints one to fill in"
        )
        raise SettingsError(msg)
    from pathgen.orders.quote import write_quote
    from pathgen.writers.quote_rows import QuoteHead

    card = ratecard.rate_card(rates)
    head = QuoteHead(customer=customer, number=number, date=date)
    table = named_file(text, ".csv", "table")
    with as_typed(click.get_current_context().command.params):
        if table is None:
            if job is not None:
                msg = f"--job is {job}; it goes with a table of names, TABLE.csv"
                raise SettingsError(msg)
            priced = _priced_text(text, card, quantity, repeat, asked)
        else:
            priced = _priced_table(table, job, card, quantity, repeat, asked)
        stem = priced.stem if name is None else name
        files = write_quote(priced.paper, head, out, stem, plans=priced.plans) if out else ()
    said = {"files": [str(path) for path in files], "head": head._asdict()}
    if as_json:
        say_json(dict(sorted({**priced.data, **said}.items())))
    else:
        say(_lines(priced.paper, head, files))
    for row in priced.bad:
        click.echo(f"pathgen: row {row.number}: {row.reason}; it is not in the price", err=True)
    if priced.bad:
        raise click.exceptions.Exit(1)


def _lines(paper: "Paper", head: "QuoteHead", files: tuple[Path, ...]) -> list[str]:
    from pathgen.writers.quote_text import quote_lines

    listed = (f"  {'files' if not n else '':<7}{path}" for n, path in enumerate(files))
    return [*quote_lines(paper, head), *listed]


class _Priced(NamedTuple):
    """A quote ready to be shown: its paper and data, plans to be drawn, rows left out."""

    paper: "Paper"
    data: dict[str, Any]
    stem: str
    plans: "tuple[Plan, ...]" = ()
    bad: "tuple[BadRow, ...]" = ()


def _priced_text(
    text: tuple[str, ...],
    card: "RateCard",
    quantity: str | None,
    repeat: bool,
    asked: dict[str, Any],
) -> _Priced:
    """Price of a text or a job at each quantity."""
    from pathgen.shop.price import quoted, work_of
    from pathgen.writers.files import safe_name
    from pathgen.writers.quote_paper import paper_of
    from pathgen.writers.quote_text import quote_data

    quantities = (
        _quantities(quantity) if quantity is not None else [band.pieces for band in card.bands]
    )
    made = planned(text, asked)
    quote = quoted(work_of(made), card, quantities, repeat=repeat)
    return _Priced(paper_of(quote), quote_data(quote), safe_name(quote.work.title), (made,))


def _priced_table(
    table: Path,
    job: Path | None,
    card: "RateCard",
    quantity: str | None,
    repeat: bool,
    asked: dict[str, Any],
) -> _Priced:
    """Price of every name of a table together."""
    from pathgen.orders.priced_names import works_of_table
    from pathgen.orders.table import open_table
    from pathgen.shop.price import quoted_together
    from pathgen.writers.files import safe_name
    from pathgen.writers.quote_paper import paper_of_names
    from pathgen.writers.quote_text import names_data

    if quantity is not None:
        msg = f"--quantity is {quantity!r}; a table of names has a piece for each row"
        raise SettingsError(msg)
    opened = open_table(table)
    for note in opened.notes:
        click.echo(f"pathgen: {note}", err=True)
    order = asked_line(table.stem, opened.columns, asked) if job is None else asked_job(job, asked)
    with told_when_long("planning"):
        found = works_of_table(order, opened)
    if not found.works:
        reason = f": row {found.bad[0].number} {found.bad[0].reason}" if found.bad else ""
        msg = f"table {table} has no name that can be planned{reason}"
        raise SettingsError(msg)
    title = "lettering" if job is None else order.title
    quote = quoted_together(title, found.works, card, repeat=repeat)
    data = {**names_data(quote), "table": table.name}
    return _Priced(paper_of_names(quote, table.name), data, safe_name(table.stem), bad=found.bad)


def _quantities(typed: str) -> list[int]:
    """Whole numbers parted by commas, each once."""
    from pathgen.shop.price import MOST_PIECES

    out: list[int] = []
    for piece in typed.split(","):
        said = piece.strip()
        whole = said.isascii() and said.isdecimal() and len(said) <= len(str(MOST_PIECES))
        if not (whole and 1 <= int(said) <= MOST_PIECES):
            shown = said if len(said) <= 20 else f"{said[:17]}..."
            msg = (
                f"--quantity has {shown!r}, which is no number of pieces; write whole numbers"
                f" from 1 to {MOST_PIECES}, such as 12,48,144"
            )
            raise SettingsError(msg)
        out.append(int(said))
    return list(dict.fromkeys(out))
