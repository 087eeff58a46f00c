"""Sheets that an earlier run of the same name took more of: they go, nothing else does."""

import os

import pytest
from click.testing import CliRunner

from pathgen.cli import main
from pathgen.errors import OutputError
from pathgen.writers import files
from pathgen.writers.files import write_together
from pathgen.writers.leftovers import left_over

LONG, SHORT = "Harbour Bakery and Chandlery of the Net Loft", "Quay"


def run(*args):
    result = CliRunner().invoke(main, [str(a) for a in args])
    assert result.exit_code == 0, result.output
    return result.stdout


def names(folder):
    return sorted(path.name for path in folder.iterdir())


def plotted(folder, text, *more):
    return run("plot", text, "--height", "8", "--name", "x", "--out", folder, *more)


def test_a_plot_that_needs_fewer_sheets_leaves_none_of_the_earlier_ones(tmp_path):
    plotted(tmp_path, LONG, "--page-size", "a4")
    sheets = [n for n in names(tmp_path) if "sheet" in n]
    assert sheets == ["x.sheet-2.svg", "x.sheet-3.svg", "x.sheet-4.svg"]

    plotted(tmp_path, "Harbour Bakery Chandlery", "--page-size", "a4")
    fewer = [n for n in names(tmp_path) if "sheet" in n]
    assert fewer == sheets[: len(fewer)]
    assert 0 < len(fewer) < 3

    plotted(tmp_path, SHORT)
    assert names(tmp_path) == ["x.counts.csv", "x.needles.csv", "x.svg"]


def test_a_form_that_needs_fewer_pages_leaves_none_of_the_earlier_ones(tmp_path):
    panel = ("panel", SHORT, "--name", "x", "--out", tmp_path, "--threads", "40", "--heights")
    run(*panel, "8,7.5,7,6.5,6,5.5,5,4.5,4,3.5")
    assert "x.form-2.svg" in names(tmp_path)

    run(*panel, "6,5")
    assert [n for n in names(tmp_path) if "form" in n] == ["x.form.svg"]


def sheet(number, of=9, kind="sheet"):
    return f"<svg><title>Quay, {kind} {number} of {of}</title><desc>Plan</desc></svg>"


def test_only_files_that_say_themselves_that_they_are_ours_go(tmp_path):
    (tmp_path / "x.sheet-2.svg").write_text(sheet(2))
    (tmp_path / "x.sheet-10.svg").write_text(sheet(10, 10))
    stay = {
        "x.sheet-3.svg": sheet(4),  # says that it is another one
        "x.sheet-4.svg": "<svg><title>Quay</title><desc>Plan</desc></svg>",
        "x.sheet-5.svg": sheet(5, kind="page"),
        "x.sheet-6.svg": "sheet 6 of 9",
        "x.sheet-07.svg": sheet(7),
        "x.sheet-1.svg": sheet(1),
        "x.sheet-8.svg.bak": sheet(8),
        "X.sheet-8.svg": sheet(8),
        "xy.sheet-8.svg": sheet(8),
        "x-sheet-9.svg": sheet(9),
    }
    for name, text in stay.items():
        (tmp_path / name).write_text(text)
    (tmp_path / "x.sheet-11.svg").symlink_to(tmp_path / "x.sheet-2.svg")
    (tmp_path / "x.sheet-12.svg").mkdir()

    found = left_over(tmp_path, "x", "sheet", "sheet", 1)

    assert found == ["x.sheet-2.svg", "x.sheet-10.svg"]
    assert left_over(tmp_path, "x", "sheet", "sheet", 2) == ["x.sheet-10.svg"]
    assert left_over(tmp_path / "none", "x", "sheet", "sheet", 1) == []


def test_a_name_is_taken_as_it_is_written_not_as_a_pattern(tmp_path):
    (tmp_path / "xy.sheet-2.svg").write_text(sheet(2))

    assert left_over(tmp_path, "x.", "sheet", "sheet", 1) == []
    assert left_over(tmp_path, "[x]y", "sheet", "sheet", 1) == []


@pytest.mark.parametrize("failing", ["replace", "unlink"])
def test_what_would_go_stays_if_the_new_files_cannot_be_written(tmp_path, monkeypatch, failing):
    (tmp_path / "a.svg").write_bytes(b"old")
    (tmp_path / "a.sheet-2.svg").write_bytes(b"second")
    (tmp_path / "a.sheet-3.svg").write_bytes(b"third")
    rename, taken, unlink = os.replace, [], files.Path.unlink

    def replace(source, target):
        if failing == "replace" and str(target).endswith("a.svg") and not taken:
            taken.append(target)
            raise OSError(5, "Input/output error")
        rename(source, target)

    def gone(self, missing_ok=False):
        if failing == "unlink" and self.name == "a.sheet-3.svg":
            raise OSError(13, "Permission denied")
        unlink(self, missing_ok=missing_ok)

    monkeypatch.setattr(files.os, "replace", replace)
    monkeypatch.setattr(files.Path, "unlink", gone)
    with pytest.raises(OutputError):
        write_together(tmp_path, {"a.svg": b"new"}, without=("a.sheet-2.svg", "a.sheet-3.svg"))

    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == {
        "a.svg": b"old",
        "a.sheet-2.svg": b"second",
        "a.sheet-3.svg": b"third",
    }


def test_a_page_of_an_earlier_plan_stays_and_is_told(tmp_path):
    with_page = plotted(tmp_path, LONG, "--page", "--sewn")
    without = plotted(tmp_path, SHORT, "--sewn")

    assert "of an earlier run" not in with_page
    assert f"  old       {tmp_path / 'x.review.html'}, of an earlier run\n" in without
    assert "x.sewn.svg, of an earlier" not in without
    assert "x.review.html" in names(tmp_path)
