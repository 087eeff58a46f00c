"""A shop's log: only ever added to, and as good to learn from as the forms it was made of."""

import math

import pytest
from click.testing import CliRunner
from simulate_trial import simulated_panel

import pathgen
from pathgen.cli import main
from pathgen.errors import SettingsError
from pathgen.orders.learning import learn
from pathgen.orders.samples import COLUMNS, read_samples
from pathgen.orders.sewnlog import added_to_log, sewn_rows
from pathgen.writers.tables_csv import table_csv


def run(*args):
    return CliRunner().invoke(main, [str(a) for a in args])


@pytest.fixture(scope="module")
def clean(tmp_path_factory):
    path = tmp_path_factory.mktemp("clean") / "clean.csv"
    path.write_bytes(table_csv(COLUMNS, simulated_panel()))
    return path


def test_a_log_is_only_ever_added_to(clean, tmp_path):
    log = tmp_path / "sewn.csv"
    rows = [dict(zip(COLUMNS, row, strict=True)) for row in read_samples([clean]).rows]
    first, second = rows[:30], rows[20:]

    assert added_to_log(log, first) == 30
    before = log.read_bytes()
    assert added_to_log(log, second) == len(rows) - 30
    assert log.read_bytes().startswith(before)
    assert added_to_log(log, rows) == 0


def test_a_log_without_a_last_line_end_goes_on_on_a_new_line(clean, tmp_path):
    log = tmp_path / "sewn.csv"
    rows = [dict(zip(COLUMNS, row, strict=True)) for row in read_samples([clean]).rows]
    added_to_log(log, rows[:2])
    log.write_bytes(log.read_bytes().rstrip(b"\r\n"))
    added_to_log(log, rows[2:4])
    assert len(read_samples([log]).samples) == 4


def test_learning_from_the_log_is_learning_from_the_forms(clean, tmp_path):
    log = tmp_path / "sewn.csv"
    from_form = learn([clean], tmp_path / "a", log=log)
    from_log = learn([log], tmp_path / "b")
    both = learn([clean, log], tmp_path / "c")

    assert from_form.logged == len(from_form.reading.samples)
    for other in (from_log, both):
        assert other.lessons[0].threads[0].pull == from_form.lessons[0].threads[0].pull
    assert len(both.reading.faults) == len(from_log.reading.samples)  # each counted once


def test_two_shops_logs_give_smaller_errors_than_one(tmp_path):
    paths = []
    for number in (1, 2):
        paths.append(tmp_path / f"shop-{number}.csv")
        rows = [{**row, "panel": f"shop {number}"} for row in simulated_panel(seed=number)]
        paths[-1].write_bytes(table_csv(COLUMNS, rows))
    one = learn(paths[:1], tmp_path / "a").lessons[0].threads[0].pull
    two = learn(paths, tmp_path / "b").lessons[0].threads[0].pull

    assert two.samples == 2 * one.samples
    assert two.error < one.error


@pytest.mark.parametrize("content", ["a,b\n1,2\n", "text,stitches\nQuay,285\n"])
def test_a_table_that_is_no_log_is_left_alone(clean, tmp_path, content):
    log = tmp_path / "orders.csv"
    log.write_text(content)
    with pytest.raises(SettingsError, match="has other columns than a log"):
        learn([clean], tmp_path, log=log)
    assert log.read_text() == content


def test_a_sewn_text_is_logged_letter_by_letter(tmp_path):
    log = tmp_path / "sewn.csv"
    asked = ("log", "Quay est", "--height", "3", "--thread", "60", "--log", log, "--date")
    result = run(*asked, "2027-03-01", "--unread", "es", "--remark", "on pockets")
    samples = read_samples([log]).samples

    assert result.exit_code == 0
    assert [(s.text, s.read) for s in samples] == [
        *((sign, True) for sign in "Quay"),
        ("e", False),
        ("s", False),
        ("t", True),
    ]
    assert all(not math.isnan(s.margin) and s.height_mm == 3.0 for s in samples)
    assert (
        "7 stood in it"
        in run(*asked, "2027-03-01", "--unread", "es", "--remark", "on pockets").stdout
    )


def test_a_text_that_could_not_be_read_at_all_is_logged_so():
    rows = sewn_rows(pathgen.plan("Quay"), job="j", date="2027-03-01", none_read=True)
    assert {row["read"] for row in rows} == {"no"}


@pytest.mark.parametrize(
    ("args", "message"),
    [
        (("--date", "March"), "--date is 'March'; write the day"),
        (("--date", "2027-03-01", "--unread", "z"), "--unread is 'z'; 'z' is no letter"),
        (("--date", "2027-03-01", "--height", "0"), "--height is 0; allowed"),
    ],
)
def test_bad_entry_is_one_line_and_no_log(tmp_path, args, message):
    result = run("log", "Quay", "--log", tmp_path / "l.csv", *args)
    assert result.exit_code == 1
    assert result.stderr.count("\n") == 1
    assert message in result.stderr
    assert not (tmp_path / "l.csv").exists()
