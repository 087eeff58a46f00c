"""A trial panel: what is sewn is known, the form asks for it, and nothing earlier is lost."""

import csv
import io
import math
import re
from xml.etree import ElementTree

import numpy as np
import pytest
from click.testing import CliRunner
from lxml import etree
from outside import svg_dtd

from pathgen.cli import main
from pathgen.needles import Part, places_mm
from pathgen.orders.gauges import (
    BAR_WIDTHS_MM,
    COUNTERS_MM,
    gauge_plan,
    gauges,
    needle_sizes_mm,
)
from pathgen.orders.samples import COLUMNS, FILLED
from pathgen.orders.trial import HEIGHTS_MM, SIGNS, trial, trial_files
from pathgen.shop.recipes import settings_for

ALLOWANCE_MM = 0.15


def run(*args):
    return CliRunner().invoke(main, [str(a) for a in args])


@pytest.fixture(scope="module")
def made():
    return trial("twill-60", heights_mm=(4.0, 2.0), signs="aeR8", asked={"thread": "60"})


@pytest.fixture(scope="module")
def bars():
    return gauge_plan(settings_for(thread="60", options={"pull_mm": ALLOWANCE_MM}))


def test_every_width_runs_in_four_directions_and_every_counter_is_there():
    plain = [g for g in gauges() if g.kind == "bar" and g.underlay == "none"]

    assert (min(BAR_WIDTHS_MM), max(BAR_WIDTHS_MM)) == (0.6, 3.0)
    for angle in (0.0, 45.0, 90.0, 135.0):
        assert [g.drawn_mm for g in plain if g.direction_deg == angle] == list(BAR_WIDTHS_MM)
    assert [g.drawn_mm for g in gauges() if g.kind == "ring"] == list(COUNTERS_MM)
    assert [g.number for g in gauges()] == list(range(1, len(gauges()) + 1))


def test_a_bar_has_its_needle_points_the_allowance_outside_its_width(bars):
    """A bar of width w at 0.15 a side: w + 0.3 between needle points (60 wt widens none)."""
    sizes = dict(zip(gauges(), needle_sizes_mm(bars), strict=True))
    for gauge, size in sizes.items():
        if gauge.kind == "bar":
            assert size == pytest.approx(gauge.drawn_mm + 2 * ALLOWANCE_MM, abs=1e-6)


def test_a_rings_needle_points_leave_the_counter_less_the_allowance(bars):
    """Where the counter is wide enough for its points: d - 0.3 clear, 1 % for the chords."""
    sizes = dict(zip(gauges(), needle_sizes_mm(bars), strict=True))
    wide = [(g, size) for g, size in sizes.items() if g.kind == "ring" and g.drawn_mm >= 1.0]
    assert len(wide) == 4
    for gauge, size in wide:
        assert size == pytest.approx(gauge.drawn_mm - 2 * ALLOWANCE_MM, rel=0.02)


def test_a_bar_that_is_widened_says_so_in_its_needle_width():
    """40 wt sews no column under 1 mm: 0.6 and 0.1 a side are widened to 1.0."""
    plan = gauge_plan(settings_for(thread="40", options={"pull_mm": 0.1}))
    assert next(needle_sizes_mm(plan)) == pytest.approx(1.0, abs=1e-6)


def test_gauges_keep_apart_and_run_as_they_say(bars):
    table, xy = bars.needles, places_mm(bars.needles)
    boxes = []
    for gauge in gauges():
        own = xy[(table["line"] == gauge.line) & (table["letter"] == gauge.place)]
        boxes.append((own.min(axis=0), own.max(axis=0)))
        if gauge.kind == "bar":
            off = own - gauge.centre_mm
            main_axis = np.linalg.svd(off - off.mean(axis=0))[2][0]
            angle = math.degrees(math.atan2(main_axis[1], main_axis[0])) % 180.0
            if gauge.drawn_mm <= 2.0:
                off_deg = abs((angle - gauge.direction_deg + 90.0) % 180.0 - 90.0)
                assert off_deg < 3.0
    for n, (low, high) in enumerate(boxes):
        for low2, high2 in boxes[n + 1 :]:
            gap = np.maximum(low2 - high, low - high2).max()
            assert gap > 0.8


def test_only_the_bars_over_underlay_have_some(bars):
    table = bars.needles
    with_run = set(table["line"][table["part"] == Part.UNDERLAY].tolist())
    assert with_run == {g.line for g in gauges() if g.underlay != "none"}


def test_the_form_has_a_row_for_each_thing_and_only_what_is_measured_is_empty(made):
    rows = list(csv.DictReader(io.StringIO(trial_files(made)["twill-60.form.csv"].decode())))

    assert list(rows[0]) == list(COLUMNS)
    assert len(rows) == len(gauges()) + 2 * 4
    assert [row["number"] for row in rows] == [str(n) for n in range(1, len(rows) + 1)]
    for row in rows:
        assert not any(row[name] for name in FILLED)
        assert row["thread"] == "60 wt"
        assert row["cloth"] == "backed twill"
    letters = [row for row in rows if row["kind"] == "letter"]
    assert {(row["text"], row["height_mm"]) for row in letters} == {
        (sign, height) for sign in "aeR8" for height in ("4", "2")
    }
    assert all(-1.0 <= float(row["margin"]) <= 1.0 for row in letters)


def test_the_margin_is_the_one_that_the_verdict_foretells(made):
    from pathgen import read

    margins = {(r.line, r.letter): r.margin for r in read(made.letters).letters}
    rows = [row for row in made.rows if row["kind"] == "letter"]
    for row, letter in zip(rows, made.letters.letters, strict=True):
        assert float(row["margin"]) == pytest.approx(margins[letter.line, letter.index], abs=1e-4)


def test_the_printed_form_numbers_every_gauge_and_has_a_box_for_each_measure(made):
    page = ElementTree.fromstring(trial_files(made)["twill-60.form.svg"].decode())
    svg = "{http://www.w3.org/2000/svg}"
    texts = [node.text for node in page.iter(f"{svg}text")]
    boxes = len(list(page.iter(f"{svg}rect"))) - 1  # the page itself

    assert page.get("width") == "210mm"
    for gauge in gauges():
        assert texts.count(str(gauge.number)) >= 2  # on the map and in the table
    bars = sum(g.kind == "bar" for g in gauges())
    assert boxes == 2 * bars + len(COUNTERS_MM) + 2 * 4


def test_the_form_and_the_plots_are_valid_svg_1_1(made):
    """By the DTD of the W3C, 16 August 2011."""
    dtd = etree.DTD(str(svg_dtd()))
    for name, data in trial_files(made).items():
        if name.endswith(".svg"):
            assert dtd.validate(etree.fromstring(data)), dtd.error_log.filter_from_errors()


def test_default_panel_asks_for_letters_at_five_heights():
    assert HEIGHTS_MM == (6.0, 5.0, 4.0, 3.0, 2.0)
    assert len(set(SIGNS)) == len(SIGNS)
    assert len(SIGNS) * len(HEIGHTS_MM) >= 60


def test_trial_writes_plots_tables_and_forms(tmp_path):
    result = run("trial", "--heights", "4", "--letters", "ae", "--name", "p1", "--out", tmp_path)

    assert result.exit_code == 0
    assert sorted(p.name for p in tmp_path.iterdir()) == sorted(
        f"p1.{kind}"
        for kind in (
            "bars.svg",
            "bars.needles.csv",
            "bars.counts.csv",
            "letters.svg",
            "letters.needles.csv",
            "letters.counts.csv",
            "form.svg",
            "form.csv",
        )
    )


def test_a_filled_form_is_kept_when_the_trial_is_planned_again(tmp_path):
    asked = ("trial", "--heights", "4", "--letters", "ae", "--name", "p1", "--out", tmp_path)
    run(*asked)
    form = tmp_path / "p1.form.csv"
    form.write_text("filled in by hand")
    again = run(*asked)

    assert (tmp_path / "p1.form.old-1.csv").read_text() == "filled in by hand"
    assert "p1.form.old-1.csv" in again.stdout
    form.write_text("filled in once more")
    run(*asked)
    assert (tmp_path / "p1.form.old-1.csv").read_text() == "filled in by hand"
    assert (tmp_path / "p1.form.old-2.csv").read_text() == "filled in once more"
    before = len(list(tmp_path.iterdir()))
    run(*asked)
    assert len(list(tmp_path.iterdir())) == before


@pytest.mark.parametrize(
    ("args", "message"),
    [
        (("--heights", "tall"), "--heights is 'tall'; write a number"),
        (("--heights", "0.5"), "0.5; allowed 1 to 100"),
        (("--heights", ",".join(map(str, range(1, 60)))), "allowed 600 in all"),
        (("--letters", " "), "text is empty"),
        (("--name", "../p"), "--name is '../p'"),
        (("--cloth", "tin"), "--cloth is 'tin'"),
        (("--fill", "a=b"), "--fill is 'a=b'; it fills the texts of a job file"),
    ],
)
def test_bad_input_is_one_line_and_no_file(tmp_path, args, message):
    result = run("trial", *args, "--out", tmp_path / "out")

    assert result.exit_code == 1
    assert result.stderr.count("\n") == 1
    assert message in result.stderr
    assert not (tmp_path / "out").exists()


def test_a_form_for_spreadsheets_with_decimal_commas_is_read_like_the_other(tmp_path):
    """A bar of 0.6 and 0.2 a side is 1.0 between needle points; 3 mm bars are 3.4."""
    from pathgen.orders.samples import read_samples

    run("trial", "--name", "p", "--letters", "ae", "--decimal-comma", "--out", tmp_path)
    data = (tmp_path / "p.form.csv").read_bytes()
    text = data.decode("utf-8-sig")
    assert data.startswith(b"\xef\xbb\xbf")
    assert "1;bar;0;0,6;" in text
    lines = text.replace("\r\n", "\n").splitlines()
    head = lines[0].split(";")
    cells = lines[1].split(";")
    cells[head.index("edge")], cells[head.index("date")] = "0,85", "2027-03-01"
    (tmp_path / "p.form.csv").write_text("\n".join([lines[0], ";".join(cells)]), encoding="utf-8")
    (sample,) = read_samples([tmp_path / "p.form.csv"]).samples
    assert (sample.drawn_mm, sample.needle_mm, sample.edge_mm) == (0.6, 1.0, 0.85)


def test_an_x_height_is_for_the_bars_recipe_and_not_for_the_letters():
    made = trial("p", heights_mm=(5.0, 3.0), signs="ae", asked={"x_height_mm": 3.0})
    assert [line.settings.height_mm for line in made.letters.by_line] == [5.0, 3.0]


@pytest.mark.parametrize(
    ("signs", "said"),
    [
        ("aeR8", "Letters at true size"),
        ("aceghknosBR38" * 2, "Letters at true size"),
        ("aceghknosBR38" * 4, "The letters are wider than this sheet: see wide.letters.svg"),
    ],
)
def test_letters_stay_on_the_sheet_or_are_said_to_be_elsewhere(signs, said):
    made = trial("wide", heights_mm=(6.0, 2.0), signs=signs)
    page = ElementTree.fromstring(trial_files(made)["wide.form.svg"].decode())
    svg = "{http://www.w3.org/2000/svg}"

    assert any((node.text or "").startswith(said) for node in page.iter(f"{svg}text"))
    tall = float(page.get("height").removesuffix("mm"))
    used = [
        float(n)
        for n in re.findall(r"translate\(12 ([\d.]+)\)", ElementTree.tostring(page, "unicode"))
    ]
    assert max(used) < tall - 12.0
    maps = page.find(f".//{svg}g[@id='map']")
    for one in maps.iter(f"{svg}g"):
        shift = re.match(r"translate\(([-\d.]+) ", one.get("transform", ""))
        if shift and one is not maps:
            data = " ".join(p.get("d") for p in one.findall(f"{svg}path"))
            xs = [float(x) for x in re.findall(r"(-?[\d.]+) -?[\d.]+", data)]
            assert max(xs) + float(shift[1]) <= 186.5  # of the sheet, its margins apart
