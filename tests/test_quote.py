"""A quote as text, page and data: the same figures everywhere, and safe wherever it is read."""

import json
from decimal import Decimal
from xml.etree import ElementTree

import pytest
from click.testing import CliRunner
from plan_specimen import specimen
from rate_cards import CARD_TOML, card, work

from pathgen.cli import main
from pathgen.shop.price import quoted
from pathgen.writers.quote_page import quote_page
from pathgen.writers.quote_paper import paper_of
from pathgen.writers.quote_rows import QuoteHead, charge_steps, minutes, offer_rows, plain, seconds
from pathgen.writers.quote_text import quote_data, quote_lines

HEAD = QuoteHead(customer="Net Loft", number="17", date="3 May 2027")
HTML = "{http://www.w3.org/1999/xhtml}"


def quote(*pieces, **changes):
    return quoted(work(), card(per_hour="60", **changes), pieces or (10, 12))


def test_the_offer_has_a_row_a_quantity_in_the_order_asked():
    """10 at 10.00 and 20.00; 12 at 7.50; 3 at 10.00 are 30.00, with set-up just the least."""
    head, *rows = offer_rows(quote(10, 12, 3))

    assert head == ("pieces", "a piece", "sewing", "set-up", "total", "a piece, all in")
    assert [row[:6] for row in rows] == [
        ("10", "10.00", "100.00", "20.00", "120.00", "12.00"),
        ("12", "7.50", "90.00", "20.00", "110.00", "9.17"),
        ("3", "10.00", "30.00", "20.00", "50.00", "16.67"),
    ]


def test_what_raises_an_order_and_the_tax_have_columns_of_their_own():
    head, row = offer_rows(quote(1, tax_name="VAT", tax_percent="20"))

    assert dict(zip(head, row, strict=True))["to minimum"] == "20.00"
    assert dict(zip(head, row, strict=True))["with VAT"] == "60.00"


def test_the_working_of_an_order_line_by_line():
    """Ten pieces: 3 x 447 + 10 x 30 = 1641 s; at 60 an hour 60 x 1641 / 3600 / 10 = 2.735."""
    done = quote(10, tax_name="VAT", tax_percent="19")

    assert [tuple(step) for step in charge_steps(done, done.charges[0])] == [
        ("runs", "10 on 4 heads", "3"),
        ("machine", "3 x 447.0 s", "1,341.0 s"),
        ("hooping", "10 x 30 s", "300.0 s"),
        ("time", "1,341.0 + 300.0", "1,641.0 s, 27.35 min"),
        ("by stitches", "5,000 / 1000 x 2", "10.0000 EUR"),
        ("by time", "1,641.0 s / 3600 x 60 an hour / 10", "2.7350 EUR"),
        ("minimum", "of the rate card", "1.00 EUR"),
        ("a piece", "the greatest, by stitches; rounded half up to 0.01", "10.00 EUR"),
        ("sewing", "10 x 10.00 EUR", "100.00 EUR"),
        ("set-up", "once an order", "20.00 EUR"),
        ("total", "100.00 + 20.00", "120.00 EUR"),
        ("a piece, all in", "120.00 EUR / 10", "12.00 EUR"),
        ("VAT", "19 % of the total", "22.80 EUR"),
        ("with VAT", "", "142.80 EUR"),
        ("needle thread", "10 x 6.210 m", "62.1 m"),
        ("cones 40 wt", "5000 m each, one or more a head", "4"),
        ("bobbin thread", "10 x 4.036 m", "40.4 m"),  # 4.0365, to the even thousandth
        ("bobbins", "100 m each, one or more a head", "4"),
    ]


def test_text_says_estimate_rounding_rule_and_bands_that_cost_less():
    text = "\n".join(quote_lines(paper_of(quote(10, 12)), HEAD))

    assert "An estimate until it has been sewn" in text
    assert "rounded half up to 0.01" in text
    assert "12 pieces cost less in all than 10" in text
    for said in (*HEAD, "Harbour Bakery", "5,000 / 1000 x 2", "447.0 s, 7.45 min"):
        assert said in text


def test_a_line_of_text_cannot_steer_a_terminal():
    lines = quote_lines(paper_of(quote(shop=("\x1b[31mred",))), QuoteHead(customer="a\nb"))
    assert all(line.isprintable() for line in lines)


def test_page_is_xml_with_the_same_figures_and_the_lettering_at_true_size():
    done, plan = quote(10, 12), specimen(("ITO",))
    page = ElementTree.fromstring(quote_page(paper_of(done), HEAD, (plan,)).encode())

    rows = page.find(f".//{HTML}table[@class='offer']").iter(f"{HTML}tr")
    cells = [tuple(cell.text for cell in row) for row in rows]
    assert cells == offer_rows(done)
    drawing = page.find(".//{http://www.w3.org/2000/svg}svg")
    assert drawing.get("width").endswith("mm")
    assert drawing.get("viewBox").split()[2:] == [
        drawing.get(side).removesuffix("mm") for side in ("width", "height")
    ]


def test_page_takes_no_text_for_markup():
    head = QuoteHead(customer="<script>alert(1)</script>", number='"&', date="\x00")
    page = quote_page(paper_of(quote(title="a <b> & c")), head)

    assert "<script" not in page
    assert "a &lt;b&gt; &amp; c" in page
    ElementTree.fromstring(page.encode())


def test_data_keeps_every_digit():
    data = quote_data(quote(7, tax_name="VAT", tax_percent="19"))
    assert data["charges"][0]["total"] == "90"
    assert data["charges"][0]["by_time"] == "2.628571"  # 60 x (2 x 447 + 210) / 3600 / 7
    json.dumps(data)


@pytest.mark.parametrize(
    ("value", "said"), [(59, "0.98 min"), (5399, "89.98 min"), (5400, "1 h 30 min")]
)
def test_long_times_are_hours(value, said):
    assert minutes(Decimal(value)) == said


def test_numbers_are_written_as_on_a_card():
    assert [plain(Decimal(n)) for n in ("1E+2", "0.650", "7", "0.000001")] == [
        "100",
        "0.65",
        "7",
        "0.000001",
    ]
    assert seconds(Decimal("1920")) == "1,920.0 s"


@pytest.fixture
def rates(tmp_path):
    path = tmp_path / "rates.toml"
    path.write_text(CARD_TOML, encoding="utf-8")
    return path


def run(*args):
    return CliRunner().invoke(main, ["price", *map(str, args)])


def test_price_prints_the_quote_and_writes_text_and_page(tmp_path, rates):
    result = run("Quay", "--rates", rates, "--quantity", "12, 48", "--out", tmp_path / "q")

    assert result.exit_code == 0
    assert sorted(p.name for p in (tmp_path / "q").iterdir()) == [
        "quay.quote.html",
        "quay.quote.txt",
    ]
    text = (tmp_path / "q" / "quay.quote.txt").read_text(encoding="utf-8")
    assert result.stdout.startswith(text)


def test_price_takes_the_options_of_a_plan(rates):
    low, tall = (
        json.loads(run("Quay", "--rates", rates, "--height", h, "--json").stdout) for h in (4, 8)
    )
    assert tall["piece"]["stitches"] > low["piece"]["stitches"]


def test_without_quantities_the_bands_are_priced(rates):
    data = json.loads(run("Quay", "--rates", rates, "--json").stdout)
    assert [charge["pieces"] for charge in data["charges"]] == [1, 12]


def test_the_printed_template_is_a_card(tmp_path):
    path = tmp_path / "t.toml"
    path.write_text(run("--template").stdout, encoding="utf-8")
    assert run("Quay", "--rates", path).exit_code == 0


@pytest.mark.parametrize(
    ("args", "message"),
    [
        ((), "--rates is missing: a price needs your rate card"),
        (("--rates", "gone.toml"), "rate card gone.toml cannot be read: no such file"),
        (("--quantity", "0"), "--quantity has '0', which is no number of pieces"),
        (("--quantity", "12,,48"), "--quantity has '', which is"),
        (("--quantity", "1e3"), "'1e3', which is no number of pieces"),
        (("--quantity", "-3"), "'-3', which is no number"),
        (("--quantity", "9" * 5000), "which is no number of pieces"),
        (("--spacing", "0"), "--spacing is 0; allowed"),
        (("--job", "j.toml"), "--job is j.toml; it goes with a table of names"),
        (("--name", "../x", "--out", "q"), "--name is '../x'"),
    ],
)
def test_bad_input_is_one_line_and_no_file(tmp_path, rates, monkeypatch, args, message):
    monkeypatch.chdir(tmp_path)
    given = args if not args or args[0] == "--rates" else ("--rates", rates, *args)
    result = run("Quay", *given)

    assert result.exit_code == 1
    assert result.stderr.count("\n") == 1
    assert message in result.stderr
    assert not (tmp_path / "q").exists()


def test_price_without_a_text_is_wrong_usage():
    assert run().exit_code == 2
