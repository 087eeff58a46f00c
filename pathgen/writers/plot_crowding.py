"""The map of crowding: shade where penetrations are many for the cloth.

Around each penetration lies the disc of the blade in which its neighbours were counted. Discs of
one step of the limit are one path, so that shade does not pile up where they overlap; the
crowded ones lie on top. Below half of the limit the ground stays clear.
"""

from typing import NamedTuple

import numpy as np

from pathgen.model import Plan
from pathgen.writers.digits import Words
from pathgen.writers.plot_paths import dots
from pathgen.writers.plot_svg_pen import Element, group, path
from pathgen.writers.wording import crowding_said

__all__ = ["CROWDING_STEPS", "CrowdingStep", "crowding_map"]


class CrowdingStep(NamedTuple):
    """Shade of penetrations from a share of the limit on, and its words in the key."""

    share: float
    colour: str
    opacity: str
    name: str


CROWDING_STEPS = (
    CrowdingStep(0.5, "#f2c14e", "0.3", "half"),
    CrowdingStep(0.75, "#e5801f", "0.4", "three quarters"),
    CrowdingStep(1.0, "#a32100", "0.5", "over"),
)
"""Lightest first; each reads darker than the last in black and white too."""

_JUST = 1e-9
"""A share this much over 1 is still at the limit, and the last step begins beyond it."""


def crowding_map(plan: Plan, at: Words) -> Element:
    """The layer, in plan mm; ``at`` are the penetrations as written.

    Empty where the plan does not say how crowded it is, or nothing is.
    """
    out = group("crowding", _title(plan))
    crowding = plan.crowding
    if crowding is None or not len(crowding.per_mm2):
        return out
    share = crowding.per_mm2 / crowding.limit_per_mm2
    steps = [share >= step.share for step in CROWDING_STEPS[:-1]] + [share > 1.0 + _JUST]
    step = np.add.reduce(steps, dtype=np.uint16)
    rows = np.flatnonzero(step)
    blade = crowding.blade_mm[rows]
    blades = sorted(set(blade.tolist()))
    kinds = (step[rows] - 1) * len(blades)
    for thinner in blades[:-1]:
        kinds += blade > thinner
    for kind, data in dots(kinds, at.take(rows, axis=0)).items():
        look, blade_mm = CROWDING_STEPS[kind // len(blades)], blades[kind % len(blades)]
        shade = group(
            "",
            f"{look.name} of the limit: {data.count('M')} penetrations",
            stroke=look.colour,
            stroke_opacity=look.opacity,
            stroke_width=f"{blade_mm:g}",
            stroke_linecap="round",
        )
        shade.add(path(data))
        out.add(shade)
    return out


def _title(plan: Plan) -> str:
    said = crowding_said(plan)
    return "Crowding: penetrations in a disc of the blade" + (f", at most {said}" if said else "")
