"""Tables as spreadsheets write them: encodings, separators, quotes and line breaks in cells."""

import os

import pytest
from click.testing import CliRunner

from pathgen import SettingsError
from pathgen.cli import main
from pathgen.orders.table import open_table

ROWS = [("First", "Last"), ("Zoë", "Müller"), ("Jan; Piet", 'de "Vos"'), ("Åsa\nEva", "Öberg, L.")]


def written(path, data):
    path.write_bytes(data)
    return path


def as_csv(separator, end="\r\n"):
    """RFC 4180: cells with a separator, a quote or a line break are quoted, quotes doubled."""

    def cell(text):
        return f'"{text.replace(chr(34), 2 * chr(34))}"' if set(text) & set(';,\t"\n') else text

    return end.join(separator.join(map(cell, row)) for row in ROWS) + end


def cells(path):
    return [tuple(row.cells.values()) for row in open_table(path).rows()]


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize(
    "encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le-mark", "utf-16-be-mark", "cp1252"]
)
def test_every_usual_encoding_and_separator_gives_the_same_rows(tmp_path, encoding, separator):
    text = as_csv(separator)
    if encoding.endswith("-mark"):
        encoding, text = encoding.removesuffix("-mark"), "\ufeff" + text
    path = written(tmp_path / "t.csv", text.encode(encoding))

    assert cells(path) == ROWS[1:]
    assert open_table(path).columns == ("first", "last")


@pytest.mark.parametrize("end", ["\r\n", "\n", "\r"])
def test_line_ends_of_every_system(tmp_path, end):
    path = written(tmp_path / "t.csv", f"name{end}Ada{end}Bo".encode())

    assert cells(path) == [("Ada",), ("Bo",)]


def test_what_is_not_utf_8_is_read_as_windows_1252_and_that_is_said(tmp_path):
    path = written(tmp_path / "t.csv", "name\nZoë\n".encode("cp1252"))
    (note,) = open_table(path).notes

    assert "is not UTF-8 and was read as Windows-1252" in note
    assert open_table(written(tmp_path / "u.csv", "name\nZoë\n".encode())).notes == ()


def test_a_first_line_may_say_the_separator(tmp_path):
    path = written(tmp_path / "t.csv", b"sep=;\r\na,b;c\r\n1;2\r\n")

    assert open_table(path).columns == ("a,b", "c")
    assert [(row.number, tuple(row.cells.values())) for row in open_table(path).rows()] == [
        (2, ("1", "2"))
    ]


def test_rows_are_numbered_as_a_spreadsheet_shows_them(tmp_path):
    """The head is row 1; empty rows count but are passed over; a cell's line breaks do not."""
    path = written(tmp_path / "t.csv", b'name,team\n"A\nB",x\n\n,\nC,\n  D  \n')

    assert [(row.number, row.cells["name"]) for row in open_table(path).rows()] == [
        (2, "A\nB"),
        (5, "C"),
        (6, "D"),
    ]


BAD = {
    "too many cells": (b"a,b\n1,2,3\n4,5\n", {2: "has 3 cells, the head 2; quote cells that"}),
    "long cell": (b"a\n" + b"x" * 1001 + b"\ny\n", {2: "has a cell of 1001 signs"}),
    "open quote": (b'a\nx\n"y\nz', {3: "opens a quote that is never closed"}),
    "stray quote": (b'a\n"x"y\nz\n', {2: "has signs after a closing quote; double the quotes"}),
}


@pytest.mark.parametrize("case", BAD)
def test_a_bad_row_is_told_with_its_number_and_the_rest_is_read(tmp_path, case):
    data, faults = BAD[case]
    rows = list(open_table(written(tmp_path / "t.csv", data)).rows())

    assert {row.number for row in rows if row.fault} == set(faults)
    for row in rows:
        assert row.fault.startswith(faults.get(row.number, ""))
    if case != "open quote":
        assert not rows[-1].fault


def test_empty_cells_beyond_the_head_and_missing_ones_are_no_fault(tmp_path):
    path = written(tmp_path / "t.csv", b"a,b,\n1,2,,\n3\n")

    assert [row.cells for row in open_table(path).rows()] == [
        {"a": "1", "b": "2"},
        {"a": "3", "b": ""},
    ]


REFUSED = {
    "empty": (b"", "is empty; its first row must name the columns"),
    "blank": (b"\n\n", "is empty; its first row must name the columns"),
    "no mark": ("name\nAda".encode("utf-16-le"), "looks like UTF-16 without a byte order mark"),
    "broken utf-8": (b"\xef\xbb\xbfname\n\xff\n", "is not UTF-8"),
    "no known encoding": (b"name\n\x81\n", "is not UTF-8 or Windows-1252"),
}


@pytest.mark.parametrize("case", REFUSED)
def test_a_table_that_cannot_be_read_is_refused(tmp_path, case):
    data, message = REFUSED[case]
    path = written(tmp_path / "t.csv", data)
    with pytest.raises(SettingsError) as caught:
        open_table(path)

    assert str(caught.value).startswith(f"table {path}")
    assert message in str(caught.value)
    assert "\n" not in str(caught.value)


def test_a_table_of_half_a_gigabyte_and_more_is_refused_unread(tmp_path):
    path = tmp_path / "t.csv"
    with path.open("wb") as file:
        file.truncate(500_000_001)  # a hole, which takes no room on the disk
    with pytest.raises(SettingsError) as caught:
        open_table(path)

    assert str(caught.value) == f"table {path} has 500000001 bytes; allowed 500000000"


def test_a_missing_table_and_a_folder_are_refused(tmp_path):
    for path in (tmp_path / "gone.csv", tmp_path):
        with pytest.raises(SettingsError, match="cannot be read"):
            open_table(path)


def test_a_column_that_the_job_needs_is_named_with_the_nearest(tmp_path):
    table = open_table(written(tmp_path / "t.csv", b"First name,Last,Last\nA,B,C\n"))

    table.check(["first name"])
    with pytest.raises(SettingsError, match="has no column 'frst name'; did you mean 'first name'"):
        table.check(["frst name"])
    with pytest.raises(SettingsError, match="has the column 'last' 2 times; keep one"):
        table.check(["last"])


def test_a_table_of_several_columns_is_told_that_one_was_planned(tmp_path):
    (tmp_path / "staff.csv").write_text("First,Dept\nAda,Loft\n")
    (tmp_path / "job.toml").write_text('[[line]]\ntext = "{first} {dept}"\n')
    table, job, out = (str(tmp_path / name) for name in ("staff.csv", "job.toml", "out"))
    args = ["names", table, "--counts-only", "--out", out]

    first = "  text      column 'first' alone, of first, dept; a --job takes all\n"
    assert CliRunner().invoke(main, args).stdout.startswith(first)
    assert "  text  " not in CliRunner().invoke(main, [*args, "--job", job]).stdout


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes have names here")
def test_a_pipe_is_no_table_and_is_not_waited_for(tmp_path):
    os.mkfifo(tmp_path / "names.csv")

    with pytest.raises(SettingsError, match=r"names.csv is not a file; give a CSV file"):
        open_table(tmp_path / "names.csv")
