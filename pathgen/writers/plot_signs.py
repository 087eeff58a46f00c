"""What is written into the drawing: sewing order and findings."""

from collections.abc import Sequence
from itertools import compress
from math import hypot

import numpy as np

from pathgen.geometry import Points
from pathgen.model import Finding, Level, Plan
from pathgen.needles import Part, places_mm
from pathgen.writers.plot_labels import Room
from pathgen.writers.plot_page import Page, text_width
from pathgen.writers.plot_style import ALARM, HAIR_MM, LEVEL_LOOK, PAPER, QUIET, TEXT
from pathgen.writers.plot_svg_pen import Element, circle, group, path, short, words
from pathgen.writers.wording import FindingGroup, finding_groups

__all__ = [
    "finding_markers",
    "keep_spots_free",
    "marker",
    "sewing_order",
]

LABEL_MM = 2.3
"""Type size of sewing order and markers, on A4."""

MARKER_RADIUS_MM, RING_RADIUS_MM = 1.75, 0.75

NOTE_SHARE = 0.8
"""Notes have smaller markers than what is to be checked."""

GAP_MM = 6.5
"""From the lettering to its dimension lines, on A4."""


def column_starts(plan: Plan) -> Points:
    """First penetration of each column, travel to it left out, in sewing order, plan mm."""
    table = plan.needles[plan.needles["part"] != Part.TRAVEL]
    key = (table["line"].astype(np.int64) << 42) | (table["letter"].astype(np.int64) << 21)
    key |= table["column"].astype(np.int64)
    _, first = np.unique(key, return_index=True)
    first = np.sort(first)
    first = first[table["column"][first] > 0]
    return places_mm(table[first])


def sewing_order(plan: Plan, page: Page, room: Room) -> Element:
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
    leaders = []
    starts = column_starts(plan)
    held = page.holds(starts)
    labels = [str(number) for number in (np.flatnonzero(held) + 1).tolist()]
    spots = page.on_paper(starts[held])
    sizes = np.array([(text_width(label, size), size) for label in labels]).reshape(-1, 2)
    places = room.places(spots, sizes)
    half = (sizes / 2.0).tolist()
    for label, spot, (x, y), reach in zip(labels, spots.tolist(), places, half, strict=True):
        leaders.append(_leader(spot, (x, y), *reach))
        edge.add(words(label, x, y + size * 0.36, size))
        face.add(words(label, x, y + size * 0.36, size))
    if any(leaders):
        out.add(path("".join(leaders), fill="none", stroke=TEXT, stroke_width=HAIR_MM))
    out.add(edge)
    out.add(face)
    return out


def _leader(
    spot: Sequence[float],
    label: tuple[float, float],
    half_w: float,
    half_h: float,
    free: float = 0.0,
) -> str:
    """A line to the edge of a label from a spot, a free distance around the spot left out."""
    (x, y), (to_x, to_y) = spot, label
    dx, dy = to_x - x, to_y - y
    inside = max(abs(dx) / half_w, abs(dy) / half_h)
    size = hypot(dx, dy)
    if inside <= 1.0 or size * (1.0 - 1.0 / inside) <= free:
        return ""
    start = f"M{short(x + dx * free / size)} {short(y + dy * free / size)}"
    return f"{start}L{short(to_x - dx / inside)} {short(to_y - dy / inside)}"


def marked_findings(plan: Plan, page: Page) -> list[tuple[FindingGroup, Finding]]:
    """One finding on a page for each letter and kind, with the group that holds its number."""
    out: dict[tuple[int, int, int], tuple[FindingGroup, Finding]] = {}
    for found in finding_groups(plan):
        for finding in found.members:
            if finding.letter:
                key = (found.number, finding.line, finding.letter)
                out.setdefault(key, (found, finding))
    at = np.array([finding.at_mm for _, finding in out.values()]).reshape(-1, 2)
    return list(compress(out.values(), page.holds(at).tolist()))


def _spots(marked: list[tuple[FindingGroup, Finding]], page: Page) -> Points:
    """Where the findings are on paper, (N, 2)."""
    return page.on_paper(np.array([finding.at_mm for _, finding in marked]).reshape(-1, 2))


def keep_spots_free(plan: Plan, page: Page, room: Room) -> None:
    """Keep all labels off the rings that show where findings are."""
    wide = 2.0 * RING_RADIUS_MM * page.label_unit
    for x, y in _spots(marked_findings(plan, page), page).tolist():
        room.take((x, y), wide, wide)


def finding_markers(plan: Plan, page: Page, room: Room) -> Element:
    """Numbered markers, one for each letter and kind of finding; the notes hold the key."""
    out = group("findings", "Findings: the numbers are explained in the notes")
    marked = marked_findings(plan, page)
    colours = {level: QUIET if level == Level.NOTE else ALARM for level in Level}
    lines = {
        level: group("", "", fill="none", stroke=colour, stroke_width=0.2 * page.label_unit)
        for level, colour in colours.items()
    }
    shapes = []
    groups = [found for found, _ in marked]
    spots = _spots(marked, page)
    units = [
        page.label_unit * (NOTE_SHARE if found.level == Level.NOTE else 1.0) for found in groups
    ]
    sizes = 2.0 * MARKER_RADIUS_MM * np.array(units)
    places = room.places(spots, np.stack([sizes, sizes], axis=1) * 1.1)
    ring = RING_RADIUS_MM * page.label_unit
    for found, spot, unit, place in zip(groups, spots.tolist(), units, places, strict=True):
        radius = MARKER_RADIUS_MM * unit
        leader = _leader(spot, place, radius, radius, ring)
        if leader:
            lines[found.level].add(path(leader))
        lines[found.level].add(circle(spot[0], spot[1], ring))
        shapes.append(marker(found.level, found.number, *place, unit))
    for item in (*lines.values(), *shapes):
        out.add(item)
    return out


def marker(level: Level, number: int, x: float, y: float, unit: float) -> Element:
    """The marker of a finding: a circle for a note, a diamond to check, an octagon to stop."""
    look, radius = LEVEL_LOOK[level], MARKER_RADIUS_MM * unit
    out = group("", "", fill=look.fill, stroke=look.line, stroke_width=0.25 * unit)
    if look.corners:
        turn = np.arange(look.corners) * 2.0 * np.pi / look.corners
        turn += np.pi / 8.0 if look.corners == 8 else 0.0
        wide = radius * (1.25 if look.corners == 4 else 1.05)
        spots = np.column_stack([x + wide * np.cos(turn), y + wide * np.sin(turn)])
        out.add(path("M" + " ".join(f"{short(a)} {short(b)}" for a, b in spots) + "Z"))
    else:
        out.add(circle(x, y, radius))
    size = 2.1 * unit
    said: dict[str, str | float] = {"text_anchor": "middle", "font_weight": "bold"}
    said |= {"fill": look.text, "stroke": "none"}
    out.add(words(str(number), x, y + size * 0.36, size, **said))
    return out
