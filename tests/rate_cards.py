"""Rate cards and works with figures that are easy to reckon with by hand; all invented."""

from decimal import Decimal

from pathgen.pricing import Band, RateCard, Stretch, ThreadUse, Work

CARD_TOML = """
title = "Round figures"
currency = "EUR"
[price]
setup = 20
minimum_piece = 1.00
minimum_order = 50
[[price.bands]]
pieces = 1
per_thousand = 2
[[price.bands]]
pieces = 12
per_thousand = 1.5
[machine]
heads = 4
trim_s = 6
change_s = 10
hooping_s = 30
[thread]
cone_m = 5000
bobbin_m = 100
bobbin_share = 0.65
waste_share = 0.15
[rounding]
to = 0.01
rule = "half-up"
"""


def card(**changes):
    """The card above, with changes; numbers in bands as (pieces, rate) pairs."""
    base = {
        "source": "card.toml",
        "title": "Round figures",
        "currency": "EUR",
        "shop": (),
        "terms": (),
        "bands": ((1, "2"), (12, "1.5")),
        "setup": "20",
        "minimum_piece": "1.00",
        "minimum_order": "50",
        "per_hour": None,
        "heads": 4,
        "speed_spm": None,
        "trim_s": "6",
        "change_s": "10",
        "hooping_s": "30",
        "cone_m": "5000",
        "bobbin_m": "100",
        "bobbin_share": "0.65",
        "waste_share": "0.15",
        "round_to": "0.01",
        "round_rule": "half-up",
        "tax_name": "",
        "tax_percent": "0",
    } | changes
    words = ("source", "title", "currency", "round_rule", "tax_name")
    values = {
        name: Decimal(value) if isinstance(value, str) and name not in words else value
        for name, value in base.items()
    }
    values["bands"] = tuple(
        Band(pieces=pieces, per_thousand=Decimal(rate)) for pieces, rate in base["bands"]
    )
    return RateCard(**values)


def work(stitches=5000, *, trims=12, changes=0, speed="800", origin="option", needle_m="5.40"):
    """One piece; the defaults are the worked example of the time model."""
    return Work(
        title="Harbour Bakery",
        stretches=(Stretch(stitches=stitches, speed_spm=Decimal(speed), origin=origin),),
        trims=trims,
        changes=changes,
        threads=(ThreadUse(label="40 wt", needle_m=Decimal(needle_m)),),
    )
