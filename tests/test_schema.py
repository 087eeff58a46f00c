"""Files that people write are refused with file, line, field, value, rule and the right name."""

import os
from decimal import Decimal

import pytest

from pathgen.errors import SettingsError
from pathgen.shop.schema import Flag, Number, Rows, Table, Text, Texts, checked, read_toml

FIELDS = {
    "title": Text(about="what it is", needed=False),
    "remarks": Texts(about="remarks", needed=False),
    "tool": Table(
        about="the tool",
        fields={
            "blades": Number(about="how many", least=1, most=9, whole=True),
            "width_mm": Number(about="how wide", least=0, most=5, places=3, needed=False),
            "kind": Text(about="its kind", choices=("flat", "round"), needed=False),
            "sharp": Flag(about="whether it cuts", needed=False),
        },
    ),
    "rows": Rows(
        about="rows",
        needed=False,
        fields={"from": Number(about="first", least=0, most=100, whole=True)},
    ),
}


def refusal(text):
    with pytest.raises(SettingsError) as caught:
        checked(text, FIELDS, "box", "b.toml")
    assert len(str(caught.value).splitlines()) == 1
    return str(caught.value)


def test_what_keeps_to_the_schema_comes_through_exactly():
    found = checked(
        'remarks = ["a"]\n[tool]\nblades = 2\nwidth_mm = 0.1\nsharp = true\n[[rows]]\nfrom = 7\n',
        FIELDS,
        "box",
        "b.toml",
    )

    assert found["tool"] == {"blades": 2, "width_mm": Decimal("0.1"), "sharp": True}
    assert found["rows"] == [{"from": 7}]
    assert "title" not in found


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("[tool]\nblades = 0", "line 2: tool.blades is 0; allowed a whole number from 1 to 9"),
        ("[tool]\nblades = 2.5", "line 2: tool.blades is 2.5; allowed a whole number"),
        ("[tool]\nblades = true", "line 2: tool.blades is true; allowed a whole number"),
        ("[tool]\nblades = '2'", "line 2: tool.blades is '2'; allowed a whole number"),
        ("[tool]\nblades = 1\nwidth_mm = nan", "line 3: tool.width_mm is NaN; allowed a number"),
        ("[tool]\nblades = 1\nwidth_mm = inf", "line 3: tool.width_mm is Infinity; allowed"),
        ("[tool]\nblades = 1\nwidth_mm = 5.001", "line 3: tool.width_mm is 5.001; allowed a"),
        ("[tool]\nblades = 1\nwidth_mm = 0.0001", "allowed 3 digits after the point"),
        ("[tool]\nblades = 1\nwidht_mm = 1", "line 3: unknown field tool.widht_mm; did you mean"),
        ("[tool]\nblades = 1\nx = 1", "unknown field tool.x; choose one of blades, width_mm, kind"),
        ("[tool]\nblades = 1\nkind = 'fat'", "is 'fat'; choose flat or round; did you mean 'flat'"),
        ("[tool]\nblades = 1\nkind = 3", "is 3; choose flat or round"),
        ("[tool]\nblades = 1\nsharp = 1", "line 3: tool.sharp is 1; write true or false"),
        ("[tool]\nwidth_mm = 1", "line 1: tool.blades is missing: how many"),
        ("title = 'x'", "box b.toml: tool is missing: the tool"),
        ("tool = 3", "line 1: tool is 3; write a table"),
        ("title = 3\n[tool]\nblades = 1", "line 1: title is 3; write a text in quotes"),
        ("title = ' '\n[tool]\nblades = 1", "write a text on one line"),
        ("title = '''a\nb'''\n[tool]\nblades = 1", "write a text on one line"),
        ("remarks = 'a'\n[tool]\nblades = 1", "line 1: remarks is 'a'; write a list"),
        ("[tool]\nblades = 1\n[[rows]]\nfrom = 1\n[[rows]]\nfrom = -1", "line 6: rows[2].from is"),
        ("[tool]\nblades = 1\n[[rows]]\n", "line 3: rows[1].from is missing: first"),
        ("rows = []\n[tool]\nblades = 1", "line 1: rows is []; write one table or more"),
        ("[tool", "is not TOML: "),
        ("a = " + "[" * 100_000, "is not TOML: "),
    ],
)
def test_refusal_names_line_field_value_and_rule(text, message):
    assert message in refusal(text)
    assert refusal(text).startswith("box b.toml")


def test_value_at_either_limit_is_taken():
    for blades in (1, 9):
        assert checked(f"[tool]\nblades = {blades}", FIELDS, "box", "b")["tool"]["blades"] == blades


@pytest.mark.parametrize(
    ("data", "message"),
    [(None, "cannot be read: no such file"), (b"a = '\xff'", "is not UTF-8 at byte 5")],
)
def test_file_that_cannot_be_read_is_named(tmp_path, data, message):
    path = tmp_path / "b.toml"
    if data is not None:
        path.write_bytes(data)
    with pytest.raises(SettingsError, match=message):
        read_toml(path, "box")


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("a = " + "9" * 5000, "box b is not TOML: a whole number has thousands of figures"),
        ("a = " + "[" * 5000, "box b is not TOML: tables are nested too deep"),
    ],
)
def test_toml_that_is_too_much_is_told_in_plain_words(text, message):
    with pytest.raises(SettingsError) as caught:
        checked(text, FIELDS, "box", "b")
    assert str(caught.value) == message


def test_byte_order_mark_of_an_editor_is_not_part_of_the_file(tmp_path):
    path = tmp_path / "b.toml"
    path.write_bytes(b"\xef\xbb\xbftitle = 'x'")
    assert read_toml(path, "box") == "title = 'x'"


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes have names here")
def test_a_pipe_is_not_waited_for(tmp_path):
    os.mkfifo(tmp_path / "job.toml")

    with pytest.raises(SettingsError, match=r"job file .*job.toml is not a file; give a TOML file"):
        read_toml(tmp_path / "job.toml", "job file")


def test_a_file_far_too_large_is_refused_unread(tmp_path):
    path = tmp_path / "job.toml"
    with path.open("wb") as file:
        file.truncate(50_000_000)

    with pytest.raises(SettingsError, match="has 50000000 bytes; allowed"):
        read_toml(path, "job file")
