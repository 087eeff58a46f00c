"""Head of the page, and the strip with the true size and the rulers."""

from functools import lru_cache

from pathgen.model import Plan
from pathgen.writers.plot_layers import true_size
from pathgen.writers.plot_page import Bounds, Page, fitted, text_width, wrapped
from pathgen.writers.plot_style import HAIR_MM, PAPER, QUIET, TEXT
from pathgen.writers.plot_svg_pen import (
    Element,
    filled,
    fragment,
    group,
    path,
    rectangle,
    short,
    words,
    written,
)
from pathgen.writers.wording import (
    all_of,
    amount,
    duration,
    grouped_thousands,
    heights_named,
    lettering_of,
    speeds_named,
    thread_length,
)

__all__ = ["head", "head_height", "rulers", "strip_height"]

FIGURE_WIDTHS_MM = (24.0, 19.0, 34.0, 31.0)
"""Columns of the figures at the right of the head."""

TITLE_SIZES_MM = (8.5, 7.0, 5.8, 4.6)
"""Type of the title: the largest at which it fits one line, else two lines of the last."""

RULER_STEPS_MM = (1, 2, 5, 10, 20, 50, 100)
RULER_MOST_MM = 80.0
"""Steps that a ruler may show, as sewn, and its greatest length on A4 paper."""


def head_height(unit: float) -> float:
    """Height that the head takes."""
    return 17.0 * unit


def head(plan: Plan, page: Page) -> Element:
    """The text large, what it is set in, and the figures that a price is made from."""
    out = group("head", "What is planned", fill=TEXT)
    unit, x, y = page.unit, page.margin, page.margin
    right = page.width - page.margin
    whole = plan.whole
    figures = [
        (grouped_thousands(whole.stitches), "stitches"),
        (grouped_thousands(whole.trims), "trim" if whole.trims == 1 else "trims"),
        (duration(plan.sew_s), f"at {speeds_named(plan)} a minute"),
        (thread_length(whole.thread_mm), _threads(plan)),
    ]
    said: list[str] = []
    for (value, name), wide in zip(figures, FIGURE_WIDTHS_MM, strict=True):
        said += value, fitted(name, 2.5 * unit, (wide - 2.0) * unit)
    out.add(filled(_figures_form(right, y, unit), *said))
    _title(out, plan, x, y, right - sum(FIGURE_WIDTHS_MM) * unit - x, unit)
    rule = f"M{short(x)} {short(y + 14.0 * unit)}H{short(right)}"
    out.add(path(rule, fill="none", stroke=TEXT, stroke_width=0.3 * unit))
    number, count = page.sheet
    if count > 1:
        told = f"Sheet {number} of {count}{_parts_here(page)}; print at 100 %"
        look: dict[str, str | float] = {"text_anchor": "end", "fill": QUIET}
        out.add(words(told, right, y + 17.6 * unit, 2.5 * unit, **look))
    return out


@lru_cache(maxsize=64)
def _figures_form(right: float, y: float, unit: float) -> str:
    """The figures, each over its name, with places for both."""
    out = []
    at = right - sum(FIGURE_WIDTHS_MM) * unit
    for wide in FIGURE_WIDTHS_MM:
        at += wide * unit
        out.append(words("%s", at, y + 5.6 * unit, 5.0 * unit, text_anchor="end"))
        out.append(words("%s", at, y + 10.2 * unit, 2.5 * unit, text_anchor="end", fill=QUIET))
    return written(out)


def _parts_here(page: Page) -> str:
    """Which stretches of the drawing a sheet of several holds."""
    first, count = page.of_all
    last = first + len(page.stretches)
    if not page.stretches:
        return ": notes"
    if count == 1:
        return ""
    if last == first + 1:
        return f": part {last} of {count}"
    return f": parts {first + 1} to {last} of {count}"


def _threads(plan: Plan) -> str:
    """The thread by its label, or how many there are."""
    count = len(plan.threads)
    return f"thread, {plan.settings.thread.label}" if count == 1 else f"of {count} threads"


def _title(out: Element, plan: Plan, x: float, y: float, width: float, unit: float) -> None:
    """The text and, under it, face, height and cloth."""
    text = lettering_of(plan)
    fits = (s for s in TITLE_SIZES_MM if text_width(text, s * 1.08 * unit) <= width)
    largest = next(fits, None)
    size = (largest or TITLE_SIZES_MM[-1]) * unit
    lines = [text] if largest else wrapped(text, size * 1.08, width, 2)
    base = y + (6.2 if len(lines) == 1 else 2.6) * unit
    for row, line in enumerate(lines):
        out.add(words(line, x, base + row * size * 1.1, size, font_weight="bold"))
    about = ", ".join(
        (
            all_of(line.face.name for line in plan.by_line),
            f"capitals {heights_named(plan)}",
            f"needle {all_of(line.settings.needle.label for line in plan.by_line)}",
            all_of(line.settings.cloth.name for line in plan.by_line),
        )
    )
    small = 2.9 * unit
    out.add(words(fitted(about, small, width), x, y + 11.4 * unit, small, fill=QUIET))


def strip_height(bounds: Bounds | None, width: float, unit: float) -> float:
    """Height that the true size and the rulers take in a page's inner width.

    ``bounds`` are those of the lettering; None where it is not drawn at true size.
    """
    if bounds is None or bounds.width > width:
        return 16.0 * unit
    return max(bounds.height, 5.0 * unit) + _inset_down(bounds, width, unit) + 5.0 * unit


def _inset_down(bounds: Bounds, width: float, unit: float) -> float:
    """How far the true size stands below the strip's upper edge: below a ruler it would meet."""
    return (6.0 if bounds.width <= width - (RULER_MOST_MM + 10.0) * unit else 13.0) * unit


def _ruler_span(page: Page) -> int:
    """The longest ruler, in mm as sewn, that has room on paper."""
    return max(s for s in RULER_STEPS_MM if s * page.scale <= RULER_MOST_MM * page.unit)


def rulers(plan: Plan, page: Page, y: float) -> Element:
    """The lettering at true size on the left; on the right what one mm sewn looks like."""
    out = group("rulers", "True size, and the drawing's scale", fill=TEXT)
    unit, x = page.unit, page.margin
    size = 2.7 * unit
    inset = group("true-size", "True size, when printed at 100 %")
    inset.add(words("True size", x, y + 3.0 * unit, size, font_weight="bold"))
    bounds, inner = page.bounds, page.width - 2.0 * page.margin
    said = "when printed at 100 %" if page.scale > 1 else "is that of the drawing, at 100 %"
    if bounds.width > inner:
        said = f"is longer than the sheet: {bounds.width:.1f} mm"
    inset.add(words(said, x + 17.0 * unit, y + 3.0 * unit, size, fill=QUIET))
    if page.scale > 1 and len(plan.needles) and bounds.width <= inner:
        down = _inset_down(bounds, inner, unit)
        inset.add(true_size(plan, x - bounds.x0, y + down + bounds.y1))
    out.add(inset)
    span = _ruler_span(page)
    bar = group("scale-bar", f"{span} mm as sewn", fill=TEXT, stroke=TEXT, stroke_width=HAIR_MM)
    bar.add(fragment(_ruler(span, page.scale, page.width - page.margin, y, unit)))
    out.add(bar)
    return out


@lru_cache(maxsize=64)
def _ruler(span: int, scale: int, right: float, y: float, unit: float) -> str:
    """A bar of whole mm as sewn, at the drawing's scale, flush right, written."""
    length, size = span * scale, 2.7 * unit
    left = right - length
    label = f"Drawn {scale} times sewn size" if scale > 1 else "Drawn at sewn size"
    look: dict[str, str | float] = {"text_anchor": "end", "stroke": "none"}
    out = [words(label, right, y + 3.0 * unit, size, font_weight="bold", **look)]
    parts = 5 if span % 5 == 0 else span
    step, top, high = length / parts, y + 5.0 * unit, 1.3 * unit
    for index in range(parts):
        fill = TEXT if index % 2 == 0 else PAPER
        out.append(rectangle(left + index * step, top, step, high, fill=fill))
    told = f"{span} mm sewn = {amount(length)} on paper"
    out.append(words(told, right, top + high + size * 1.2, size, **look))
    return written(out)
