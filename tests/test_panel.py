"""Trial panels: each row as it would be alone, threads together, and a form to write on."""

import re

import numpy as np
import pytest
from click.testing import CliRunner
from lxml import etree

from pathgen import SettingsError, plan, read
from pathgen.cli import main
from pathgen.lines import AskedLine
from pathgen.orders.panel import plan_panel
from pathgen.writers.panel_form import panel_forms
from pathgen.writers.reading_words import VERDICT_WORDS


@pytest.fixture(scope="module")
def made():
    return plan_panel("Quay", [5.0, 3.0], ["40", "60"])


@pytest.fixture(scope="module")
def form(made):
    (page,) = panel_forms(made.plan, made.rows)
    return etree.fromstring(page.encode())


def shown(element):
    return ["".join(text.itertext()) for text in element.iter("{*}text")]


def row_of(form, number):
    (row,) = form.xpath(f"//*[@id='row-{number}']")
    return row


def run(*args):
    return CliRunner().invoke(main, [str(a) for a in args])


def test_all_rows_of_a_thread_are_sewn_together(made):
    asked = [(r.settings.thread.label, r.settings.height_mm) for r in made.rows]

    assert asked == [("40 wt", 5.0), ("40 wt", 3.0), ("60 wt", 5.0), ("60 wt", 3.0)]
    assert made.plan.changes == 1
    assert np.flatnonzero(np.diff(made.plan.needles["line"].astype(int)) < 0).size == 0


def test_each_row_is_what_a_plan_of_it_alone_would_be(made):
    for row in made.rows:
        alone = plan("Quay", height_mm=row.settings.height_mm, thread=row.settings.thread.key)

        assert row.stitches == alone.whole.stitches
        assert row.width_mm == pytest.approx(np.ptp(alone.needles["x_mm"]), abs=1e-9)
        assert row.settings.spacing_mm == alone.settings.spacing_mm
        assert row.reading.verdict is read(alone).verdict


def test_rows_are_far_enough_apart_to_be_labelled(made):
    """Capitals and 7 mm from baseline to baseline."""
    assert [line.down_mm for line in made.plan.by_line] == [0.0, 10.0, 22.0, 32.0]


def test_the_form_has_boxes_measures_and_remarks_for_every_row(made, form):
    for row in made.rows:
        element = row_of(form, row.number)
        texts = shown(element)

        assert texts[0] == f"Row {row.number}: {row.settings.height_mm:g} mm, " + (
            row.settings.thread.label
        )
        assert len(element.findall(".//{*}rect")) == 3
        assert {"legible", "with effort", "not legible", "remarks"} <= set(texts)
        assert texts[texts.index("capitals") + 1] == f"planned {row.settings.height_mm:g} mm"
        assert texts[texts.index("whole width") + 1] == f"planned {round(row.width_mm, 1):g} mm"
        assert any(f"foretold: {VERDICT_WORDS[row.reading.verdict]}" in text for text in texts)
        assert f"{row.stitches} stitches" in " ".join(texts)


def test_the_stem_to_be_measured_is_told_as_it_is_planned():
    """A bar of 0.72 mm in 40 wt at 5 mm, 0.2 mm allowance a side; the least column is 1 mm."""
    row = plan_panel("I", [5.0], ["40"]).rows[0]
    (box,) = [part.bounds for part in row.letters[0].ink]

    assert row.stem_of == "I"
    assert row.stem_mm == pytest.approx(max(box[2] - box[0] + 0.4, 1.0), abs=0.02)


def test_lettering_on_the_form_has_true_size(made, form):
    ink = row_of(form, 1).findall("./{*}path")[0].get("d")
    numbers = np.array(re.findall(r"-?[\d.]+", ink), float).reshape(-1, 2)
    boxes = np.array([p.bounds for k in made.rows[0].letters for p in k.ink])

    assert form.get("width") == "210mm"
    assert form.get("viewBox") == "0 0 210 297"
    assert np.ptp(numbers[:, 0]) == pytest.approx(boxes[:, 2].max() - boxes[:, 0].min(), abs=0.002)


@pytest.mark.parametrize("text", ["Quay", "Harbour Bakery, bread and hotcakes"])
def test_nothing_on_the_form_leaves_the_page_or_covers_the_boxes(text):
    made = plan_panel(text, [6.0, 4.0], ["60"])
    form = etree.fromstring(panel_forms(made.plan, made.rows)[0].encode())
    for row in made.rows:
        element = row_of(form, row.number)
        ink = np.array(re.findall(r"-?[\d.]+", element.findall("./{*}path")[0].get("d")), float)
        low, high = ink.reshape(-1, 2).min(axis=0), ink.reshape(-1, 2).max(axis=0)
        assert low[0] >= 13.9
        assert high[0] <= 196.1
        for box in element.iter("{*}rect"):
            x, y = (float(box.get(k)) for k in ("x", "y"))
            assert high[0] < x or high[1] < y


def test_many_rows_take_several_pages():
    made = plan_panel("I", [float(h) for h in range(3, 17)], ["60"])
    pages = panel_forms(made.plan, made.rows)
    rows = [len(re.findall(r'id="row-', page)) for page in pages]

    assert len(pages) == 3
    assert sum(rows) == 14
    assert "page 2 of 3" in pages[1]


def test_settings_of_all_rows_hold_and_cloth_too():
    line = AskedLine(text="", face="tholepin", asked={"cloth": "pique", "line_spacing_mm": 12.0})
    made = plan_panel("I", [4.0, 3.0], ["60"], line)

    assert {r.settings.cloth.name for r in made.rows} == {"pique"}
    assert made.plan.by_line[1].down_mm == 12.0
    assert made.plan.face.name == "Tholepin"


def test_the_command_writes_plot_tables_and_form(tmp_path):
    result = run("panel", "Quay", "--heights", "5,3mm", "--threads", "60", "--out", tmp_path)

    assert result.exit_code == 0
    assert sorted(p.name for p in tmp_path.iterdir()) == [
        "panel-quay.counts.csv",
        "panel-quay.form.svg",
        "panel-quay.needles.csv",
        "panel-quay.svg",
    ]
    assert re.search(r"1  5 mm +60 wt +\d+ stitches +reads well\n", result.stdout)


def test_the_plot_of_a_panel_is_put_on_sheets_of_a_printer(tmp_path):
    command = ("panel", "Quay", "--heights", "7,6,5,4", "--out", tmp_path)
    assert run(*command, "--page-size", "a4").exit_code == 0
    sheets = sorted(tmp_path.glob("panel-quay.sheet-*.svg"))
    assert sheets
    for file in (tmp_path / "panel-quay.svg", *sheets):
        tree = etree.parse(file).getroot()
        assert (tree.get("width"), tree.get("height")) == ("297mm", "210mm")

    assert run(*command).exit_code == 0
    assert not list(tmp_path.glob("panel-quay.sheet-*.svg"))


BAD = {
    "no height": (("--heights", "5,,4"), "--heights is '5,,4'; write them with commas between"),
    "bad height": (("--heights", "5,tall"), "--heights is 'tall'; write a number"),
    "height out of range": (("--heights", "500"), "--heights is 500; allowed 1 to 100 mm"),
    "bad thread": (("--threads", "40,50"), "--threads is '50'; choose"),
    "one height": (("--height", "5"), "--height is given, but a panel has several; use --heights"),
    "one thread": (("--thread", "40"), "--thread is given, but a panel has several; use --threads"),
    "bad page": (("--page-size", "a3"), "--page-size is 'a3'; choose a4 or letter"),
    "too many": (("--heights", ",".join(map(str, range(2, 40)))), "the panel has 76 rows; allowed"),
}


def test_a_panel_of_several_lines_is_refused():
    with pytest.raises(SettingsError, match="a panel sews one line at each height"):
        plan_panel("Net\nLoft", (4.0, 5.0), ("40",))


@pytest.mark.parametrize("case", BAD)
def test_bad_input_is_one_line_and_no_file(case, tmp_path):
    args, message = BAD[case]
    result = run("panel", "Quay", *args, "--out", tmp_path / "out")

    assert result.exit_code == 1
    assert message in result.stderr
    assert result.stderr.count("\n") == 1
    assert not (tmp_path / "out").exists()
