"""From a filled form to a cloth file, and on to the next plan."""

import json
import math
from xml.etree import ElementTree

import numpy as np
import pytest
from click.testing import CliRunner
from lxml import etree
from outside import svg_dtd
from simulate_trial import OVERHANG_MM, PULL_MM, TURN_MM, simulated_panel
from simulate_trial import main as simulate
from trial_data import Truth, bars

import pathgen
from pathgen.bands import sewn_bands
from pathgen.cli import main
from pathgen.needles import Part
from pathgen.orders.gauges import gauge_plan, gauges
from pathgen.orders.learning import learn
from pathgen.orders.samples import COLUMNS, read_samples
from pathgen.shop.clothfile import cloth_from
from pathgen.shop.lessons import lessons
from pathgen.shop.recipes import settings_for
from pathgen.trials import Fault
from pathgen.writers.lesson_plot import lesson_plot
from pathgen.writers.lesson_words import fault_lines, lesson_lines
from pathgen.writers.tables_csv import table_csv

SVG = "{http://www.w3.org/2000/svg}"


def run(*args):
    return CliRunner().invoke(main, [str(a) for a in args])


@pytest.fixture(scope="module")
def panel(tmp_path_factory):
    path = tmp_path_factory.mktemp("panel") / "panel.csv"
    simulate(path)
    return path


@pytest.fixture(scope="module")
def clean(tmp_path_factory):
    path = tmp_path_factory.mktemp("clean") / "clean.csv"
    path.write_bytes(table_csv(COLUMNS, simulated_panel()))
    return path


def test_what_was_put_into_the_panel_is_learnt_from_it(clean, tmp_path):
    """Truth of the simulation, within four standard errors of each."""
    (lesson,) = learn([clean], tmp_path).lessons
    (thread,) = lesson.threads

    for estimate, truth in (
        (thread.pull, PULL_MM),
        (thread.overhang, OVERHANG_MM),
        (thread.allowance, PULL_MM - OVERHANG_MM),
        (thread.along, PULL_MM - TURN_MM),
        (thread.across, PULL_MM + TURN_MM),
        (thread.over_underlay, 0.8),
    ):
        assert abs(estimate.value - truth) < 4.0 * estimate.error
    assert (lesson.cloth, lesson.date) == ("pique", "2026-11-20")


def test_a_plan_on_the_learnt_cloth_comes_out_as_wide_as_drawn(clean, tmp_path):
    """Sewn width by the model: drawn + 2 (allowance - pull + overhang), to 0.01 mm a side."""
    learn([clean], tmp_path)
    cloth = tmp_path / "pique.cloth.toml"
    made = pathgen.plan("Quay", height_mm=5.0, underlay="none", cloth=str(cloth))
    sewn = cloth_from(cloth).sewn[0]

    assert made.settings.pull_mm - sewn.pull_mm + sewn.overhang_mm == pytest.approx(0, abs=0.005)
    assert made.settings.origins["pull_mm"] == "cloth file"
    over = pathgen.plan("Quay", height_mm=5.0, underlay="centre-run", cloth=str(cloth))
    off = over.settings.pull_mm - sewn.over_underlay * sewn.pull_mm + sewn.overhang_mm
    assert off == pytest.approx(0, abs=0.005)


@pytest.mark.parametrize("underlay", ["none", "centre-run"])
def test_bars_on_the_learnt_cloth_are_drawn_as_thread_as_wide_as_they_were_drawn(
    clean, tmp_path, underlay
):
    """In the tool's own picture of thread: its bands end where the bar's outline is.

    Widths from 2 mm on, where stitches lie square across to 1 %, and to half of 0.01 mm a side,
    to which an allowance is rounded.
    """
    learn([clean], tmp_path)
    cloth = str(tmp_path / "pique.cloth.toml")
    settings = settings_for(height_mm=5.0, cloth=cloth, options={"underlay": underlay})
    plan = gauge_plan(settings)
    wide = [g for g in gauges() if g.kind == "bar" and g.drawn_mm >= 2.0]
    wide = [g for g in wide if g.underlay == underlay]
    assert wide
    for gauge in wide:
        own = (plan.needles["line"] == gauge.line) & (plan.needles["letter"] == gauge.place)
        rows = plan.needles[own]
        bands = sewn_bands(rows, plan.by_line[gauge.line - 1].settings)
        cover = rows["part"][bands.row] == Part.ZIGZAG
        both = cover & (rows["part"][bands.row - 1] == Part.ZIGZAG)
        corners = bands.corners_mm[both] - gauge.centre_mm
        angle = math.radians(gauge.direction_deg)
        across = corners @ (-math.sin(angle), math.cos(angle))
        ends = np.stack([across[:, [0, 3]].mean(axis=1), across[:, [1, 2]].mean(axis=1)])
        width = np.abs(ends[0] - ends[1])
        assert width == pytest.approx(gauge.drawn_mm, abs=0.015)


def test_the_look_and_the_verdict_of_a_plan_are_the_learnt_ones(clean, tmp_path):
    (lesson,) = learn([clean], tmp_path).lessons
    made = pathgen.plan("Quay", cloth=str(tmp_path / "pique.cloth.toml"))
    look = made.settings.sewn_look

    assert look.pull_in_mm == pytest.approx(lesson.threads[0].pull.value, abs=1e-6)
    assert look.overhang_mm == pytest.approx(lesson.threads[0].overhang.value, abs=1e-6)
    assert look.over_underlay == pytest.approx(lesson.threads[0].over_underlay.value, abs=1e-6)
    assert look.limits.least_margin == pytest.approx(lesson.limits.reads.value, abs=1e-6)
    assert look.limits.well_margin == pytest.approx(lesson.limits.well.value, abs=1e-6)


def test_the_limits_fit_the_look_that_the_bars_taught(clean, tmp_path):
    """Margins on the form are of the fitted look; each letter is told anew as it was sewn."""
    rows = read_samples([clean]).samples
    (lesson,) = learn([clean], tmp_path).lessons
    cloth = str(tmp_path / "pique.cloth.toml")
    of_form = [s for s in rows if s.kind == "letter"]
    for height in {s.height_mm for s in of_form}:
        those = [(s, m) for s, m in zip(of_form, lesson.limits.margins, strict=True)]
        those = [(s, m) for s, m in those if s.height_mm == height]
        first = those[0][0]
        made = pathgen.plan(
            "".join(s.text for s, _ in those),
            height_mm=height,
            cloth=cloth,
            spacing_mm=first.spacing_mm,
            pull_mm=first.pull_mm,
            underlay=first.underlay,
        )
        told = [r.margin for r in pathgen.read(made).letters]
        assert [m for _, m in those] == pytest.approx(told, abs=1e-6)
    assert lesson.limits.margins != tuple(s.margin for s in of_form)


def test_letters_of_a_face_that_is_gone_keep_the_margin_of_the_form(tmp_path):
    rows = simulated_panel()
    rows = [{**r, "face": "gone.ttf"} if r.get("height_mm") == "2" else r for r in rows]
    path = tmp_path / "p.csv"
    path.write_bytes(table_csv(COLUMNS, rows))
    done = learn([path], tmp_path)

    assert len(done.lessons[0].limits.margins) == 65
    (fault,) = done.reading.faults
    assert "keeps the margin of the form (13 letters): font gone.ttf does not exist" in fault.rule


def test_every_slip_of_a_panel_is_named_and_the_rest_is_used(panel, tmp_path):
    result = run("learn", panel, "--out", tmp_path)

    assert result.exit_code == 0
    assert "row 4: edge is" in result.stdout  # a decimal comma
    assert "(a decimal comma) (used)" in result.stdout
    assert "(inches) (used)" in result.stdout
    assert "row 17: edge is 'about 1'" in result.stdout
    assert "row 10: edge is" in result.stdout  # ten times too wide
    assert "a decimal point out of place?" in result.stdout
    assert "--keep-outliers" in result.stdout
    assert cloth_from(tmp_path / "pique.cloth.toml").sewn[0].samples == 69  # of 72 widths


def test_the_words_say_what_the_figures_mean():
    rows = bars(Truth(spread_mm=0.0), np.random.default_rng(1))
    (lesson,) = lessons(rows)
    text = "\n".join(lesson_lines(lesson))

    assert "come out 0.14 mm narrower than drawn; with 0.07 mm on each side" in text
    assert "72 widths of bars" in text
    assert "± is the interval that holds the truth in 95 of 100" in text


def test_plot_has_a_mark_for_each_width_and_letter(clean):
    (lesson,) = lessons(read_samples([clean]).samples)
    page = ElementTree.fromstring(lesson_plot(lesson))
    thread, verdict = (page.find(f".//{SVG}g[@id='{i}']") for i in ("thread-1", "verdict"))

    filled = [p for p in thread.iter(f"{SVG}path") if p.get("stroke-width") == "0.25"]
    key = 5  # of its shapes, the cross apart
    lines = 2  # zero and foot
    assert len(filled) == 72 + key + lines
    ticks = next(p for p in verdict.iter(f"{SVG}path") if p.get("stroke-opacity") == "0.6")
    assert ticks.get("d").count("M") == len(lesson.limits.read) == 65


def test_the_plot_of_a_lesson_is_valid_svg_1_1(panel):
    """By the DTD of the W3C, 16 August 2011; with an outlier."""
    dtd = etree.DTD(str(svg_dtd()))
    (lesson,) = lessons(read_samples([panel]).samples)
    assert lesson.threads[0].outliers
    page = etree.fromstring(lesson_plot(lesson).encode())
    assert dtd.validate(page), dtd.error_log.filter_from_errors()


def test_plot_of_too_little_says_so():
    (lesson,) = lessons(bars(Truth(), np.random.default_rng(1))[:3])
    page = ElementTree.fromstring(lesson_plot(lesson))
    assert "Too little was measured." in [t.text for t in page.iter(f"{SVG}text")]


def test_too_little_is_refused_with_what_is_missing_and_no_cloth_file(tmp_path):
    path = tmp_path / "few.csv"
    rows = [row for row in simulated_panel() if int(row["number"]) in (1, 2, 3, 50, 60)]
    path.write_bytes(table_csv(COLUMNS, rows))
    result = run("learn", path, "--out", tmp_path / "out")

    assert result.exit_code == 1
    assert "pull: 6 measured widths of bars, 6 more are needed" in result.stdout
    assert "limits: 2 letters, 28 more are needed" in result.stdout
    assert not (tmp_path / "out").exists()


def test_too_little_is_kept_in_the_log_for_the_next_time(tmp_path):
    rows = simulated_panel()
    halves = {"a.csv": rows[:5], "b.csv": rows[5:]}
    for name, half in halves.items():
        half[0] = {**half[0], "date": "2026-11-20"}
        (tmp_path / name).write_bytes(table_csv(COLUMNS, half))
    log = tmp_path / "log.csv"
    first = run("learn", tmp_path / "a.csv", "--out", tmp_path / "out", "--log", log)

    assert first.exit_code == 0
    assert "too little to learn from yet" in first.stdout
    assert not (tmp_path / "out").exists()
    second = run("learn", tmp_path / "b.csv", log, "--out", tmp_path / "out")
    assert second.exit_code == 0
    assert cloth_from(tmp_path / "out" / "pique.cloth.toml").sewn[0].samples == 72


def test_what_no_cloth_can_do_is_refused_and_nothing_is_written(tmp_path):
    """Bars sewn 3 mm narrower than planned: 1.5 mm of pull on each side."""
    rows = [
        {**r, "needle_mm": f"{float(r['needle_mm']) + 3.0}"} if r["kind"] == "bar" else r
        for r in simulated_panel()
    ]
    path = tmp_path / "p.csv"
    path.write_bytes(table_csv(COLUMNS, rows))
    result = run("learn", path, "--out", tmp_path / "out")

    assert result.exit_code == 1
    assert "sewn[1].pull_mm is 1.6" in result.stderr
    assert result.stderr.count("\n") == 1
    assert not (tmp_path / "out").exists()


def test_an_earlier_cloth_file_is_kept(clean, tmp_path):
    learn([clean], tmp_path)
    first = (tmp_path / "pique.cloth.toml").read_bytes()
    other = tmp_path / "other.csv"
    other.write_bytes(table_csv(COLUMNS, simulated_panel(seed=77)))
    learn([other], tmp_path)

    assert (tmp_path / "pique.cloth.old-1.toml").read_bytes() == first
    assert (tmp_path / "pique.cloth.toml").read_bytes() != first


def test_learning_twice_gives_the_same_bytes(clean, tmp_path):
    for folder in ("a", "b"):
        learn([clean], tmp_path / folder)
    for name in ("pique.cloth.toml", "pique.learnt.svg"):
        assert (tmp_path / "a" / name).read_bytes() == (tmp_path / "b" / name).read_bytes()


def test_an_unknown_cloth_asks_what_it_is_like(tmp_path):
    path = tmp_path / "p.csv"
    path.write_bytes(table_csv(COLUMNS, [{**r, "cloth": "sail"} for r in simulated_panel()]))
    refused = run("learn", path, "--out", tmp_path)
    taken = run("learn", path, "--out", tmp_path, "--like", "twill")

    assert refused.exit_code == 1
    assert "cloth 'sail' is not listed; say with --like" in refused.stderr
    assert taken.exit_code == 0
    assert cloth_from(tmp_path / "sail.cloth.toml").name == "sail"


def test_json_has_the_figures_of_the_words(clean, tmp_path):
    data = json.loads(run("learn", clean, "--json", "--out", tmp_path).stdout)
    thread = data["lessons"][0]["threads"][0]
    assert thread["pull"]["samples"] == 56
    assert thread["allowance"]["value"] == pytest.approx(
        thread["pull"]["value"] - thread["overhang"]["value"], abs=2e-6
    )


def test_rows_of_which_the_same_is_said_are_told_in_one_line():
    same = {"file": "form.csv", "field": "counter", "said": "open", "rule": "write a length"}
    other = Fault(file="form.csv", row=9, field="edge", said="wide", rule="write a length")
    lines = fault_lines([*(Fault(row=row, **same) for row in (39, 40, 41, 44)), other])

    assert lines == [
        "form.csv, rows 39–41, 44: counter is 'open': write a length (left out)",
        "form.csv, row 9: edge is 'wide': write a length (left out)",
    ]


def test_a_fault_names_file_row_cell_and_rule(panel):
    lines = fault_lines(read_samples([panel]).faults)
    assert f"{panel}, row 17: edge is 'about 1': write a length" in lines[0]
