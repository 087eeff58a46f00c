"""Fits of sewn samples: the truth is known, and found again within the error that is stated."""

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy import optimize, stats
from trial_data import Truth, bars, common, letters

from pathgen.shop.calibrate import thread_lesson
from pathgen.shop.leastsquares import fitted, outlying, t_quantile
from pathgen.shop.lessons import lessons, limit_lesson, sewn_thread, verdict
from pathgen.shop.logistic import curve_through
from pathgen.trials import Sample

PANELS = 500
# 95 % of 500, give or take three standard errors of such a share: sqrt(0.95 x 0.05 / 500).
COVERED = (0.95 - 3 * 0.00975, 0.95 + 3 * 0.00975)


@pytest.mark.parametrize("share", [0.9, 0.975, 0.995, 0.9999])
@pytest.mark.parametrize("spare", [5, 9, 20, 66, 1000])
def test_t_quantiles_are_scipys(share, spare):
    limit = 0.02 if share > 0.999 else 2e-3
    assert t_quantile(share, spare) == pytest.approx(stats.t.ppf(share, spare), rel=limit)


def test_a_straight_fit_is_scipys():
    rng = np.random.default_rng(5)
    x = rng.uniform(0.0, 3.0, 25)
    y = 0.4 + 0.7 * x + rng.normal(0.0, 0.1, 25)
    ours, theirs = fitted(np.column_stack([np.ones(25), x]), y), stats.linregress(x, y)

    assert ours.values == pytest.approx([theirs.intercept, theirs.slope])
    assert ours.error(1.0, 0.0) == pytest.approx(theirs.intercept_stderr)
    assert ours.error(0.0, 1.0) == pytest.approx(theirs.stderr)


def test_a_weighted_fit_is_the_curve_fit_of_scipy():
    """Three values at once: pull, overhang and turn, with their whole covariance."""
    rows = bars(Truth(), np.random.default_rng(3))[:28]
    lesson = thread_lesson(rows, keep_all=True)

    def half(which, pull, overhang, turn):
        return pull - overhang * which[0] + turn * which[1]

    edge = [1.0] * 28 + [0.0] * 28
    turns = [math.cos(2 * math.radians(s.direction_deg)) for s in rows] * 2
    halves = [(s.needle_mm - s.edge_mm) / 2 for s in rows]
    halves += [(s.needle_mm - s.holes_mm) / 2 for s in rows]
    values, covariance = optimize.curve_fit(half, np.array([edge, turns]), halves, p0=(0, 0, 0))

    assert lesson.pull.value == pytest.approx(values[0], abs=1e-6)
    assert lesson.overhang.value == pytest.approx(values[1], abs=1e-6)
    assert lesson.pull.error == pytest.approx(math.sqrt(covariance[0, 0]), rel=1e-4)
    between = covariance[0, 0] + covariance[1, 1] - 2 * covariance[0, 1]
    assert lesson.allowance.error == pytest.approx(math.sqrt(between), rel=1e-4)


def test_500_panels_give_the_truth_within_the_stated_error():
    truth, hits = Truth(), {}
    for panel in range(PANELS):
        lesson = thread_lesson(bars(truth, np.random.default_rng(panel)))
        for name, wanted in (
            ("pull", truth.pull_mm),
            ("overhang", truth.overhang_mm),
            ("allowance", truth.pull_mm - truth.overhang_mm),
            ("along", truth.pull_mm - truth.turn_mm),
            ("across", truth.pull_mm + truth.turn_mm),
            ("over_underlay", truth.over_underlay),
            ("allowance_over", 0.8 * truth.pull_mm - truth.overhang_mm),
        ):
            got = getattr(lesson, name)
            if got is not None:
                hits.setdefault(name, []).append(abs(got.value - wanted) <= got.within)
    shares = {name: float(np.mean(hit)) for name, hit in hits.items()}
    assert len(hits) == 7
    assert min(map(len, hits.values())) > 0.95 * PANELS
    assert COVERED[0] <= min(shares.values()) <= max(shares.values()) <= COVERED[1], shares


@pytest.mark.parametrize("design", [np.ones((2, 2)), np.ones((5, 2)), np.eye(2)])
def test_no_more_is_fitted_than_the_measurements_tell_apart(design):
    with pytest.raises(ValueError, match="cannot tell 2 values apart"):
        fitted(design, np.ones(len(design)))


def test_the_logistic_curve_is_the_maximum_that_scipy_finds():
    """Of Firth's likelihood: log likelihood plus half the log of the information."""
    rng = np.random.default_rng(11)
    x = rng.normal(0.0, 1.0, 40)
    read = rng.random(40) < 1.0 / (1.0 + np.exp(-(0.3 + 1.2 * x)))
    design = np.column_stack([np.ones(40), x])

    def cost(values):
        height = design @ values
        weight = stats.logistic.pdf(height)
        size = np.linalg.slogdet((design * weight[:, None]).T @ design)[1]
        signs = np.where(read, 1.0, -1.0)
        return -stats.logistic.logcdf(signs * height).sum() - size / 2.0

    best = optimize.minimize(cost, (0.0, 0.0), method="Nelder-Mead", options={"xatol": 1e-9})
    curve = curve_through(x, read)
    assert (curve.at, curve.steepness) == pytest.approx(tuple(best.x), abs=1e-5)


def test_with_many_letters_the_curve_is_the_plain_likelihoods():
    """Firth's penalty fades as letters grow in number; errors are those of the information."""
    rng = np.random.default_rng(12)
    x = rng.normal(0.01, 0.035, 20_000)
    read = rng.random(20_000) < 1.0 / (1.0 + np.exp(-80.0 * (x - 0.012)))

    def cost(values):
        return -stats.logistic.logcdf(np.where(read, 1, -1) * (values[0] + values[1] * x)).sum()

    best = optimize.minimize(cost, (0.0, 50.0), method="BFGS")
    curve = curve_through(x, read)
    assert curve.place(0.5) == pytest.approx(-best.x[0] / best.x[1], abs=2e-5)
    assert curve.steepness == pytest.approx(best.x[1], rel=2e-3)


def test_500_panels_of_letters_give_the_limits_within_the_stated_error():
    truth, hits = Truth(), {"reads": [], "well": []}
    for panel in range(PANELS):
        lesson = limit_lesson(letters(truth, np.random.default_rng(panel)))
        hits["reads"].append(abs(lesson.reads.value - truth.reads) <= lesson.reads.within)
        hits["well"].append(abs(lesson.well.value - truth.margin(0.9)) <= lesson.well.within)
    shares = {name: float(np.mean(hit)) for name, hit in hits.items()}
    assert COVERED[0] <= min(shares.values()) <= max(shares.values()) <= COVERED[1], shares


def test_letters_that_fall_apart_at_a_margin_still_give_a_limit_between():
    margins = np.linspace(-0.05, 0.05, 40)
    rows = [
        Sample(row=n, kind="letter", margin=float(m), read=bool(m > 0.01), **common())
        for n, m in enumerate(margins)
    ]
    lesson = limit_lesson(rows)
    assert abs(lesson.reads.value - 0.01) < 0.003
    assert lesson.reads.value < lesson.well.value < 0.03


def test_outliers_are_named_with_a_guess_and_set_aside():
    rows = bars(Truth(), np.random.default_rng(1))
    clean = thread_lesson(rows)
    rows[3] = replace(rows[3], edge_mm=rows[3].edge_mm / 25.4)
    rows[9] = replace(rows[9], edge_mm=rows[9].edge_mm * 10.0)
    lesson = thread_lesson(rows)

    assert [(o.row, o.field, o.guess) for o in lesson.outliers] == [
        (rows[9].row, "edge", "a decimal point out of place?"),
        (rows[3].row, "edge", "inches written as mm?"),
    ]
    assert lesson.pull.value == pytest.approx(clean.pull.value, abs=0.005)
    assert abs(lesson.with_all - clean.allowance.value) > 0.02
    assert sum(r.aside for r in lesson.residuals) == 2
    kept = thread_lesson(rows, keep_all=True)
    assert len(kept.outliers) == 2
    assert kept.allowance.value == pytest.approx(lesson.with_all)


def test_a_clean_table_has_an_outlier_once_in_a_hundred():
    rng = np.random.default_rng(4)
    design = np.ones((30, 1))
    found = sum(len(outlying(design, rng.normal(0, 1, 30))) > 0 for _ in range(1000))
    assert 0 < found < 25  # 10 expected; 25 is almost five standard errors off


@pytest.mark.parametrize(("count", "missing"), [(0, 12), (5, 2)])
def test_too_few_widths_are_refused_with_what_is_missing(count, missing):
    rows = bars(Truth(), np.random.default_rng(1))[:count] or [
        Sample(row=2, kind="bar", needle_mm=1.4, **common())
    ]
    lesson = thread_lesson(rows)
    assert lesson.allowance is None
    assert f"{missing} more are needed" in lesson.lacking[-1]


def test_without_holes_only_the_allowance_is_learnt():
    rows = [replace(s, holes_mm=math.nan) for s in bars(Truth(), np.random.default_rng(2))]
    lesson = thread_lesson(rows)

    assert lesson.pull is None
    assert lesson.overhang is None
    assert lesson.allowance.value == pytest.approx(0.07, abs=3 * lesson.allowance.error)
    assert "6 of each are needed to tell it from pull" in lesson.lacking[0]
    made = sewn_thread(lesson, 0.8)
    assert (made.pull_mm, made.overhang_mm) == (lesson.allowance.value, 0.0)


def test_bars_of_one_direction_say_that_the_other_is_missing():
    rows = [s for s in bars(Truth(), np.random.default_rng(2)) if s.direction_deg == 0.0]
    lesson = thread_lesson(rows)
    assert lesson.along is None
    assert any("direction: 0 widths of bars along" in said for said in lesson.lacking)


def test_no_direction_is_told_where_there_is_none():
    told = sum(
        thread_lesson(bars(Truth(turn_mm=0.0), np.random.default_rng(n))).along is not None
        for n in range(200)
    )
    assert told < 25  # 5 % of 200 are 10


def test_pull_that_grows_with_width_is_noticed():
    rows = bars(Truth(), np.random.default_rng(6))
    grown = [replace(s, edge_mm=s.edge_mm - 0.1 * s.needle_mm) for s in rows]
    grown = [replace(s, holes_mm=s.holes_mm - 0.1 * s.needle_mm) for s in grown]
    slope = thread_lesson(grown).by_width
    assert slope.value == pytest.approx(0.05, abs=3 * slope.error)


def test_rings_check_the_bars():
    """Counters as the model has them: needle points' opening plus twice the allowance."""
    rng = np.random.default_rng(8)
    gaps = (0.0, 0.4, 0.8, 1.2, 1.6)
    sewn = [gap + 0.14 + off for gap, off in zip(gaps, rng.normal(0.05, 0.01, 5), strict=True)]
    rings = [
        Sample(row=200 + n, kind="ring", needle_mm=gap, counter_mm=sewn[n], **common())
        for n, gap in enumerate(gaps)
    ]
    rings = [replace(ring, drawn_mm=ring.needle_mm + 0.4) for ring in rings]
    shut = Sample(row=9, kind="ring", drawn_mm=0.2, needle_mm=-0.2, counter_mm=0.0, **common())
    rings.append(shut)
    lesson = thread_lesson([*bars(Truth(), rng), *rings])
    assert lesson.counters.value == pytest.approx(0.05, abs=0.03)
    assert (lesson.closed_mm, lesson.open_mm) == (0.2, 0.4)


@pytest.mark.parametrize(
    ("read", "missing"),
    [
        ([True] * 20 + [False] * 5, ("5 more", "1 more")),
        ([True] * 40, ("0 letters not read, 6 more",)),
    ],
)
def test_too_few_letters_are_refused_with_what_is_missing(read, missing):
    rows = [
        Sample(row=n, kind="letter", margin=0.001 * n, read=r, **common())
        for n, r in enumerate(read)
    ]
    lesson = limit_lesson(rows)
    assert lesson.reads is None
    for part in missing:
        assert any(part in said for said in lesson.lacking)


def test_a_limit_beyond_all_that_was_sewn_is_not_given():
    """Six in ten read at the widest margin: nine in ten would be far beyond it."""
    rng = np.random.default_rng(2)
    margins = np.linspace(-0.05, 0.05, 400)
    chance = 0.2 + 4.0 * (margins + 0.05)
    rows = [
        Sample(row=n, kind="letter", margin=float(m), read=bool(rng.random() < c), **common())
        for n, (m, c) in enumerate(zip(margins, chance, strict=True))
    ]
    lesson = limit_lesson(rows)
    assert lesson.reads is None
    assert "beyond all that were sewn (-0.05 to 0.05)" in lesson.lacking[0]


@pytest.mark.parametrize("margins", ["same", "falling"])
def test_margins_that_tell_nothing_give_no_limit(margins):
    rows = [
        Sample(row=n, kind="letter", margin=0.0 if margins == "same" else -0.001 * n,
               read=n > 20, **common())
        for n in range(40)
    ]  # fmt: skip
    lesson = limit_lesson(rows)
    assert lesson.reads is None
    assert lesson.lacking


def test_cloths_and_threads_are_kept_apart():
    rng = np.random.default_rng(9)
    rows = [
        *bars(Truth(), rng),
        *bars(Truth(pull_mm=0.08), rng, thread="60 wt", tex=16.667, date="2027-03-09"),
        *bars(Truth(pull_mm=0.3), rng, cloth="pique"),
        *letters(Truth(), rng),
    ]
    twill, pique = lessons(rows)

    assert [t.tex for t in twill.threads] == [26.667, 16.667]
    assert twill.date == "2027-03-09"
    assert [round(t.pull.value, 1) for t in (*twill.threads, *pique.threads)] == [0.2, 0.1, 0.3]
    assert verdict(twill.limits).reads_margin == twill.limits.reads.value
    assert verdict(pique.limits) is None


def test_pull_over_underlay_alone_is_brought_back_to_none():
    rows = [s for s in bars(Truth(spread_mm=0.0), np.random.default_rng(1)) if s.underlay != "none"]
    lesson = thread_lesson(rows)
    assert lesson.over_run_only
    assert lesson.pull.value == pytest.approx(0.128)
    assert sewn_thread(lesson, 0.8).pull_mm == pytest.approx(0.16)
