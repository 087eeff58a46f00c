"""A plan told in a few terminal lines, or as data for other programs."""

import math
from collections.abc import Sequence
from dataclasses import asdict, fields
from typing import Any

import numpy as np

from pathgen.model import Count, Finding, Level, LineSettings, Plan
from pathgen.needles import Part
from pathgen.settings import Cloth, Needle, Settings, Thread
from pathgen.sewnlook import SewnLook
from pathgen.verdicts import Reading
from pathgen.writers.field_words import field_data, field_said
from pathgen.writers.reading_words import reading_data, reading_short
from pathgen.writers.wording import (
    CAUTION,
    amount,
    crowding_said,
    duration,
    figure,
    finding_groups,
    grouped_thousands,
    heights_named,
    lettering_of,
    level_counts,
    lines_named,
    most_crowded,
    narrowest_mm,
    plural,
    sewn_size_mm,
    speeds_named,
    thread_length,
)

__all__ = ["one_line", "summary_data", "summary_lines", "summary_rows"]

MOST_FINDINGS_SHOWN = 3
"""Kinds of findings told in full on the terminal; the plot and the data hold all."""

LETTERS_NAMED = 5
"""Letters named in a finding's line on the terminal."""

_LABEL_WIDTH = 10


def summary_lines(
    plan: Plan,
    files: Sequence[str],
    reading: Reading | None = None,
    earlier: Sequence[str] = (),
    paper: str = "",
) -> list[str]:
    """Lines for a terminal, the weightiest figures first, the caution last.

    Parameters
    ----------
    plan : Plan
        What was planned.
    files : sequence of str
        The files written, as they are to be shown; may be empty.
    reading : Reading, optional
        Whether it can be read; its line is left out with it.
    earlier : sequence of str
        Files of the same name that an earlier run has left and this one has not written.
    paper : str
        What to know of a plot too large for an office printer.
    """
    lines = [one_line(lettering_of(plan))]
    lines += [f"  {name:<{_LABEL_WIDTH}}{value}" for name, value in summary_rows(plan, reading)]
    lines += [f"    {line}" for line in _finding_lines(plan)]
    lines += [f"  {'files' if i == 0 else '':<{_LABEL_WIDTH}}{f}" for i, f in enumerate(files)]
    lines += [f"  {'on paper':<{_LABEL_WIDTH}}{paper}"] if paper else []
    lines += [f"  {'old':<{_LABEL_WIDTH}}{f}, of an earlier run" for f in earlier]
    return [*lines, " ".join(CAUTION)]


def summary_rows(plan: Plan, reading: Reading | None = None) -> list[tuple[str, str]]:
    """Name and value of the figures that a plan is told by, the weightiest first."""
    whole = plan.whole
    width, height = sewn_size_mm(plan)
    changes = f", and {plural(plan.changes, 'thread change')}" if plan.changes else ""
    return [
        ("size", f"{width:.1f} x {height:.1f} mm, capitals {heights_named(plan)}"),
        *([("field", one_line(field_said(plan)))] if field_said(plan) else []),
        ("letters", _letters_short(plan)),
        ("stitches", f"{grouped_thousands(whole.stitches)}: {_by_part(whole)}"),
        ("trims", f"{whole.trims}{changes}"),
        ("time", f"{duration(plan.sew_s)} at {speeds_named(plan)} stitches a minute"),
        *_thread_rows(plan),
        *_settings_rows(plan),
        *_crowding_row(plan),
        *([("reading", one_line(reading_short(reading)))] if reading else []),
        ("findings", _findings_short(plan)),
    ]


def _letters_short(plan: Plan) -> str:
    """Letters, columns, and the narrowest of these."""
    columns = sum(len(letter.shape.columns) for letter in plan.letters)
    least = narrowest_mm(plan)
    narrow = f", narrowest {figure(least)} with allowance" if math.isfinite(least) else ""
    return f"{len(plan.letters)} in {columns} columns{narrow}"


def _crowding_row(plan: Plan) -> list[tuple[str, str]]:
    """The most crowded place and its limit; none where that is not known."""
    row = most_crowded(plan)
    if row is None:
        return []
    needle = plan.by_line[max(0, int(plan.needles["line"][row]) - 1)].settings.needle
    return [("crowding", f"at most {crowding_said(plan)}, needle {needle.label}")]


def one_line(text: str) -> str:
    """Text that cannot steer a terminal: what is not printable becomes a question mark."""
    return "".join(sign if sign.isprintable() else "?" for sign in text)


def _by_part(count: Count) -> str:
    """Stitches of each part that has any, most first."""
    pairs = sorted(zip(count.by_part, Part, strict=True), key=lambda pair: (-pair[0], pair[1]))
    return ", ".join(f"{part.word} {grouped_thousands(n)}" for n, part in pairs if n) or "none"


def _thread_rows(plan: Plan) -> list[tuple[str, str]]:
    """Length of each thread, and where there are several, what it sews."""
    counts = [count for count in plan.counts if count.scope == "thread"]
    rows = []
    for number, (thread, count) in enumerate(zip(plan.threads, counts, strict=True), 1):
        said = f"{thread_length(count.thread_mm)} of {thread.name}"
        if len(counts) > 1:
            lines = [n for n, line in enumerate(plan.by_line, 1) if line.thread == number]
            said += f", {grouped_thousands(count.stitches)} stitches in {lines_named(lines)}"
        rows.append((f"thread {number}" if len(counts) > 1 else "thread", said))
    return rows


def _settings_rows(plan: Plan) -> list[tuple[str, str]]:
    """The weightiest settings: of all lines, or of each where they differ."""
    if not plan.is_mixed:
        return [("settings", _settings_short(plan.settings))]
    return [
        (f"line {n}", f"{one_line(line.text)}: {one_line(line.face.name)}, {_line_short(line)}")
        for n, line in enumerate(plan.by_line, 1)
    ]


def _line_short(line: LineSettings) -> str:
    """Height, thread and settings of a line, each with where it came from."""
    s = line.settings
    height, thread = (s.origins.get(of, "default") for of in ("height_mm", "thread"))
    return (
        f"{amount(s.height_mm)} ({height}), thread {line.thread} ({thread}), {_settings_short(s)}"
    )


def _settings_short(s: Settings) -> str:
    """The settings that shape small lettering most, each with where it came from."""
    values = {
        "spacing_mm": f"spacing {amount(s.spacing_mm)}",
        "pull_mm": f"allowance {amount(s.pull_mm)} a side",
        "underlay": f"underlay {s.underlay.replace('-', ' ')}",
        "needle": f"needle {s.needle.label}",
        "cloth": one_line(s.cloth.name),
    }
    return ", ".join(f"{said} ({s.origins.get(of, 'default')})" for of, said in values.items())


def _findings_short(plan: Plan) -> str:
    """How many of each level."""
    said = [f"{n} {level}" for level, n in level_counts(plan).items() if n]
    return ", ".join(said) or "none"


def _finding_lines(plan: Plan) -> list[str]:
    """The gravest findings, one line a code."""
    groups = finding_groups(plan)
    lines = []
    for group in groups[:MOST_FINDINGS_SHOWN]:
        told = (group.figures, group.places_named(LETTERS_NAMED), group.worst.advice)
        facts = "; ".join(said for said in told if said)
        lines.append(one_line(f"{group.level.word:<6}{group.name}: {facts}"))
    rest = groups[MOST_FINDINGS_SHOWN:]
    if rest:
        named = dict.fromkeys(f"{group.name}" for group in rest)
        lines.append(one_line(f"and, on the plot: {', '.join(named)}"))
    return lines


def summary_data(
    plan: Plan, files: Sequence[str], reading: Reading | None = None
) -> dict[str, Any]:
    """The same as plain data for JSON: sorted keys, lengths rounded to 0.001, NaN as None."""
    width, height = sewn_size_mm(plan)
    whole = plan.whole
    data = {
        "caution": list(CAUTION),
        "columns": sum(len(letter.columns) for letter in plan.letters),
        "crowding": _crowding_data(plan),
        "face": plan.face.name,
        "files": list(files),
        "finding_counts": level_counts(plan),
        "findings": [_finding_data(finding) for finding in plan.findings],
        "height_mm": _rounded(height),
        "letters": len(plan.letters),
        "lines": list(plan.lines),
        "narrowest_mm": _rounded(narrowest_mm(plan)),
        **({"field": field_data(plan)} if plan.field else {}),
        **({"reading": reading_data(reading)} if reading else {}),
        "settings": _settings_data(plan.settings),
        "sew_s": _rounded(plan.sew_s),
        "sewn_mm": _rounded(whole.sewn_mm),
        "stitches": whole.stitches,
        "stitches_by_part": {part.word: n for part, n in zip(Part, whole.by_part, strict=True)},
        "thread_mm": _rounded(whole.thread_mm),
        "trims": whole.trims,
        "width_mm": _rounded(width),
        "worst": [_finding_data(g.worst) for g in finding_groups(plan)[:MOST_FINDINGS_SHOWN]],
    }
    return _sorted({**data, **_by_line_data(plan)})


def _crowding_data(plan: Plan) -> dict[str, Any] | None:
    """Where penetrations are most crowded for the cloth; None where that is not known."""
    crowding = plan.crowding
    if crowding is None or not len(crowding.per_mm2):
        return None
    worst = int(np.argmax(crowding.per_mm2 / crowding.limit_per_mm2))
    return {
        "at_mm": [_rounded(plan.needles[name][worst]) for name in ("x_mm", "y_mm")],
        "limit_per_mm2": _rounded(crowding.limit_per_mm2[worst]),
        "most_per_mm2": _rounded(crowding.per_mm2[worst]),
        "nearest_mm": _rounded(crowding.nearest_mm.min()),
    }


def _by_line_data(plan: Plan) -> dict[str, Any]:
    """Threads and the settings of each line, where there is more than one of either."""
    if not plan.is_mixed and len(plan.threads) == 1:
        return {}
    counts = {(count.scope, count.thread, count.line): count for count in plan.counts}
    return {
        "changes": plan.changes,
        "line_settings": [
            {
                "down_mm": _rounded(line.down_mm),
                "face": line.face.name,
                "line": number,
                "settings": _sorted(_settings_data(line.settings)),
                "stitches": counts["line", line.thread, number].stitches,
                "text": line.text,
                "thread": line.thread,
            }
            for number, line in enumerate(plan.by_line, 1)
        ],
        "threads": [
            {
                "colour": thread.colour or None,
                "label": thread.label,
                "number": number,
                "stitches": counts["thread", number, 0].stitches,
                "tex": _rounded(thread.tex),
                "thread_mm": _rounded(counts["thread", number, 0].thread_mm),
            }
            for number, thread in enumerate(plan.threads, 1)
        ],
    }


def _settings_data(settings: Settings) -> dict[str, Any]:
    """Every setting under its own name, with its value and where that came from."""
    out: dict[str, Any] = {}
    for item in fields(settings):
        value = getattr(settings, item.name)
        if item.name == "origins":
            continue
        if isinstance(value, Thread):
            plain: Any = {"label": value.label, "tex": _rounded(value.tex)}
            plain |= {"colour": value.colour} if value.colour else {}
        elif isinstance(value, Needle | Cloth):
            plain = value.label if isinstance(value, Needle) else value.name
        elif isinstance(value, SewnLook):
            plain = {name: _plain(part) for name, part in asdict(value).items() if name != "limits"}
        else:
            plain = _plain(value)
        out[item.name] = {"origin": settings.origins.get(item.name, "default"), "value": plain}
    return out


def _finding_data(finding: Finding) -> dict[str, Any]:
    """One finding as plain data."""
    return {
        "advice": finding.advice,
        "at_mm": [_rounded(value) for value in finding.at_mm],
        "code": finding.code,
        "column": finding.column,
        "letter": finding.letter,
        "level": Level(finding.level).word,
        "limit": _rounded(finding.limit),
        "line": finding.line,
        "measured": _rounded(finding.measured),
        "unit": finding.unit,
    }


def _plain(value: Any) -> Any:
    return _rounded(value) if isinstance(value, float) else value


def _rounded(value: float) -> float | None:
    """Three decimals, no negative zero; None where there is no number."""
    return round(float(value), 3) + 0.0 if math.isfinite(value) else None


def _sorted(data: dict[str, Any]) -> dict[str, Any]:
    """Keys in order, down through nested mappings."""
    return {
        key: _sorted(value) if isinstance(value, dict) else value
        for key, value in sorted(data.items())
    }
