"""The tables, read back by Python's csv in strict mode, and the rules of RFC 4180."""

import csv
import io
import locale
import math
import re
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from plan_specimen import specimen

from pathgen.needles import Arrive, Part, Side
from pathgen.writers.tables_csv import COUNT_HEADER, NEEDLE_HEADER, counts_csv, needles_csv

NUMBER = re.compile(r"-?\d+\.\d{3}")


def rows_of(data: bytes) -> list[dict[str, str]]:
    """Rows as an independent reader in strict mode gets them."""
    return list(csv.DictReader(io.StringIO(data.decode("utf-8"), newline=""), strict=True))


def test_header_names_the_columns():
    plan = specimen()

    assert needles_csv(plan).split(b"\r\n")[0].decode() == NEEDLE_HEADER
    assert counts_csv(plan).split(b"\r\n")[0].decode() == COUNT_HEADER


@pytest.mark.parametrize("write", [needles_csv, counts_csv])
def test_records_end_in_cr_lf_and_are_equally_long(write):
    """RFC 4180, section 2, rules 1 and 4."""
    data = write(specimen(("TITO", "OT")))

    assert data.endswith(b"\r\n")
    assert data.count(b"\n") == data.count(b"\r\n") == data.count(b"\r")
    widths = {len(row) for row in csv.reader(io.StringIO(data.decode(), newline=""), strict=True)}
    assert len(widths) == 1


def test_one_row_a_penetration_in_sewing_order():
    plan = specimen(("TITO",))

    rows = rows_of(needles_csv(plan))

    assert [int(row["n"]) for row in rows] == list(range(1, len(plan.needles) + 1))
    for axis in ("x_mm", "y_mm"):
        read = np.array([float(row[axis]) for row in rows])
        assert np.abs(read - plan.needles[axis]).max() <= 0.0005 + 1e-9
    for name, kind in (("part", Part), ("arrive", Arrive), ("side", Side)):
        words = {member.word: member.value for member in kind}
        assert [words[row[name]] for row in rows] == plan.needles[name].tolist()
    for name in ("thread", "line", "letter", "column"):
        assert [int(row[name]) for row in rows] == plan.needles[name].tolist()


def test_lengths_are_those_between_the_points_and_zero_after_a_cut():
    rows = rows_of(needles_csv(specimen(("TIT",))))

    assert rows[0]["length_mm"] == "0.000"
    for before, row in pairwise(rows):
        spots = [(float(r["x_mm"]), float(r["y_mm"])) for r in (before, row)]
        expected = math.dist(*spots) if row["arrive"] == "sew" else 0.0
        # Each of four coordinates may be off by half a thousandth.
        assert float(row["length_mm"]) == pytest.approx(expected, abs=0.002)
    assert any(row["arrive"] == "trim" for row in rows)


def test_numbers_have_three_decimals_and_no_negative_zero():
    plan = specimen()
    plan = replace(plan, needles=shifted(plan.needles, -1e-5))

    rows = rows_of(needles_csv(plan))

    for row in rows:
        for name in ("x_mm", "y_mm", "length_mm"):
            assert NUMBER.fullmatch(row[name])
            assert row[name] != "-0.000"
    assert any(row["y_mm"].startswith("-") for row in rows)


def shifted(table, by):
    """The first points moved to just below zero, others well below."""
    out = table.copy()
    out["y_mm"][0] = by
    out["y_mm"][1] = -2.0
    return out


def test_empty_plan_has_a_header_only():
    plan = specimen()
    plan = replace(plan, needles=plan.needles[:0].copy())

    assert needles_csv(plan).decode() == NEEDLE_HEADER + "\r\n"


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@sum", "\tx", "\rx", "=cmd|'/c calc'!A0"])
def test_text_that_a_spreadsheet_would_run_is_defused(text):
    """OWASP, CSV Injection: a leading apostrophe; quoting does not help."""
    plan = specimen(("I",), written={"I": text})

    rows = rows_of(counts_csv(plan))

    told = [row["text"] for row in rows if row["scope"] == "letter"]
    assert told == ["'" + text]


@pytest.mark.parametrize("text", ['"', ",", "a,b", 'say "ahoy"', "a\r\nb", "港", "é", " x "])
def test_awkward_text_comes_back_unchanged(text):
    plan = specimen(("I",), written={"I": text})

    rows = rows_of(counts_csv(plan))

    assert [row["text"] for row in rows if row["scope"] == "column"] == [text]


def test_negative_coordinates_are_never_altered():
    rows = rows_of(needles_csv(specimen(("OO", "OO"))))

    below = [row["y_mm"] for row in rows if row["y_mm"].startswith("-")]

    assert below
    assert all(NUMBER.fullmatch(cell) for cell in below)


def test_decimal_mark_is_a_dot_in_any_locale():
    plan = specimen()
    expected = needles_csv(plan), counts_csv(plan)
    kept = locale.setlocale(locale.LC_ALL)
    for name in ("de_DE.UTF-8", "fr_FR.UTF-8", "C.UTF-8"):
        try:
            locale.setlocale(locale.LC_ALL, name)
        except locale.Error:
            continue
        try:
            assert (needles_csv(plan), counts_csv(plan)) == expected
        finally:
            locale.setlocale(locale.LC_ALL, kept)


def test_decimal_mark_is_a_dot_where_the_locale_says_comma(monkeypatch):
    """For machines without such a locale: what locale-aware formatting would ask."""
    monkeypatch.setattr(locale, "localeconv", lambda: {"decimal_point": ",", "thousands_sep": "."})

    cells = rows_of(needles_csv(specimen()))[3]

    assert NUMBER.fullmatch(cells["x_mm"])


def test_width_that_does_not_exist_is_an_empty_cell():
    plan = specimen()
    bare = plan.whole._replace(narrowest_column_mm=math.nan, width_mean_mm=math.nan)
    plan = replace(plan, counts=(*plan.counts[:-1], bare))

    last = rows_of(counts_csv(plan))[-1]

    assert (last["narrowest_column_mm"], last["width_mean_mm"]) == ("", "")
    assert NUMBER.fullmatch(last["width_most_mm"])


SUMMED = ("stitches", "tie_in", "underlay", "travel", "zigzag", "tie_off", "trims")


@pytest.mark.parametrize("name", SUMMED)
def test_counts_agree_at_every_scope(name):
    rows = rows_of(counts_csv(specimen(("TITO OTTO", "IOTI"))))

    sums = {
        scope: sum(int(row[name]) for row in rows if row["scope"] == scope)
        for scope in ("column", "letter", "line", "thread", "whole")
    }

    assert len(set(sums.values())) == 1, sums


def test_counts_agree_with_the_rows_of_the_needle_table():
    plan = specimen(("TITO OTTO", "IOTI"))
    needles = rows_of(needles_csv(plan))

    for count in rows_of(counts_csv(plan)):
        asked = {k: count[k] for k in ("line", "letter", "column") if count[k] != "0"}
        here = [row for row in needles if all(row[k] == v for k, v in asked.items())]
        assert int(count["stitches"]) == len(here)
        for part in Part:
            assert int(count[part.word.replace("-", "_")]) == sum(
                row["part"] == part.word for row in here
            )
        assert int(count["trims"]) == sum(row["arrive"] == "trim" for row in here)
        assert float(count["sewn_mm"]) == pytest.approx(
            sum(float(row["length_mm"]) for row in here), abs=0.0005 * (len(here) + 1)
        )


def test_parts_add_up_to_stitches_in_every_row():
    for row in rows_of(counts_csv(specimen(("TITO",)))):
        assert int(row["stitches"]) == sum(int(row[name]) for name in SUMMED[1:6])
