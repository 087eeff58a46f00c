"""How a thread shows on a cloth once it is sewn, and from where on letters read.

The figures are in sewn_look.toml: fitted, not measured. A thread between two that are listed gets
values between theirs, by thickness; one beyond them gets the nearest one's in proportion. Sewn
samples in a cloth file come before them.
"""

import math
import tomllib
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

from pathgen.materials import Cloth, SewnThread, Thread, VerdictLimits
from pathgen.sewnlook import ReadingLimits, SewnLook

__all__ = ["over_underlay", "sewn_look"]


def sewn_look(thread: Thread, cloth: Cloth) -> SewnLook:
    """Look of a thread on a cloth.

    Examples
    --------
    >>> from pathgen.shop.stock import cloth_named, thread_named
    >>> sewn_look(thread_named("40"), cloth_named("backed twill")).width_mm
    0.38
    """
    known = _known()
    pile = known["pile"]
    shown = max(pile["least"], 1.0 - pile["width_per_mm"] * cloth.pile_mm)
    bulged = max(pile["least"], 1.0 - pile["overhang_per_mm"] * cloth.pile_mm)
    look = SewnLook(
        width_mm=_at_thickness(thread, "width_mm") * shown,
        pull_in_mm=_at_thickness(thread, "pull_in_mm") * known["pull_in"][cloth.stability],
        overhang_mm=_at_thickness(thread, "overhang_mm") * bulged,
        over_underlay=over_underlay(cloth.sewn_with(thread)),
        limits=_with_samples(ReadingLimits(**known["limits"]), cloth.verdict),
    )
    sewn = cloth.sewn_with(thread)
    if sewn is None:
        return look
    origin = f"sewn samples, {cloth.date}".rstrip(", ")
    return replace(look, pull_in_mm=sewn.pull_mm, overhang_mm=sewn.overhang_mm, origin=origin)


def over_underlay(sewn: SewnThread | None) -> float:
    """Pull over underlay by pull without: what samples have shown, or the fitted figure."""
    if sewn is None or math.isnan(sewn.over_underlay):
        return float(_known()["underlay"]["over_underlay"])
    return sewn.over_underlay


def _with_samples(limits: ReadingLimits, sewn: VerdictLimits | None) -> ReadingLimits:
    """Limits, those that sewn samples have set in their place."""
    if sewn is None:
        return limits
    limits = replace(limits, well_margin=sewn.well_margin, least_margin=sewn.reads_margin)
    if not math.isnan(sewn.well_likeness):
        well, text = sewn.well_likeness, sewn.well_likeness
        limits = replace(limits, well_likeness=well, text_well_likeness=text)
    if not math.isnan(sewn.reads_likeness):
        least, text = sewn.reads_likeness, sewn.reads_likeness
        limits = replace(limits, least_likeness=least, text_least_likeness=text)
    return limits


@cache
def _known() -> dict[str, Any]:
    """Everything in sewn_look.toml."""
    return tomllib.loads(Path(__file__).with_name("sewn_look.toml").read_text(encoding="utf-8"))


def _at_thickness(thread: Thread, name: str) -> float:
    """Value for a thread by its thickness, which goes with the root of its tex."""
    # limit: fibre and packing are taken to be those of the listed threads.
    rows = sorted((math.sqrt(row["tex"]), float(row[name])) for row in _known()["threads"])
    thick = math.sqrt(thread.tex)
    below = max((row for row in rows if row[0] <= thick), default=None)
    above = min((row for row in rows if row[0] >= thick), default=None)
    if below is None or above is None:
        at, value = below or above or rows[0]
        return value * thick / at
    gap = above[0] - below[0]
    share = (thick - below[0]) / gap if gap > 0.0 else 0.0
    return below[1] + share * (above[1] - below[1])
