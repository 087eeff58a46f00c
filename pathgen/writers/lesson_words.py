"""What samples have taught, told in lines for a terminal: figures first, then what they mean."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

from pathgen.trials import Estimate, Fault, Grade, Lesson, LimitLesson, Outlier, ThreadLesson
from pathgen.writers.summary import one_line
from pathgen.writers.wording import amount, numbers_named

__all__ = ["fault_lines", "lesson_data", "lesson_lines"]

_WIDE = 12


def fault_lines(faults: Sequence[Fault]) -> list[str]:
    """What was left out, then what was read with a guess; rows of which the same is said in one."""
    told: dict[Fault, list[int]] = {}
    for fault in sorted(faults, key=lambda fault: -fault.grade):
        told.setdefault(replace(fault, row=0), []).append(fault.row)
    return [one_line(_fault(fault, rows)) for fault, rows in told.items()]


def _fault(fault: Fault, rows: Sequence[int]) -> str:
    """Where it is, what stands there, and the rule."""
    row = f", {numbers_named('row', rows)}" if any(rows) else ""
    said = f": {fault.field} is {fault.said!r}" if fault.field else ""
    left = "left out" if fault.grade is Grade.LEFT_OUT else "used"
    return f"{fault.file}{row}{said}: {fault.rule} ({left})"


def lesson_lines(lesson: Lesson) -> list[str]:
    """All that was learnt of a cloth."""
    lines = [f"{lesson.cloth}, samples up to {lesson.date}"]
    for thread in lesson.threads:
        lines += _thread_lines(thread)
    lines += _limit_lines(lesson.limits)
    lines.append("  ± is the interval that holds the truth in 95 of 100 such panels")
    return [one_line(line) for line in lines]


def _row(name: str, said: str) -> str:
    return f"    {name:<{_WIDE}}{said}"


def _thread_lines(lesson: ThreadLesson) -> Iterator[str]:
    """A thread: figures, a plain sentence, outliers, and what is missing."""
    widths = sum(not residual.aside for residual in lesson.residuals)
    yield f"  {lesson.thread}, {amount(round(lesson.tex, 1), 'tex')}: {widths} widths of bars"
    figures = {
        "pull": (lesson.pull, "so far inside its needle points a column ends"),
        "overhang": (lesson.overhang, "so far thread bulges beyond where it ends"),
        "allowance": (lesson.allowance, "pull less overhang"),
    }
    for name, (of, said) in figures.items():
        if of is not None:
            yield _row(name, f"{_figure(of)}{_over(lesson, name)}: {said}")
    if lesson.allowance_over is not None:
        yield _row("", f"{_figure(lesson.allowance_over)}: the same over underlay")
    if lesson.along is not None and lesson.across is not None:
        said = f"pull {lesson.along.value:.3f} mm in columns that run along the cloth,"
        yield _row("direction", f"{said} {lesson.across.value:.3f} mm in those across it")
    if lesson.over_underlay is not None:
        share = lesson.over_underlay
        yield _row(
            "underlay", f"pull over it is {share.value:.2f} ± {share.within:.2f} of that without"
        )
    rings = _rings(lesson)
    if rings:
        yield _row("rings", rings)
    if lesson.allowance is not None:
        yield _row("scatter", f"{lesson.spread_mm:.3f} mm a side, one width by itself")
        yield _row("in words", _sentence(lesson))
    yield from (_row("look at", said) for said in _looks(lesson))
    yield from (_row("outlier", _outlier(one)) for one in lesson.outliers)
    yield from (_row("missing", said) for said in lesson.lacking)


def _over(lesson: ThreadLesson, name: str) -> str:
    return " (over underlay)" if lesson.over_run_only and name != "overhang" else ""


def _figure(of: Estimate) -> str:
    """Value, the interval, the standard error, the number of samples."""
    return (
        f"{of.value:.3f} ± {of.within:.3f} mm a side"
        f" (standard error {of.error:.4f}, {of.samples} samples)"
    )


def _sentence(lesson: ThreadLesson) -> str:
    """What the allowance means."""
    value = lesson.allowance.value if lesson.allowance else 0.0
    if value <= 0.0:
        return (
            f"without allowance columns come out {-2.0 * value:.2f} mm wider than drawn;"
            " give none, and draw them thinner"
        )
    return (
        f"without allowance columns come out {2.0 * value:.2f} mm narrower than drawn; with"
        f" {value:.2f} mm on each side they come out as drawn"
    )


def _rings(lesson: ThreadLesson) -> str:
    """Which counters closed and which stayed open; empty without rings."""
    said = []
    if not math.isnan(lesson.closed_mm):
        said.append(f"counters drawn up to {amount(lesson.closed_mm)} closed")
    if not math.isnan(lesson.open_mm):
        said.append(f"the narrowest that stayed open was drawn {amount(lesson.open_mm)}")
    return "; ".join(said)


def _looks(lesson: ThreadLesson) -> Iterator[str]:
    """What the fit does not tell of, but the samples show."""
    if lesson.by_width is not None:
        slope = lesson.by_width
        grows = "grows" if slope.value > 0.0 else "falls"
        yield (
            f"pull {grows} by {abs(slope.value):.3f} ± {slope.within:.3f} mm for each mm of width;"
            " one figure for all widths is a compromise"
        )
    if lesson.counters is not None and abs(lesson.counters.value) > lesson.counters.within:
        counters = lesson.counters
        more = "more open" if counters.value > 0.0 else "closer"
        yield (
            f"counters of rings are {abs(counters.value):.2f} ± {counters.within:.2f} mm {more}"
            " than the bars foretell"
        )
    if lesson.outliers and lesson.allowance is not None:
        many = len(lesson.outliers)
        named = f"{many} outlier{'s are' if many > 1 else ' is'}"
        yield (
            f"{named} set aside; with {'them' if many > 1 else 'it'} the allowance would be"
            f" {lesson.with_all:.3f} mm (--keep-outliers)"
        )


def _outlier(one: Outlier) -> str:
    guess = f"; {one.guess}" if one.guess else ""
    return (
        f"{one.file}, row {one.row}: {one.field} is {one.measured_mm:.3f} mm where the others give"
        f" {one.expected_mm:.2f}{guess}"
    )


def _limit_lines(limits: LimitLesson) -> Iterator[str]:
    """The verdict's limits."""
    if not limits.margins:
        return
    yield f"  verdict: {len(limits.read)} letters, {sum(limits.read)} of them read"
    if limits.reads is not None and limits.well is not None:
        yield _row("reads", f"from margin {_margin(limits.reads)}: half of the letters are read")
        yield _row("reads well", f"from margin {_margin(limits.well)}: nine in ten are read")
    yield from (_row("missing", said) for said in limits.lacking)


def _margin(of: Estimate) -> str:
    return f"{of.value:.3f} ± {of.within:.3f} (standard error {of.error:.4f})"


def lesson_data(lesson: Lesson) -> dict[str, Any]:
    """The same as plain data for JSON."""
    threads = []
    for thread in lesson.threads:
        data: dict[str, Any] = {"tex": thread.tex, "thread": thread.thread}
        for name in ThreadLesson.__dataclass_fields__:
            value = getattr(thread, name)
            if isinstance(value, Estimate):
                data[name] = _estimate_data(value)
        data["lacking"] = list(thread.lacking)
        data["outliers"] = [
            {name: getattr(one, name) for name in Outlier.__dataclass_fields__}
            for one in thread.outliers
        ]
        threads.append(data)
    limits = {
        name: _estimate_data(value)
        for name, value in (("reads", lesson.limits.reads), ("well", lesson.limits.well))
        if value is not None
    }
    return {
        "cloth": lesson.cloth,
        "date": lesson.date,
        "limits": {**limits, "lacking": list(lesson.limits.lacking)},
        "threads": threads,
    }


def _estimate_data(of: Estimate) -> dict[str, float | int]:
    return {
        "error": round(of.error, 6),
        "samples": of.samples,
        "value": round(of.value, 6),
        "within": round(of.within, 6),
    }
