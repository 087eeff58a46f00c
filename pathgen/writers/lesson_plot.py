"""What samples have taught, drawn: how far each width lies off its fit, and letters over margin.

One frame a thread: off the fit, in mm a side, over the width between needle points; shapes tell how
a bar runs, open ones were measured between holes, crosses were set aside. One frame for the
verdict: letters read stand at the top, those not read at the foot, the fitted curve between.
"""

import math
from typing import NamedTuple

import numpy as np

from pathgen.needles import Part
from pathgen.trials import Estimate, Lesson, LimitLesson, Residual, ThreadLesson
from pathgen.writers.plot_style import ALARM, EDGE, FAINT, PAPER, PART_LOOK, QUIET, TEXT
from pathgen.writers.plot_svg_pen import (
    Element,
    document,
    group,
    path,
    rectangle,
    sheet,
    short,
    words,
)

__all__ = ["lesson_plot"]

WIDTH_MM, MARGIN_MM = 210.0, 14.0
FRAME_MM = (WIDTH_MM - 2.0 * MARGIN_MM - 14.0, 62.0)
"""Width and height of a frame, the room for its figures apart."""

HEAD_MM, STEP_MM = 20.0, 92.0
WORD_MM = 2.7
DOT_MM = 1.0

BLUE = PART_LOOK[Part.ZIGZAG].colour


class _Scale(NamedTuple):
    """From a range of values to a stretch of paper."""

    least: float
    most: float
    start: float
    end: float

    def __call__(self, value: float) -> float:
        share = (value - self.least) / (self.most - self.least)
        return self.start + share * (self.end - self.start)

    def ticks(self) -> list[float]:
        """Round values inside the range, four to nine of them."""
        rough = (self.most - self.least) / 5.0
        power = 10.0 ** math.floor(math.log10(rough))
        step = next(power * n for n in (1.0, 2.0, 5.0, 10.0) if power * n >= rough * 0.8)
        first = math.ceil(self.least / step - 1e-9)
        last = math.floor(self.most / step + 1e-9)
        return [round(n * step, 10) for n in range(first, last + 1)]


def lesson_plot(lesson: Lesson) -> str:
    """Plot of a lesson as an SVG 1.1 document, upright, as tall as it needs to be."""
    threads = [thread for thread in lesson.threads if thread.residuals]
    letters = bool(lesson.limits.margins)
    height = HEAD_MM + STEP_MM * (len(threads) + letters) + MARGIN_MM
    title = f"Learnt about {lesson.cloth}, samples up to {lesson.date}"
    out = sheet(WIDTH_MM, max(height, 60.0), title, "How far measurements lie off what was fitted.")
    out.add(rectangle(0.0, 0.0, WIDTH_MM, max(height, 60.0), id="page", fill=PAPER))
    out.add(words(title, MARGIN_MM, MARGIN_MM + 4.0, 4.6, font_weight="bold"))
    y = HEAD_MM
    for number, thread in enumerate(threads, 1):
        out.add(_thread_frame(thread, number, y))
        y += STEP_MM
    if letters:
        out.add(_limit_frame(lesson.limits, y))
    if not threads and not letters:
        out.add(words("Too little was measured.", MARGIN_MM, 32.0, WORD_MM))
    return document(out)


def _thread_frame(lesson: ThreadLesson, number: int, y: float) -> Element:
    """Residuals of one thread."""
    out = group(f"thread-{number}", f"How far widths lie off the fit: {lesson.thread}")
    said = f"{lesson.thread}: off the fit, mm a side"
    if lesson.allowance is not None:
        said += (
            f"; allowance {lesson.allowance.value:.3f} ± {lesson.allowance.within:.3f} mm a side"
        )
    out.add(words(said, MARGIN_MM, y + 8.0, 3.2, font_weight="bold"))
    kept = [one for one in lesson.residuals if not one.aside]
    reach = 1.15 * max([abs(one.off_mm) for one in kept] + [2.2 * lesson.spread_mm, 0.02])
    wide = [one.needle_mm for one in lesson.residuals]
    pad = 0.05 * (max(wide) - min(wide)) + 0.05
    left, top = MARGIN_MM + 14.0, y + 20.0
    across = _Scale(min(wide) - pad, max(wide) + pad, left, left + FRAME_MM[0])
    up = _Scale(-reach, reach, top + FRAME_MM[1] - 8.0, top)
    band = rectangle(
        left,
        up(2.0 * lesson.spread_mm),
        FRAME_MM[0],
        up(-2.0 * lesson.spread_mm) - up(2.0 * lesson.spread_mm),
        fill=FAINT,
        fill_opacity=0.35,
    )
    out.add(band)
    out.add(words("95 in 100 lie in the band", left + FRAME_MM[0], up(2.0 * lesson.spread_mm) - 0.8,
                  2.2, text_anchor="end", fill=QUIET))  # fmt: skip
    _axes(out, across, up, "width between needle points, mm")
    for one in lesson.residuals:
        shown = max(-0.96 * reach, min(0.96 * reach, one.off_mm))
        out.add(_dot(across(one.needle_mm), up(shown), one))
    _key(out, left, y + 14.0)
    return out


def _axes(out: Element, across: _Scale, up: _Scale, name: str) -> None:
    """Frame, zero line, ticks and their figures."""
    foot = max(up.start, up.end)
    out.add(path(f"M{short(across.start)} {short(up(0.0))}H{short(across.end)}", fill="none",
                 stroke=TEXT, stroke_width=0.25))  # fmt: skip
    for value in up.ticks():
        out.add(words(f"{value:g}", across.start - 1.5, up(value) + 0.9, 2.4, text_anchor="end"))
        line = f"M{short(across.start)} {short(up(value))}H{short(across.end)}"
        out.add(path(line, fill="none", stroke=EDGE, stroke_width=0.08))
    _foot(out, across, foot, name)


def _foot(out: Element, across: _Scale, foot: float, name: str) -> None:
    """Ticks and figures along the foot."""
    out.add(path(f"M{short(across.start)} {short(foot)}H{short(across.end)}", fill="none",
                 stroke=TEXT, stroke_width=0.25))  # fmt: skip
    for value in across.ticks():
        x = across(value)
        out.add(path(f"M{short(x)} {short(foot)}v1", fill="none", stroke=TEXT, stroke_width=0.2))
        out.add(words(f"{value:g}", x, foot + 4.0, 2.4, text_anchor="middle"))
    middle = (across.start + across.end) / 2.0
    out.add(words(name, middle, foot + 8.2, WORD_MM, text_anchor="middle", fill=QUIET))


def _dot(x: float, y: float, one: Residual) -> Element:
    """Across: a circle; along: a triangle; slanted: a square. Open: holes. Aside: a cross."""
    r = DOT_MM
    look = {"fill": "none" if one.holes else BLUE, "stroke": BLUE}
    if one.aside:
        data = f"M{short(x - r)} {short(y - r)}l{short(2 * r)} {short(2 * r)}m{short(-2 * r)} 0"
        data += f"l{short(2 * r)} {short(-2 * r)}"
        return path(data, fill="none", stroke=ALARM, stroke_width=0.4)
    turn = math.cos(2.0 * math.radians(one.direction_deg))
    if turn > 0.5:
        half = f"a{short(r)} {short(r)} 0 1 0"
        data = f"M{short(x - r)} {short(y)}{half} {short(2 * r)} 0{half} {short(-2 * r)} 0z"
    elif turn < -0.5:
        data = f"M{short(x)} {short(y - 1.2 * r)}"
        data += f"l{short(1.1 * r)} {short(2.0 * r)}h{short(-2.2 * r)}z"
    else:
        side = short(1.7 * r)
        data = f"M{short(x - 0.85 * r)} {short(y - 0.85 * r)}h{side}v{side}h-{side}z"
    return path(data, stroke_width=0.25, **look)


def _key(out: Element, x: float, y: float) -> None:
    """What the shapes mean."""
    rows = (
        ("across the cloth", 0.0, False, False),
        ("along it", 90.0, False, False),
        ("slanted", 45.0, False, False),
        ("full: edges", 0.0, False, False),
        ("open: holes", 0.0, True, False),
        ("set aside", 0.0, False, True),
    )
    for said, angle, holes, aside in rows:
        one = Residual(needle_mm=0, off_mm=0, direction_deg=angle, holes=holes, aside=aside)
        out.add(_dot(x + 1.2, y - 0.8, one))
        out.add(words(said, x + 3.4, y, 2.4, fill=QUIET))
        x += 27.0


def _limit_frame(limits: LimitLesson, y: float) -> Element:
    """Letters read and not read over the margin, and the curve between."""
    out = group("verdict", "Letters read and not read over the margin foretold")
    yes = sum(limits.read)
    said = f"Letters: {yes} read, {len(limits.read) - yes} not read, over the margin foretold"
    out.add(words(said, MARGIN_MM, y + 8.0, 3.2, font_weight="bold"))
    left, top = MARGIN_MM + 14.0, y + 16.0
    pad = 0.06 * (max(limits.margins) - min(limits.margins)) + 0.002
    across = _Scale(min(limits.margins) - pad, max(limits.margins) + pad, left, left + FRAME_MM[0])
    up = _Scale(-0.12, 1.12, top + FRAME_MM[1], top)
    for share in (0.0, 0.5, 0.9, 1.0):
        said = {0.0: "none read", 0.5: "half", 0.9: "9 in 10", 1.0: "all"}[share]
        out.add(words(said, left - 1.5, up(share) + 0.9, 2.4, text_anchor="end"))
        line = f"M{short(left)} {short(up(share))}H{short(left + FRAME_MM[0])}"
        out.add(path(line, fill="none", stroke=EDGE, stroke_width=0.08))
    _foot(out, across, top + FRAME_MM[1], "margin")
    ticks = "".join(
        f"M{short(across(margin))} {short(up(1.03 if read else -0.03))}v{short(-4 if read else 4)}"
        for margin, read in zip(limits.margins, limits.read, strict=True)
    )
    out.add(path(ticks, fill="none", stroke=BLUE, stroke_width=0.3, stroke_opacity=0.6))
    if limits.reads is not None and limits.well is not None:
        x = np.linspace(across.least, across.most, 120)
        chance = 1.0 / (1.0 + np.exp(-(limits.at + limits.steepness * x)))
        points = " ".join(
            f"{short(across(a))} {short(up(b))}"
            for a, b in zip(x.tolist(), chance.tolist(), strict=True)
        )
        out.add(path(f"M{points}", fill="none", stroke=TEXT, stroke_width=0.5))
        for name, share, of in (("reads", 0.5, limits.reads), ("reads well", 0.9, limits.well)):
            _add_limit(out, across, up, name, share, of)
    return out


def _add_limit(
    out: Element, across: _Scale, up: _Scale, name: str, share: float, of: Estimate
) -> None:
    """A limit as a bar as long as its interval."""
    y = up(share)
    low = max(across.least, of.value - of.within)
    high = min(across.most, of.value + of.within)
    if low >= high:
        return
    line = f"M{short(across(low))} {short(y)}H{short(across(high))}"
    out.add(path(line, fill="none", stroke=ALARM, stroke_width=0.9, stroke_opacity=0.7))
    said = f"{name} from {of.value:.3f} ± {of.within:.3f}"
    out.add(words(said, across(high) + 2.0, y + 3.2, WORD_MM))
