"""Faults of the mutation check still stand in the code: one that fits nowhere proves nothing."""

import importlib.util
from pathlib import Path

import pytest

HOME = Path(__file__).parents[1]
_SPEC = importlib.util.spec_from_file_location("mutants", HOME / "tests/bench/mutants.py")
mutants = importlib.util.module_from_spec(_SPEC)
_SPEC.loader.exec_module(mutants)


@pytest.mark.parametrize("one", mutants.MUTANTS, ids=lambda one: f"{one.file}: {one.old}"[:70])
def test_a_fault_stands_once_in_its_file_and_changes_it(one):
    text = (HOME / "pathgen" / one.file).read_text(encoding="utf-8")

    assert text.count(one.old) == 1
    assert one.new != one.old
    assert one.file in mutants.TESTS


def test_there_are_forty_faults_and_more():
    assert len(mutants.MUTANTS) >= 40
