"""Labels beside the rows of a panel: their place and words, and that they change no row."""

import json

import numpy as np
import pytest
from click.testing import CliRunner
from lxml import etree

from pathgen import plan, read
from pathgen.cli import main
from pathgen.lines import AskedLine
from pathgen.orders.panel import plan_panel
from pathgen.orders.row_labels import GAP_MM, LABEL_MM
from pathgen.verdicts import Verdict
from pathgen.writers.panel_form import panel_forms
from pathgen.writers.plot_svg import plot_svg

SIGNS = {"40": "5/40 3.5/40", "60": "5/60 3.5/60"}


@pytest.fixture(scope="module")
def bare():
    return plan_panel("Quay", [5.0, 3.5], ["40", "60"])


@pytest.fixture(scope="module")
def made():
    return plan_panel("Quay", [5.0, 3.5], ["40", "60"], labels=True)


def labels_of(panel):
    """Letters of the labels by the baseline that they stand on, top to bottom."""
    lines = [n for n, line in enumerate(panel.plan.by_line, 1) if line.is_label]
    out = {}
    for letter in panel.plan.letters:
        if letter.line in lines:
            out.setdefault(round(-letter.at_mm[1], 6), []).append(letter)
    return dict(sorted(out.items()))


def test_each_label_says_height_and_thread_on_the_baseline_of_its_row(made):
    told = {at: "".join(k.text for k in letters) for at, letters in labels_of(made).items()}

    assert told == {
        round(row.down_mm, 6): f"{row.settings.height_mm:g}/{row.settings.thread.key}"
        for row in made.rows
    }
    assert [row.label for row in made.rows] == list(told.values())


def test_labels_of_a_thread_are_a_line_of_the_plan_with_its_letters_numbered(made):
    lines = [line for line in made.plan.by_line if line.is_label]

    assert [line.text for line in lines] == list(SIGNS.values())
    for number, line in enumerate(lines, len(made.rows) + 1):
        letters = [k for k in made.plan.letters if k.line == number]
        assert [line.text[k.index - 1] for k in letters] == [k.text for k in letters]
        assert "".join(k.text for k in letters) == line.text.replace(" ", "")


@pytest.mark.parametrize("align", ["left", "centre", "right"])
def test_all_labels_end_at_one_edge_left_of_every_row(align):
    panel = plan_panel(
        "Quay", [6.0, 3.0], ["60"], AskedLine(text="", asked={"align": align}), labels=True
    )
    left = min(p.bounds[0] for row in panel.rows for k in row.letters for p in k.ink)
    for letters in labels_of(panel).values():
        right = max(p.bounds[2] for k in letters for p in k.ink)
        assert right == pytest.approx(left - GAP_MM, abs=1e-9)


def test_labels_change_no_row(made, bare):
    """Needle points of the rows are those without labels, and their counts and verdicts too."""
    rows = made.plan.needles[made.plan.needles["line"] <= len(made.rows)]

    for name in ("x_mm", "y_mm", "part", "letter", "column", "side"):
        assert np.array_equal(rows[name], bare.plan.needles[name])
    assert [r.stitches for r in made.rows] == [r.stitches for r in bare.rows]
    assert [r.reading.verdict for r in made.rows] == [r.reading.verdict for r in bare.rows]


def test_labels_are_sewn_after_the_rows_of_their_thread_and_counted(made, bare):
    needles = made.plan.needles
    order = list(dict.fromkeys(needles["line"].tolist()))
    counts = {c.line: c.stitches for c in made.plan.counts if c.scope == "line"}

    assert order == [1, 2, 5, 3, 4, 6]
    assert made.plan.changes == 1
    assert counts == {line: int((needles["line"] == line).sum()) for line in order}
    assert made.plan.whole.stitches == len(needles) == sum(counts.values())
    assert made.plan.whole.stitches > bare.plan.whole.stitches


@pytest.mark.parametrize("thread", ["40", "60", "20tex"])
def test_a_label_reads_well_in_its_thread_however_small_the_row(thread):
    panel = plan_panel("Quay", [2.0], [thread], labels=True)
    (line,) = [line for line in panel.plan.by_line if line.is_label]
    alone = plan(line.text, height_mm=line.settings.height_mm, thread=thread)

    assert line.settings.height_mm == max(LABEL_MM, line.settings.least_height_mm)
    assert read(alone).verdict is Verdict.READS_WELL
    assert line.settings.spacing_mm == alone.settings.spacing_mm


def test_a_thread_by_count_is_named_by_its_count():
    panel = plan_panel("Quay", [4.0], ["27tex"], labels=True)

    assert [row.label for row in panel.rows] == ["4/27tex"]


def test_a_face_of_the_users_own_does_not_set_the_labels():
    panel = plan_panel("Quay", [4.0], ["60"], AskedLine(text="", face="tholepin"), labels=True)

    assert [line.face.name for line in panel.plan.by_line] == ["Tholepin", "Fairlead Plain"]


def test_title_heights_and_brackets_tell_of_the_rows_alone(made):
    tree = etree.fromstring(plot_svg(made.plan).encode())
    texts = ["".join(t.itertext()) for t in tree.iter("{*}text")]

    assert texts.count("Quay (4 times)") == 1
    assert [t for t in texts if t.startswith("H ")] == ["H 5 mm", "H 3.5 mm"] * 2
    assert any("capitals 5 and 3.5 mm" in t for t in texts)
    assert texts[texts.index("labels of rows") : texts.index("labels of rows") + 3] == [
        "labels of rows", "4 mm", "panel",
    ]  # fmt: skip


def test_the_form_tells_the_label_of_each_row(made):
    (page,) = panel_forms(made.plan, made.rows)

    assert ">Row 4: 3.5 mm, 60 wt; labelled 3.5/60<" in page


def run(folder, *args):
    result = CliRunner().invoke(
        main, ["panel", "Quay", "--heights", "5,3", "--out", str(folder), *args]
    )
    assert result.exit_code == 0, result.output
    return result.stdout


def test_the_command_sews_labels_unless_told_not_to(tmp_path):
    told = run(tmp_path)
    plain = run(tmp_path, "--no-labels")
    rows = json.loads(run(tmp_path, "--json"))["rows"]

    assert "  labels    of 4 mm beside the rows take " in told
    assert "  labels  " not in plain
    assert [row["label"] for row in rows] == ["5/40", "3/40", "5/60", "3/60"]
