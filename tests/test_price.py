"""Prices against sums done by hand; every figure of the cards is invented."""

from dataclasses import replace
from decimal import Decimal, getcontext, localcontext

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rate_cards import card, work
from shapes import bar, letter, plain_settings

import pathgen
from pathgen.pricing import Stretch, ThreadUse
from pathgen.shop.count import counted
from pathgen.shop.price import quoted, work_of
from pathgen.shop.ratecard import rate_card_of, template
from pathgen.stitching.route import route


def charge(pieces, one=None, **changes):
    return quoted(one or work(), card(**changes), [pieces]).charges[0]


def test_a_run_is_stitches_at_the_speed_and_the_trims():
    """5000 stitches at 800 a minute and 12 trims of 6 s: 6.25 + 1.2 = 7.45 min = 447 s."""
    quote = quoted(work(), card(), [1])

    assert (quote.sewing_s, quote.trims_s, quote.changes_s) == (375, 72, 0)
    assert quote.run_s / 60 == Decimal("7.45")


def test_an_order_by_hand():
    """Two changes of 10 s make a run of 467 s; ten pieces on four heads are three runs."""
    got = charge(10, work(changes=2), per_hour="60")

    assert (got.runs, got.heads) == (3, 4)
    assert got.machine_s == 1401
    assert got.hooping_s == 300
    assert got.order_s == 1701
    assert got.by_stitches == 10  # 5 thousand at 2
    assert got.by_time == Decimal("2.835")  # 60 x 1701 / 3600 / 10
    assert (got.decided, got.piece) == ("stitches", Decimal("10.00"))
    assert (got.sewing, got.setup, got.raised) == (100, 20, 0)
    assert (got.total, got.all_in) == (120, 12)


def test_a_band_begins_at_its_own_number_of_pieces():
    assert [charge(n).per_thousand for n in (1, 11, 12, 1000)] == [
        Decimal(2),
        Decimal(2),
        Decimal("1.5"),
        Decimal("1.5"),
    ]


def test_time_decides_where_handling_costs_more_than_stitches():
    """100 stitches at 600 are 10 s; one head: 10 + 30 s at 360 an hour is 4.00."""
    one = work(100, trims=0, speed="600")
    got = charge(5, one, per_hour="360", heads=1)

    assert (got.decided, got.piece) == ("time", Decimal("4.00"))
    assert got.total == 50  # 20.00 + 20.00, raised to the least order
    assert got.raised == 10


def test_minimum_decides_where_both_ask_less():
    got = charge(100, work(100, trims=0))
    assert (got.decided, got.piece) == ("minimum", Decimal("1.00"))


def test_at_the_least_order_nothing_is_added():
    """3 x 10.00 + 20.00 = 50.00."""
    assert charge(3).raised == 0
    assert charge(2).raised == 10


def test_a_repeat_order_pays_no_set_up():
    assert quoted(work(), card(), [10], repeat=True).charges[0].total == 100


@pytest.mark.parametrize(
    ("stitches", "rate", "step", "rule", "piece"),
    [
        (772, "1.25", "0.01", "half-up", "0.97"),  # 0.965
        (772, "1.25", "0.01", "half-even", "0.96"),
        (1005, "1", "0.01", "half-up", "1.01"),  # 1.005, which binary floats round to 1.00
        (1125, "1", "0.05", "half-up", "1.15"),  # 22.5 steps
        (1125, "1", "0.05", "half-even", "1.10"),
        (2500, "1", "1", "half-up", "3"),
        (2500, "1", "1", "half-even", "2"),
        (1004, "1", "0.01", "half-up", "1.00"),
    ],
)
def test_a_half_is_rounded_by_the_cards_rule(stitches, rate, step, rule, piece):
    got = charge(
        1,
        work(stitches),
        bands=((1, rate),),
        minimum_piece="0",
        round_to=step,
        round_rule=rule,
    )
    assert got.piece == Decimal(piece)


@pytest.mark.parametrize(("rule", "piece"), [("half-up", "1.01"), ("half-even", "1.00")])
def test_a_half_that_comes_of_thirds_is_still_a_half(rule, piece):
    """Runs of 301.5 s on three heads: 100.5 s a piece at 36 an hour is 1.005."""
    one = work(1, trims=0, speed="600")
    one = replace(
        one,
        stretches=(
            Stretch(stitches=1005, speed_spm=Decimal(600), origin="option"),  # 100.5 s
            Stretch(stitches=2345, speed_spm=Decimal(700), origin="option"),  # 201 s
        ),
    )
    got = charge(
        3, one, heads=3, hooping_s="0", per_hour="36", bands=((1, "0"),), minimum_piece="0",
        round_rule=rule,
    )  # fmt: skip
    assert got.by_time == Decimal("1.005")
    assert got.piece == Decimal(piece)


def test_tax_is_rounded_once_on_the_total():
    """7 pieces of 10.01 and 20.00 are 90.07; 19 % are 17.1133."""
    got = charge(7, work(5005), tax_name="VAT", tax_percent="19")
    assert (got.total, got.tax) == (Decimal("90.07"), Decimal("17.11"))


def test_the_cards_speed_gives_way_to_a_speed_that_was_asked_for():
    asked = quoted(work(speed="500"), card(speed_spm="1000"), [1])
    left = quoted(work(speed="500", origin="default"), card(speed_spm="1000"), [1])

    assert (asked.sewing_s, asked.stretches[0].origin) == (600, "option")
    assert (left.sewing_s, left.stretches[0].origin) == (300, "rate card")


def test_waste_is_added_to_thread():
    """5.40 m and 15 % are 6.21 m (worked example of a sewing handbook)."""
    quote = quoted(work(), card(), [10])

    assert quote.needle_m == Decimal("6.21")
    assert quote.bobbin_m == Decimal("4.0365")  # 0.65 of it
    assert quote.charges[0].needle_m == Decimal("62.1")


@pytest.mark.parametrize(
    ("pieces", "cones", "bobbins"),
    [
        (1, 1, 1),  # one head
        (4, 4, 4),
        (8000, 4, 104),  # 2,000 runs of 2.5 m: 5,000 m on each head; 1.3 m a piece: 26 bobbins
        (8001, 8, 108),
    ],
)
def test_every_head_has_cones_and_bobbins_of_its_own(pieces, cones, bobbins):
    got = charge(pieces, work(needle_m="2.5"), waste_share="0", bobbin_share="0.52")
    assert (got.cones, got.bobbins) == ((("40 wt", cones),), bobbins)


def test_each_thread_has_its_own_cones():
    two = replace(
        work(),
        threads=tuple(ThreadUse(label=name, needle_m=Decimal(3)) for name in ("40 wt", "60 wt")),
    )
    got = charge(4, two)
    assert got.cones == (("40 wt", 4), ("60 wt", 4))
    assert got.needle_m == Decimal("27.6")  # 4 x 6 x 1.15


def thread_mm_a_stitch(width_mm, thickness_mm):
    settings = plain_settings(spacing_mm=0.4)
    settings = replace(settings, cloth=replace(settings.cloth, thickness_mm=thickness_mm))
    wide = letter(bar(length=100.0, width=width_mm))
    path = route([wide], settings)
    whole = counted(("I",), [wide], path, (), settings)[-1]
    return whole.thread_mm / whole.stitches


def test_thread_of_a_zigzag_is_that_of_the_lockstitch():
    """Throw 2, advance 0.2, cloth 0.5 mm: sqrt(4.04) + 0.5 = 2.50998 mm a stitch."""
    assert thread_mm_a_stitch(2.0, 0.5) == pytest.approx(2.50998, rel=0.01)


def test_thread_of_usual_columns_is_within_twice_what_the_trade_reckons():
    """About 5 m of needle thread and 3 to 3.5 m of bobbin for 1,000 stitches (trade forum)."""
    needle_m = thread_mm_a_stitch(3.0, 0.8)
    share = float(rate_card_of(template(), "t").bobbin_share)

    assert 2.5 < needle_m < 10.0
    assert 3.0 / 2.0 < share * needle_m < 3.5 * 2.0
    assert 0.60 <= share <= 0.70


def test_work_of_a_plan_has_its_counts_and_threads():
    plan = pathgen.plan("Quay", speed_spm=500.0)
    one = work_of(plan)

    assert one.stitches == plan.whole.stitches
    assert one.trims == plan.whole.trims
    assert one.stretches[0].speed_spm == 500
    assert one.stretches[0].origin == "option"
    assert float(one.threads[0].needle_m) == pytest.approx(plan.whole.thread_mm / 1000, abs=5e-4)


@given(st.integers(1, 100_000), st.integers(1, 50_000), st.sampled_from(["half-up", "half-even"]))
def test_an_order_adds_up_and_is_never_under_its_minima(pieces, stitches, rule):
    got = charge(pieces, work(stitches), per_hour="37.5", round_rule=rule, heads=7)

    assert got.sewing == pieces * got.piece
    assert got.total == got.sewing + got.setup + got.raised >= 50
    assert got.piece >= max(got.by_stitches, got.by_time, Decimal(1)) - Decimal("0.005")
    assert abs(got.all_in * pieces - got.total) <= Decimal("0.005") * pieces


def test_the_callers_own_precision_changes_nothing():
    with localcontext() as context:
        context.prec = 3
        rough = charge(999, per_hour="37.5")
    assert getcontext().prec > 3
    assert rough == charge(999, per_hour="37.5")
