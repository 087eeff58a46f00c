"""The command line as a user meets it: one line for a bad input, and nothing half-written."""

import json
import subprocess
import sys

import pytest
from click.testing import CliRunner
from outside import font_file

from pathgen import __version__
from pathgen.cli import main

TABLES = ("needles.csv", "counts.csv")


def run(*args, **kwargs):
    return CliRunner().invoke(main, [str(a) for a in args], **kwargs)


def test_plot_writes_three_files_and_a_summary(tmp_path):
    result = run("plot", "Harbour Bakery", "--height", "5", "--out", tmp_path)

    assert result.exit_code == 0
    assert sorted(p.name for p in tmp_path.iterdir()) == [
        "harbour-bakery.counts.csv",
        "harbour-bakery.needles.csv",
        "harbour-bakery.svg",
    ]
    assert "stitches" in result.stdout
    assert "An estimate until it has been sewn" in result.stdout


def test_json_is_all_that_is_printed(tmp_path):
    result = run("plot", "Quay", "--json", "--out", tmp_path)
    data = json.loads(result.stdout)

    assert result.stderr == ""
    assert data["stitches"] == sum(data["stitches_by_part"].values())
    assert data["files"] == [str(tmp_path / f"quay.{e}") for e in ("svg", *TABLES)]


@pytest.mark.parametrize(
    "lines", [("Quay", "est. 1974"), (r"Quay\nest. 1974",), ("Quay\nest. 1974",)]
)
def test_several_lines_may_be_given_in_three_ways(tmp_path, lines):
    result = run("plot", *lines, "--json", "--out", tmp_path)

    assert json.loads(result.stdout)["lines"] == ["Quay", "est. 1974"]


BAD = {
    "empty text": ((" ",), "text is empty"),
    "control character": (("a\x07b",), r"text line 1, character 2 is U+0007, a control character"),
    "tab": (("a\tb",), "U+0009"),
    "unknown letter": (("Mała 漢",), "face lacks '漢' (U+6F22), letter 6 of line 1"),
    "missing font": (("a", "--face", "gone.ttf"), "font gone.ttf does not exist"),
    "unknown face": (("a", "--face", "gone"), "face 'gone' is neither a file nor a bundled face"),
    "malformed font": (("a", "--face", __file__), "is not a font"),
    "folder as font": (("a", "--face", "/"), "is not a file"),
    "spacing 0": (("a", "--spacing", "0"), "--spacing is 0; allowed 0.15 to 2"),
    "height 1e9": (("a", "--height", "1e9"), "--height is 1e+09; allowed 1 to 100"),
    "height negative": (("a", "--height=-5"), "--height is -5; allowed 1 to 100"),
    "height nan": (("a", "--height", "nan"), "--height is 'nan'; write a number"),
    "height inf": (("a", "--height", "inf"), "--height is 'inf'; write a number"),
    "height words": (("a", "--height", "tall"), "--height is 'tall'; write a number"),
    "height furlongs": (("a", "--height", "1furlong"), "--height is '1furlong'"),
    "speed nan": (("a", "--speed", "nan"), "--speed is nan; allowed 50 to 2000"),
    "name with slash": (("a", "--name", "x/y"), "--name is 'x/y'"),
    "name above": (("a", "--name", ".."), "--name is '..'"),
    "name hidden": (("a", "--name", ".x"), "--name is '.x'"),
    "name empty": (("a", "--name", ""), "--name is ''"),
    "thread": (("a", "--thread", "50"), "--thread is '50'; choose a weight (40, 60, "),
    "needle": (("a", "--needle", "75/9"), "--needle is '75/9'; choose one of"),
    "cloth": (("a", "--cloth", "tin"), "--cloth is 'tin'; choose one of"),
    "underlay": (
        ("a", "--underlay", "lots"),
        "--underlay is 'lots'; choose none, centre-run, edge-run or zigzag",
    ),
    "align": (("a", "--align", "up"), "--align is 'up'; choose left, centre or right"),
    "arc too small": (("Harbour Bakery", "--arc", "6"), "goes more than once around"),
    "axis": (("a", "--axis", "wght"), "--axis is 'wght'; write a tag and a number"),
    "no such axis": (("a", "--axis", "wght=700"), "has no axis 'wght'"),
    "index": (("a", "--face-index", "1"), "has no face 1; allowed 0 to 0"),
}


@pytest.mark.parametrize("case", BAD)
def test_bad_input_is_one_line_exit_code_1_and_no_file(tmp_path, case):
    args, message = BAD[case]
    result = run("plot", *args, "--out", tmp_path / "out")

    assert result.exit_code == 1
    assert result.stdout == ""
    assert result.stderr.startswith("pathgen: ")
    assert result.stderr.count("\n") == 1
    assert message in result.stderr
    assert not (tmp_path / "out").exists()


def test_folder_that_is_a_file_is_refused_and_left_alone(tmp_path):
    (tmp_path / "out").write_text("mine")
    result = run("plot", "a", "--out", tmp_path / "out")

    assert result.exit_code == 1
    assert result.stderr.count("\n") == 1
    assert (tmp_path / "out").read_text() == "mine"


@pytest.mark.parametrize(("height", "code"), [("5", 0), ("3", 3)])
def test_strict_makes_a_stop_an_exit_code(tmp_path, height, code):
    """40 wt at 3 mm is not to be tried (common practice, no published source)."""
    result = run("plot", "il", "--height", height, "--strict", "--out", tmp_path)

    assert result.exit_code == code
    assert len(list(tmp_path.iterdir())) == 3


def test_wrong_usage_is_exit_code_2():
    assert run("plot").exit_code == 2
    assert run("plot", "a", "--nonsense").exit_code == 2
    assert run("sew", "a").exit_code == 2


def test_inches_and_points_are_taken(tmp_path):
    """0.25 in = 6.35 mm; 18 pt = 6.35 mm."""
    heights = [
        json.loads(run("plot", "a", "--height", h, "--json", "--out", tmp_path).stdout)["settings"][
            "height_mm"
        ]["value"]
        for h in ("6.35", "0.25in", "18pt")
    ]
    assert heights == pytest.approx([6.35] * 3)


def test_help_names_every_command_and_version_is_the_packages():
    assert "plot" in run("--help").stdout
    assert __version__ in run("--version").stdout


def test_faces_measures_bundled_and_given_fonts():
    """DejaVu Sans: x 1120 of H 1493, 0.75 (measured with fontTools)."""
    assert "Fairlead Plain" in run("faces").stdout
    assert "x-height 0.75" in run("faces", font_file("DejaVuSans.ttf")).stdout


@pytest.mark.parametrize("text", ["Quay 12 & So", "Harbour Bakery"])
@pytest.mark.parametrize("slow", ["numpy.ma", "fontTools.ttLib", "shapely.plotting"])
def test_a_plan_does_not_load_what_it_does_not_need(slow, text, tmp_path):
    """Start-up counts: numpy's median and unique, for two, would load its masked arrays."""
    code = (
        "import sys; from pathlib import Path; from pathgen.pipeline import plan, write_plan; "
        f"write_plan(plan({text!r}), Path({str(tmp_path)!r})); "
        f"sys.exit({slow!r} in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
