"""The lettering as it will look sewn: at true size, and enlarged, on the cloth.

A page of its own, in mm, plain SVG 1.1 like the plot.
"""

import numpy as np

from pathgen.model import Plan
from pathgen.verdicts import Reading
from pathgen.writers.plot_page import SCALES, SHEETS, Bounds, drawing_bounds, fitted, wrapped
from pathgen.writers.plot_style import PAPER, QUIET, TEXT
from pathgen.writers.plot_svg_pen import (
    Element,
    copy_of,
    document,
    group,
    path,
    rectangle,
    sheet,
    short,
    window,
    words,
)
from pathgen.writers.reading_words import VERDICT_WORDS, reading_facts
from pathgen.writers.sewn_thread import sewn_lettering
from pathgen.writers.shades import is_dark, mixed
from pathgen.writers.wording import CAUTION, all_of, heights_named, lettering_of

__all__ = ["CLOTH_COLOUR", "sewn_page"]

CLOTH_COLOUR = "#e8e2d3"
"""Cloth for which no colour is asked: undyed."""

MARGIN_MM, SEAM_MM, GAP_MM = 12.0, 6.0, 9.0
"""Free edge of the page; of the cloth around the letters; between the two cloths."""

TYPE_MM, ROW_MM, TITLE_MM = 3.0, 4.5, 8.0
RIDGE_MM = 0.4
"""Distance of the ridges that the cloth is drawn with."""


def sewn_page(plan: Plan, reading: Reading | None = None, cloth_colour: str = "") -> str:
    """Page with the lettering as thread.

    Parameters
    ----------
    plan : Plan
        Each thread has its colour.
    reading : Reading, optional
        Whether it can be read; told at the foot.
    cloth_colour : str
        As ``#rrggbb``; empty for `CLOTH_COLOUR`.

    Returns
    -------
    str
        XML with its declaration, encoding UTF-8.
    """
    bounds = drawing_bounds(plan)
    inner = SHEETS[0].width_mm - 2.0 * MARGIN_MM
    room, most = inner - 2.0 * SEAM_MM, SHEETS[0].height_mm / 2.0
    fits = (s for s in SCALES if bounds.width * s <= room and bounds.height * s <= most)
    scale = max(2, *fits, 2)
    inner = max(inner, bounds.width * scale + 2.0 * SEAM_MM)
    told = _told(plan, reading, inner)
    high = [bounds.height * times + 2.0 * SEAM_MM for times in (1, scale)]
    height = 2.0 * MARGIN_MM + TITLE_MM + sum(high) + 2.0 * GAP_MM + len(told) * ROW_MM
    title = f"{lettering_of(plan)} as sewn"
    out = sheet(inner + 2.0 * MARGIN_MM, height, title, "The lettering as thread: an estimate.")
    out.add(rectangle(0.0, 0.0, inner + 2.0 * MARGIN_MM, height, id="page", fill=PAPER))
    y = MARGIN_MM + 4.0
    out.add(words(fitted(title, 6.0, inner), MARGIN_MM, y, 6.0, fill=TEXT, font_weight="bold"))
    y += TITLE_MM
    thread = group("thread", "Every stitch, as thread")
    thread.add(sewn_lettering(plan))
    labels = ("True size, when printed at 100 %", f"Drawn {scale} times sewn size")
    for times, label, drawn in zip((1, scale), labels, (thread, copy_of("thread")), strict=True):
        out.add(_panel(bounds, times, y, label, drawn, cloth_colour or CLOTH_COLOUR))
        y += bounds.height * times + 2.0 * SEAM_MM + GAP_MM
    for row, line in enumerate(told):
        look = TEXT if row == 0 else QUIET
        out.add(words(line, MARGIN_MM, y + row * ROW_MM, TYPE_MM, fill=look))
    return document(out)


def _panel(
    bounds: Bounds, times: int, y: float, label: str, thread: Element, cloth: str
) -> Element:
    """A piece of cloth with the lettering on it, so many times sewn size."""
    name = "true-size" if times == 1 else "enlarged"
    out = group(name, label)
    out.add(words(label, MARGIN_MM, y, TYPE_MM, fill=QUIET))
    top = y + 2.0
    wide = bounds.width * times + 2.0 * SEAM_MM
    high = bounds.height * times + 2.0 * SEAM_MM
    out.add(rectangle(MARGIN_MM, top, wide, high, fill=cloth))
    out.add(window(f"edge-{name}", MARGIN_MM, top, MARGIN_MM + wide, top + high))
    step = RIDGE_MM * times
    ridges = (
        f"M{short(MARGIN_MM + along)} {short(top + high)}l{short(high)} {short(-high)}"
        for along in np.arange(-high, wide, step)
    )
    out.add(
        path(
            "".join(ridges),
            fill="none",
            stroke=mixed(cloth, "#ffffff" if is_dark(cloth) else "#000000", 0.06),
            stroke_width=step * 0.35,
            clip_path=f"url(#edge-{name})",
        )
    )
    x0 = MARGIN_MM + SEAM_MM - bounds.x0 * times
    y0 = top + SEAM_MM + bounds.y1 * times
    placed = group("", "", transform=f"translate({short(x0)} {short(y0)}) scale({times})")
    placed.add(thread)
    out.add(placed)
    return out


def _told(plan: Plan, reading: Reading | None, width: float) -> list[str]:
    """Lines at the foot: the verdict, what it is sewn with, the caution."""
    lines = []
    if reading is not None:
        said = f"{VERDICT_WORDS[reading.verdict].capitalize()}: {'; '.join(reading_facts(reading))}"
        lines += wrapped(said, TYPE_MM, width, 3)
    heights = heights_named(plan)
    faces = all_of(line.face.name for line in plan.by_line)
    cloths = all_of(line.settings.cloth.name for line in plan.by_line)
    threads = ", ".join(thread.name for thread in plan.threads)
    lines += wrapped(f"{faces}, capitals {heights}, {threads} on {cloths}", TYPE_MM, width, 2)
    about = "The look of the thread is fitted, not measured. "
    return lines + wrapped(about + " ".join(CAUTION), TYPE_MM, width, 4)
