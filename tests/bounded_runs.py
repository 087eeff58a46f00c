"""Run many plots in processes of their own, each with bounded time and memory, and tell how each
ended.

    python tests/bounded_runs.py < cases.json > ends.json

A case is the arguments of one command line. One process loads pathgen once and forks for every
case, so a hundred cases cost little more than their plots. POSIX only.
"""

import contextlib
import json
import os
import resource
import signal
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

MOST_CPU_S = 5
MOST_WALL_S = 60  # for one that waits instead of working; the machine may be busy
MOST_BYTES = 1 << 30


def _spin(_: list[str]) -> None:
    while True:
        pass


# Runs that are known to end badly, to show that they would be noticed.
EXAMPLES = {
    "too long": _spin,
    "too much": lambda _: bytearray(MOST_BYTES),
    "broken": lambda _: 1 // 0,
}


@dataclass(frozen=True)
class End:
    """How a run ended: exit code (negative: the signal that killed it) and what it used."""

    code: int
    cpu_s: float
    memory_mb: float
    out: str
    err: str


def bounded_runs(cases: dict[str, list[str]], cwd: Path) -> dict[str, End]:
    """Run each command line of ``cases`` in its own bounded process, in folder ``cwd``."""
    done = subprocess.run(
        [sys.executable, __file__],
        input=json.dumps(cases),
        capture_output=True,
        text=True,
        check=False,
        cwd=cwd,
        env={**os.environ, "OPENBLAS_NUM_THREADS": "1", "PYTHONPATH": os.pathsep.join(sys.path)},
    )
    assert done.returncode == 0, done.stderr
    return {name: End(**end) for name, end in json.loads(done.stdout).items()}


def _load() -> None:
    """Load all that a plot may need, so that its time is its own."""
    import brotli  # noqa: F401
    import fontTools.ttLib.woff2
    import fontTools.unicodedata  # noqa: F401

    import pathgen.cli.plot
    import pathgen.pipeline  # noqa: F401


def _child(args: list[str], out: int, err: int) -> None:
    """Run one command line with bounds, and end the process."""
    resource.setrlimit(resource.RLIMIT_CPU, (MOST_CPU_S + 1, MOST_CPU_S + 1))
    resource.setrlimit(resource.RLIMIT_AS, (MOST_BYTES, MOST_BYTES))
    signal.alarm(MOST_WALL_S)
    os.dup2(out, 1)
    os.dup2(err, 2)
    code = 70
    try:
        from pathgen.cli import main

        EXAMPLES.get(args[0], main)(args)
    except SystemExit as ended:
        code = ended.code if isinstance(ended.code, int) else int(bool(ended.code))
    except BaseException:
        import traceback

        traceback.print_exc()
    with contextlib.suppress(OSError):
        sys.stdout.flush()
        sys.stderr.flush()
    os._exit(code)


def _run(args: list[str]) -> dict[str, object]:
    with tempfile.TemporaryFile() as out, tempfile.TemporaryFile() as err:
        pid = os.fork()
        if pid == 0:
            _child(args, out.fileno(), err.fileno())
        _, status, used = os.wait4(pid, 0)
        said = []
        for file in (out, err):
            file.seek(0)
            said.append(file.read().decode("utf-8", "backslashreplace"))
    return {
        "code": os.waitstatus_to_exitcode(status),
        "cpu_s": used.ru_utime + used.ru_stime,
        "memory_mb": used.ru_maxrss / 1024,
        "out": said[0],
        "err": said[1],
    }


def _main() -> None:
    sys.stdout.reconfigure(encoding="utf-8", errors="backslashreplace")
    sys.stderr.reconfigure(encoding="utf-8", errors="backslashreplace")
    _load()
    ends = {}
    for name, args in json.load(sys.stdin).items():
        start = time.monotonic()
        ends[name] = _run(args)
        if "-v" in sys.argv:
            end = ends[name]
            sys.stderr.write(
                f"{name:44s} {end['code']:4d} {end['cpu_s']:6.2f} s {end['memory_mb']:6.0f} MB "
                f"{time.monotonic() - start:6.2f} s  {end['err'].strip()[-150:]!r}\n"
            )
    json.dump(ends, sys.stdout)


if __name__ == "__main__":
    _main()
