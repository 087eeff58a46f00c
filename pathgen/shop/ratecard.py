"""A shop's rate card, read from TOML and checked.

There is no default card: a price is the shop's own. The template that is shipped holds invented
figures and says so.
"""

from decimal import Decimal
from itertools import pairwise
from pathlib import Path
from typing import Any

from pathgen.errors import SettingsError
from pathgen.pricing import Band, RateCard
from pathgen.shop.schema import Field, Number, Rows, Table, Text, Texts, checked, read_toml

__all__ = ["ROUND_STEPS", "rate_card", "rate_card_of", "template"]

ROUND_STEPS = tuple(map(Decimal, ("0.001", "0.01", "0.05", "0.1", "0.5", "1", "5", "10")))
"""Steps that amounts may be rounded to."""

_MOST_MONEY = 1_000_000


def _money(about: str, *, needed: bool = True) -> Field:
    return Number(about=about, least=0, most=_MOST_MONEY, needed=needed)


def _seconds(about: str) -> Field:
    return Number(about=about, least=0, most=3600, places=3)


_FIELDS: dict[str, Field] = {
    "title": Text(about="what the card is called"),
    "shop": Texts(about="lines for the head of a quote", needed=False),
    "currency": Text(about="what is written behind an amount, such as EUR", most=8),
    "terms": Texts(about="lines for the foot of a quote", needed=False),
    "price": Table(
        about="what is asked",
        fields={
            "setup": _money("asked once an order"),
            "minimum_piece": _money("the least asked for a piece"),
            "minimum_order": _money("the least asked for an order"),
            "per_hour": _money("for an hour of the machine and its hooping", needed=False),
            "bands": Rows(
                about="rates from so many pieces on",
                fields={
                    "pieces": Number(
                        about="from how many pieces on", least=1, most=10**6, whole=True
                    ),
                    "per_thousand": _money("for a thousand stitches"),
                },
            ),
        },
    ),
    "machine": Table(
        about="how the machine works",
        fields={
            "heads": Number(about="pieces sewn at once", least=1, most=200, whole=True),
            "speed_spm": Number(about="stitches a minute", least=50, most=2000, needed=False),
            "trim_s": _seconds("seconds that a trim takes"),
            "change_s": _seconds("seconds that a thread change takes"),
            "hooping_s": _seconds("seconds that hooping a piece takes"),
        },
    ),
    "thread": Table(
        about="what cones and bobbins hold",
        fields={
            "cone_m": Number(about="metres on a full cone", least=1, most=100_000),
            "bobbin_m": Number(about="metres on a full bobbin", least=1, most=10_000),
            "bobbin_share": Number(about="bobbin thread by needle thread", least=0, most=2),
            "waste_share": Number(about="added for waste, 0.1 for a tenth", least=0, most=2),
        },
    ),
    "rounding": Table(
        about="how amounts are rounded",
        fields={
            "to": Number(about="least step of an amount", least=0, most=10, places=3),
            "rule": Text(about="what becomes of a half", choices=("half-up", "half-even")),
        },
    ),
    "tax": Table(
        about="tax on the total",
        needed=False,
        fields={
            "name": Text(about="what the tax is called", most=40),
            "percent": Number(about="percent of the total", least=0, most=100),
        },
    ),
}


def template() -> str:
    """A documented rate card with invented figures."""
    return Path(__file__).with_name("ratecard.toml").read_text(encoding="utf-8")


def rate_card(path: Path) -> RateCard:
    """Rate card from a file.

    Raises
    ------
    SettingsError
        If it cannot be read, or a field breaks its rule.
    """
    return rate_card_of(read_toml(path, "rate card"), str(path))


def rate_card_of(text: str, name: str) -> RateCard:
    """Rate card from the text of a file called ``name``.

    Raises
    ------
    SettingsError
        If a field breaks its rule.
    """
    found = checked(text, _FIELDS, "rate card", name)
    price, machine, tax = found["price"], found["machine"], found.get("tax", {})
    _check_bands(price["bands"], name)
    _check_steps(price, found["rounding"]["to"], name)
    return RateCard(
        source=name,
        title=found["title"],
        currency=found["currency"],
        shop=tuple(found.get("shop", ())),
        terms=tuple(found.get("terms", ())),
        bands=tuple(
            Band(pieces=row["pieces"], per_thousand=Decimal(row["per_thousand"]))
            for row in price["bands"]
        ),
        **_decimals(price, "setup", "minimum_piece", "minimum_order", "per_hour"),
        heads=machine["heads"],
        **_decimals(machine, "speed_spm", "trim_s", "change_s", "hooping_s"),
        **_decimals(found["thread"], "cone_m", "bobbin_m", "bobbin_share", "waste_share"),
        round_to=Decimal(found["rounding"]["to"]),
        round_rule=found["rounding"]["rule"],
        tax_name=tax.get("name", ""),
        tax_percent=Decimal(tax.get("percent", 0)),
    )


def _decimals(table: dict[str, Any], *names: str) -> dict[str, Any]:
    """Fields as Decimal; None for those left out."""
    return {name: Decimal(table[name]) if name in table else None for name in names}


def _check_bands(bands: list[dict[str, Any]], name: str) -> None:
    """Bands begin at one piece and rise."""
    starts = [band["pieces"] for band in bands]
    if starts[0] != 1:
        msg = f"rate card {name}: price.bands[1].pieces is {starts[0]}; the first band begins at 1"
        raise SettingsError(msg)
    for number, (before, start) in enumerate(pairwise(starts), 2):
        if start <= before:
            msg = (
                f"rate card {name}: price.bands[{number}].pieces is {start}; each band begins"
                f" above the one before, {before}"
            )
            raise SettingsError(msg)


def _check_steps(price: dict[str, Any], step: Decimal | int, name: str) -> None:
    """Amounts that are added as they stand are whole steps, so that no sum needs rounding."""
    if step not in ROUND_STEPS:
        choices = ", ".join(map(str, ROUND_STEPS))
        msg = f"rate card {name}: rounding.to is {step}; choose one of {choices}"
        raise SettingsError(msg)
    for field in ("setup", "minimum_piece", "minimum_order"):
        if Decimal(price[field]) % Decimal(step):
            msg = (
                f"rate card {name}: price.{field} is {price[field]}; must be whole steps of {step}"
            )
            raise SettingsError(msg)
