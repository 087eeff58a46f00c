"""Why the values of a recipe are what they are: which rows, what the cloth changed, whose word.

A reason is a clause and its sources: where the figures in it are from.
"""

from collections.abc import Sequence

from pathgen.materials import Cloth
from pathgen.settings import Settings
from pathgen.shop.look import over_underlay
from pathgen.shop.recipes import recipe_at
from pathgen.shop.shelves import Recipe, Shop
from pathgen.shop.stocking import bundled

__all__ = ["Reason", "reasons"]

Reason = tuple[str, tuple[str, ...]]
"""A clause, and where its figures are from."""


def reasons(settings: Settings, shop: Shop | None = None) -> dict[str, Reason]:
    """Reason of each value that recipe, cloth or thread gave, by field.

    What the user asked for has no reason here.
    """
    shop = shop or bundled()
    thread, cloth, height = settings.thread, settings.cloth, settings.height_mm
    plain = recipe_at(thread, height, shop)
    lender = shop.recipe_thread(thread)
    lent = "" if lender.key == thread.key else f"as {lender.label}, the nearest in tex: "
    row = lent + _row_said(shop.rows(lender.key), height)
    out: dict[str, Reason] = {
        "spacing_mm": _times(row, plain, cloth),
        "pull_mm": _more(row, plain, cloth),
        "underlay": (row, (plain.origin,)),
        "needle": (row, (plain.origin,)),
        "speed_spm": (row, (plain.origin,)),
        "least_column_mm": ("", (thread.origin_of("least_column_mm"),)),
        "least_height_mm": (f"lowest row for {lender.label}", ()),
    }
    if cloth.sewing:
        out["sewing"] = (f"order for {cloth.name}", (cloth.origin_of("sewing"),))
    sewn = cloth.sewn_with(thread)
    if sewn is not None:
        share = 1.0 if settings.underlay == "none" else over_underlay(sewn)
        times = f" times {share:g} over underlay" if share != 1.0 else ""
        said = f"pull {sewn.pull_mm:g}{times} less overhang {sewn.overhang_mm:g} mm"
        out["pull_mm"] = (said, (f"{sewn.samples} samples of {cloth.date}",))
    asked = ("option", "job file")
    return {name: why for name, why in out.items() if settings.origins.get(name) not in asked}


def _row_said(rows: Sequence[Recipe], height_mm: float) -> str:
    """Which rows a height takes."""
    heights = [row.height_mm for row in rows]
    below = max((h for h in heights if h <= height_mm), default=None)
    above = min((h for h in heights if h >= height_mm), default=None)
    if below is None:
        return f"out of range, row of {above:g} mm is held"
    if above is None:
        return f"over the tallest row, that of {below:g} mm is held"
    return f"row of {below:g} mm" if below == above else f"rows of {below:g} and {above:g} mm"


def _times(row: str, plain: Recipe, cloth: Cloth) -> Reason:
    """Spacing: the row's, times the cloth's factor."""
    if cloth.spacing_factor == 1.0:
        return row, (plain.origin,)
    said = f"{plain.spacing_mm:g} mm ({row}) times {cloth.spacing_factor:g} for {cloth.name}"
    return said, (plain.origin, cloth.origin_of("spacing_factor"))


def _more(row: str, plain: Recipe, cloth: Cloth) -> Reason:
    """Allowance: the row's, and what the cloth adds."""
    if cloth.pull_more_mm == 0.0:
        return row, (plain.origin,)
    sign = "and" if cloth.pull_more_mm > 0.0 else "less"
    said = f"{plain.pull_mm:g} mm ({row}) {sign} {abs(cloth.pull_more_mm):g} for {cloth.name}"
    return said, (plain.origin, cloth.origin_of("pull_more_mm"))
