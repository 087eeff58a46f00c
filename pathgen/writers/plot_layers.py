"""The lettering itself: outline, columns, thread lines and needle points, in plan mm.

All path data are (x, -y) rounded to 0.001 mm, the same digits as in the needle table, so that
any SVG reader gets the table's points back. One path a part, never one element a stitch.
"""

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from pathgen.model import Plan
from pathgen.needles import Arrive, Part, places_mm
from pathgen.writers.plot_choice import BEYOND_MM
from pathgen.writers.plot_crowding import crowding_map
from pathgen.writers.plot_letters import columns, outline
from pathgen.writers.plot_page import Page
from pathgen.writers.plot_paths import dots, points_written, runs
from pathgen.writers.plot_style import (
    HAIR_MM,
    PAPER,
    PART_LOOK,
    TEXT,
    TRIM_DASH_MM,
    TRIM_LINE_MM,
    PartLook,
)
from pathgen.writers.plot_svg_pen import Element, copy_of, group, path, short, short4, window
from pathgen.writers.plot_threads import thread_looks
from pathgen.writers.sewn_thread import sewn_lettering

__all__ = ["dash", "enlarged", "in_stretches", "true_size"]

ROOMY_PITCH_MM = 1.0
"""Same-side distance on paper from which dots and lines have their full size."""

ZIGZAG_ID = "zigzag-line"

_UNSEWN = len(Part)
_THREADS = _UNSEWN + 1
"""What is drawn in one path, by number: a part; what is not sewn; from here on the zigzag of each
thread."""


def enlarged(plan: Plan, page: Page) -> Element:
    """The group that holds the lettering, scaled from plan mm to the page."""
    x, y = page.origin
    out = group(
        "lettering",
        f"The lettering, drawn {page.scale} times sewn size",
        transform=f"translate({short(x)} {short(y)}) scale({page.scale})",
        fill="none",
        stroke_linejoin="round",
        stroke_linecap="round",
    )
    spacing_mm = min(line.settings.spacing_mm for line in plan.by_line)
    fine = min(1.0, spacing_mm * page.scale / ROOMY_PITCH_MM) / page.scale
    at = points_written(places_mm(plan.needles))
    kinds = _kinds(plan)
    lines = runs(np.where(plan.needles["arrive"] == int(Arrive.SEW), kinds, _UNSEWN), at)
    for layer in (
        outline(plan, HAIR_MM / page.scale),
        columns(plan, HAIR_MM / page.scale),
        crowding_map(plan, at),
        _underlay(lines, fine),
        _zigzag(plan, lines, fine),
        _travel(lines, fine),
        _needle_points(plan, dots(kinds, at), fine),
    ):
        out.add(layer)
    return out


def in_stretches(drawing: Element, page: Page) -> list[Element]:
    """The drawing, or one window on it for each stretch of the page.

    The drawing itself stands in the first window; the others show it moved.
    """
    if page.is_whole:
        return [drawing]
    out = []
    x, y = page.origin
    beyond = BEYOND_MM * page.scale
    for number, stretch in enumerate(page.stretches, start=1):
        name = f"window-{number}"
        left, top, right, foot = page.box_of(stretch)
        out.append(window(name, left - beyond, top - beyond, right + beyond, foot + beyond))
        shown = group(f"stretch-{number}", "", clip_path=f"url(#{name})")
        here = page.origin_of(stretch)
        move = f"translate({short(here[0] - x)} {short(here[1] - y)})"
        shown.add(drawing if number == 1 else copy_of("lettering", transform=move))
        out.append(shown)
    return out


def true_size(plan: Plan, x: float, y: float) -> Element:
    """The lettering as thread at sewn size, the plan's origin at a point of the page."""
    out = group(
        "true-size-lettering",
        "The lettering at true size",
        transform=f"translate({short(x)} {short(y)})",
    )
    out.add(sewn_lettering(plan, shine=False))
    return out


def _of_thread(name: str, number: int) -> str:
    """Id of what is drawn of one thread."""
    return name if number == 1 else f"{name}-{number}"


def dash(lengths: tuple[float, ...], factor: float = 1.0) -> dict[str, str]:
    """The dash attribute, or none for a full line."""
    return {"stroke_dasharray": " ".join(short4(v * factor) for v in lengths)} if lengths else {}


def _kinds(plan: Plan) -> NDArray[np.uint16]:
    """What is drawn in one path: the penetrations of a part, in the zigzag those of a thread."""
    part, thread = plan.needles["part"], plan.needles["thread"]
    return np.where(part == int(Part.ZIGZAG), thread + _THREADS, part)


def _part_line(lines: Mapping[int, str], part: Part, fine: float) -> list[Element]:
    """The sewn stitches of one part; none where there are none."""
    data, look = lines.get(part), PART_LOOK[part]
    if not data:
        return []
    line = path(
        data,
        f"{part.word}-line",
        stroke=look.colour,
        stroke_width=short4(look.line_mm * fine),
        **dash(look.dash_mm, fine),
    )
    return [line]


def _underlay(lines: Mapping[int, str], fine: float) -> Element:
    """What lies under the cover."""
    out = group("underlay", "Underlay, tie-in and tie-off: sewn first and last, under the cover")
    for part in (Part.UNDERLAY, Part.TIE_IN, Part.TIE_OFF):
        for line in _part_line(lines, part, fine):
            out.add(line)
    return out


def _zigzag(plan: Plan, lines: Mapping[int, str], fine: float) -> Element:
    """The zigzag of each thread; the copy at true size gives the path its own look."""
    out = group("zigzag", "Zigzag: the stitches that cover the column")
    width = short4(PART_LOOK[Part.ZIGZAG].line_mm * fine)
    for look in thread_looks(plan):
        data = lines.get(_THREADS + look.number)
        if data:
            shown = group("", "", stroke=look.line, stroke_width=width)
            shown.add(path(data, _of_thread(ZIGZAG_ID, look.number)))
            out.add(shown)
    return out


def _travel(lines: Mapping[int, str], fine: float) -> Element:
    """Travel that is sewn, and the ways across which the thread is cut or left loose."""
    out = group("travel", "Travel: from one column to the next")
    for line in _part_line(lines, Part.TRAVEL, fine):
        out.add(line)
    unsewn = lines.get(_UNSEWN)
    if unsewn:
        out.add(
            path(
                unsewn,
                "unsewn",
                stroke=TEXT,
                stroke_width=short4(TRIM_LINE_MM * fine),
                **dash(TRIM_DASH_MM, fine),
            )
        )
    return out


def _needle_points(plan: Plan, spots: Mapping[int, str], fine: float) -> Element:
    """Every penetration as a dot: one path a part, a dot a subpath of no length.

    Such subpaths show as their caps (SVG 1.1, section 11.4). Open dots are the same path drawn
    once more, lighter and smaller.
    """
    out = group("needle-points", f"Needle points: {len(plan.needles)} penetrations")
    counts = np.bincount(plan.needles["part"], minlength=len(Part)).tolist()
    for part, look in PART_LOOK.items():
        if not counts[part]:
            continue
        drawn = group(f"needle-points-{part.word}", f"{part.word}: {counts[part]} penetrations")
        if part == Part.ZIGZAG:
            for thread in thread_looks(plan):
                here = spots.get(_THREADS + thread.number)
                if here:
                    name = _of_thread(f"dots-{part.word}", thread.number)
                    _dot(drawn, look._replace(colour=thread.line), here, name, fine)
        else:
            _dot(drawn, look, spots[part], f"dots-{part.word}", fine)
        out.add(drawn)
    return out


def _dot(out: Element, look: PartLook, data: str, name: str, fine: float) -> None:
    """Dots at some needle points."""
    full = group(
        "",
        "",
        stroke=look.colour,
        stroke_width=short4(look.dot_mm * fine),
        stroke_linecap=look.cap,
    )
    full.add(path(data, name))
    out.add(full)
    if look.core_mm:
        core = group(
            "",
            "",
            stroke=PAPER,
            stroke_width=short4(look.core_mm * fine),
            stroke_linecap=look.cap,
        )
        core.add(copy_of(name))
        out.add(core)
