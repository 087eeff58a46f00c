"""Sewn panels that never were: measured widths and letters made from a known truth."""

import math
from dataclasses import dataclass

import numpy as np

from pathgen.trials import Sample

WIDTHS_MM = (0.6, 0.8, 1.0, 1.5, 2.0, 2.5, 3.0)
UNDER_MM = (1.0, 1.5, 2.0, 3.0)
ALLOWANCE_MM = 0.2


@dataclass(frozen=True)
class Truth:
    """What the panels are made from; lengths a side."""

    pull_mm: float = 0.16
    overhang_mm: float = 0.09
    turn_mm: float = 0.02
    over_underlay: float = 0.8
    spread_mm: float = 0.04
    reads: float = 0.012
    steepness: float = 80.0

    def margin(self, share):
        """Margin at which a share of letters is read."""
        return self.reads + math.log(share / (1.0 - share)) / self.steepness


def common(**more):
    return {
        "file": "panel.csv",
        "panel": "1",
        "date": "2027-03-01",
        "thread": "40 wt",
        "tex": 26.667,
        "cloth": "backed twill",
    } | more


def bars(truth, rng, **more):
    """Every bar of a panel, measured at edges and holes."""
    plain = [(w, d, "none") for d in (0.0, 45.0, 90.0, 135.0) for w in WIDTHS_MM]
    over = [(w, d, "centre-run") for d in (0.0, 90.0) for w in UNDER_MM]
    out = []
    for row, (width, direction, underlay) in enumerate([*plain, *over], 2):
        needle = width + 2.0 * ALLOWANCE_MM
        factor = truth.over_underlay if underlay != "none" else 1.0
        pull = truth.pull_mm * factor + truth.turn_mm * math.cos(2.0 * math.radians(direction))
        noise = rng.normal(0.0, truth.spread_mm, 2)
        out.append(
            Sample(
                row=row,
                kind="bar",
                underlay=underlay,
                direction_deg=direction,
                drawn_mm=width,
                needle_mm=needle,
                edge_mm=needle - 2.0 * pull + 2.0 * truth.overhang_mm + noise[0],
                holes_mm=needle - 2.0 * pull + noise[1],
                **common(**more),
            )
        )
    return out


def letters(truth, rng, count=100, **more):
    """Letters of many margins, read by chance."""
    margins = rng.normal(0.01, 0.035, count)
    chance = 1.0 / (1.0 + np.exp(-truth.steepness * (margins - truth.reads)))
    read = rng.random(count) < chance
    return [
        Sample(row=row, kind="letter", text="a", height_mm=3.0, margin=float(m), read=bool(r),
               **common(**more))
        for row, (m, r) in enumerate(zip(margins, read, strict=True), 100)
    ]  # fmt: skip
