"""The sewing field in words, and whether the lettering fits it."""

from typing import Any

import numpy as np

from pathgen.lines import SewingField
from pathgen.model import Plan
from pathgen.needles import places_mm
from pathgen.writers.wording import amount, figure

__all__ = ["field_data", "field_named", "field_said"]


def field_named(field: SewingField) -> str:
    """Name and size, such as ``apron chest, 75 x 30 mm``."""
    size = " x ".join(amount(limit, "") for limit in field.limits_mm)
    return f"{field.name}, {size} mm{' across' if field.is_round else ''}"


def field_said(plan: Plan) -> str:
    """Whether the lettering fits its field, and by how much; empty where there is none."""
    if plan.field is None or not len(plan.needles):
        return ""
    spare, named = _spare_mm(plan, plan.field), field_named(plan.field)
    if _fits(plan):
        where = ("all round",) if plan.field.is_round else ("left and right", "above and below")
        first, *more = (f"{free / 2.0:.1f} mm" for free in spare)
        said = [f"{first} to spare {where[0]}", *map(" ".join, zip(more, where[1:], strict=True))]
        return f"fits {named}: {', '.join(said)}"
    too = ("large",) if plan.field.is_round else ("wide", "high")
    over = (f"{figure(-free)} too {way}" for free, way in zip(spare, too, strict=True) if free < 0)
    return f"does not fit {named}: {' and '.join(over)}"


def field_data(plan: Plan) -> dict[str, Any]:
    """The same as plain data; ``spare_mm`` is the room left over in all, width and height."""
    if plan.field is None:
        return {}
    spare = _spare_mm(plan, plan.field) if len(plan.needles) else plan.field.limits_mm
    return {
        "fits": _fits(plan),
        "limits_mm": list(plan.field.limits_mm),
        "name": plan.field.name,
        "spare_mm": [round(float(free), 3) + 0.0 for free in spare],
    }


def _fits(plan: Plan) -> bool:
    return all(finding.code != "outside-field" for finding in plan.findings)


def _spare_mm(plan: Plan, field: SewingField) -> list[float]:
    """Room left over in all, by width and height or by diameter; negative for too much."""
    takes = field.takes_mm(places_mm(plan.needles)).max(axis=0)
    return [float(free) for free in np.round(field.limits_mm - takes, 9) + 0.0]
