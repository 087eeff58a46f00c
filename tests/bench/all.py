"""All benchmarks that give ratios, as one table; kept with ``--keep``.

    python tests/bench/all.py [--keep]

A benchmark takes part by having a function ``ratios()`` that yields what is measured, beside what,
and the ratio; nothing is listed here. ``--keep`` adds the table to RESULTS.md under the commit it
was made at: ratios of one run compare across machines, dates do not.
"""

import subprocess
import sys
from importlib import import_module
from pathlib import Path

HERE = Path(__file__).parent
RESULTS = HERE / "RESULTS.md"

sys.path[:0] = [str(HERE), str(HERE.parent), str(HERE.parents[1])]


def benchmarks():
    """Modules beside this one that have a function ``ratios``."""
    for path in sorted(HERE.glob("*.py")):
        if "\ndef ratios(" in path.read_text(encoding="utf-8") and path.stem != "all":
            yield import_module(path.stem)


def commit():
    """Short name of the commit, a star behind it where files have changed since."""
    said = subprocess.run(
        ["git", "describe", "--always", "--dirty=*"],
        cwd=HERE, check=False, capture_output=True, text=True,
    )  # fmt: skip
    return said.stdout.strip() or "unknown"


def main():
    """Measure, print, and keep if asked."""
    rows = [(b.__name__, *row) for b in benchmarks() for row in b.ratios()]
    lines = ["| benchmark | ours | beside | ratio |", "| --- | --- | --- | ---: |"]
    lines += [f"| {name} | {what} | {by} | {ratio:.2f} |" for name, what, by, ratio in rows]
    print("\n".join(lines))
    if "--keep" in sys.argv:
        before = RESULTS.read_text(encoding="utf-8")
        number = before.count("\n## ") + 1
        block = "\n".join([f"\n## Run {number}, at {commit()}", "", *lines, ""])
        RESULTS.write_text(before + block, encoding="utf-8")


if __name__ == "__main__":
    main()
