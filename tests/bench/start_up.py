"""What a run costs beside what importing its libraries costs, as ratios of paired runs.

    python tests/bench/start_up.py [PAIRS]

Each pair runs the command and its yardstick one after the other in fresh processes; the median
ratio is printed with the least and the most. All run from kept bytecode, as an installed package
does: libraries have theirs from their installation, and ours would be compiled anew each time
where Python is told to keep none.
"""

import os
import statistics
import subprocess
import sys
import tempfile
import time

LIBRARIES = "import numpy, shapely, fontTools.ttLib, uharfbuzz, svgwrite, click"


def seconds(args):
    """Wall time of one process, its output thrown away."""
    kept = {name: said for name, said in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    kept["PYTHONPYCACHEPREFIX"] = os.path.join(tempfile.gettempdir(), "pathgen-bytecode")
    start = time.perf_counter()
    subprocess.run(args, check=True, stdout=subprocess.DEVNULL, env=kept)
    return time.perf_counter() - start


def compare(name, command, yardstick, pairs):
    """Print the ratio of a command to its yardstick."""
    for args in (command, yardstick):  # a warm-up, not counted
        seconds(args)
    times = [(seconds(command), seconds(yardstick)) for _ in range(pairs)]
    ratios = [a / b for a, b in times]
    here, there = (statistics.median(t) for t in zip(*times, strict=True))
    print(
        f"{name:28s} {here:6.3f} s beside {there:6.3f} s   ratio {statistics.median(ratios):.2f} "
        f"({min(ratios):.2f} to {max(ratios):.2f})"
    )


def ratios():
    """For `all.py`: ours, beside what, and the median ratio of paired runs."""
    python = sys.executable
    with tempfile.TemporaryDirectory() as out:
        plot = [python, "-m", "pathgen", "plot", "Harbour Bakery", "--height", "5", "--out", out]
        imports = [python, "-c", LIBRARIES]
        seconds(plot), seconds(imports)  # a warm-up, not counted
        pairs = [(seconds(plot), seconds(imports)) for _ in range(7)]
    yield "a whole plot", "importing its libraries", statistics.median(a / b for a, b in pairs)
    helped, click = [python, "-m", "pathgen", "--help"], [python, "-c", "import click"]
    pairs = [(seconds(helped), seconds(click)) for _ in range(7)]
    yield "--help", "importing click", statistics.median(a / b for a, b in pairs)


def main():
    """Compare a plot with its imports, and help with importing click."""
    pairs = int(sys.argv[1]) if len(sys.argv) > 1 else 15
    python = sys.executable
    with tempfile.TemporaryDirectory() as out:
        plot = [python, "-m", "pathgen", "plot", "Harbour Bakery", "--height", "5", "--out", out]
        compare("plot beside imports", plot, [python, "-c", LIBRARIES], pairs)
    helped = [python, "-m", "pathgen", "--help"]
    compare("--help beside import click", helped, [python, "-c", "import click"], pairs)


if __name__ == "__main__":
    main()
