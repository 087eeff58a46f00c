"""Plans kept as tables of needle points, compared as numbers with a tolerance in mm.

    python tests/golden_plans.py --store

writes them anew, after a change that is meant to move points.
"""

import sys
from pathlib import Path

from rfc4180 import rows_of

from pathgen import plan
from pathgen.writers.tables_csv import needles_csv

HOME = Path(__file__).parent / "golden"
TOLERANCE_MM = 0.001

# Name: text and what else is asked for; all in Fairlead Plain, whose strokes are known.
PLANS = {
    "bars": ("ILTH", {}),
    "ring": ("Oo", {"height_mm": 6.0}),
    "words": ("Net Loft", {"height_mm": 3.0, "thread": "60", "face": "tholepin"}),
    "arc": ("Quay", {"arc_mm": 30.0, "underlay": "edge-run"}),
}


def needle_rows(name):
    """Needle table of a plan that is kept."""
    text, asked = PLANS[name]
    return rows_of(needles_csv(plan(text, **asked)))


def kept_rows(name):
    """The table as it is kept."""
    return rows_of((HOME / f"{name}.needles.csv").read_bytes())


def differences(kept, found, tolerance=TOLERANCE_MM):
    """What differs, a line each: words must be the same, lengths within the tolerance.

    The tables hold whole thousandths, so half of one more is allowed for rounding.
    """
    if len(kept) != len(found):
        return [f"{len(found) - 1} rows for {len(kept) - 1}"]
    out = []
    for number, (old, new) in enumerate(zip(kept, found, strict=True)):
        for title, a, b in zip(kept[0], old, new, strict=True):
            length = number and title.endswith("_mm")
            same = abs(float(a) - float(b)) <= tolerance + 1e-9 if length else a == b
            if not same:
                out.append(f"row {number}: {title} is {b} for {a}")
    return out


if __name__ == "__main__":
    if "--store" not in sys.argv:
        sys.exit(__doc__)
    HOME.mkdir(exist_ok=True)
    for _name in PLANS:
        text, asked = PLANS[_name]
        (HOME / f"{_name}.needles.csv").write_bytes(needles_csv(plan(text, **asked)))
