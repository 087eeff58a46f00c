"""What is written into the drawing: sewing order and findings."""

from collections.abc import Sequence
from functools import lru_cache
from itertools import compress
from math import hypot

import numpy as np

from pathgen.geometry import Points
from pathgen.model import Finding, Level, Plan
from pathgen.needles import Part, places_mm
from pathgen.writers.plot_labels import Asked, Room
from pathgen.writers.plot_page import Page, text_width
from pathgen.writers.plot_style import ALARM, HAIR_MM, LEVEL_LOOK, PAPER, QUIET, TEXT
from pathgen.writers.plot_svg_pen import (
    Element,
    circles,
    form,
    fragment,
    group,
    labels,
    path,
    shorts,
    written,
)
from pathgen.writers.wording import FindingGroup, finding_groups

__all__ = [
    "LABEL_MM",
    "finding_markers",
    "keep_spots_free",
    "marked_findings",
    "markers",
    "markers_asked",
    "order_asked",
    "sewing_order",
]

LABEL_MM, MARKED_MM = 2.4, 2.2
"""Type size of sewing order and in markers, on A4."""

MARKER_RADIUS_MM, RING_RADIUS_MM = 1.75, 0.75

NOTE_SHARE = 0.8
"""Notes have smaller markers than what is to be checked."""

Marked = list[tuple[FindingGroup, Finding]]
"""Findings that have markers, each with the group that holds its number."""

Places = Sequence[tuple[float, float]]
"""Centres of labels on paper."""

GAP_MM = 6.5
"""From the lettering to its dimension lines, on A4."""


def column_starts(plan: Plan) -> Points:
    """First penetration of each column, travel to it left out, in sewing order, plan mm."""
    table = plan.needles
    key = (table["line"].astype(np.int64) << 42) | (table["letter"].astype(np.int64) << 21)
    key |= table["column"]
    sewn = np.flatnonzero(table["part"] != int(Part.TRAVEL))
    key = key[sewn]
    new = np.flatnonzero(key[1:] != key[:-1]) + 1
    rows = [0, *new.tolist()] if len(key) else []
    found: dict[int, int] = {}
    for column, row in zip(key[rows].tolist(), rows, strict=True):
        found.setdefault(column, row)
    first = sewn[list(found.values())]
    return places_mm(table[first[table["column"][first] > 0]])


def order_asked(plan: Plan, page: Page) -> tuple[list[str], Asked]:
    """The numbers of the columns that are begun on a page, and the labels for them."""
    size = LABEL_MM * page.label_unit
    starts = column_starts(plan)
    held = page.holds(starts)
    numbers = [str(number) for number in (held.nonzero()[0] + 1).tolist()]
    sizes = np.array([(text_width(number, size), size) for number in numbers]).reshape(-1, 2)
    return numbers, Asked(page.on_paper(starts[held]), sizes)


def sewing_order(numbers: list[str], asked: Asked, places: Places, page: Page) -> Element:
    """A number beside each column's first penetration, with a light edge to stay readable."""
    out = group(
        "sewing-order",
        "Sewing order: each number stands where that column is begun",
        text_anchor="middle",
        font_weight="bold",
        fill=TEXT,
    )
    size = LABEL_MM * page.label_unit
    edge = group("", "", stroke=PAPER, stroke_width=size * 0.35, stroke_linejoin="round")
    face = group("", "")
    leaders = "".join(_leaders(asked.spots, places, asked.sizes / 2.0))
    if leaders:
        out.add(path(leaders, fill="none", stroke=TEXT, stroke_width=HAIR_MM))
    if numbers:
        said = labels(numbers, [(x, y + size * 0.36) for x, y in places], size)
        edge.add(said)
        face.add(said)
    out.add(edge)
    out.add(face)
    return out


def _leaders(spots: Points, places: Places, halves: Points, free: float = 0.0) -> list[str]:
    """Lines to the edges of labels from their spots, a free distance around each left out.

    Those that would have no length are empty.
    """
    ends: list[float] = []
    shown = []
    for (x, y), (to_x, to_y), half in zip(spots.tolist(), places, halves.tolist(), strict=True):
        way_x, way_y = to_x - x, to_y - y
        inside, size = max(abs(way_x) / half[0], abs(way_y) / half[1]), hypot(way_x, way_y)
        shown.append(inside > 1.0 and size * (1.0 - 1.0 / inside) > free)
        if shown[-1]:
            ends += x + way_x * free / size, y + way_y * free / size
            ends += to_x - way_x / inside, to_y - way_y / inside
    at = shorts(*ends)
    drawn = iter(zip(at[::4], at[1::4], at[2::4], at[3::4], strict=True))
    return ["M{} {}L{} {}".format(*next(drawn)) if line else "" for line in shown]


def marked_findings(plan: Plan, page: Page) -> Marked:
    """One finding on a page for each letter and kind, with the group that holds its number."""
    out: dict[tuple[int, int, int], tuple[FindingGroup, Finding]] = {}
    for found in finding_groups(plan):
        for finding in found.members:
            if finding.letter:
                key = (found.number, finding.line, finding.letter)
                out.setdefault(key, (found, finding))
    at = np.array([finding.at_mm for _, finding in out.values()]).reshape(-1, 2)
    return list(compress(out.values(), page.holds(at).tolist()))


def _spots(marked: Marked, page: Page) -> Points:
    """Where the findings are on paper, (N, 2)."""
    return page.on_paper(np.array([finding.at_mm for _, finding in marked]).reshape(-1, 2))


def keep_spots_free(marked: Marked, page: Page, room: Room) -> None:
    """Keep all labels off the rings that show where findings are."""
    wide = 2.0 * RING_RADIUS_MM * page.label_unit
    for x, y in _spots(marked, page).tolist():
        room.take((x, y), wide, wide)


def markers_asked(marked: Marked, page: Page) -> Asked:
    """The labels for the markers of findings."""
    sizes = 2.0 * MARKER_RADIUS_MM * np.array(_units(marked, page))
    return Asked(_spots(marked, page), np.repeat(sizes[:, None], 2, axis=1) * 1.1)


def _units(marked: Marked, page: Page) -> list[float]:
    """How large the marker of each finding is."""
    unit = page.label_unit
    return [unit * (NOTE_SHARE if found.level == Level.NOTE else 1.0) for found, _ in marked]


def finding_markers(marked: Marked, asked: Asked, places: Places, page: Page) -> Element:
    """Numbered markers, one for each letter and kind of finding; the notes hold the key."""
    out = group("findings", "Findings: the numbers are explained in the notes")
    groups = [found for found, _ in marked]
    spots, unit = asked.spots, page.label_unit
    units = _units(marked, page)
    radii = np.repeat(MARKER_RADIUS_MM * np.array(units)[:, None], 2, axis=1)
    leaders = _leaders(spots, places, radii, RING_RADIUS_MM * unit)
    rings = circles(spots.tolist(), RING_RADIUS_MM * unit)
    for level in Level:
        colour = QUIET if level == Level.NOTE else ALARM
        lines = group("", "", fill="none", stroke=colour, stroke_width=0.2 * unit)
        for found, leader, ring in zip(groups, leaders, rings, strict=True):
            if found.level == level:
                if leader:
                    lines.add(path(leader))
                lines.add(ring)
        out.add(lines)
    out.add(markers(groups, places, units))
    return out


def markers(groups: Sequence[FindingGroup], places: Places, units: Sequence[float]) -> Element:
    """The markers of findings: a circle for a note, a diamond to check, an octagon to stop."""
    forms = []
    at: list[float] = []
    for found, (x, y), unit in zip(groups, places, units, strict=True):
        forms.append(_marker_form(found.level, found.number, unit))
        for across, down in _corners(found.level, unit) or [(0.0, 0.0)]:
            at += x + across, y + down
        at += x, y + MARKED_MM * unit * 0.36
    return fragment("".join(forms) % tuple(shorts(*at)))


@lru_cache(maxsize=64)
def _corners(level: Level, unit: float) -> list[tuple[float, float]]:
    """Corners of a marker from its middle; none of a round one."""
    count, radius = LEVEL_LOOK[level].corners, MARKER_RADIUS_MM * unit
    if not count:
        return []
    turn = np.arange(count) * 2.0 * np.pi / count
    turn += np.pi / 8.0 if count == 8 else 0.0
    wide = radius * (1.25 if count == 4 else 1.05)
    return list(zip((wide * np.cos(turn)).tolist(), (wide * np.sin(turn)).tolist(), strict=True))


@lru_cache(maxsize=256)
def _marker_form(level: Level, number: int, unit: float) -> str:
    """A marker with places for the numbers of its outline and of its label's point."""
    look, corners = LEVEL_LOOK[level], _corners(level, unit)
    out = group("", "", fill=look.fill, stroke=look.line, stroke_width=0.25 * unit)
    if corners:
        out.add(path("M" + " ".join(["%s %s"] * len(corners)) + "Z"))
    else:
        out.add(form("circle", ("cx", "cy"), r=MARKER_RADIUS_MM * unit))
    said: dict[str, str | float] = {"text_anchor": "middle", "font_weight": "bold"}
    said |= {"fill": look.text, "stroke": "none", "font_size": MARKED_MM * unit}
    out.add(form("text", ("x", "y"), str(number), **said))
    return written([out])
