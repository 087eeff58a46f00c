"""Bars and rings of known size, planned like letters: what a trial panel is measured by.

They are made as columns directly, so that what is sewn is known to the last figure. Bars of each
width run in four directions, some of them over underlay as well; rings have counters of known
size. One thing stands in each cell of a grid, and every row is a line of the plan.
"""

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from pathgen.geometry import Points
from pathgen.lines import FaceFacts, LineSettings
from pathgen.model import Column, Letter, LetterShape, Plan
from pathgen.needles import Part, Side, places_mm
from pathgen.pipeline import plan_letters
from pathgen.polygons import Polygon, band, outlines_of, parts
from pathgen.settings import Settings

__all__ = ["BAR_WIDTHS_MM", "COUNTERS_MM", "Gauge", "gauge_plan", "gauges"]

BAR_WIDTHS_MM = (0.6, 0.8, 1.0, 1.5, 2.0, 2.5, 3.0)
"""Widths as drawn; from what small letters have to what is easy to measure."""

UNDERLAID_MM = (1.0, 1.5, 2.0, 3.0)
"""Widths of the bars that lie over underlay."""

DIRECTIONS_DEG = (0.0, 90.0, 45.0, 135.0)
"""How bars run: 0 across the cloth, 90 along it."""

COUNTERS_MM = (0.4, 0.6, 0.8, 1.0, 1.4, 1.8, 2.4)
"""Inner diameters of the rings as drawn."""

RING_MM = 1.0
"""Width of a ring's column."""

BAR_MM = 8.0
"""Length of a bar: its middle is free of what the ends do, and two can be measured on."""

CELL_MM = 11.5
"""Side of a grid cell: a diagonal bar of the greatest width keeps 2 mm from its neighbours."""

UNDERLAY = "centre-run"

_RUNGS, _RING_RUNGS = 17, 73


class Gauge(NamedTuple):
    """One bar or ring.

    Attributes
    ----------
    number : int
        From 1, in reading order.
    kind : str
        ``bar`` or ``ring``.
    line, place : int
        Its place in the plan.
    drawn_mm : float
        Width of the bar, or counter of the ring.
    direction_deg : float
        How a bar runs; 0 for rings.
    underlay : str
        ``none``, or what it lies over.
    centre_mm : tuple of float
        Its middle.
    """

    number: int
    kind: str
    line: int
    place: int
    drawn_mm: float
    direction_deg: float
    underlay: str
    centre_mm: tuple[float, float]

    @property
    def label(self) -> str:
        """Its size as it is written beside it."""
        return f"{self.drawn_mm:g}"


def gauges() -> tuple[Gauge, ...]:
    """All bars and rings, row by row."""
    rows = [[("bar", width, angle, "none") for width in BAR_WIDTHS_MM] for angle in DIRECTIONS_DEG]
    rows.append(
        [("bar", width, angle, UNDERLAY) for angle in (0.0, 90.0) for width in UNDERLAID_MM]
    )
    rows.append([("ring", counter, 0.0, "none") for counter in COUNTERS_MM])
    out: list[Gauge] = []
    for line, row in enumerate(rows, 1):
        for index, (kind, drawn_mm, angle, underlay) in enumerate(row, 1):
            centre = ((index - 0.5) * CELL_MM, (0.5 - line) * CELL_MM)
            out.append(Gauge(len(out) + 1, kind, line, index, drawn_mm, angle, underlay, centre))
    return tuple(out)


def gauge_plan(settings: Settings) -> Plan:
    """Needle plan of all bars and rings with the thread, spacing and allowance of some settings.

    The underlay is each bar's own; the rest of the settings is kept.
    """
    all_of = gauges()
    facts = FaceFacts(
        name="bars and rings", source="", units_per_em=1, cap_height_fu=1.0, x_height_fu=1.0
    )
    lines = sorted({gauge.line for gauge in all_of})
    by_line = []
    for line in lines:
        row = [gauge for gauge in all_of if gauge.line == line]
        own = replace(settings, underlay=row[0].underlay, origins=settings.origins)
        by_line.append(
            LineSettings(text=_row_text(row), face=facts, settings=own, down_mm=line * CELL_MM)
        )
    return plan_letters(tuple(by_line), tuple(map(_letter, all_of)))


def _row_text(row: list[Gauge]) -> str:
    """What a row is called."""
    sizes = " ".join(gauge.label for gauge in row)
    if row[0].kind == "ring":
        return f"rings {sizes}"
    if row[0].underlay != "none":
        return f"bars over underlay {sizes}"
    said = {0.0: "across", 90.0: "along"}.get(row[0].direction_deg, f"{row[0].direction_deg:g} deg")
    return f"bars {said} {sizes}"


def _letter(gauge: Gauge) -> Letter:
    """A bar or ring as a letter of one column."""
    column = _ring(gauge.drawn_mm) if gauge.kind == "ring" else _bar(gauge)
    cover = band(column.left, column.right, closed=column.closed)
    ink = tuple(part for part in parts(cover) if isinstance(part, Polygon))
    shape = LetterShape(
        ink=ink,
        columns=(column,),
        ink_lines=outlines_of(ink),
        cover_lines=outlines_of((cover,)),
        bare_share=0.0,
    )
    return Letter(
        line=gauge.line, index=gauge.place, text=gauge.label, shape=shape, at_mm=gauge.centre_mm
    )


def _bar(gauge: Gauge) -> Column:
    """Straight column about the origin."""
    angle = math.radians(gauge.direction_deg)
    ahead, left = (
        np.array([math.cos(angle), math.sin(angle)]),
        np.array([-math.sin(angle), math.cos(angle)]),
    )
    centre: Points = np.linspace(-BAR_MM / 2.0, BAR_MM / 2.0, _RUNGS)[:, None] * ahead
    aside = gauge.drawn_mm / 2.0 * left
    return Column(left=centre + aside, right=centre - aside)


def _ring(counter_mm: float) -> Column:
    """Closed column about the origin, counter-clockwise, its counter to the left."""
    turn = np.linspace(0.0, 2.0 * np.pi, _RING_RUNGS)
    way: Points = np.column_stack([np.cos(turn), np.sin(turn)])
    way[-1] = way[0]
    inner = counter_mm / 2.0
    return Column(left=inner * way, right=(inner + RING_MM) * way, closed=True)


def needle_sizes_mm(plan: Plan) -> Iterator[float]:
    """Size of each gauge between its needle points, as planned: width, or clear counter."""
    table, xy = plan.needles, places_mm(plan.needles)
    zigzag = table["part"] == Part.ZIGZAG
    for gauge in gauges():
        own = zigzag & (table["line"] == gauge.line) & (table["letter"] == gauge.place)
        off = xy[own] - gauge.centre_mm
        if gauge.kind == "ring":
            inner = table["side"][own] == Side.LEFT
            yield 2.0 * float(np.hypot(off[inner, 0], off[inner, 1]).min())
            continue
        angle = math.radians(gauge.direction_deg)
        across = off @ np.array([-math.sin(angle), math.cos(angle)])
        left, right = (across[table["side"][own] == side] for side in (Side.LEFT, Side.RIGHT))
        yield float(left.mean() - right.mean())
