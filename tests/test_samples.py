"""Filled forms as people write them: what can be read is read, what cannot is named."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pathgen.errors import SettingsError
from pathgen.orders.samples import COLUMNS, read_samples
from pathgen.trials import Grade

HEAD = "kind,thread,tex,cloth,date,needle_mm,direction_deg,edge,holes,counter,margin,read\n"
BAR = "bar,40 wt,26.667,Backed Twill,2027-03-01,1.4,0,{},{},,,\n"


def reading(tmp_path, *texts, encoding="utf-8"):
    paths = []
    for number, text in enumerate(texts):
        paths.append(tmp_path / f"{number}.csv")
        paths[-1].write_bytes(text.encode(encoding))
    return read_samples(paths)


@pytest.mark.parametrize(
    ("cell", "mm"),
    [
        ("1.35", 1.35),
        ("1,35", 1.35),
        (" 1.35 mm", 1.35),
        ("0.135 cm", 1.35),
        ("0.05 in", 1.27),
        ('0.05"', 1.27),
        ("0,05 inch", 1.27),
        (".5", 0.5),
        ("2", 2.0),
        ("1.35\xa0mm", 1.35),
    ],
)
def test_a_length_is_read_in_its_unit(tmp_path, cell, mm):
    """1 in is 25.4 mm exactly (international inch)."""
    quoted = '"' + cell.replace('"', '""') + '"'
    (sample,) = reading(tmp_path, HEAD + BAR.format(quoted, "")).samples

    assert sample.edge_mm == pytest.approx(mm)
    assert math.isnan(sample.holes_mm)
    assert sample.cloth == "backed twill"


@pytest.mark.parametrize("cell", ["1,35", "0.053 in", '"0.053"""'])
def test_a_unit_or_comma_that_was_read_is_told(tmp_path, cell):
    quoted = cell if cell.startswith('"') else f'"{cell}"'
    (fault,) = reading(tmp_path, HEAD + BAR.format(quoted, "")).faults

    assert fault.grade is Grade.READ
    assert fault.rule.startswith("read as 1.3")
    assert (fault.row, fault.field) == (2, "edge")


def test_a_comma_is_no_guess_in_a_form_that_came_with_commas(tmp_path):
    """As `pathgen trial --decimal-comma` writes them for spreadsheets that want 0,6."""
    comma = BAR.format('"1,35"', "").replace("26.667", '"26,667"')
    assert comma != BAR.format('"1,35"', "")
    got = reading(tmp_path, HEAD + comma)

    assert [s.edge_mm for s in got.samples] == [1.35]
    assert got.faults == ()


@pytest.mark.parametrize("cell", ["wide", "-1", "1.2.3", "31", "1.2 feet", "nan", "1e3", "1,2,3"])
def test_a_length_that_is_none_is_named_and_the_rest_is_read(tmp_path, cell):
    got = reading(tmp_path, HEAD + BAR.format(f'"{cell}"', "1.1") + BAR.format("1.2", "1.0"))

    assert [s.holes_mm for s in got.samples] == [1.1, 1.0]
    (fault,) = got.faults
    assert (fault.row, fault.field, fault.said, fault.grade) == (2, "edge", cell, Grade.LEFT_OUT)


@pytest.mark.parametrize(
    ("row", "field", "rule"),
    [
        ("beam,40,26.667,t,2027-03-01,1.4,0,1.2,,,,\n", "kind", "choose bar, ring or letter"),
        ("bar,,26.667,t,2027-03-01,1.4,0,1.2,,,,\n", "thread", "missing"),
        ("bar,40,,t,2027-03-01,1.4,0,1.2,,,,\n", "tex", "missing"),
        ("bar,40,0,t,2027-03-01,1.4,0,1.2,,,,\n", "tex", "allowed 1 to 500"),
        ("bar,40,27,,2027-03-01,1.4,0,1.2,,,,\n", "cloth", "missing"),
        ("bar,40,27,t,March,1.4,0,1.2,,,,\n", "date", "write the day as 2027-03-01"),
        ("bar,40,27,t,,1.4,0,1.2,,,,\n", "date", "missing; write the day"),
        ("bar,40,27,t,2027-02-30,1.4,0,1.2,,,,\n", "date", "write the day"),
        ("bar,40,27,t,2027-03-01,,0,1.2,,,,\n", "needle_mm", "missing"),
        ("letter,40,27,t,2027-03-01,,,,,,0.1,perhaps\n", "read", "write yes or no"),
        ("letter,40,27,t,2027-03-01,,,,,,,yes\n", "margin", "missing"),
        ("ring,40,27,t,2027-03-01,0.5,,,,small,,\n", "counter", "write a length"),
        ("bar,40,27,t,2027-03-01,1.4,0,1.2,,,,,,more\n", "", "has 14 cells, the head 12"),
    ],
)
def test_a_bad_row_is_named_and_the_rest_is_read(tmp_path, row, field, rule):
    got = reading(tmp_path, HEAD + row + BAR.format("1.2", ""))

    assert got.samples[-1].edge_mm == 1.2
    assert (got.faults[0].row, got.faults[0].field) == (2, field)
    assert rule in got.faults[0].rule


def test_a_date_holds_for_the_rows_below(tmp_path):
    rows = BAR.format("1.2", "") + BAR.format("1.3", "").replace("2027-03-01", "")
    assert [s.date for s in reading(tmp_path, HEAD + rows).samples] == ["2027-03-01"] * 2


@pytest.mark.parametrize("said", ["2027-03-01", "1.3.2027", "2027/3/1", "20270301"])
def test_dates_as_people_write_them(tmp_path, said):
    row = BAR.format("1.2", "").replace("2027-03-01", said)
    assert reading(tmp_path, HEAD + row).samples[0].date == "2027-03-01"


def test_rows_that_were_not_filled_are_counted(tmp_path):
    got = reading(tmp_path, HEAD + BAR.format("", "") + BAR.format("1.2", "") + "\n,,,\n")
    assert (got.blank, len(got.samples), got.faults) == (1, 1, ())


def test_two_shops_files_are_joined_and_the_same_row_counts_once(tmp_path):
    one, two = BAR.format("1.2", ""), BAR.format("1.3", "")
    got = reading(tmp_path, HEAD + one, HEAD + two + one)

    assert [s.edge_mm for s in got.samples] == [1.2, 1.3]
    assert got.faults[0].rule == f"the same as row 2 of {tmp_path / '0.csv'}; counted once"


@pytest.mark.parametrize("said", ["closed", "Shut", "0"])
def test_a_closed_ring_has_no_counter(tmp_path, said):
    row = f"ring,40,27,t,2027-03-01,-0.1,,,,{said},,\n"
    assert reading(tmp_path, HEAD + row).samples[0].counter_mm == 0.0


@pytest.mark.parametrize(
    ("said", "read"), [("Yes", True), ("ja", True), ("n", False), ("0", False)]
)
def test_yes_and_no(tmp_path, said, read):
    row = f"letter,40,27,t,2027-03-01,,,,,,0.01,{said}\n"
    assert reading(tmp_path, HEAD + row).samples[0].read is read


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_every_spreadsheets_way_is_read(tmp_path, encoding, separator, end):
    cells = HEAD.replace("kind", "Kind ") + BAR.format("1.2", "1.0").replace("Twill", "Köper")
    text = cells.replace(",", separator).replace("\n", end)
    got = reading(tmp_path, text, encoding=encoding)

    assert got.samples[0].cloth == "backed köper"
    assert [f.rule for f in got.faults] == (
        ["is not UTF-8 and was read as Windows-1252; look at letters with marks"]
        if encoding == "cp1252"
        else []
    )


@pytest.mark.parametrize(
    ("data", "message"),
    [
        (None, "cannot be read: no such file"),
        (b"", "is empty; its first row must name the columns"),
        (b"kind,thread,tex,cloth,date,edge,edge\n", "has the column 'edge' 2 times"),
        (b"\x00\x01\x02", "looks like UTF-16 without a byte order mark"),
        (b"kind,thread,tex,cloth,dates,edge\n", "has no column 'date'; did you mean 'dates'?"),
        (b"kind,thread,tex,cloth,date\n", "has no column to fill in"),
    ],
)
def test_a_file_that_is_no_form_is_refused_in_one_line(tmp_path, data, message):
    path = tmp_path / "x.csv"
    if data is not None:
        path.write_bytes(data)
    with pytest.raises(SettingsError) as caught:
        read_samples([path])
    assert message in str(caught.value)
    assert len(str(caught.value).splitlines()) == 1


@pytest.mark.parametrize(
    ("row", "field"),
    [
        ("bar,40 wt,26.667,twill,2027-03-01,1.4,0,,,1.2,,", "edge"),
        ("ring,40 wt,26.667,twill,2027-03-01,1.4,0,1.2,,,,", "counter"),
        ("letter,40 wt,26.667,twill,2027-03-01,1.4,0,1.2,,,0.1,", "read"),
    ],
)
def test_what_was_filled_in_for_another_kind_is_told(tmp_path, row, field):
    got = reading(tmp_path, HEAD + row)

    assert got.samples == ()
    assert [fault.field for fault in got.faults] == [field]


def test_columns_are_each_named_once():
    assert len(set(COLUMNS)) == len(COLUMNS)


CELLS = st.sampled_from(
    (
        *("", "-", "=1", "nan", "inf", "1e9", "1,5", "1.5 in", '"', "closed", "yes", "é"),
        *("bar", "ring", "letter", "27", "2027-03-01", "9" * 50, "\x07", "\u202e"),
    )
)
ROW = ["bar", "40", "27", "t", "2027-03-01", "1.4", "0", "1.2", "1.0", "0.5", "0.1", "yes"]


@given(st.lists(st.dictionaries(st.integers(0, 11), CELLS, max_size=3), max_size=8))
def test_no_cell_whatever_it_holds_breaks_the_reading(tmp_path_factory, changes):
    """What comes through can be used: finite needle widths, and a date for each sample."""
    path = tmp_path_factory.mktemp("any") / "any.csv"
    rows = [[change.get(n, cell) for n, cell in enumerate(ROW)] for change in changes]
    lines = [",".join('"' + cell.replace('"', '""') + '"' for cell in row) for row in rows]
    path.write_text(HEAD + "\n".join(lines), encoding="utf-8")
    got = read_samples([path])

    named = {fault.row for fault in got.faults}
    assert len(got.samples) + got.blank + len(named) >= len(rows)
    for sample in got.samples:
        assert sample.date == "2027-03-01"
        assert sample.kind == "letter" or math.isfinite(sample.needle_mm)
        assert 1.0 <= sample.tex <= 500.0
