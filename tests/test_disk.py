"""Full disks, folders that may not be written to, runs at once, and runs that are killed."""

import os
import random
import subprocess
import sys
import time

import pytest
from lxml import etree
from rfc4180 import rows_of

from pathgen import plan
from pathgen.errors import OutputError
from pathgen.pipeline import plan_files, write_plan

posix = pytest.mark.skipif(os.name != "posix", reason="limits, rights and signals are POSIX")
ENDINGS = (".counts.csv", ".needles.csv", ".svg")
MOST_FILE = 20_000  # bytes; a plot of a word has some 100,000


def content(folder):
    """Everything in a folder, hidden files too."""
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def run(*args, before=None):
    """A run in a process of its own."""
    return subprocess.run(
        [sys.executable, "-m", "pathgen", *map(str, args)],
        check=False,
        capture_output=True,
        text=True,
        preexec_fn=before,
    )


def no_large_files():
    """As a disk that is full: what is written beyond a few kB is refused by the system."""
    import resource

    resource.setrlimit(resource.RLIMIT_FSIZE, (MOST_FILE, MOST_FILE))


@posix
def test_on_a_full_disk_nothing_changes_and_one_line_says_so(tmp_path):
    write_plan(plan("Quay", height_mm=6.0), tmp_path)
    before = content(tmp_path)

    full = run("plot", "Quay", "--height", "4", "--out", tmp_path, before=no_large_files)

    assert (full.returncode, full.stdout) == (1, "")
    assert full.stderr.count("\n") == 1
    assert "could not be written: file too large" in full.stderr
    assert content(tmp_path) == before


@posix
def test_on_a_full_disk_a_new_folder_is_taken_away_again(tmp_path):
    full = run("plot", "Quay", "--out", tmp_path / "new" / "folder", before=no_large_files)

    assert full.returncode == 1
    assert list(tmp_path.iterdir()) == []


@posix
def test_a_folder_that_may_not_be_written_to_is_left_as_it_is(tmp_path):
    """Root may write anywhere, so root becomes another user for it, in a process of its own."""
    made = plan("Quay")
    write_plan(made, tmp_path)
    before = content(tmp_path)
    tmp_path.chmod(0o555)
    pid = os.fork()
    if pid == 0:
        code = 70
        try:
            if os.geteuid() == 0:
                os.seteuid(65534)
            write_plan(made, tmp_path)
        except OutputError as error:
            refused = "permission denied" in str(error) and "\n" not in str(error)
            code = 1 if refused else 71
        finally:
            os._exit(code)
    code = os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1])
    tmp_path.chmod(0o755)

    assert code == 1
    assert content(tmp_path) == before


@posix
def test_runs_at_once_in_one_folder_never_mix_their_files(tmp_path):
    """Eight writers of two plans of one name, 12 rounds each: every look finds one plan whole."""
    plans = [plan("Quay", height_mm=h) for h in (4.0, 6.0)]
    whole = [plan_files(made, "quay") for made in plans]
    pids = []
    for k in range(8):
        pid = os.fork()
        if pid == 0:
            try:
                for n in range(12):
                    write_plan(plans[(k + n) % 2], tmp_path)
                os._exit(0)
            except BaseException:
                os._exit(1)
        pids.append(pid)
    codes = [os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1]) for pid in pids]

    assert codes == [0] * 8
    assert content(tmp_path) in whole


@posix
def test_a_killed_run_leaves_every_file_whole_and_the_next_run_sweeps_up(tmp_path):
    """SIGKILL at 50 random moments while files are written, fixed seed."""
    plans = [plan("Quay", height_mm=h) for h in (4.0, 6.0)]
    whole = [plan_files(made, "quay") for made in plans]
    rng = random.Random(50)
    killed = 0
    for _ in range(50):
        pid = os.fork()
        if pid == 0:
            while True:
                for made in plans:
                    write_plan(made, tmp_path)
        time.sleep(rng.uniform(0.0, 0.05))
        os.kill(pid, 9)
        killed += os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1]) == -9
        for path in tmp_path.glob("quay.*"):
            data = path.read_bytes()
            assert data in [files[path.name] for files in whole]
            assert etree.fromstring(data) is not None if path.suffix == ".svg" else rows_of(data)

    write_plan(plans[0], tmp_path)

    assert killed == 50
    assert content(tmp_path) == whole[0]


@posix
def test_what_a_killed_run_left_is_swept_up_and_nothing_else(tmp_path):
    for name in (".pathgen-1-1.part", ".pathgen-99999999-7.part", ".other.part", "pathgen.part"):
        (tmp_path / name).write_bytes(b"left")

    write_plan(plan("I"), tmp_path)

    assert sorted(content(tmp_path)) == [".other.part", *(f"i{e}" for e in ENDINGS), "pathgen.part"]
