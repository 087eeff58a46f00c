"""Results on disk: all or none; names that are safe anywhere."""

import os
import re
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from pathgen.errors import OutputError, SettingsError
from pathgen.writers import files
from pathgen.writers.files import checked_name, safe_name, write_together

NEW = {"a.svg": b"new a", "b.csv": b"new b", "c.csv": b"new c"}


def content(folder: Path) -> dict[str, bytes]:
    """Everything in a folder, hidden files too."""
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_all_files_appear_with_their_content(tmp_path):
    paths = write_together(tmp_path, NEW)

    assert [path.name for path in paths] == list(NEW)
    assert content(tmp_path) == NEW


def test_missing_folders_are_made(tmp_path):
    write_together(tmp_path / "orders" / "quay", NEW)

    assert content(tmp_path / "orders" / "quay") == NEW


def test_a_folder_that_another_run_makes_at_the_same_moment_is_written_to(tmp_path, monkeypatch):
    """Two runs that find it missing both make it; only one can."""
    make = Path.mkdir

    def just_made(path, *args, **kwargs):
        make(path, *args, **kwargs)
        make(path, *args, **kwargs)

    monkeypatch.setattr(Path, "mkdir", just_made)

    write_together(tmp_path / "orders" / "quay", NEW)

    assert content(tmp_path / "orders" / "quay") == NEW


def test_folders_that_were_made_in_vain_are_taken_away_again(tmp_path, monkeypatch):
    make = Path.mkdir

    def refuse(path, *args, **kwargs):
        if path.name == "quay":
            raise PermissionError(13, "Permission denied", str(path))
        make(path, *args, **kwargs)

    monkeypatch.setattr(Path, "mkdir", refuse)

    with pytest.raises(OutputError, match="permission denied"):
        write_together(tmp_path / "orders" / "harbour" / "quay", NEW)
    assert content(tmp_path) == {}
    assert not (tmp_path / "orders").exists()


def test_earlier_results_are_replaced_and_strangers_left_alone(tmp_path):
    (tmp_path / "a.svg").write_bytes(b"old a")
    (tmp_path / "other.txt").write_bytes(b"stays")

    write_together(tmp_path, NEW)

    assert content(tmp_path) == NEW | {"other.txt": b"stays"}


@pytest.mark.parametrize("failing", [1, 2, 3])
@pytest.mark.parametrize("error", [OSError(28, "No space left on device"), KeyboardInterrupt()])
def test_failure_at_any_rename_leaves_everything_as_before(tmp_path, monkeypatch, failing, error):
    old = {"a.svg": b"old a", "c.csv": b"old c", "other.txt": b"stays"}
    for name, data in old.items():
        (tmp_path / name).write_bytes(data)
    rename, calls = os.replace, []

    def replace(source, target):
        calls.append(target)
        if len(calls) == failing:
            raise error
        rename(source, target)

    monkeypatch.setattr(files.os, "replace", replace)

    with pytest.raises((OutputError, KeyboardInterrupt)):
        write_together(tmp_path, NEW)

    assert len(calls) >= failing
    assert content(tmp_path) == old


@pytest.mark.parametrize("failing", [1, 2, 3])
def test_failure_while_writing_leaves_no_trace(tmp_path, monkeypatch, failing):
    flush, calls = os.fsync, []

    def fsync(handle):
        calls.append(handle)
        if len(calls) == failing:
            raise OSError(5, "Input/output error")
        flush(handle)

    monkeypatch.setattr(files.os, "fsync", fsync)

    with pytest.raises(OutputError, match="input/output error"):
        write_together(tmp_path / "fresh" / "folder", NEW)

    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("name", ["../a.svg", "/tmp/a.svg", "", "..", "a/b.svg"])
def test_file_name_that_leads_out_of_the_folder_is_refused(tmp_path, name):
    with pytest.raises(ValueError, match="plain"):
        write_together(tmp_path / "out", {name: b""})

    assert list(tmp_path.iterdir()) == []


def test_disk_without_second_names_is_served_by_copies(tmp_path, monkeypatch):
    def link(*_args, **_kwargs):
        raise OSError(95, "Operation not supported")

    monkeypatch.setattr(files.os, "link", link)
    (tmp_path / "a.svg").write_bytes(b"old a")

    write_together(tmp_path, NEW)

    assert content(tmp_path) == NEW


def test_folder_in_the_way_of_a_file_is_an_error_in_one_line(tmp_path):
    (tmp_path / "b.csv").mkdir()
    (tmp_path / "a.svg").write_bytes(b"old a")

    with pytest.raises(OutputError) as caught:
        write_together(tmp_path, NEW)

    assert "\n" not in str(caught.value)
    assert str(tmp_path) in str(caught.value)
    assert (tmp_path / "a.svg").read_bytes() == b"old a"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["a.svg", "b.csv"]


def test_file_in_the_way_of_the_folder_is_an_error(tmp_path):
    (tmp_path / "out").write_bytes(b"a file")

    with pytest.raises(OutputError):
        write_together(tmp_path / "out", NEW)

    assert content(tmp_path) == {"out": b"a file"}


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may write")
def test_read_only_folder_is_an_error(tmp_path):
    tmp_path.chmod(0o500)
    try:
        with pytest.raises(OutputError, match="permission denied"):
            write_together(tmp_path, NEW)
    finally:
        tmp_path.chmod(0o700)


def test_refused_permission_is_told_in_one_line(tmp_path, monkeypatch):
    """As a read-only folder answers; holds for root too."""

    def refuse(path, *_args):
        raise PermissionError(13, "Permission denied", str(path))

    monkeypatch.setattr(files.os, "open", refuse)

    with pytest.raises(OutputError, match="permission denied") as caught:
        write_together(tmp_path, NEW)

    assert "\n" not in str(caught.value)


def test_files_get_the_rights_that_the_user_asks_for(tmp_path):
    earlier = os.umask(0o027)
    try:
        (path, *_) = write_together(tmp_path, NEW)
    finally:
        os.umask(earlier)

    assert path.stat().st_mode & 0o777 == 0o640


@given(st.text(max_size=200))
@example("")
@example("..")
@example("../../etc/passwd")
@example("CON")
@example("com1")
@example("nul.svg")
@example("\ud800")
@example("-")
@example("İ")
def test_safe_name_is_always_a_plain_slug(text):
    name = safe_name(text)

    assert re.fullmatch("[a-z0-9][a-z0-9-]*", name)
    assert len(name) <= 60
    assert name not in {"con", "prn", "aux", "nul", "com1", "lpt1", "com0", "lpt9"}
    assert safe_name(text) == name


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Harbour Bakery", "harbour-bakery"),
        ("Café Möwe & Söhne", "cafe-mowe-sohne"),
        ("Straße 5", "strasse-5"),
        ("Łódź", "lodz"),
        ("Baker's Lane", "bakers-lane"),
        ("港口", "u6e2f-u53e3"),
        ("港", "u6e2f"),
        ("...", "lettering"),
        ("Ｆｕｌｌ", "full"),
        ("aux", "aux-lettering"),
    ],
)
def test_safe_name_of_known_texts(text, name):
    assert safe_name(text) == name


def test_texts_that_differ_after_the_cut_keep_different_names():
    assert safe_name("a" * 100 + "x") != safe_name("a" * 100 + "y")


@pytest.mark.parametrize("name", ["harbour-bakery", "Café 2", "港", "a.b", "console", "x" * 100])
def test_plain_names_pass_unchanged(name):
    assert checked_name(name) == name


@pytest.mark.parametrize(
    "name",
    [
        "",
        " ",
        ".",
        "..",
        ".hidden",
        "a/b",
        "a\\b",
        "c:file",
        "a\nb",
        "a\x00b",
        "a..b",
        "end.",
        "end ",
        " start",
        "x" * 101,
        "con",
        "NUL",
        "com1.svg",
        "what?",
        "a\u202egvs",
        "\ud800",
    ],
)
def test_names_that_are_not_safe_are_refused_in_one_line(name):
    with pytest.raises(SettingsError) as caught:
        checked_name(name)

    assert "\n" not in str(caught.value)
    assert "give a plain file name" in str(caught.value)
