"""House rule of the splitter: no number without its meaning and what happens 30 % either side."""

import ast
import re
from pathlib import Path

import pytest

import pathgen.columns

ROOM = Path(pathgen.columns.__file__).parent
FILES = sorted(path for path in ROOM.glob("*.py") if path.stem != "__init__")
SIDES = re.compile(r"  # -30 %: (?P<less>[^;]+); \+30 %: (?P<more>.+)$")
WORDS = re.compile(r"(same|alike|\d+ (lost|won)|(cover|spill) [+-]\d+\.\d\d)")


def numbers(path):
    """Name and line of each named number, but for arrays and types."""
    text = path.read_text(encoding="utf-8")
    for node in ast.parse(text).body:
        target = node.targets[0] if isinstance(node, ast.Assign) else None
        if isinstance(target, ast.Name) and target.id.isupper() and "np." not in ast.unparse(node):
            yield target.id, text.splitlines()[node.lineno - 1], node.lineno


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_each_threshold_says_what_30_percent_either_side_does(path):
    for name, line, _ in numbers(path):
        told = SIDES.search(line)
        assert told, f"{path.name}: {name}; python tests/bench/thresholds.py {name} --write"
        for side in told.groups():
            assert all(WORDS.fullmatch(word) for word in side.split(", ")), f"{path.name}: {name}"


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_each_threshold_is_explained_above(path):
    """By a comment of its own, or one that it shares with the numbers that follow on."""
    lines = path.read_text(encoding="utf-8").splitlines()
    numbered = {number for _, _, number in numbers(path)}
    for name, _, number in numbers(path):
        above = number - 1
        while above in numbered:
            above -= 1
        assert lines[above - 1].startswith("# "), f"{path.name}: {name}"
