"""What the needle path costs: stage by stage, at another height, and by the number of letters.

    python tests/bench/needle_path.py

Times are CPU, the median of several runs in one process, columns cached; ratios are what
counts.
"""

import statistics
import time

import numpy as np

from pathgen import pipeline, plan
from pathgen.review.checks import reviewed
from pathgen.shop.count import counted
from pathgen.stitching.route import route, sew
from pathgen.stitching.sewn import letters_sewn
from pathgen.stitching.stations import bridges_of, stations_of
from pathgen.writers.plot_svg import plot_svg
from pathgen.writers.tables_csv import counts_csv, needles_csv

WORDS = ("harbour", "bakery", "quay", "chandlery", "net", "loft", "ferry", "fresh", "since")


def median_s(work, runs=9):
    """Median CPU time of some work in seconds."""
    times = []
    for _ in range(runs):
        start = time.process_time()
        work()
        times.append(time.process_time() - start)
    return statistics.median(times)


def text_of(letters):
    """Text with about so many letters in lines of 40."""
    words = " ".join(WORDS[i % len(WORDS)] for i in range(letters // 4 + 2))[:letters]
    return [words[i : i + 40].strip() or "o" for i in range(0, letters, 40)]


def fresh(work):
    """The same work with no letter kept from before."""

    def cleared():
        stations_of.forget()
        bridges_of.forget()
        letters_sewn.forget()
        work()

    return cleared


def stages():
    """Needle points a second for each stage of a 160-letter text."""
    made = plan(text_of(160), height_mm=5.0)
    points = len(made.needles)
    stage = {
        "path, no letter known": fresh(lambda: route(made.letters, made.settings)),
        "path, letters known": lambda: route(made.letters, made.settings),
        "findings": lambda: reviewed(
            made.letters, made.needles, made.settings, None, sew(made.letters, made.settings)
        ),
        "counts": lambda: counted(
            made.lines, made.letters, made.needles, made.findings, made.settings
        ),
        "plot": lambda: plot_svg(made),
        "tables": lambda: (needles_csv(made), counts_csv(made)),
    }
    print(f"stages, {len(made.letters)} letters, {points} needle points")
    for name, work in stage.items():
        seconds = median_s(work)
        print(f"  {name:24s} {1e3 * seconds:8.1f} ms   {points / seconds:10,.0f} points/s")


def another_height():
    """A 12-letter name planned again at other heights: the path alone, and the whole plan."""
    heights = iter(np.arange(3.0, 9.0, 0.01).tolist())
    name = "Harbour Bake"
    paths = []

    def timed(*asked):
        start = time.process_time()
        sewing = sew(*asked)
        paths.append(time.process_time() - start)
        return sewing

    pipeline.sew = timed
    for _ in range(25):
        plan(name, height_mm=next(heights))
    pipeline.sew = sew
    whole = median_s(lambda: plan(name, height_mm=next(heights)), runs=25)
    again = median_s(lambda: plan(name, height_mm=5.0), runs=25)
    print(f"12 letters at another height: path {1e3 * statistics.median(paths):.1f} ms")
    print(f"  whole plan {1e3 * whole:.1f} ms; the same again {1e3 * again:.1f} ms")


def by_letters():
    """Cost a letter from 10 to 10,000 letters, as a ratio to that of 100."""
    print("cost by letters")
    cost = {}
    for letters in (10, 100, 1000, 10000):
        text = text_of(letters)
        plan(text, height_mm=5.0)
        cost[letters] = median_s(lambda text=text: plan(text, height_mm=5.0), 3) / letters
    for letters, seconds in cost.items():
        print(
            f"  {letters:6d} letters {1e3 * seconds:7.3f} ms each   ratio {seconds / cost[100]:.2f}"
        )


if __name__ == "__main__":
    stages()
    another_height()
    by_letters()
