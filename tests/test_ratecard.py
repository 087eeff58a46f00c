"""Rate cards: exact figures in, and one clear line for whatever is wrong."""

from decimal import Decimal

import pytest
from rate_cards import CARD_TOML, card

from pathgen.errors import SettingsError
from pathgen.shop.ratecard import rate_card, rate_card_of, template


def refusal(text):
    with pytest.raises(SettingsError) as caught:
        rate_card_of(text, "card.toml")
    assert len(str(caught.value).splitlines()) == 1
    return str(caught.value)


def test_a_card_comes_through_exactly():
    assert rate_card_of(CARD_TOML, "card.toml") == card()


def test_a_tenth_is_a_tenth():
    got = rate_card_of(CARD_TOML.replace("per_thousand = 2\n", "per_thousand = 0.1\n"), "c")
    assert got.bands[0].per_thousand * 3 == Decimal("0.3")


def test_the_template_is_a_card_and_says_that_its_figures_are_invented(tmp_path):
    path = tmp_path / "rates.toml"
    path.write_text(template(), encoding="utf-8")

    got = rate_card(path)

    assert "invented" in got.title
    assert "INVENTED" in template().splitlines()[0]
    assert (got.source, got.bands[0].pieces) == (str(path), 1)


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("setup = 20", "setup = -1", "line 5: price.setup is -1; allowed a number from 0 to"),
        ("setup = 20", "setup = nan", "line 5: price.setup is NaN; allowed a number from 0"),
        ("setup = 20", "setup = '20'", "line 5: price.setup is '20'; allowed a number"),
        ("setup = 20", "set_up = 20", "unknown field price.set_up; did you mean 'setup'?"),
        ("setup = 20\n", "", "price.setup is missing: asked once an order"),
        ("setup = 20", "setup = 20.001", "price.setup is 20.001; must be whole steps of 0.01"),
        ("heads = 4", "heads = 0", "machine.heads is 0; allowed a whole number from 1 to 200"),
        ("heads = 4", "heads = 4.0", "machine.heads is 4.0; allowed a whole number"),
        ("pieces = 1\n", "pieces = 2\n", "price.bands[1].pieces is 2; the first band begins at 1"),
        ("pieces = 12", "pieces = 1", "price.bands[2].pieces is 1; each band begins above"),
        ("to = 0.01", "to = 0.03", "rounding.to is 0.03; choose one of 0.001, 0.01, 0.05"),
        ('"half-up"', '"up"', "rounding.rule is 'up'; choose half-up or half-even"),
        ('"EUR"', '""', "line 3: currency is ''; write a text on one line, of 1 to 8 signs"),
        ("trim_s = 6", "trim_s = 1e400", "machine.trim_s is 1E+400; allowed a number"),
        ("[machine]", "[machines]", "unknown field machines; did you mean 'machine'?"),
    ],
)
def test_refusal_names_file_field_value_and_rule(old, new, message):
    assert old in CARD_TOML
    got = refusal(CARD_TOML.replace(old, new, 1))
    assert got.startswith("rate card card.toml")
    assert message in got
