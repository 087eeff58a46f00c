"""Where a result could be sewn from, it says what can hurt, and who decides."""

import json

import pytest
from click.testing import CliRunner

from pathgen.cli import main

SAID = ("needles can break", "eye protection", "children's wear", "machine's manual", "operator")

COMMANDS = {
    "plot": ("plot", "Quay"),
    "recipe": ("recipe",),
    "smallest": ("smallest", "Quay", "--thread", "60"),
    "settings": ("settings", "Quay"),
    "compare": ("compare", "Quay", "--thread", "40", "--thread", "60"),
    "names": ("names", "staff.csv"),
    "panel": ("panel", "Quay", "--heights", "5"),
}


@pytest.fixture
def here(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "staff.csv").write_text("first\nAda\n")


@pytest.mark.parametrize("name", [*COMMANDS, "trial"])
def test_what_is_told_on_the_terminal_ends_with_the_caution(here, name):
    result = CliRunner().invoke(main, [*COMMANDS.get(name, (name,))])

    assert result.exit_code == 0
    last = result.stdout.splitlines()[-1].lower()
    assert [words for words in SAID if words not in last] == []


@pytest.mark.parametrize("name", COMMANDS)
def test_data_hold_the_caution_too(here, name):
    result = CliRunner().invoke(main, [*COMMANDS[name], "--json"])

    said = " ".join(json.loads(result.stdout)["caution"]).lower()
    assert [words for words in SAID if words not in said] == []
