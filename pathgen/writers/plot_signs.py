"""What is written into the drawing: sewing order and findings."""

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
    held = page.holds(starts).tolist()
    for number, spot in enumerate(page.on_paper(starts), start=1):
        if not held[number - 1]:
            continue
        label = str(number)
        width = text_width(label, size)
        x, y = room.place(spot, width, size)
        leaders.append(_leader(spot, (x, y), width / 2.0, size / 2.0))
        edge.add(words(label, x, y + size * 0.36, size))
        face.add(words(label, x, y + size * 0.36, size))
    if any(leaders):
        out.add(path("".join(leaders), fill="none", stroke=TEXT, stroke_width=HAIR_MM))
    out.add(edge)
    out.add(face)
    return out


def _leader(
    spot: Points, label: tuple[float, float], half_w: float, half_h: float, free: float = 0.0
) -> str:
    """A line to the edge of a label from a spot, a free distance around the spot left out."""
    way = np.array(label) - spot
    inside = max(abs(way[0]) / half_w, abs(way[1]) / half_h)
    size = float(np.hypot(*way))
    if inside <= 1.0 or size * (1.0 - 1.0 / inside) <= free:
        return ""
    start, end = spot + way * (free / size), np.array(label) - way / inside
    return f"M{short(start[0])} {short(start[1])}L{short(end[0])} {short(end[1])}"


def marked_findings(plan: Plan, page: Page) -> list[tuple[FindingGroup, Finding]]:
    """One finding on a page for each letter and kind, with the group that holds its number."""
    out: dict[tuple[int, int, int], tuple[FindingGroup, Finding]] = {}
    for found in finding_groups(plan):
        for finding in found.members:
            if finding.letter:
                key = (found.number, finding.line, finding.letter)
                out.setdefault(key, (found, finding))
    return [
        (found, finding)
        for found, finding in out.values()
        if page.holds(np.array([finding.at_mm]))[0]
    ]


def keep_spots_free(plan: Plan, page: Page, room: Room) -> None:
    """Keep all labels off the rings that show where findings are."""
    wide = 2.0 * RING_RADIUS_MM * page.label_unit
    for _, finding in marked_findings(plan, page):
        x, y = page.on_paper(np.array([finding.at_mm]))[0].tolist()
        room.take((x, y), wide, wide)


def finding_markers(plan: Plan, page: Page, room: Room) -> Element:
    """Numbered markers, one for each letter and kind of finding; the notes hold the key."""
    out = group("findings", "Findings: the numbers are explained in the notes")
    colours = {level: QUIET if level == Level.NOTE else ALARM for level in Level}
    lines = {
        level: group("", "", fill="none", stroke=colour, stroke_width=0.2 * page.label_unit)
        for level, colour in colours.items()
    }
    shapes = []
    for found, finding in marked_findings(plan, page):
        spot = page.on_paper(np.array([finding.at_mm]))[0]
        unit = page.label_unit * (NOTE_SHARE if found.level == Level.NOTE else 1.0)
        size = 2.0 * MARKER_RADIUS_MM * unit
        x, y = room.place(spot, size * 1.1, size * 1.1)
        ring = RING_RADIUS_MM * page.label_unit
        leader = _leader(spot, (x, y), size / 2.0, size / 2.0, ring)
        if leader:
            lines[found.level].add(path(leader))
        lines[found.level].add(circle(float(spot[0]), float(spot[1]), ring))
        shapes.append(marker(found.level, found.number, x, y, unit))
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
    label = words(str(number), x, y + size * 0.36, size, text_anchor="middle", font_weight="bold")
    label.update({"fill": look.text, "stroke": "none"})
    out.add(label)
    return out
