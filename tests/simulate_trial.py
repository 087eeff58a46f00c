"""Fill in the form of a trial panel as if it had been sewn: simulated measurements, for examples.

python tests/simulate_trial.py   # writes out/readme-simulated-panel.csv, once: it is kept as it is

Truth: pull 0.19 mm a side (0.03 more in columns across the cloth, as much less along it), 0.8 of
that over underlay, overhang 0.08; letters read by chance, half of them at margin 0.02. Widths are
read off to 0.01 mm with a spread of 0.05. Two slips are made on purpose, as people make them.
"""

import math
import sys
from pathlib import Path

import numpy as np

from pathgen.orders.samples import COLUMNS
from pathgen.orders.trial import trial
from pathgen.writers.tables_csv import table_csv

ROOT = Path(__file__).parents[1]
PULL_MM, TURN_MM, OVER_UNDERLAY, OVERHANG_MM = 0.19, 0.03, 0.8, 0.08
READS, STEEPNESS, SPREAD_MM = 0.02, 60.0, 0.05
DATE = "2026-11-20"
SEED = 8


def filled(rows, seed=SEED):
    """Rows of a form with simulated measurements."""
    rng = np.random.default_rng(seed)
    out = []
    for row in rows:
        made = dict(row)
        if row["kind"] == "letter":
            chance = 1.0 / (1.0 + math.exp(-STEEPNESS * (float(row["margin"]) - READS)))
            made["read"] = "yes" if rng.random() < chance else "no"
        else:
            needle = float(row["needle_mm"])
            turn = math.cos(2.0 * math.radians(float(row["direction_deg"] or 45.0)))
            share = 1.0 if row["underlay"] == "none" else OVER_UNDERLAY
            pull = PULL_MM * share + TURN_MM * turn
            noise = rng.normal(0.0, SPREAD_MM, 2)
            if row["kind"] == "bar":
                made["holes"] = f"{needle - 2.0 * pull + noise[0]:.2f}"
                made["edge"] = f"{needle - 2.0 * pull + 2.0 * OVERHANG_MM + noise[1]:.2f}"
            else:
                counter = needle + 2.0 * pull - 2.0 * OVERHANG_MM + noise[0]
                made["counter"] = f"{counter:.2f}" if counter > 0.05 else "closed"
        out.append(made)
    out[0]["date"] = DATE
    return out


def simulated_panel(cloth="pique", thread="40", seed=SEED):
    """Filled rows of a whole panel."""
    asked = {"thread": thread, "cloth": cloth}
    return filled(trial(f"{cloth}-{thread}", asked=asked).rows, seed)


def main(path=ROOT / "out" / "readme-simulated-panel.csv"):
    """Write a panel with a decimal comma, inches, a slip of the point and a cell left empty."""
    rows = simulated_panel()
    rows[2]["edge"] = rows[2]["edge"].replace(".", ",")
    rows[4]["holes"] = f"{float(rows[4]['holes']) / 25.4:.4f} in"
    rows[8]["edge"] = f"{10.0 * float(rows[8]['edge']):.1f}"
    rows[11]["holes"] = ""
    rows[15]["edge"] = "about 1"
    Path(path).write_bytes(table_csv(COLUMNS, rows))


if __name__ == "__main__":
    main(*sys.argv[1:])
