"""Small faults put into zigzag, counts, prices and units: do the tests notice them?

    python tests/bench/mutants.py [NAME_PART]

Each fault is one line changed in a copy of the project; the tests named for its file are run on the
copy, first without any fault. A fault that no test notices is named at the end; exit code 1 if more
than one in ten is left.
"""

import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).resolve().parents[2]
MOST_LEFT = 0.1


class Mutant(NamedTuple):
    """One fault: in ``file`` the text ``old``, which stands there once, becomes ``new``."""

    file: str
    old: str
    new: str


TESTS = {
    "stitching/zigzag.py": ["test_zigzag.py", "test_golden.py"],
    "shop/count.py": [
        "test_counts.py",
        "test_shop.py",
        "test_tables_csv.py",
        "test_outside.py",
        "test_golden.py",
    ],
    "shop/time.py": ["test_shop.py", "test_lines.py"],
    "shop/price.py": ["test_price.py", "test_price_names.py", "test_outside.py"],
    "units.py": ["test_units.py"],
    "yarncount.py": ["test_yarncount.py", "test_outside.py"],
}
MUTANTS = [
    Mutant(*row)
    for row in [
        ("stitching/zigzag.py", "asked + 0.5 + _SAME", "asked + 0.4 + _SAME"),
        ("stitching/zigzag.py", "return max(1, nearest + int(", "return max(2, nearest + int("),
        (
            "stitching/zigzag.py",
            "nearest * PITCH_SLACK + _SAME > _SAME",
            "nearest + _SAME > _SAME",
        ),
        ("stitching/zigzag.py", "steps = [2 * pitches(", "steps = [1 * pitches("),
        ("stitching/zigzag.py", "n + int(not c.closed)", "n + 2 * int(not c.closed)"),
        (
            "stitching/zigzag.py",
            "stops = total * (number",
            "stops = 0.99 * total * (number",
        ),
        ("stitching/zigzag.py", "reach = (left - right) / 2.0", "reach = (left - right) / 2.1"),
        (
            "stitching/zigzag.py",
            "np.maximum(half + growth, NO_WIDTH_MM)",
            "np.maximum(half - growth, NO_WIDTH_MM)",
        ),
        (
            "stitching/zigzag.py",
            "np.maximum(half + growth, NO_WIDTH_MM)",
            "np.maximum(half + growth, least)",
        ),
        (
            "stitching/zigzag.py",
            "side = (number % 2)",
            "side = ((number + 1) % 2)",
        ),
        (
            "stitching/zigzag.py",
            "_WAYS = np.array([1.0, -1.0])",
            "_WAYS = np.array([-1.0, 1.0])",
        ),
        (
            "stitching/zigzag.py",
            "if not (size > longest_mm).any()",
            "if not (size > longest_mm).all()",
        ),
        (
            "stitching/zigzag.py",
            "        if size[k] > longest_mm:",
            "        if size[k] > 2 * longest_mm:",
        ),
        (
            "stitching/zigzag.py",
            "math.ceil((1.0 + max(_STAGGER)) * size[k] / longest_mm)",
            "math.ceil(size[k] / longest_mm)",
        ),
        ("stitching/zigzag.py", "_STAGGER = (-0.25, 0.0, 0.25)", "_STAGGER = (0.0, 0.0, 0.0)"),
        ("stitching/zigzag.py", "Side.CENTRE, dtype", "Side.LEFT, dtype"),
        (
            "shop/count.py",
            "lengths + stretches[0].settings.cloth.thickness_mm, 0.0",
            "lengths, 0.0",
        ),
        (
            "shop/count.py",
            'table["arrive"] == int(Arrive.SEW)',
            'table["arrive"] != int(Arrive.SEW)',
        ),
        (
            "shop/count.py",
            'trims = stretch.rows["arrive"] == int(Arrive.TRIM)',
            'trims = stretch.rows["arrive"] != int(Arrive.TRIM)',
        ),
        (
            "shop/count.py",
            "sewn_mm=float(lengths[rows].sum())",
            "sewn_mm=float(lengths[rows].max())",
        ),
        ("shop/count.py", "narrowest_mm=drawn.usual_width", "narrowest_mm=float(widths.min())"),
        ("shop/count.py", "least_mm=float(widths.min())", "least_mm=float(widths.mean())"),
        ("shop/count.py", "most_mm=float(widths.max())", "most_mm=float(widths.min())"),
        (
            "shop/count.py",
            "minlength=len(Part)).tolist())",
            "minlength=len(Part)).tolist()[::-1])",
        ),
        ("shop/count.py", "self.concerning.get(place, 0)", "self.concerning.get((), 0)"),
        (
            "shop/count.py",
            'tally.count("whole", tally.together(range(1, len(lines) + 1))',
            'tally.count("whole", tally.together(range(1, len(lines)))',
        ),
        (
            "shop/time.py",
            "return 60.0 * whole.stitches / settings.speed_spm",
            "return 60.0 * whole.stitches / (settings.speed_spm + 1.0)",
        ),
        ("shop/time.py", "speed_spm + TRIM_S * whole.trims", "speed_spm"),
        ("shop/time.py", "sewn + TRIM_S * trims + CHANGE_S * changes", "sewn + TRIM_S * trims"),
        ("shop/price.py", "b.pieces <= pieces", "b.pieces < pieces"),
        ("shop/price.py", "runs = -(-pieces // card.heads)", "runs = pieces // card.heads"),
        ("shop/price.py", "heads = min(card.heads, pieces)", "heads = card.heads"),
        (
            "shop/price.py",
            "order_s = runs * each.run_s + Fraction(hooping_s)",
            "order_s = runs * each.run_s",
        ),
        ("shop/price.py", "each.stitches / 1000,", "each.stitches / 1001,"),
        ("shop/price.py", "decided = max(claims", "decided = min(claims"),
        ("shop/price.py", "waste = 1 + card.waste_share\n        each", "waste = 1\n        each"),
        ("shop/price.py", "/ (3600 * pieces)", "/ 3600"),
        ("shop/price.py", "return steps * card.round_to", "return steps"),
        (
            "shop/price.py",
            "trims_s, changes_s = work.trims * card.trim_s, work",
            "trims_s, changes_s = card.trim_s, work",
        ),
        ("shop/price.py", "to_integral_value(ROUND_CEILING)", "to_integral_value()"),
        (
            "shop/price.py",
            "if card.speed_spm is None or stretch.origin not in",
            "if card.speed_spm is None or stretch.origin in",
        ),
        ("units.py", '"in": 25.4,', '"in": 25.0,'),
        ("units.py", "25.4 / 72.0", "25.4 / 72.27"),
        ("units.py", '"cm": 10.0', '"cm": 100.0'),
        ("units.py", "return height_mm / cap_height_fu", "return cap_height_fu / height_mm"),
        ("units.py", "unit = match[2].lower() or", "unit = match[2] or"),
        ("units.py", "or not math.isfinite(float(match[1]))", "or False"),
        ("yarncount.py", "number * _DIRECT[unit] * plies if", "number * _DIRECT[unit] if"),
        ("yarncount.py", "_INVERSE[unit] * plies / number", "_INVERSE[unit] / number"),
        ("yarncount.py", "if number == 0.0 or", "if"),
        ("yarncount.py", "constant / tex for", "tex / constant for"),
    ]
]


def copied(home: Path) -> Path:
    """A copy of what the tests need."""
    for name in ("pathgen", "tests", "fonts", "pyproject.toml", "README.md", "out"):
        source = ROOT / name
        copy = shutil.copytree if source.is_dir() else shutil.copy
        copy(source, home / name)
    return home


def noticed(home: Path, file: str) -> bool:
    """Whether the tests of a file fail."""
    tests = [f"tests/{name}" for name in TESTS[file]]
    args = ["-q", "-x", "-p", "no:cacheprovider", "--no-header", *tests]
    done = subprocess.run(
        [sys.executable, "-m", "pytest", *args],
        cwd=home, check=False, capture_output=True,
        env={**os.environ, "PYTHONPATH": str(home), "PYTHONDONTWRITEBYTECODE": "1"},
    )  # fmt: skip
    return done.returncode != 0


def main() -> int:
    """Try every fault."""
    part = sys.argv[1] if len(sys.argv) > 1 else ""
    tried = [mutant for mutant in MUTANTS if part in mutant.file]
    left = []
    with tempfile.TemporaryDirectory() as folder:
        home = copied(Path(folder))
        for file in dict.fromkeys(mutant.file for mutant in tried):
            if noticed(home, file):
                sys.exit(f"the tests of {file} fail without any fault")
        for mutant in tried:
            path = home / "pathgen" / mutant.file
            text = path.read_text(encoding="utf-8")
            if text.count(mutant.old) != 1:
                sys.exit(f"{mutant.file} holds {mutant.old!r} {text.count(mutant.old)} times")
            path.write_text(text.replace(mutant.old, mutant.new), encoding="utf-8")
            killed = noticed(home, mutant.file)
            path.write_text(text, encoding="utf-8")
            left += [] if killed else [mutant]
            print(
                f"{'noticed' if killed else 'LEFT':8s}{mutant.file:22s}{mutant.old} -> {mutant.new}"
            )
    print(f"{len(tried) - len(left)} of {len(tried)} faults are noticed")
    return int(len(left) > MOST_LEFT * len(tried))


if __name__ == "__main__":
    sys.exit(main())
