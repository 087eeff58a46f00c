"""``pathgen price``: what an order of a lettering costs, with the working."""

from pathlib import Path
from typing import Any

import click

from pathgen.cli.command import Command
from pathgen.cli.inputs import as_typed
from pathgen.cli.plan_options import plan_options, planned
from pathgen.errors import SettingsError

__all__ = ["price"]


@click.command(cls=Command, short_help="Price a text at several quantities, with the working.")
@click.argument("text", nargs=-1)
@click.option("--rates", type=click.Path(path_type=Path), help="Your rate card (TOML).")
@click.option("--quantity", help="Pieces, such as 12,48,144; else where the card's bands begin.")
@click.option("--repeat", is_flag=True, help="A repeat order: nothing for set-up.")
@click.option("--template", is_flag=True, help="Print a rate card to fill in, and stop.")
@click.option("--for", "customer", default="", help="Customer, for the head of the quote.")
@click.option("--number", default="", help="Number of the quote.")
@click.option("--date", default="", help="Date of the quote, as it is to be printed.")
@click.option("--out", type=click.Path(path_type=Path), help="Folder for text and page.")
@click.option("--name", help="Name of the files; else made from the text.")
@click.option("--json", "as_json", is_flag=True, help="Print the quote as JSON, nothing else.")
@plan_options
def price(
    text: tuple[str, ...],
    rates: Path | None,
    quantity: str | None,
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

    There is no default price: write your own rate card, beginning with --template, whose figures
    are invented. With --out the quote is also written as NAME.quote.txt and, to be printed,
    NAME.quote.html. The other options are those of `pathgen plot`.

    \b
    pathgen price --template > rates.toml
    pathgen price "Harbour Bakery" --rates rates.toml --quantity 12,48,144
    pathgen price "Harbour Bakery" --height 4 --thread 60 --rates rates.toml --out quotes
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
    from pathgen.shop.price import quoted, work_of
    from pathgen.writers.quote_rows import QuoteHead
    from pathgen.writers.quote_text import quote_data, quote_lines

    card = ratecard.rate_card(rates)
    quantities = _quantities(quantity) if quantity else [band.pieces for band in card.bands]
    made = planned(text, asked)
    quote = quoted(work_of(made), card, quantities, repeat=repeat)
    head = QuoteHead(customer=customer, number=number, date=date)
    with as_typed(click.get_current_context().command.params):
        files = write_quote(quote, head, (made,), out, name) if out else ()
    if as_json:
        import json

        data = quote_data(quote, head, [str(path) for path in files])
        click.echo(json.dumps(data, ensure_ascii=False, indent=2))
        return
    click.echo("\n".join([*quote_lines(quote, head), *(f"  files  {path}" for path in files)]))


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
