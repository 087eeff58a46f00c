"""A quote as plain text, for a terminal, a mail or a printer; and as data for other programs."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import Any

from pathgen.pricing import Charge, Quote
from pathgen.writers.quote_rows import (
    ESTIMATE,
    QuoteHead,
    Step,
    charge_steps,
    offer_rows,
    remarks,
    shop_remarks,
    work_steps,
)
from pathgen.writers.summary import one_line

__all__ = ["quote_data", "quote_lines"]


def quote_lines(quote: Quote, head: QuoteHead) -> list[str]:
    """The whole quote, the offer first, then the working line by line."""
    lines = [*quote.card.shop, "", f"Quote: lettering {quote.work.title}", *_given(head), ""]
    lines += [*_table(offer_rows(quote)), "", ESTIMATE, *remarks(quote), *quote.card.terms]
    lines += ["", *shop_remarks(quote), "", "The working: one piece", *_working(work_steps(quote))]
    for charge in quote.charges:
        said = f"{charge.pieces:,} piece{'s' if charge.pieces > 1 else ''}"
        lines += ["", f"The working: {said}", *_working(charge_steps(quote, charge))]
    return [one_line(line) for line in lines]


def _given(head: QuoteHead) -> Iterator[str]:
    """Lines for what the user gave."""
    said = {"for": head.customer, "number": head.number, "date": head.date}
    yield from (f"{name:<8}{value}" for name, value in said.items() if value)


def _table(rows: Sequence[tuple[str, ...]]) -> list[str]:
    """Columns as wide as their widest cell, set to the right."""
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    return [
        "  " + "  ".join(f"{cell:>{width}}" for cell, width in zip(row, widths, strict=True))
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


def quote_data(quote: Quote, head: QuoteHead, files: Sequence[str]) -> dict[str, Any]:
    """The same as plain data for JSON; amounts are texts, so that no digit is lost."""
    return {
        "card": quote.card.title,
        "charges": [_charge_data(charge) for charge in quote.charges],
        "currency": quote.card.currency,
        "files": list(files),
        "head": head._asdict(),
        "piece": {
            "bobbin_m": _said(quote.bobbin_m),
            "changes": quote.work.changes,
            "needle_m": {use.label: _said(use.needle_m) for use in quote.work.threads},
            "needle_m_with_waste": _said(quote.needle_m),
            "run_s": _said(quote.run_s),
            "stitches": quote.work.stitches,
            "trims": quote.work.trims,
        },
        "remarks": [ESTIMATE, *remarks(quote), *shop_remarks(quote)],
        "stretches": [
            {"origin": s.origin, "speed_spm": _said(s.speed_spm), "stitches": s.stitches}
            for s in quote.stretches
        ],
        "title": quote.work.title,
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
