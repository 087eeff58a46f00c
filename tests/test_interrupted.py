"""An interrupt leaves one line and nothing half-written; what cannot be encoded is escaped."""

import json
import os
import random
import signal
import string
import subprocess
import sys
import time
from pathlib import Path

import pytest

if sys.platform == "win32":
    pytest.skip("signals are POSIX", allow_module_level=True)

ROOT = Path(__file__).resolve().parents[1]
# What the installed command does, telling when Python itself has started: before that it is
# Python's own start that an interrupt ends.
BEGUN = "import pathgen.__main__ as m; print('begun', flush=True); m.start()"
ENVIRONMENT = {**os.environ, "PYTHONPATH": str(ROOT)}
COMMANDS = {
    "plot": ["plot", "Harbour Bakery", "--page", "--sewn", "--out", "out"],
    "smallest": ["smallest", "Harbour Bakery"],
    "compare": ["compare", "Net Loft", "--height", "5", "--height", "4", "--out", "out"],
    "faces": ["faces", "--specimen", "--out", "out"],
    "panel": ["panel", "Ada", "--out", "out"],
    "trial": ["trial", "--out", "out"],
}


def started(folder, words, heard=signal.SIG_DFL):
    """A run in a session of its own, once it has begun; in the foreground, as a terminal has it.

    Shells have what they start in the background ignore interrupts, these tests too.
    """
    process = subprocess.Popen(
        [sys.executable, "-c", BEGUN, *words],
        cwd=folder, env=ENVIRONMENT, text=True, start_new_session=True,
        preexec_fn=lambda: signal.signal(signal.SIGINT, heard),
        stdout=subprocess.PIPE, stderr=subprocess.PIPE,
    )  # fmt: skip
    assert process.stdout.readline() == "begun\n"
    return process


@pytest.mark.parametrize("name", COMMANDS)
def test_an_interrupt_at_any_moment_leaves_one_line_and_whole_files_or_none(name, tmp_path):
    rng = random.Random(name)
    (tmp_path / "whole").mkdir()
    assert started(tmp_path / "whole", COMMANDS[name]).communicate(timeout=60)[1] == ""
    whole = len([path for path in (tmp_path / "whole").rglob("*") if path.is_file()])
    for latest_s in (0.05, 0.3, 0.6, 1.5):
        home = tmp_path / str(latest_s)
        home.mkdir()
        process = started(home, COMMANDS[name])
        time.sleep(rng.uniform(0.0, latest_s))
        os.killpg(process.pid, signal.SIGINT)
        _, said = process.communicate(timeout=60)

        # Stopped, or not yet heard, or done before.
        assert process.returncode in (130, -signal.SIGINT, 0), said
        assert said in ("", "pathgen: stopped\n")
        left = [path.name for path in home.rglob("*") if path.is_file()]
        assert len(left) in (0, whole), left


def test_a_run_in_the_background_leaves_interrupts_to_the_foreground(tmp_path):
    """A shell without job control has it ignore them (POSIX, Shell Command Language 2.11)."""
    process = started(tmp_path, COMMANDS["plot"], heard=signal.SIG_IGN)
    os.killpg(process.pid, signal.SIGINT)

    assert process.communicate(timeout=60)[1] == ""
    assert process.returncode == 0


def names_under_way(folder):
    """A run of 3,380 names by two workers, once the first plot is there."""
    letters = string.ascii_lowercase
    names = [a + b + c for a in string.ascii_uppercase for b in letters for c in "aeiou"]
    (folder / "staff.csv").write_text("name\n" + "\n".join(names) + "\n")
    process = started(folder, ["names", "staff.csv", "--workers", "2", "--out", "out"])
    until = time.monotonic() + 60.0
    while not list(folder.glob("out/names/*.svg")) and time.monotonic() < until:
        time.sleep(0.02)
    return process


def test_an_interrupt_of_many_workers_leaves_one_line(tmp_path):
    process = names_under_way(tmp_path)
    os.killpg(process.pid, signal.SIGINT)
    _, said = process.communicate(timeout=60)

    done = len(list(tmp_path.glob("out/names/*.svg")))
    assert process.returncode == 130, (said, done)
    assert said == "pathgen: stopped; what is done stays, run it again to go on\n"
    assert not list(tmp_path.rglob("*.part"))


def run_script(script, folder):
    return subprocess.run(
        [sys.executable, "-c", script], cwd=folder, env=ENVIRONMENT, text=True,
        capture_output=True, timeout=60, check=False,
    )  # fmt: skip


def test_an_interrupt_that_another_thread_takes_waits_until_a_worker_has_started(tmp_path):
    """Raised in the midst of its start, it would leave a worker that reads half an order."""
    done = run_script(TAKEN, tmp_path)

    assert (done.returncode, done.stdout, done.stderr) == (0, "heard\n", "")


TAKEN = """
import multiprocessing.util, signal, threading, time
from pathgen.orders.workers import workers_of
other = threading.Thread(target=time.sleep, args=(1.0,))
other.start()
signal.signal(signal.SIGINT, signal.default_int_handler)
launch = multiprocessing.util.spawnv_passfds
def launched(*args):
    pid = launch(*args)
    signal.pthread_kill(other.ident, signal.SIGINT)
    time.sleep(0.1)
    return pid
with workers_of(1) as pool:
    multiprocessing.util.spawnv_passfds = launched
    try:
        pool.submit(abs, -1)
    except KeyboardInterrupt:
        print("heard")
"""


def test_an_interrupt_that_a_callback_swallows_comes_again(tmp_path):
    """Python drops what is raised while an object is let go, an interrupt too."""
    done = run_script(SWALLOWS, tmp_path)

    assert (done.returncode, done.stdout, done.stderr) == (0, "heard\n", "")


SWALLOWS = """
import signal, time
from pathgen.cli import hear_again
signal.signal(signal.SIGINT, signal.default_int_handler)
class Held:
    def __del__(self):
        raise KeyboardInterrupt
hear_again()
try:
    held = Held()
    del held
    for _ in range(300):
        time.sleep(0.1)
except KeyboardInterrupt:
    print("heard")
"""


def run_in(encoding, words, folder):
    return subprocess.run(
        [sys.executable, "-m", "pathgen", *words],
        cwd=folder, env={**ENVIRONMENT, "PYTHONIOENCODING": encoding},
        capture_output=True, check=False,
    )  # fmt: skip


@pytest.mark.parametrize("encoding", ["latin-1", "cp1252", "cp437"])
def test_signs_that_the_output_lacks_are_escaped(encoding, tmp_path):
    """Pipes of Windows write Windows-1252, which has no Ł."""
    done = run_in(encoding, ["plot", "Łód"], tmp_path)

    assert done.returncode == 0, done.stderr
    assert done.stdout.decode(encoding).startswith("\\u0141ód")


@pytest.mark.parametrize("encoding", ["latin-1", "utf-8"])
def test_json_is_right_in_any_encoding(encoding, tmp_path):
    done = run_in(encoding, ["plot", "Łód", "--json"], tmp_path)

    assert json.loads(done.stdout.decode(encoding))["lines"] == ["Łód"]


@pytest.mark.parametrize("words", [["plot", b"A\xff"], ["names", b"\xff.csv"], [b"\xff"]])
def test_a_byte_that_is_no_sign_is_refused_in_one_line(words, tmp_path):
    done = run_in("utf-8", words, tmp_path)

    assert done.returncode == 1
    [line] = done.stderr.decode().splitlines()
    assert "has a byte that is no sign in utf-8; type it in a terminal that writes UTF-8" in line
    assert not list(tmp_path.iterdir())


@pytest.mark.skipif(sys.platform != "linux", reason="children are told by /proc")
def test_a_worker_that_is_killed_is_told_in_one_line(tmp_path):
    process = names_under_way(tmp_path)
    children = Path(f"/proc/{process.pid}/task/{process.pid}/children").read_text().split()
    workers = [n for n in children if b"spawn_main" in Path(f"/proc/{n}/cmdline").read_bytes()]
    os.kill(int(workers[0]), signal.SIGKILL)
    _, said = process.communicate(timeout=60)

    assert process.returncode == 1
    assert said.splitlines() == [
        "pathgen: one of the --workers ended without a word, killed or out of memory; what is done"
        " stays, run it again with fewer to go on"
    ]


def test_a_ledger_that_is_a_folder_is_told_in_one_line(tmp_path):
    (tmp_path / "staff.csv").write_text("name\nAda\n")
    (tmp_path / "out" / "names.state.jsonl").mkdir(parents=True)

    done = run_in("utf-8", ["names", "staff.csv", "--out", "out"], tmp_path)

    assert done.returncode == 1
    assert done.stderr.decode().splitlines() == [
        "pathgen: out/names.state.jsonl, which tells what is done, cannot be used: is a directory"
    ]
