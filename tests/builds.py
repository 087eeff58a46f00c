"""Plans made by the oldest libraries that pyproject.toml allows, beside those made by these here.

    python tests/builds.py [FONT...]

makes a virtual environment with the oldest versions, plans the same lettering in both, also in the
fonts given, and tells how far the farthest needle point lies from its twin.
"""

import json
import math
import os
import subprocess
import sys
import tempfile
import tomllib
from collections.abc import Sequence
from importlib.metadata import version
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
TOLERANCE_MM = 0.001

# Beside the golden plans: every letter and figure of both bundled faces, and a bent line.
_LETTERS = [
    "ABCDEFGHIJKLM",
    "NOPQRSTUVWXYZ",
    "abcdefghijklm",
    "nopqrstuvwxyz",
    "0123456789&!?.,",
    "ÅÄÖÉÇØÆŁ åäöéçøæł",
]
PLANS = {
    "letters of Fairlead Plain": (_LETTERS, {"height_mm": 5.0}),
    "letters of Tholepin": (
        _LETTERS,
        {"height_mm": 4.0, "thread": "60", "face": "tholepin"},
    ),
    "under an arc": ("Harbour Bakery", {"arc_mm": 40.0, "arc_side": "below", "underlay": "zigzag"}),
}
_WORDS = ("part", "arrive", "thread", "line", "letter", "column", "side")


def oldest() -> dict[str, str]:
    """Library to oldest version, as pyproject.toml has them."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    return dict(each.split(">=") for each in project["dependencies"])


def points(fonts: Sequence[str]) -> dict[str, list[list[float]]]:
    """Needle points of all plans as they are, unrounded: x, y, then the words as numbers."""
    import golden_plans

    from pathgen import plan

    made = {}
    own = {f"letters of {Path(font).name}": (_LETTERS, {"face": font}) for font in fonts}
    for name, (text, asked) in {**golden_plans.PLANS, **PLANS, **own}.items():
        table = plan(text, **asked).needles
        made[name] = [
            [float(row["x_mm"]), float(row["y_mm"]), *(int(row[word]) for word in _WORDS)]
            for row in table
        ]
    return made


def farthest_mm(one: list[list[float]], other: list[list[float]]) -> float:
    """Longest distance between twins; infinite where any other part of a row differs."""
    if len(one) != len(other) or any(a[2:] != b[2:] for a, b in zip(one, other, strict=True)):
        return math.inf
    return max(math.dist(a[:2], b[:2]) for a, b in zip(one, other, strict=True))


def environment(home: Path) -> tuple[Path | None, str]:
    """Python of an environment with the oldest versions, or none, and what pip said."""
    subprocess.run([sys.executable, "-m", "venv", home / "oldest"], check=True)
    python = home / "oldest" / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    wanted = [f"{name}=={number}" for name, number in oldest().items()]
    done = subprocess.run(
        [python, "-m", "pip", "install", "-q", "--only-binary", ":all:", *wanted],
        check=False, capture_output=True, text=True,
    )  # fmt: skip
    return (python if done.returncode == 0 else None), done.stderr


def asked_of(python: Path | str, fonts: Sequence[str]) -> dict:
    """Versions and points, as that Python has them."""
    done = subprocess.run(
        [python, __file__, "--points", *fonts],
        check=True, capture_output=True, text=True, cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT), "PYTHONDONTWRITEBYTECODE": "1"},
    )  # fmt: skip
    return json.loads(done.stdout)


def compared(python: Path, fonts: Sequence[str]) -> tuple[dict, dict, dict[str, float]]:
    """Versions of both, and how far apart each plan's points are."""
    old, new = asked_of(python, fonts), asked_of(sys.executable, fonts)
    apart = {name: farthest_mm(old["points"][name], rows) for name, rows in new["points"].items()}
    return old["versions"], new["versions"], apart


def main() -> int:
    """Compare, and print it."""
    if sys.argv[1:2] == ["--points"]:
        from shapely import geos_version_string

        versions = {name: version(name) for name in oldest()} | {"GEOS": geos_version_string}
        json.dump({"versions": versions, "points": points(sys.argv[2:])}, sys.stdout)
        return 0
    with tempfile.TemporaryDirectory() as folder:
        python, said = environment(Path(folder))
        if python is None:
            sys.exit(said)
        old, new, apart = compared(python, sys.argv[1:])
    lines = [f"{name}: {old[name]} beside {here}" for name, here in new.items()]
    lines += [f"{name}: farthest {far:.1e} mm" for name, far in apart.items()]
    sys.stdout.write("\n".join(lines) + "\n")
    return int(max(apart.values()) > TOLERANCE_MM)


if __name__ == "__main__":
    sys.exit(main())
