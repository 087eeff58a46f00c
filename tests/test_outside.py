"""Every fact from outside holds, and OUTSIDE.md lists them as a run makes them."""

import re

import pytest
from facts import MEMORY, TABLE, load, shown, table
from rfc4180 import rows_of

FACTS = load()
AREAS = {
    "Thread",
    "Needles",
    "Stitches",
    "Units",
    "Price",
    "Geometry",
    "Fonts",
    "Reading",
    "SVG",
    "CSV",
}


@pytest.mark.parametrize("one", FACTS, ids=lambda one: f"{one.area}: {one.what}"[:80])
def test_ours_is_what_is_known(one):
    found = one.ours()

    assert one.agrees(found), f"{found} for {one.value}"


def test_the_table_is_the_one_that_a_run_makes():
    """To make it anew: python tests/facts.py."""
    assert TABLE.read_text(encoding="utf-8") == table(FACTS)


def test_the_table_has_all_areas_and_sixty_rows():
    assert len(FACTS) >= 60
    assert {one.area for one in FACTS} == AREAS
    assert len({(one.area, one.what) for one in FACTS}) == len(FACTS)


def test_every_row_has_a_source_and_memory_is_marked():
    assert all(one.source for one in FACTS)
    assert [one.what for one in FACTS if MEMORY in one.source] == [
        "denier of a 60 wt filament thread"
    ]


def test_a_figure_beyond_its_tolerance_would_be_noticed():
    for one in FACTS:
        if not isinstance(one.value, str):
            assert not one.agrees(one.value + 2.0 * one.tolerance + 1e-6), one.what


@pytest.mark.parametrize(
    ("value", "tolerance", "text"),
    [
        (51.0, 0, "51"),
        (0.20181, 1e-4, "0.20181"),
        (100.4987562, 1e-6, "100.4987562"),
        (-1e-9, 0.1, "0"),
    ],
)
def test_figures_are_shown_to_the_digits_of_their_tolerance(value, tolerance, text):
    assert shown(value, tolerance) == text


@pytest.mark.parametrize(
    "bad",
    [b"a,b\r\nc\r\n", b'a"b\r\n', b'"a"b\r\n', b"a\nb\r\n", b"a\rb\r\n", b'"a\r\n', b"a,b\r\n\r\n"],
)
def test_the_grammar_of_rfc_4180_refuses_what_it_must(bad):
    with pytest.raises(ValueError, match=re.compile("belongs there|different numbers")):
        rows_of(bad)


def test_the_grammar_of_rfc_4180_reads_its_own_examples():
    """RFC 4180, section 2.5 to 2.7."""
    assert rows_of(b'aaa,"b\r\nbb","c""cc"\r\nzzz,yyy,xxx') == [
        ["aaa", "b\r\nbb", 'c"cc'],
        ["zzz", "yyy", "xxx"],
    ]
