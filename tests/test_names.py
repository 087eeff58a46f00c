"""Names by the thousand: all files right, nothing done twice, any number of workers alike."""

import csv
import io
import json
import time
import warnings
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from itertools import pairwise
from multiprocessing import get_context

import pytest
from click.testing import CliRunner

from pathgen import plan
from pathgen.cli import main
from pathgen.lines import AskedLine
from pathgen.orders.job import Job
from pathgen.orders.names import BATCH, run_names
from pathgen.orders.table import open_table

JOB = Job(
    source="",
    title="Net & Loft",
    lines=(
        AskedLine(text="{name}", asked={"height_mm": 5.0, "colour": "navy"}),
        AskedLine(text="crew", face="tholepin", asked={"height_mm": 3.0, "thread": "60"}),
    ),
)
NAMES = ["Ada", "Bo", "Zoë", "漢", "Ada", "=1+1", "ADA", "../../up", "C:\\x", "con", "<b>"]


@pytest.fixture
def table(tmp_path):
    """A table of names, one column."""

    def made(names=NAMES, file="names.csv"):
        text = io.StringIO(newline="")
        csv.writer(text).writerows([["name"], *([name] for name in names)])
        (tmp_path / file).write_text(text.getvalue(), encoding="utf-8", newline="")
        return open_table(tmp_path / file)

    return made


def totals(folder):
    with (folder / "totals.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file, strict=True))


def contents(folder):
    return {p.relative_to(folder): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def run(*args):
    return CliRunner().invoke(main, [str(a) for a in args])


@pytest.fixture(scope="module")
def whole(tmp_path_factory):
    """One run of all names with one worker."""
    folder = tmp_path_factory.mktemp("whole")
    (folder / "names.csv").write_text("\n".join(["name", *NAMES]), encoding="utf-8")
    return run_names(JOB, open_table(folder / "names.csv"), folder / "out"), folder / "out"


def test_every_row_is_in_the_totals_with_the_figures_of_its_plan(whole):
    made, folder = whole
    rows = totals(folder)
    alone = plan("Zoë", height_mm=5.0)
    crew = plan("crew", height_mm=3.0, thread="60", face="tholepin")

    assert [row["row"] for row in rows] == [*map(str, range(2, 13)), "all"]
    assert made.rows == len(NAMES)
    assert int(rows[2]["stitches"]) == alone.whole.stitches + crew.whole.stitches
    # the thread is changed once, 10 s; a turn of the machine, 0.1 s, is one more jump of the way
    assert float(rows[2]["sew_s"]) - alone.sew_s - crew.sew_s in (
        pytest.approx(10.0, abs=0.001),
        pytest.approx(10.1, abs=0.001),
    )
    assert rows[2]["changes"] == "1"
    for column in ("stitches", "zigzag", "trims", "letters", "columns", "notes"):
        assert int(rows[-1][column]) == sum(int(row[column] or 0) for row in rows[:-1])
    assert float(rows[-1]["width_mm"]) == max(float(r["width_mm"] or 0) for r in rows[:-1])


def test_each_different_name_has_its_files_once(whole):
    made, folder = whole
    files = sorted(path.name for path in (folder / "names").iterdir())
    stems = {row["file"] for row in totals(folder) if row["file"]}

    assert made.names == made.planned == len(stems) == 9  # of 11, one is bad and one comes twice
    assert files == sorted(
        f"{s}{e}" for s in stems for e in (".svg", ".needles.csv", ".counts.csv")
    )


def test_counts_of_the_files_are_those_of_the_totals(whole):
    _, folder = whole
    for row in totals(folder)[:-1]:
        if row["file"]:
            with (folder / "names" / f"{row['file']}.counts.csv").open(encoding="utf-8") as file:
                last = list(csv.DictReader(file))[-1]
            assert last["stitches"] == row["stitches"]
            assert last["thread_mm"] == row["thread_mm"]


def test_bad_rows_have_number_and_reason_and_the_rest_is_done(whole):
    made, folder = whole
    (bad,) = made.bad

    assert bad.number == 5
    assert bad.reason.startswith("face lacks '漢' (U+6F22)")
    assert totals(folder)[3]["fault"] == bad.reason
    assert totals(folder)[3]["stitches"] == ""


def test_names_that_are_one_file_elsewhere_are_kept_apart_and_inside_the_folder(whole):
    """Windows folds case and keeps names such as con for devices; macOS normalises marks."""
    _, folder = whole
    files = {row["text"].split(" / ")[0]: row["file"] for row in totals(folder)[:-1]}

    assert files["Ada"] == "ada"
    assert files["ADA"].startswith("ada-")
    assert files["../../up"] == "up"
    assert files["C:\\x"] == "c-x"
    assert files["con"] == "con-lettering"
    assert {p.parent.name for p in contents(folder)} <= {"", "names"}


def test_texts_that_a_spreadsheet_would_run_are_defused(whole):
    _, folder = whole

    assert totals(folder)[5]["text"] == "'=1+1 / crew"


def test_the_index_draws_every_name_and_holds_no_foreign_markup(whole):
    _, folder = whole
    page = (folder / "index.html").read_text(encoding="utf-8")

    assert page.count("<figure>") == 10
    assert "&lt;b&gt;" in page
    assert "<b>" not in page
    assert "<h1>Net &amp; Loft</h1>" in page
    assert 'href="names/ada.svg"' in page
    assert "row 6, as row 2" in page
    assert "row 5: face lacks" in page
    assert 'fill="#000080"' in page


def test_run_again_nothing_is_planned_and_all_bytes_stay(table, tmp_path):
    first = run_names(JOB, table(), tmp_path / "out")
    before = contents(tmp_path / "out")
    again = run_names(JOB, table(), tmp_path / "out")

    assert (first.planned, first.kept) == (9, 0)
    assert (again.planned, again.kept) == (0, 9)
    assert contents(tmp_path / "out") == before


CHANGES = {
    "a file is gone": lambda out: (out / "names" / "bo.svg").unlink(),
    "a file is cut short": lambda out: (out / "names" / "bo.counts.csv").write_text("scope"),
    "the ledger lost its last line": lambda out: _cut(out / "names.state.jsonl"),
}


def _cut(path):
    lines = path.read_text(encoding="utf-8").splitlines()
    path.write_text("\n".join(lines[:-1]) + "\n" + lines[-1][:40], encoding="utf-8")


@pytest.mark.parametrize("change", CHANGES)
def test_only_what_is_missing_is_planned_again(change, table, tmp_path):
    names = table(["Ada", "Cy", "Bo"])
    run_names(JOB, names, tmp_path / "out")
    before = contents(tmp_path / "out")
    CHANGES[change](tmp_path / "out")
    again = run_names(JOB, names, tmp_path / "out")

    assert (again.planned, again.kept) == (1, 2)
    assert contents(tmp_path / "out") == before


def test_only_changed_rows_are_planned_again_and_all_if_the_job_changes(table, tmp_path):
    run_names(JOB, table(["Ada", "Bo"]), tmp_path / "out")
    changed = run_names(JOB, table(["Ada", "Bob"]), tmp_path / "out")
    larger = run_names(
        JOB.with_options({"height_mm": 6.0}), table(["Ada", "Bob"]), tmp_path / "out"
    )

    assert (changed.planned, changed.kept) == (1, 1)
    assert (larger.planned, larger.kept) == (2, 0)
    assert totals(tmp_path / "out")[1]["text"] == "Bob / crew"


def test_a_run_that_is_stopped_goes_on_where_it_was(table, tmp_path):
    names = table([f"Ad{chr(97 + n % 26)}{chr(97 + n // 26)}" for n in range(3 * BATCH)])

    def stop(done, count):
        if done == 2 * BATCH:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        run_names(JOB, names, tmp_path / "out", tell=stop)
    told = []
    again = run_names(JOB, names, tmp_path / "out", tell=lambda *at: told.append(at))
    fresh = run_names(JOB, names, tmp_path / "fresh")

    assert (again.planned, again.kept) == (BATCH, 2 * BATCH)
    assert told == [(BATCH, BATCH)]
    assert fresh.planned == 3 * BATCH
    assert _same(tmp_path / "out", tmp_path / "fresh")


def _same(one, other):
    """Whether all files are the same; the ledger's lines may stand in any order."""
    found = [contents(folder) for folder in (one, other)]
    ledgers = [
        sorted(files.pop(path) for path in [*files] if path.suffix == ".jsonl")[0].splitlines()
        for files in found
    ]
    return found[0] == found[1] and sorted(ledgers[0]) == sorted(ledgers[1])


def test_two_processes_give_the_same_bytes_as_one(whole, table, tmp_path):
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as pool:
        made = run_names(JOB, table(), tmp_path / "out", executor=pool, workers=2)

    assert made.bad == whole[0].bad
    assert _same(tmp_path / "out", whole[1])


def test_workers_end_together_as_the_last_batches_are_of_one_name(table, tmp_path):
    """Told slowly, so that several batches are done at a time."""
    names = table([f"Ad{chr(97 + n)}" for n in range(25)])
    told = [0]

    def tell(done, count):
        told.append(done)
        time.sleep(0.02)

    with ThreadPoolExecutor(1) as pool:
        run_names(
            JOB,
            names,
            tmp_path / "out",
            executor=pool,
            workers=2,
            counts_only=True,
            tell=tell,
        )
    sizes = [after - before for before, after in pairwise(told)]

    assert sum(sizes) == 25
    assert all(size <= max(1, (25 - before) / 4) for before, size in zip(told, sizes, strict=False))
    assert sizes[-4:] == [1, 1, 1, 1]


def test_a_cluster_of_two_workers_gives_the_same_bytes_as_one(whole, table, tmp_path):
    pytest.importorskip("distributed")
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of the cluster's own start
        from distributed import Client, LocalCluster

        with (
            LocalCluster(2, threads_per_worker=1, dashboard_address=None) as cluster,
            Client(cluster) as client,
        ):
            made = run_names(
                JOB, table(), tmp_path / "out", executor=client.get_executor(), workers=2
            )

    assert made.bad == whole[0].bad
    assert _same(tmp_path / "out", whole[1])


def test_counts_only_writes_the_same_totals_and_no_plots(whole, table, tmp_path):
    made = run_names(JOB, table(), tmp_path / "out", counts_only=True)
    expected = [{**row, "file": ""} for row in totals(whole[1])]

    assert made.files == (tmp_path / "out" / "totals.csv",)
    assert totals(tmp_path / "out") == expected
    assert {p.name for p in contents(tmp_path / "out")} == {"totals.csv", "names.state.jsonl"}


def test_the_command_lists_bad_rows_and_ends_with_1(table, tmp_path):
    table()
    result = run("names", tmp_path / "names.csv", "--out", tmp_path / "out", "--counts-only")

    assert result.exit_code == 1
    assert result.stderr.startswith("pathgen: row 5: face lacks '漢'")
    assert result.stderr.count("\n") == 1
    assert "9 different: 9 planned, 0 done before" in result.stdout


def test_json_says_what_was_done_with_every_bad_row_and_all_names_together(table, tmp_path):
    table()
    out = tmp_path / "out"
    result = run("names", tmp_path / "names.csv", "--out", out, "--height", "5", "--json")
    data = json.loads(result.stdout)
    last = totals(out)[-1]

    assert result.exit_code == 1
    assert (data["rows"], data["names"], data["planned"], data["kept"]) == (11, 9, 9, 0)
    assert [(row["row"], row["fault"]) for row in data["bad"]] == [(5, totals(out)[3]["fault"])]
    assert (data["stops"], data["old"]) == ([], 0)
    assert data["files"] == [str(out / "totals.csv"), str(out / "index.html")]
    assert {name: float(last[name]) for name in data["together"]} == data["together"]
    assert len(data["together"]) == len(last) - 4  # row, text, file and fault have no sum


def test_rows_that_say_stop_are_named_and_names_of_an_earlier_run_counted(table, tmp_path):
    """40 wt at 3 mm is not to be tried (common practice, no published source)."""
    table(["Ada", "Bo", "Cy"])
    args = ("names", tmp_path / "names.csv", "--out", tmp_path / "out", "--height")
    whole = run(*args, "3").stdout
    table(["Bo"])
    (tmp_path / "out" / "names" / "mine.svg").write_text("not a plan of ours")
    less = run(*args, "5").stdout

    assert "  stops     3 rows with a finding that says stop: rows 2–4\n" in whole
    assert "  old  " not in whole
    assert "  stops     none\n" in less
    assert f"  old       2 names of an earlier run, still in {tmp_path / 'out' / 'names'}" in less


def test_all_names_together_are_told_on_the_terminal(table, tmp_path):
    table(["Ada", "Ada", "Bo"])
    result = run("names", tmp_path / "names.csv", "--out", tmp_path / "out", "--counts-only")
    sewn = [plan(name) for name in ("Ada", "Ada", "Bo")]
    stitches, thread_mm = (
        sum(made.whole.stitches for made in sewn),
        sum(made.whole.thread_mm for made in sewn),
    )

    assert f"  together  {stitches} stitches, " in result.stdout
    assert f", {thread_mm / 1000.0:.1f} m of thread\n" in result.stdout


def test_the_command_plans_the_first_column_with_its_options(table, tmp_path):
    table(["Ada", "Bo"])
    result = run("names", tmp_path / "names.csv", "--height", "4", "--out", tmp_path / "out")
    alone = plan("Ada", height_mm=4.0)

    assert result.exit_code == 0
    assert result.stderr == ""
    assert totals(tmp_path / "out")[0]["stitches"] == str(alone.whole.stitches)


def test_strict_makes_a_stop_an_exit_code(table, tmp_path):
    """40 wt at 3 mm is not to be tried (common practice, no published source)."""
    table(["il"])
    args = ("names", tmp_path / "names.csv", "--strict", "--counts-only", "--out", tmp_path / "out")

    assert run(*args, "--height", "5").exit_code == 0
    assert run(*args, "--height", "3").exit_code == 3


BAD = {
    "no table": (("gone.csv",), "table gone.csv cannot be read"),
    "no workers": (("names.csv", "--workers", "0"), "--workers is 0; allowed 1 to 256"),
    "bad setting": (("names.csv", "--spacing", "0"), "--spacing is 0; allowed"),
    "no job": (("names.csv", "--job", "gone.toml"), "job file gone.toml cannot be read"),
    "no column": (("names.csv", "--job", "job.toml"), "has no column 'nme'; did you mean 'name'?"),
}


@pytest.mark.parametrize("case", BAD)
def test_what_cannot_be_used_is_one_line_and_nothing_is_written(case, table, tmp_path, monkeypatch):
    args, message = BAD[case]
    table(["Ada"])
    (tmp_path / "job.toml").write_text('[[line]]\ntext = "{nme}"\n')
    monkeypatch.chdir(tmp_path)
    result = run("names", *args, "--out", "out")

    assert result.exit_code == 1
    assert message in result.stderr
    assert result.stderr.count("\n") == 1
    assert not (tmp_path / "out").exists()


def test_the_ledger_is_plain_json_lines(whole):
    _, folder = whole
    lines = (folder / "names.state.jsonl").read_text(encoding="utf-8").splitlines()

    assert all(json.loads(line) for line in lines)


def test_a_run_sweeps_up_unfinished_files_of_one_that_was_killed(table, tmp_path):
    folder = tmp_path / "out" / "names"
    folder.mkdir(parents=True)
    (folder / ".pathgen-1-1.part").write_bytes(b"half")
    (folder / ".other.part").write_bytes(b"not ours")

    run_names(JOB, table(), tmp_path / "out")

    assert not list(folder.glob(".pathgen-*"))
    assert (folder / ".other.part").exists()
