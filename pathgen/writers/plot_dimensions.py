"""What is measured around the drawing: dimensions and baselines, and how stretches go on."""

from collections.abc import Iterator
from typing import NamedTuple

from pathgen.model import LineSettings, Plan
from pathgen.writers.plot_page import Page, Stretch
from pathgen.writers.plot_style import FAINT, HAIR_MM, QUIET
from pathgen.writers.plot_svg_pen import Element, group, path, short, shorts, words
from pathgen.writers.wording import amount

__all__ = ["baselines", "dimensions", "stretch_names"]

GAP_MM = 6.5
"""From the lettering to its dimension lines, on A4."""

SIZE_MM, TICK_MM = 2.7, 1.2


class _Sewn(NamedTuple):
    """Box around the needle points, plan mm, y up."""

    x0: float
    y0: float
    x1: float
    y1: float


def dimensions(plan: Plan, page: Page) -> Element:
    """Width and height between the outermost needle points, and the height of a capital.

    The width of a drawing in stretches runs on under all of them, and is told under the last.
    """
    out = group(
        "dimensions", "Dimensions in mm as sewn", stroke=QUIET, stroke_width=HAIR_MM, fill=QUIET
    )
    table = plan.needles
    if not len(table):
        return out
    xs, ys = table["x_mm"], table["y_mm"]
    sewn = _Sewn(*(float(v) for v in (xs.min(), ys.min(), xs.max(), ys.max())))
    first, count = page.of_all
    for number, stretch in enumerate(page.stretches, start=first):
        _width(out, plan, page, stretch, sewn, (number == 0, number == count - 1))
        _height(out, plan, page, stretch, sewn)
    _capital_height(out, plan, page, sewn)
    return out


def _width(
    out: Element,
    plan: Plan,
    page: Page,
    stretch: Stretch,
    sewn: _Sewn,
    ends: tuple[bool, bool],
) -> None:
    """The line under a stretch, with a stroke across those ends of the lettering that it has."""
    x, y = page.origin_of(stretch)
    x0 = x + (sewn.x0 if ends[0] else stretch.x0) * page.scale
    x1 = x + (sewn.x1 if ends[1] else stretch.x1) * page.scale
    foot, size = y - sewn.y0 * page.scale + GAP_MM * page.unit, SIZE_MM * page.unit
    line = _measure_line((x0, foot), (x1, foot), TICK_MM * page.unit, ends)
    out.add(path(line, fill="none"))
    if ends[1]:
        told = f"{sewn.x1 - sewn.x0:.1f} mm" + ("" if page.is_whole else " in all")
        out.add(_figure(told, (x0 + x1) / 2.0, foot + size * 1.25, size))


def _height(out: Element, plan: Plan, page: Page, stretch: Stretch, sewn: _Sewn) -> None:
    """The line beside a stretch; the height is told beside the first of the page."""
    x, y = page.origin_of(stretch)
    left = x + (sewn.x0 if page.is_whole else stretch.x0) * page.scale
    side, size = left - GAP_MM * page.unit, SIZE_MM * page.unit
    top, foot = y - sewn.y1 * page.scale, y - sewn.y0 * page.scale
    out.add(path(_measure_line((side, top), (side, foot), TICK_MM * page.unit), fill="none"))
    told = f"{sewn.y1 - sewn.y0:.1f} mm"
    out.add(_figure(told, side - size * 0.6, (top + foot) / 2.0, size, upright=True))


def _capital_height(out: Element, plan: Plan, page: Page, sewn: _Sewn) -> None:
    """The height of a capital as a bracket, on the first baseline where that is straight.

    Lines that differ have one each; its second word is the thread's.
    """
    stretch = page.stretches[-1]
    origin_x, origin_y = page.origin_of(stretch)
    last = page.of_all[0] + len(page.stretches) == page.of_all[1]
    x = origin_x + (sewn.x1 if last else stretch.x1) * page.scale + GAP_MM * page.unit
    foot = origin_y - sewn.y0 * page.scale
    size, tick = SIZE_MM * page.unit, TICK_MM * page.unit
    for line in _lettering(plan) if plan.is_mixed else plan.by_line[:1]:
        height = line.settings.height_mm * page.scale
        base = foot if line.settings.arc_mm is not None else _base(line, page, stretch)
        out.add(path(_measure_line((x, base - height), (x, base), tick), fill="none"))
        label = [f"H {amount(line.settings.height_mm)}"]
        label += [f"thread {line.thread}"] if len(plan.threads) > 1 else []
        y = base - height / 2.0 + size * 0.36 - size * 0.6 * (len(label) - 1)
        for row, said in enumerate(label):
            out.add(words(said, x + size * 0.7, y + row * size * 1.2, size, stroke="none"))


def _lettering(plan: Plan) -> Iterator[LineSettings]:
    """Lines that were asked for: labels stand on their baselines."""
    return (line for line in plan.by_line if not line.is_label)


def _base(line: LineSettings, page: Page, stretch: Stretch) -> float:
    """Where a straight baseline of a stretch lies on paper."""
    return page.origin_of(stretch)[1] + line.down_mm * page.scale


def baselines(plan: Plan, page: Page) -> Element:
    """Baseline and capital height of each line, where lines are straight."""
    out = group(
        "baselines",
        "Baselines, and the height of capitals",
        stroke=FAINT,
        stroke_width=HAIR_MM,
        fill="none",
    )
    straight = [line for line in _lettering(plan) if line.settings.arc_mm is None]
    if not straight:
        return out
    reach = GAP_MM * page.unit
    data = ""
    for stretch in page.stretches:
        left, _, right, _ = page.box_of(stretch)
        for line in straight:
            base = _base(line, page, stretch)
            for y in (base, base - line.settings.height_mm * page.scale):
                data += f"M{short(left - reach * 0.6)} {short(y)}H{short(right + reach)}"
    out.add(path(data))
    return out


def stretch_names(page: Page) -> Element:
    """Above each stretch, which one it is."""
    out = group("stretches", "Which part of the lettering stands where", fill=QUIET)
    first, count = page.of_all
    size = 2.5 * page.unit
    for number, stretch in enumerate(page.stretches, start=first + 1):
        told = f"part {number} of {count}"
        out.add(words(told, stretch.left, stretch.top - GAP_MM * page.unit, size))
    return out


def _measure_line(
    start: tuple[float, float],
    end: tuple[float, float],
    tick: float,
    ends: tuple[bool, bool] = (True, True),
) -> str:
    """A dimension line with a short stroke across each end that is one."""
    (x0, y0), (x1, y1) = start, end
    across, down = (0.0, tick) if abs(y1 - y0) < abs(x1 - x0) else (tick, 0.0)
    lines = [x0, y0, x1, y1]
    for (x, y), is_end in zip((start, end), ends, strict=True):
        if is_end:
            lines += [x - across, y - down, x + across, y + down]
    return "M%s %sL%s %s" * (len(lines) // 4) % tuple(shorts(*lines))


def _figure(text: str, x: float, y: float, size: float, *, upright: bool = False) -> Element:
    """A figure in the middle of a dimension line."""
    look: dict[str, str | float] = {"text_anchor": "middle", "stroke": "none"}
    if upright:
        look["transform"] = f"rotate(-90 {short(x)} {short(y)})"
    return words(text, x, y, size, **look)
