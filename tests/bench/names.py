"""Names a second, and what a run of many takes: python tests/bench/names.py [names] [--all].

Invented names of a first and a last word, mixed scripts within the face, as a shop's tables have
them: words come again, names seldom do. All files and counts only on one core after a warm-up,
in CPU seconds; two workers beside one, by the clock; cost a name and peak memory by how many
names there are, each in a process of its own. ``--all`` counts 100,000 names too.

All files are written to the disk, and to memory where there is such a folder: ext4 passes over the
inodes of files that were deleted in the last minutes one by one, so that a second run on the disk
may take a millisecond a name longer than the first.
"""

import os
import random
import re
import subprocess
import sys
import tempfile
import time
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path

from pathgen.lines import AskedLine
from pathgen.orders.batch import Task, batch_of, do_batch, key_for
from pathgen.orders.job import Job
from pathgen.orders.names import run_names
from pathgen.orders.table import open_table

JOB = Job(
    source="",
    title="names",
    lines=(AskedLine(text="{name}", face="fairlead-plain", asked={"height_mm": 5.0}),),
)
# Beginnings and ends of first words, then of last words.
SYLLABLES = """
A Be Cla Do Ed Fe Gu Hil I Jo Ka Lu Ma Ne O Pe Qui Ro Sö Ti Ul Ve Wi Xa Ya Ze Šá Łu Đo
da rno ra mir lle nke stav de nes hann tja ca rek ve laf ter rin sa ren rike šić
Ahr Beck Clas Dirk Egg Fokk Gerd Hans Itz Jans Krus Lüd Mey Niss Ott Pet Rahn Siem
ens er mann sen stra ga qvist dóttir ová ski berg loft quay
"""


def names(count, seed=1):
    """Invented names: some 600 first and 230 last words."""
    rng = random.Random(seed)
    begin, end, root, tail = (line.split() for line in SYLLABLES.strip().splitlines())
    return [
        f"{rng.choice(begin)}{rng.choice(end)} {rng.choice(root)}{rng.choice(tail)}"
        for _ in range(count)
    ]


def rate(found, folder, warm):
    """Names a CPU second after a warm-up, and of the warm-up itself."""
    batch = batch_of(JOB, folder)
    tasks = [Task(key_for(batch, (n,), f"n{k}"), (n,), f"n{k}") for k, n in enumerate(found)]
    start = time.process_time()
    do_batch(batch, tasks[:warm])
    middle = time.process_time()
    done = do_batch(batch, tasks[warm:])
    spent = time.process_time() - middle
    faults = sum(bool(result.fault) for result in done)
    return (len(tasks) - warm) / spent, warm / (middle - start), faults


def table(folder, found):
    """A table of names."""
    path = folder / "names.csv"
    path.write_text("\n".join(["name", *found]), encoding="utf-8")
    return open_table(path)


def by_the_clock(found, workers):
    """Seconds of a run with all files, its workers being up and warm."""
    with tempfile.TemporaryDirectory() as home:
        folder = Path(home)
        with ProcessPoolExecutor(workers, mp_context=get_context("spawn")) as pool:
            warm = table(folder, found[:200])
            run_names(JOB, warm, folder / "warm", executor=pool, workers=workers)
            whole = table(folder, found)
            start = time.perf_counter()
            run_names(JOB, whole, folder / "out", executor=pool, workers=workers)
            return time.perf_counter() - start


def alone(count):
    """Count so many names in this process; print CPU seconds and peak memory in MB."""
    with tempfile.TemporaryDirectory() as home:
        folder = Path(home)
        made = table(folder, names(count))
        start = time.process_time()
        run_names(JOB, made, folder / "out", counts_only=True)
        spent = time.process_time() - start
    sys.stdout.write(f"{spent} {peak_mb()}\n")


def peak_mb():
    """Most memory that this process has held, by Linux's own record (VmHWM, proc(5)).

    What getrusage tells begins with the most that the process which started this one had held.
    """
    said = re.search(r"VmHWM:\s*(\d+) kB", Path("/proc/self/status").read_text(encoding="ascii"))
    return int(said[1]) / 1024.0


def main(count, sizes):
    """Print all figures."""
    say = sys.stdout.write
    found = names(count)
    warm = count // 2
    memory = "/dev/shm" if os.path.isdir("/dev/shm") else None
    with tempfile.TemporaryDirectory() as home, tempfile.TemporaryDirectory(dir=memory) as quick:
        runs = (
            ("all files", Path(home), found, warm),
            ("all files, in memory", Path(quick), found, warm),
            ("counts only, new words", None, found, warm),
            ("counts only, words known", None, [*names(10 * count, seed=2), *found], 10 * count),
        )
        for what, folder, those, first in runs:
            rest, before, faults = rate(those, folder, first)
            say(f"{what:<24} {rest:8.0f} names a second, faults {faults};")
            say(f" the first {first}: {before:.0f}\n")
    one, two = (by_the_clock(found[: count // 2], workers) for workers in (1, 2))
    say(f"two workers              {one / two:8.2f} times one ({one:.1f} s, {two:.1f} s)\n")
    for size in sizes:
        run = subprocess.run(
            [sys.executable, __file__, "--alone", str(size)],
            capture_output=True,
            text=True,
            check=True,
        )
        spent, peak = map(float, run.stdout.split())
        say(f"{size:>8,} names counted: {1000 * spent / size:.2f} ms each, peak {peak:.0f} MB\n")


if __name__ == "__main__":
    if "--alone" in sys.argv:
        alone(int(sys.argv[-1]))
    else:
        numbers = [int(word) for word in sys.argv[1:] if word.isdecimal()]
        more = [100_000] if "--all" in sys.argv else []
        main(numbers[0] if numbers else 2000, [100, 1000, 10_000, *more])
