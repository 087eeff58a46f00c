"""The lettering itself: outline, columns, thread lines and needle points, in plan mm.

All path data are (x, -y) rounded to 0.001 mm, the same digits as in the needle table, so that
any SVG reader gets the table's points back. One path a part, never one element a stitch.
"""

from pathgen.model import Plan
from pathgen.needles import Arrive, Part, places_mm
from pathgen.writers.digits import Words
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
    for layer in (
        outline(plan, HAIR_MM / page.scale),
        columns(plan, HAIR_MM / page.scale),
        crowding_map(plan, at),
        _thread_lines(plan, at, (Part.UNDERLAY, Part.TIE_IN, Part.TIE_OFF), "underlay", fine),
        _thread_lines(plan, at, (Part.ZIGZAG,), "zigzag", fine),
        _travel(plan, at, fine),
        _needle_points(plan, at, fine),
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


def _part_line(plan: Plan, at: Words, part: Part, fine: float) -> list[Element]:
    """The sewn stitches of one part; none where there are none."""
    table, look = plan.needles, PART_LOOK[part]
    data = runs((table["part"] == part) & (table["arrive"] == Arrive.SEW), at)
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


def _zigzag_lines(plan: Plan, at: Words, fine: float) -> list[Element]:
    """The zigzag of each thread; the copy at true size gives the path its own look."""
    table, width = plan.needles, short4(PART_LOOK[Part.ZIGZAG].line_mm * fine)
    sewn = (table["part"] == Part.ZIGZAG) & (table["arrive"] == Arrive.SEW)
    out = []
    for look in thread_looks(plan):
        data = runs(sewn & (table["thread"] == look.number), at)
        if data:
            shown = group("", "", stroke=look.line, stroke_width=width)
            shown.add(path(data, _of_thread(ZIGZAG_ID, look.number)))
            out.append(shown)
    return out


def _thread_lines(
    plan: Plan, at: Words, members: tuple[Part, ...], name: str, fine: float
) -> Element:
    """Lines of several parts under one name."""
    titles = {
        "underlay": "Underlay, tie-in and tie-off: sewn first and last, under the cover",
        "zigzag": "Zigzag: the stitches that cover the column",
    }
    out = group(name, titles[name])
    for part in members:
        zigzag = part == Part.ZIGZAG
        lines = _zigzag_lines(plan, at, fine) if zigzag else _part_line(plan, at, part, fine)
        for line in lines:
            out.add(line)
    return out


def _travel(plan: Plan, at: Words, fine: float) -> Element:
    """Travel that is sewn, and the ways across which the thread is cut or left loose."""
    out = group("travel", "Travel: from one column to the next")
    for line in _part_line(plan, at, Part.TRAVEL, fine):
        out.add(line)
    unsewn = runs(plan.needles["arrive"] != Arrive.SEW, at)
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


def _needle_points(plan: Plan, at: Words, fine: float) -> Element:
    """Every penetration as a dot: one path a part, a dot a subpath of no length.

    Such subpaths show as their caps (SVG 1.1, section 11.4). Open dots are the same path drawn
    once more, lighter and smaller.
    """
    out = group("needle-points", f"Needle points: {len(at)} penetrations")
    part_of, thread_of = plan.needles["part"], plan.needles["thread"]
    for part, look in PART_LOOK.items():
        mine = part_of == part
        rows = mine.nonzero()[0]
        if not len(rows):
            continue
        drawn = group(f"needle-points-{part.word}", f"{part.word}: {len(rows)} penetrations")
        if part == Part.ZIGZAG:
            for thread in thread_looks(plan):
                here = rows[thread_of[rows] == thread.number]
                if len(here):
                    name = _of_thread(f"dots-{part.word}", thread.number)
                    _dot(drawn, look._replace(colour=thread.line), dots(here, at), name, fine)
        else:
            _dot(drawn, look, dots(rows, at), f"dots-{part.word}", fine)
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
