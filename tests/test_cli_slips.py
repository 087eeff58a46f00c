"""Slips where commands meet: files taken for texts, empty lists, a folder that is a file."""

import json
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner
from rate_cards import CARD_TOML

from pathgen.cli import main
from pathgen.orders.samples import COLUMNS

JOB = '[[line]]\ntext = "{first}"\n'


@pytest.fixture
def here(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "job.toml").write_text(JOB)
    (tmp_path / "staff.csv").write_text("first\nAda\n")
    (tmp_path / "empty.csv").write_text("first\n")
    (tmp_path / "rates.toml").write_text(CARD_TOML)
    (tmp_path / "blank.csv").write_text(",".join(COLUMNS) + "\n")
    (tmp_path / "taken").write_text("")
    return tmp_path


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("smallest job.toml", "job.toml is a job file, for pathgen plot, price and log"),
        ("settings job.toml", "job.toml is a job file"),
        ("compare job.toml --thread 40 --thread 60", "job.toml is a job file"),
        ("panel job.toml", "job.toml is a job file"),
        ("plot staff.csv", "staff.csv is a table, for pathgen names"),
        ("settings A --height 0", "--height is 0; allowed 1 to 100 mm"),
        ("panel A --heights 0", "--heights is 0; allowed 1 to 100 mm"),
        ("trial --heights 0", "--heights is 0; allowed 1 to 100 mm"),
        ("panel A --heights 5,,4", "with commas between, such as 6,5,4"),
        ("trial --heights 5,,4", "with commas between, such as 6,5,4"),
        ("panel A --threads zz", "--threads is 'zz'; choose a weight"),
        (
            "price stuff.csv --rates rates.toml",
            "stuff.csv does not exist; to sew these letters",
        ),
        ("plot A --out taken", "output folder 'taken' is a file; choose a folder"),
        ("names staff.csv --job job.toml --out taken", "'taken' is a file; choose a folder"),
        ("names job.toml", "job.toml looks like a job file; give a table"),
        ("names staff.csv --fill first=A", "--fill is 'first=A'; it fills the texts of a job file"),
        ("panel A --fill first=A", "--fill is 'first=A'; it fills the texts of a job file"),
        ("plot job.toml", "asks for {first}: give --fill first=..., or a table by pathgen names"),
        ("plot A --face Quay", "a font is given by its file, such as MyFont.ttf"),
        ("learn blank.csv", "fill in edge, holes, counter or read"),
        ("names empty.csv --job job.toml", "empty.csv has no rows below its head"),
    ],
)
def test_a_slip_is_told_in_one_line(here, words, said):
    result = CliRunner().invoke(main, words.split())

    assert result.exit_code == 1
    lines = result.stderr.splitlines()
    assert len(lines) == 1
    assert lines[0].startswith("pathgen: ")
    assert said in lines[0]


def test_letters_that_are_also_a_files_name_can_be_sewn(here):
    assert CliRunner().invoke(main, ["settings", "job.toml ", "--json"]).exit_code == 0


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="a device of Linux")
def test_an_answer_that_cannot_be_printed_is_told_in_one_line():
    with open("/dev/full", "w") as full:
        done = subprocess.run(
            [sys.executable, "-m", "pathgen", "recipe"],
            stdout=full, stderr=subprocess.PIPE, text=True, check=False,
        )  # fmt: skip

    assert (done.returncode, done.stderr) == (
        1, "pathgen: the answer could not be printed: no space left on device\n",
    )  # fmt: skip


def test_a_closed_output_is_no_fault():
    command = f"exec {sys.executable} -m pathgen recipe >&-"
    done = subprocess.run(["sh", "-c", command], stderr=subprocess.PIPE, text=True, check=False)

    assert (done.returncode, done.stderr) == (0, "")


def test_faces_are_told_as_json_too():
    """Fairlead Plain: capitals of 700 units in an em of 1000, as its source says."""
    result = CliRunner().invoke(main, ["faces", "--json"])
    faces = {face["given"]: face for face in json.loads(result.stdout)["faces"]}

    assert set(faces) == {"fairlead-plain", "tholepin"}
    assert faces["fairlead-plain"]["capitals_em"] == 0.7
    assert faces["fairlead-plain"]["coverage"]["Basic Latin"] == {"found": 52, "letters": 52}


def test_a_logged_text_has_the_title_that_is_given(here):
    words = ["log", "Ada", "--log", "sewn.csv", "--date", "2027-03-01", "--title", "Aprons"]

    assert CliRunner().invoke(main, words).exit_code == 0
    assert (here / "sewn.csv").read_text().count("Aprons") == 3
