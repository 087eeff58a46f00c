"""Orders of names, priced together: sums by hand, rows that cannot be planned left out."""

import csv
import json
from decimal import Decimal

import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st
from rate_cards import CARD_TOML, card, work

import pathgen
from pathgen.cli import main
from pathgen.shop.price import quoted, quoted_together
from pathgen.writers.quote_paper import name_rows, paper_of_names
from pathgen.writers.quote_rows import QuoteHead
from pathgen.writers.quote_text import quote_lines


def joint(*counts, **changes):
    """Works of 5000, 6000, ... stitches at 800 a minute, 12 trims, so many pieces of each."""
    works = [(work(5000 + 1000 * n), count) for n, count in enumerate(counts)]
    return quoted_together("names", works, card(**changes))


def test_an_order_of_names_by_hand():
    """Five of 5000 and one of 6000 stitches, all at the rate of six pieces, 2.

    Runs: five on four heads are two of 447 s, one of 450 + 72 = 522 s; hooping 6 x 30 s.
    """
    got = joint(5, 1)

    assert [part.charges[0].piece for part in got.parts] == [Decimal("10.00"), Decimal("12.00")]
    assert got.sewing == 62  # 50 + 12
    assert (got.setup, got.raised, got.total) == (20, 0, 82)
    assert got.all_in == Decimal("13.67")  # 82 / 6
    assert got.machine_s == 2 * 447 + 522
    assert got.hooping_s == 180
    assert got.order_s == 1596


def test_the_band_is_that_of_all_pieces_together():
    """Seven and five are twelve: 1.5 a thousand, though neither alone is."""
    assert [p.charges[0].per_thousand for p in joint(7, 5).parts] == [Decimal("1.5")] * 2
    assert [p.charges[0].per_thousand for p in joint(7, 4).parts] == [Decimal(2)] * 2


def test_set_up_and_the_least_order_are_of_the_whole():
    """10 + 12 + 20 = 42, raised to 50."""
    got = joint(1, 1)
    assert (got.sewing, got.setup, got.raised, got.total) == (22, 20, 8, 50)


def test_cones_and_bobbins_hold_what_the_busiest_head_sews():
    """2.5 m a piece, no waste: 1,000 + 1,000 runs are 5,000 m on each of four heads."""
    works = [(work(needle_m="2.5"), 4000), (work(6000, needle_m="2.5"), 4000)]
    got = quoted_together("n", works, card(waste_share="0", bobbin_share="0.5"))

    assert got.cones == (("40 wt", 4),)
    assert got.bobbins == 100  # 2,500 m on each head, 100 m a bobbin: 25 a head
    assert got.needle_m == 20_000


@given(st.integers(1, 5000))
def test_one_name_costs_what_it_costs_as_a_text(count):
    alone = quoted(work(), card(per_hour="40"), [count]).charges[0]
    got = joint(count, per_hour="40")

    assert (got.total, got.all_in, got.order_s) == (alone.total, alone.all_in, alone.order_s)
    assert (got.cones, got.bobbins) == (alone.cones, alone.bobbins)


@given(st.lists(st.integers(1, 60), min_size=1, max_size=6))
def test_an_order_is_the_sum_of_its_names(counts):
    got = joint(*counts)
    by_rows = sum(Decimal(row[-1].replace(",", "")) for row in name_rows(got)[1:])

    assert got.pieces == sum(counts)
    assert by_rows == got.sewing
    assert got.total == got.sewing + got.setup + got.raised


def test_many_names_are_told_in_part_and_the_rest_counted():
    got = joint(*[1] * 25)
    text = "\n".join(quote_lines(paper_of_names(got, "staff.csv"), QuoteHead()))
    assert "and 5 more, all in the table that --out writes" in text


@pytest.fixture
def order(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "rates.toml").write_text(CARD_TOML, encoding="utf-8")
    (tmp_path / "job.toml").write_text('[[line]]\ntext = "{name}"\nthread = 60\nheight_mm = 4\n')
    (tmp_path / "staff.csv").write_text("name\nQuay\nLoft\nQuay\n漢\n", encoding="utf-8")
    return tmp_path


def run(*args):
    return CliRunner().invoke(main, ["price", *args])


def test_a_table_is_priced_by_its_job_and_bad_rows_are_named(order):
    result = run("staff.csv", "--job", "job.toml", "--rates", "rates.toml", "--json")
    data = json.loads(result.stdout)

    assert result.exit_code == 1
    assert "pathgen: row 5: face lacks '漢'" in result.stderr
    assert [(n["name"], n["pieces"]) for n in data["names"]] == [("Quay", 2), ("Loft", 1)]
    made = pathgen.plan("Quay", thread="60", height_mm=4.0)
    assert data["names"][0]["stitches"] == made.whole.stitches
    assert data["order"]["pieces"] == 3


def test_rows_that_hold_no_name_are_named_and_the_rest_is_priced(order):
    """Row 3 is empty, row 4 has a cell too many."""
    (order / "staff.csv").write_text("name,team\nQuay,a\n ,b\nLoft,c,d\n", encoding="utf-8")
    result = run("staff.csv", "--job", "job.toml", "--rates", "rates.toml", "--json")

    assert result.exit_code == 1
    assert "pathgen: row 3: has nothing to sew: name empty" in result.stderr
    assert "pathgen: row 4: " in result.stderr
    assert json.loads(result.stdout)["order"]["pieces"] == 1


def test_a_table_without_a_job_is_planned_by_the_options(order):
    (order / "staff.csv").write_text("name\nQuay\n", encoding="utf-8")
    result = run("staff.csv", "--rates", "rates.toml", "--height", "7", "--json")

    assert result.exit_code == 0
    made = pathgen.plan("Quay", height_mm=7.0)
    assert json.loads(result.stdout)["names"][0]["stitches"] == made.whole.stitches


def test_names_are_written_as_a_table_with_bare_figures(order):
    run("staff.csv", "--rates", "rates.toml", "--height", "9", "--out", "q")
    with (order / "q" / "staff.quote.csv").open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))

    assert [row["name"] for row in rows] == ["Quay", "Loft"]
    figures = [row[key] for row in rows for key in row if key not in ("name", "decided by")]
    assert all(float(figure) > 0 for figure in figures)
    assert (order / "q" / "staff.quote.html").exists()


@pytest.mark.parametrize(
    ("title", "said"),
    [('title = "Crew shirts"\n', "Quote: Crew shirts, 2 names"), ("", "Quote: job, 2 names")],
)
def test_customers_read_what_the_order_is_called_and_the_shop_which_table_it_is(order, title, said):
    job = order / "job.toml"
    job.write_text(title + job.read_text(), encoding="utf-8")
    run("staff.csv", "--job", "job.toml", "--rates", "rates.toml", "--out", "q")
    text = (order / "q" / "staff.quote.txt").read_text(encoding="utf-8")
    offer, working = text.split("Names: staff.csv.\n")

    assert said in offer.splitlines()
    assert "staff.csv" not in offer + working


def test_names_without_a_job_are_quoted_as_lettering(order):
    (order / "staff.csv").write_text("name\nQuay\n", encoding="utf-8")

    assert "Quote: lettering, 1 name\n" in run("staff.csv", "--rates", "rates.toml").stdout


def test_a_job_of_two_threads_has_a_thread_change_and_two_cones(order):
    (order / "two.toml").write_text(
        '[[line]]\ntext = "Quay"\n[[line]]\ntext = "est"\nthread = 60\nheight_mm = 3\n'
    )
    data = json.loads(run("two.toml", "--rates", "rates.toml", "--json").stdout)

    assert data["piece"]["changes"] == 1
    assert list(data["piece"]["needle_m"]) == ["40 wt", "60 wt"]
    assert data["charges"][0]["cones"] == {"40 wt": 1, "60 wt": 1}


def test_a_speed_in_the_job_goes_before_the_rate_cards(order):
    slow = CARD_TOML.replace("heads = 4", "heads = 4\nspeed_spm = 1000")
    (order / "rates.toml").write_text(slow, encoding="utf-8")
    (order / "fast.toml").write_text('[[line]]\ntext = "Quay"\nspeed_spm = 400\n')
    (order / "plain.toml").write_text('[[line]]\ntext = "Quay"\n')
    speeds = [
        json.loads(run(f"{name}.toml", "--rates", "rates.toml", "--json").stdout)["piece"][
            "stretches"
        ][0]["speed_spm"]
        for name in ("fast", "plain")
    ]
    assert speeds == ["400", "1000"]


@pytest.mark.parametrize(
    ("args", "message"),
    [
        (("--quantity", "12"), "--quantity is '12'; a table of names has a piece for each row"),
        (("--job", "gone.toml"), "gone.toml cannot be read"),
        (("--spacing", "0"), "--spacing is 0"),
    ],
)
def test_bad_input_is_one_line(order, args, message):
    (order / "staff.csv").write_text("name\nQuay\n", encoding="utf-8")
    result = run("staff.csv", "--rates", "rates.toml", *args)
    assert (result.exit_code, result.stderr.count("\n")) == (1, 1)
    assert message in result.stderr


def test_a_table_without_a_name_that_can_be_planned_is_refused(order):
    (order / "staff.csv").write_text("name\n漢\n", encoding="utf-8")
    result = run("staff.csv", "--rates", "rates.toml")
    assert result.exit_code == 1
    assert "has no name that can be planned: row 2 face lacks" in result.stderr
