"""A run of names that is killed leaves whole files, and goes on to the same end; hostile tables."""

import os
import random
import sys
import time
from collections import Counter

import pytest
from lxml import etree
from rfc4180 import rows_of

if sys.platform == "win32":
    pytest.skip("signals, forks and bounds are POSIX", allow_module_level=True)

from bounded_runs import bounded_runs

from pathgen.lines import AskedLine
from pathgen.orders.job import Job
from pathgen.orders.names import run_names
from pathgen.orders.table import open_table

JOB = Job(
    source="", title="", lines=(AskedLine(text="{name}", asked={"height_mm": 5.0}),)
)  # fmt: skip
NAMES = [a + b for a in ("Ada", "Bo", "Cleo") for b in "abcdef"]
KILLS = 50


def contents(folder):
    """All files of a folder, hidden ones too; the ledger's lines may stand in any order."""
    found = {str(p.relative_to(folder)): p.read_bytes() for p in folder.rglob("*") if p.is_file()}
    return {
        name: Counter(data.splitlines()) if name.endswith(".jsonl") else data
        for name, data in found.items()
    }


def killed(table, folder, after_s):
    """Whether a run in a process of its own was killed after a time, and not done before."""
    pid = os.fork()
    if pid == 0:
        try:
            run_names(JOB, table, folder)
        finally:
            os._exit(0)
    time.sleep(after_s)
    os.kill(pid, 9)
    return os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1]) == -9


@pytest.fixture
def table(tmp_path):
    path = tmp_path / "names.csv"
    path.write_text("\n".join(["name", *NAMES]) + "\n", encoding="utf-8")
    return open_table(path)


def test_names_killed_at_50_random_moments_come_to_the_same_end(table, tmp_path):
    run_names(JOB, table, tmp_path / "whole")
    # The letters are known by now, as they are in the processes that are killed.
    start = time.monotonic()
    run_names(JOB, table, tmp_path / "again")
    long_s = time.monotonic() - start
    whole = contents(tmp_path / "whole")
    rng = random.Random(50)
    kills, tries = 0, 0
    while kills < KILLS and tries < 200:
        out = tmp_path / f"out-{tries}"
        for _ in range(3):  # stopped again and again before it is let through
            tries += 1
            kills += killed(table, out, rng.uniform(0.0, min(0.5, 0.7 * long_s)))
            for path in out.rglob("*.svg"):
                assert etree.fromstring(path.read_bytes()) is not None
            for path in out.rglob("*.csv"):
                assert rows_of(path.read_bytes())
        run_names(JOB, table, out)

        assert contents(out) == whole
    assert kills >= KILLS


HOSTILE = {
    "cell of 10 MB": b"name\r\n" + b"A" * 10_000_000 + b"\r\nBo\r\n",
    "10 MB within quotes": b'name\r\n"' + b"A" * 10_000_000,
    "quote that is never closed": b'name\r\n"Ada\r\nBo\r\n',
    "a million columns": b"name" + b"," * 1_000_000 + b"\r\nAda\r\n",
    "a million empty rows": b"name\r\n" + b"\r\n" * 1_000_000,
    "noise": bytes(range(256)) * 400,
    "NUL bytes": b"name\r\nA\0da\r\n",
    "UTF-16": "name\r\nAda\r\n".encode("utf-16"),
    "only a header": b"name\r\n",
    "nothing": b"",
    "formulas": b"name\r\n=1+1\r\n@SUM(A1)\r\n+1\r\n-1\r\n",
    "paths": b"name\r\n../../up\r\n/etc/passwd\r\nC:\\x\r\n..\r\n",
    "devices": b"name\r\ncon\r\nNUL\r\ncom1\r\nLPT9.txt\r\n",
    "markup": b'name\r\n<script>alert(1)</script>\r\n"<!DOCTYPE a>&b;"\r\n',
    "the same name 3,000 times": b"name\r\n" + b"Ada\r\n" * 3000,
    "two columns of one name": b"name,name\r\nAda,Bo\r\n",
}


@pytest.fixture(scope="module")
def ends(tmp_path_factory):
    home = tmp_path_factory.mktemp("tables")
    cases = {}
    for number, (name, data) in enumerate(HOSTILE.items()):
        (home / f"{number}.csv").write_bytes(data)
        cases[name] = [
            "names",
            str(home / f"{number}.csv"),
            "--out",
            str(home / "out" / str(number)),
        ]
    os.mkfifo(home / "pipe.csv")
    for name, path in (
        ("named pipe", home / "pipe.csv"),
        ("folder", home),
        ("device", "/dev/zero"),
    ):
        cases[name] = ["names", str(path), "--out", str(home / "out" / name)]
    return bounded_runs(cases, home), home


@pytest.mark.parametrize("name", [*HOSTILE, "named pipe", "folder", "device"])
def test_a_hostile_table_ends_soon_and_stays_in_its_folder(name, ends):
    found, home = ends
    end = found[name]

    assert end.code in (0, 1), end.err
    assert "Traceback" not in end.err
    assert end.cpu_s < 5.0
    assert end.memory_mb < 1024
    assert all(len(line) < 400 for line in end.err.splitlines())
    number = list(HOSTILE).index(name) if name in HOSTILE else name
    out = home / "out" / str(number)
    for path in out.rglob("*") if out.exists() else ():
        assert path.resolve().is_relative_to(out)
        assert path.stem.split(".")[0].lower() not in ("con", "nul", "com1", "lpt9")
        if path.suffix == ".svg":
            assert not etree.fromstring(path.read_bytes()).xpath("//*[local-name() = 'script']")
    assert {p.name for p in home.iterdir()} <= {
        *(f"{n}.csv" for n in range(len(HOSTILE))), "pipe.csv", "out",
    }  # fmt: skip
