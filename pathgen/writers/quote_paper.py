"""What stands on a quote, in order; text and page are both made of it."""

from collections.abc import Sequence
from typing import NamedTuple

from pathgen.pricing import Charge, JointQuote, Quote
from pathgen.writers.quote_rows import (
    Step,
    bare,
    charge_steps,
    metres,
    minutes,
    money,
    offer_rows,
    plain,
    remarks,
    seconds,
    shop_remarks,
    total_steps,
    work_steps,
)

__all__ = ["Paper", "name_rows", "paper_of", "paper_of_names"]

Rows = Sequence[tuple[str, ...]]


class Paper(NamedTuple):
    """A quote as it is read from top to foot.

    Attributes
    ----------
    title : str
        What it is for.
    shop : tuple of str
        Lines at its head.
    offer : rows
        Table of the offer, its head first.
    terms : tuple of str
        Lines below the offer.
    names : rows
        Table of what each name costs, its head first; empty for none.
    shop_remarks : tuple of str
        Lines above the working.
    sections : tuple of (str, sequence of Step)
        Heading and steps of the working.
    """

    title: str
    shop: tuple[str, ...]
    offer: Rows
    terms: tuple[str, ...]
    names: Rows
    shop_remarks: tuple[str, ...]
    sections: tuple[tuple[str, Sequence[Step]], ...]


def paper_of(quote: Quote) -> Paper:
    """The paper of one work at several quantities."""
    orders = [
        (f"{charge.pieces:,} piece{'s' if charge.pieces > 1 else ''}", charge_steps(quote, charge))
        for charge in quote.charges
    ]
    return Paper(
        title=f"Quote: lettering {quote.work.title}",
        shop=quote.card.shop,
        offer=offer_rows(quote),
        terms=(*remarks(quote.card), *quote.card.terms),
        names=(),
        shop_remarks=tuple(shop_remarks(quote)),
        sections=(("one piece", work_steps(quote)), *orders),
    )


def paper_of_names(quote: JointQuote, table: str) -> Paper:
    """The paper of an order of names, whose table is the shop's own affair."""
    card, count = quote.card, len(quote.parts)
    return Paper(
        title=f"Quote: {quote.title}, {count:,} name{'s' if count > 1 else ''}",
        shop=card.shop,
        offer=_names_offer(quote),
        terms=(*remarks(card), *card.terms),
        names=name_rows(quote),
        shop_remarks=(f"Names: {table}.", f"Rates: {card.title} ({card.source})."),
        sections=(("all names", _names_steps(quote)),),
    )


def _names_offer(quote: JointQuote) -> Rows:
    """The offer in one row."""
    card = quote.card
    prices = [part.charges[0].piece for part in quote.parts]
    least, most = bare(min(prices), card), bare(max(prices), card)
    columns = {
        "pieces": f"{quote.pieces:,}",
        "a piece": least if least == most else f"{least} to {most}",
        "sewing": bare(quote.sewing, card),
        "set-up": bare(quote.setup, card),
    }
    if quote.raised:
        columns["to minimum"] = bare(quote.raised, card)
    columns["total"] = bare(quote.total, card)
    columns["a piece, all in"] = bare(quote.all_in, card)
    if card.tax_name:
        columns[f"with {card.tax_name}"] = bare(quote.total + quote.tax, card)
    return [tuple(columns), tuple(columns.values())]


def name_rows(quote: JointQuote) -> Rows:
    """What each name costs and why, the head first."""
    card = quote.card
    head: tuple[str, ...] = ("name", "pieces", "stitches", "one run, s", "by stitches")
    head += ("by time",) if card.per_hour is not None else ()
    rows = [(*head, "decided by", "a piece", "sewing")]
    for part in quote.parts:
        charge = part.charges[0]
        by_time = () if charge.by_time is None else (bare(charge.by_time, card, 2),)
        rows.append(
            (
                part.work.title,
                f"{charge.pieces:,}",
                f"{part.work.stitches:,}",
                f"{part.run_s:,.1f}",
                bare(charge.by_stitches, card, 2),
                *by_time,
                charge.decided,
                bare(charge.piece, card),
                bare(charge.sewing, card),
            )
        )
    return rows


def _names_steps(quote: JointQuote) -> list[Step]:
    """The working of the whole: time, sums, thread."""
    card, charges = quote.card, [part.charges[0] for part in quote.parts]
    stitches = sum(part.work.stitches * part.charges[0].pieces for part in quote.parts)
    trims = sum(part.work.trims * part.charges[0].pieces for part in quote.parts)
    rate = charges[0].per_thousand
    cones = [Step(f"cones {label}", "one or more a head", f"{n:,}") for label, n in quote.cones]
    return [
        Step("names", f"{len(quote.parts):,} different, {quote.pieces:,} pieces", ""),
        Step("stitches", "of all pieces", f"{stitches:,}"),
        Step("trims", "of all pieces", f"{trims:,}"),
        Step("machine", _runs(charges, card.heads), seconds(quote.machine_s)),
        Step("hooping", f"{quote.pieces:,} x {plain(card.hooping_s)} s", seconds(quote.hooping_s)),
        Step(
            "time",
            f"{quote.machine_s:,.1f} + {quote.hooping_s:,.1f}",
            f"{seconds(quote.order_s)}, {minutes(quote.order_s)}",
        ),
        Step("rate", f"of the band of {quote.pieces:,} pieces", f"{money(rate, card)} a thousand"),
        Step("sewing", "sum of the names", money(quote.sewing, card)),
        *total_steps(quote, quote.pieces, card=card, repeat=quote.repeat),
        Step("needle thread", "of all pieces, with waste", metres(quote.needle_m)),
        *cones,
        Step("bobbin thread", f"{plain(card.bobbin_share)} of it", metres(quote.bobbin_m)),
        Step("bobbins", "one or more a head", f"{quote.bobbins:,}"),
    ]


def _runs(charges: Sequence[Charge], heads: int) -> str:
    """How many runs there are."""
    runs = sum(charge.runs for charge in charges)
    return f"{runs:,} runs, equal names on up to {heads} heads"
