"""A quote in words: a table of the offer, and the working line by line.

Both the text and the page are made of these. Times are in seconds while they are added up, so
that the working can be followed on a pocket calculator.
"""

from collections.abc import Iterator
from decimal import Decimal
from itertools import pairwise
from typing import NamedTuple

from pathgen.pricing import Charge, JointQuote, Quote, RateCard

__all__ = [
    "ESTIMATE",
    "QuoteHead",
    "Step",
    "charge_steps",
    "offer_rows",
    "remarks",
    "shop_remarks",
    "total_steps",
    "work_steps",
]

ESTIMATE = (
    "An estimate until it has been sewn: stitches, times and thread are planned, not measured."
)


class QuoteHead(NamedTuple):
    """What a user may put at the head of a quote; empty where it was not given."""

    customer: str = ""
    number: str = ""
    date: str = ""


class Step(NamedTuple):
    """One line of the working."""

    name: str
    working: str
    result: str


def plain(value: Decimal | int) -> str:
    """A number as written on a card: no needless zeros, no exponent.

    Examples
    --------
    >>> plain(Decimal("1.500")), plain(Decimal("1E+2"))
    ('1.5', '100')
    """
    text = f"{Decimal(value):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def bare(amount: Decimal, card: RateCard, more: int = 0) -> str:
    """An amount with all places of the card's step, and some more."""
    places = max(0, -int(card.round_to.as_tuple().exponent)) + more
    return f"{amount:,.{places}f}"


def money(amount: Decimal, card: RateCard) -> str:
    """An amount with its currency."""
    return f"{bare(amount, card)} {card.currency}"


def exact(amount: Decimal, card: RateCard) -> str:
    """An amount that is not rounded yet, to two places more than the card's step."""
    return f"{bare(amount, card, 2)} {card.currency}"


def seconds(value: Decimal) -> str:
    """Seconds to a tenth."""
    return f"{value:,.1f} s"


def minutes(value: Decimal) -> str:
    """Seconds as minutes to a hundredth; from an hour and a half on as hours and minutes."""
    if value < 5400:
        return f"{value / 60:.2f} min"
    whole = int((value / 60).to_integral_value())
    return f"{whole // 60} h {whole % 60:02d} min"


def metres(value: Decimal) -> str:
    """Metres to a tenth."""
    return f"{value:,.1f} m"


def offer_rows(quote: Quote) -> list[tuple[str, ...]]:
    """The offer: its head, then a row a quantity; columns that no quantity needs are left out."""
    charges, card = quote.charges, quote.card
    columns = {
        "pieces": [f"{charge.pieces:,}" for charge in charges],
        "a piece": [bare(charge.piece, card) for charge in charges],
        "sewing": [bare(charge.sewing, card) for charge in charges],
        "set-up": [bare(charge.setup, card) for charge in charges],
    }
    if any(charge.raised for charge in charges):
        columns["to minimum"] = [bare(charge.raised, card) for charge in charges]
    columns["total"] = [bare(charge.total, card) for charge in charges]
    columns["a piece, all in"] = [bare(charge.all_in, card) for charge in charges]
    if quote.card.tax_name:
        with_tax = [bare(charge.total + charge.tax, card) for charge in charges]
        columns[f"with {quote.card.tax_name}"] = with_tax
    return [tuple(columns), *zip(*columns.values(), strict=True)]


def work_steps(quote: Quote) -> list[Step]:
    """The working of one piece: stitches, one run of the machine, thread."""
    work, card = quote.work, quote.card
    waste = f"+ {plain(100 * card.waste_share)} % waste"
    planned_m = sum((use.needle_m for use in work.threads), Decimal(0))
    speeds = (
        f"{s.stitches:,} at {plain(s.speed_spm)} a minute ({s.origin})" for s in quote.stretches
    )
    run = (quote.sewing_s, quote.trims_s, quote.changes_s)
    return [
        Step("stitches", "needle penetrations of the plan", f"{work.stitches:,}"),
        Step("sewing", ", ".join(speeds), seconds(quote.sewing_s)),
        Step("trims", f"{work.trims:,} x {plain(card.trim_s)} s", seconds(quote.trims_s)),
        Step(
            "thread changes",
            f"{work.changes:,} x {plain(card.change_s)} s",
            seconds(quote.changes_s),
        ),
        Step(
            "one run",
            " + ".join(f"{part:,.1f}" for part in run),
            f"{seconds(quote.run_s)}, {minutes(quote.run_s)}",
        ),
        *(
            Step(
                f"needle {use.label}",
                f"{plain(use.needle_m)} m {waste}",
                f"{use.needle_m * (1 + card.waste_share):,.3f} m",
            )
            for use in work.threads
        ),
        Step(
            "bobbin",
            f"{plain(card.bobbin_share)} x {plain(planned_m)} m {waste}",
            f"{quote.bobbin_m:,.3f} m",
        ),
    ]


def charge_steps(quote: Quote, charge: Charge) -> list[Step]:
    """The working of an order: time, price of a piece, total, thread."""
    return [
        *_time_steps(quote, charge),
        *_price_steps(quote, charge),
        *_thread_steps(quote, charge),
    ]


def _time_steps(quote: Quote, charge: Charge) -> Iterator[Step]:
    card, pieces = quote.card, charge.pieces
    heads = f"{charge.heads} head{'s' if charge.heads > 1 else ''}"
    yield Step("runs", f"{pieces:,} on {heads}", f"{charge.runs:,}")
    yield Step("machine", f"{charge.runs:,} x {seconds(quote.run_s)}", seconds(charge.machine_s))
    yield Step("hooping", f"{pieces:,} x {plain(card.hooping_s)} s", seconds(charge.hooping_s))
    yield Step(
        "time",
        f"{charge.machine_s:,.1f} + {charge.hooping_s:,.1f}",
        f"{seconds(charge.order_s)}, {minutes(charge.order_s)}",
    )


def _price_steps(quote: Quote, charge: Charge) -> Iterator[Step]:
    card, pieces = quote.card, charge.pieces
    rate = plain(charge.per_thousand)
    working = f"{quote.work.stitches:,} / 1000 x {rate}"
    yield Step("by stitches", working, exact(charge.by_stitches, card))
    if charge.by_time is not None and card.per_hour is not None:
        working = f"{charge.order_s:,.1f} s / 3600 x {plain(card.per_hour)} an hour / {pieces:,}"
        yield Step("by time", working, exact(charge.by_time, card))
    yield Step("minimum", "of the rate card", money(card.minimum_piece, card))
    yield Step(
        "a piece",
        f"the greatest, {_DECIDED[charge.decided]}; {rounding(card)}",
        money(charge.piece, card),
    )
    yield Step("sewing", f"{pieces:,} x {money(charge.piece, card)}", money(charge.sewing, card))
    yield from total_steps(charge, pieces, card=card, repeat=quote.repeat)


_DECIDED = {"stitches": "by stitches", "time": "by time", "minimum": "the minimum"}


def total_steps(
    order: Charge | JointQuote, pieces: int, *, card: RateCard, repeat: bool
) -> Iterator[Step]:
    """From the price of the sewing to the total, the tax and the all-in price."""
    said = "a repeat order" if repeat else "once an order"
    yield Step("set-up", said, money(order.setup, card))
    if order.raised:
        working = f"up to {money(card.minimum_order, card)}"
        yield Step("minimum order", working, money(order.raised, card))
    added = [order.sewing, order.setup, *([order.raised] if order.raised else [])]
    said = " + ".join(bare(part, card) for part in added)
    yield Step("total", said, money(order.total, card))
    working = f"{money(order.total, card)} / {pieces:,}"
    yield Step("a piece, all in", working, money(order.all_in, card))
    if card.tax_name:
        working = f"{plain(card.tax_percent)} % of the total"
        yield Step(card.tax_name, working, money(order.tax, card))
        yield Step(f"with {card.tax_name}", "", money(order.total + order.tax, card))


def _thread_steps(quote: Quote, charge: Charge) -> Iterator[Step]:
    card, pieces = quote.card, charge.pieces
    own = f"{plain(card.cone_m)} m each, one or more a head"
    needle = f"{pieces:,} x {quote.needle_m:,.3f} m"
    yield Step("needle thread", needle, metres(charge.needle_m))
    for label, cones in charge.cones:
        yield Step(f"cones {label}", own, f"{cones:,}")
    bobbin = f"{pieces:,} x {quote.bobbin_m:,.3f} m"
    yield Step("bobbin thread", bobbin, metres(charge.bobbin_m))
    yield Step(
        "bobbins", f"{plain(card.bobbin_m)} m each, one or more a head", f"{charge.bobbins:,}"
    )


def rounding(card: RateCard) -> str:
    """The rounding rule in a clause."""
    return f"rounded {card.round_rule.replace('-', ' ')} to {plain(card.round_to)}"


def remarks(card: RateCard) -> list[str]:
    """What a reader of the offer must know, after the estimate."""
    tax = card.tax_name
    without = f"the total without {tax}" if tax else "without tax"
    prices = f"price of a piece{', that all in and the tax' if tax else ' and that all in'}"
    return [
        f"Amounts are in {card.currency}, {without}; all in is the total over the pieces.",
        f"The {prices} are each {rounding(card)}, once; all else follows from them exactly.",
    ]


def shop_remarks(quote: Quote) -> list[str]:
    """What the shop must know of the working."""
    card = quote.card
    lines = [f"Rates: {card.title} ({card.source})."]
    by_count = sorted(quote.charges, key=lambda charge: charge.pieces)
    for fewer, more in pairwise(by_count):
        if more.total < fewer.total:
            lines.append(
                f"{more.pieces:,} pieces cost less in all than {fewer.pieces:,}: they fall into a"
                " lower band."
            )
    return lines
