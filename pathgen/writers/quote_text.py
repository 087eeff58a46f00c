"""A quote as plain text, for a terminal, a mail or a printer; and as data for other programs."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import Any

from pathgen.pricing import Charge, JointQuote, Quote
from pathgen.writers.quote_paper import Paper
from pathgen.writers.quote_rows import (
    ESTIMATE,
    QuoteHead,
    Step,
    remarks,
    shop_remarks,
)
from pathgen.writers.summary import one_line

__all__ = ["names_data", "quote_data", "quote_lines"]


MOST_NAMES = 20
"""Names told in lines; the table that goes with the quote has all."""


def quote_lines(paper: Paper, head: QuoteHead) -> list[str]:
    """The whole quote, the offer first, then the working line by line."""
    lines = [*paper.shop, "", paper.title, *_given(head), ""]
    lines += [*_table(paper.offer), "", ESTIMATE, *paper.terms]
    if paper.names:
        lines += ["", *_table(paper.names[: MOST_NAMES + 1])]
        more = len(paper.names) - MOST_NAMES - 1
        lines += [f"  and {more:,} more, all in the table that --out writes"] if more > 0 else []
    lines += ["", *paper.shop_remarks]
    for heading, steps in paper.sections:
        lines += ["", f"The working: {heading}", *_working(steps)]
    return [one_line(line) for line in lines]


def _given(head: QuoteHead) -> Iterator[str]:
    """Lines for what the user gave."""
    said = {"for": head.customer, "number": head.number, "date": head.date}
    yield from (f"{name:<8}{value}" for name, value in said.items() if value)


def _table(rows: Sequence[tuple[str, ...]]) -> list[str]:
    """Columns as wide as their widest cell, set to the right, words to the left."""
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    return [
        "  "
        + "  ".join(
            f"{cell:<{width}}" if rows[0][n] == "name" else f"{cell:>{width}}"
            for n, (cell, width) in enumerate(zip(row, widths, strict=True))
        )
        for row in rows
    ]


def _working(steps: Sequence[Step]) -> list[str]:
    """Name, working and result of each step, in three columns."""
    name = max(len(step.name) for step in steps)
    working = max(len(step.working) for step in steps)
    return [
        f"  {step.name:<{name}}  {step.working:<{working}}  {step.result}".rstrip()
        for step in steps
    ]


def quote_data(quote: Quote) -> dict[str, Any]:
    """The same as plain data for JSON; amounts are texts, so that no digit is lost."""
    return {
        "card": quote.card.title,
        "charges": [_charge_data(charge) for charge in quote.charges],
        "currency": quote.card.currency,
        "piece": _piece_data(quote),
        "remarks": [ESTIMATE, *remarks(quote.card), *shop_remarks(quote)],
        "title": quote.work.title,
    }


def names_data(quote: JointQuote) -> dict[str, Any]:
    """An order of names as plain data for JSON: the whole, then each name."""
    whole = {
        name: _said(value)
        for name in JointQuote.__dataclass_fields__
        if isinstance(value := getattr(quote, name), Decimal)
    }
    names = [
        {
            **_piece_data(part),
            "decided": part.charges[0].decided,
            "name": part.work.title,
            "pieces": part.charges[0].pieces,
            "price": _said(part.charges[0].piece),
        }
        for part in quote.parts
    ]
    return {
        "card": quote.card.title,
        "currency": quote.card.currency,
        "names": names,
        "order": {
            **whole,
            "bobbins": quote.bobbins,
            "cones": dict(quote.cones),
            "order_s": _said(quote.order_s),
            "pieces": quote.pieces,
        },
        "remarks": [ESTIMATE, *remarks(quote.card)],
        "title": quote.title,
    }


def _piece_data(quote: Quote) -> dict[str, Any]:
    """What one piece takes."""
    return {
        "bobbin_m": _said(quote.bobbin_m),
        "changes": quote.work.changes,
        "needle_m": {use.label: _said(use.needle_m) for use in quote.work.threads},
        "needle_m_with_waste": _said(quote.needle_m),
        "run_s": _said(quote.run_s),
        "stitches": quote.work.stitches,
        "stretches": [
            {"origin": s.origin, "speed_spm": _said(s.speed_spm), "stitches": s.stitches}
            for s in quote.stretches
        ],
        "trims": quote.work.trims,
    }


def _charge_data(charge: Charge) -> dict[str, Any]:
    """One quantity: every field under its own name."""
    fields = {name: getattr(charge, name) for name in charge.__dataclass_fields__}
    fields["cones"] = dict(charge.cones)
    fields["order_s"] = charge.order_s
    return {
        name: _said(value) if isinstance(value, Decimal) else value
        for name, value in sorted(fields.items())
    }


def _said(value: Decimal) -> str:
    """A number in full where it is short, else to six places."""
    text = f"{round(value, 6):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
