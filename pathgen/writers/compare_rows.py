"""Several ways to sew one text, as rows of a table: what each asks for and what comes of it."""

import csv
import io
import math
from collections.abc import Callable, Sequence
from typing import Any, NamedTuple

import numpy as np

from pathgen.model import Level, Plan
from pathgen.verdicts import Reading
from pathgen.writers.reading_words import VERDICT_WORDS
from pathgen.writers.tables_csv import defused
from pathgen.writers.wording import (
    CAUTION,
    all_of,
    amount,
    duration,
    figure,
    grouped_thousands,
    heights_named,
    level_counts,
    narrowest_mm,
    thread_length,
)

__all__ = [
    "MOST_WAYS",
    "Row",
    "Way",
    "conclusion",
    "outcome_rows",
    "settings_rows",
    "ways_csv",
    "ways_data",
    "ways_named",
]

MOST_WAYS = 4
"""More would not stand side by side on a page."""


class Way(NamedTuple):
    """One way to sew a text: what it is called, its plan, and whether that can be read."""

    label: str
    plan: Plan
    reading: Reading


class Row(NamedTuple):
    """A row of the table: what, its value in each way, and which ways are best in it."""

    name: str
    values: tuple[str, ...]
    best: tuple[bool, ...]


Said = Callable[[Plan], str]

_TELLING: tuple[tuple[str, Said], ...] = (
    ("thread", lambda p: all_of(line.settings.thread.name for line in p.by_line)),
    ("height_mm", lambda p: f"{heights_named(p)}"),
    ("face", lambda p: all_of(line.face.name for line in p.by_line)),
    ("cloth", lambda p: f"on {p.settings.cloth.name}"),
    ("needle", lambda p: f"needle {p.settings.needle.label}"),
    ("spacing_mm", lambda p: f"spacing {amount(p.settings.spacing_mm)}"),
    ("pull_mm", lambda p: f"allowance {amount(p.settings.pull_mm)}"),
    ("underlay", lambda p: f"underlay {p.settings.underlay.replace('-', ' ')}"),
    ("speed_spm", lambda p: f"{amount(p.settings.speed_spm, '')} a minute"),
    ("least_column_mm", lambda p: f"least column {amount(p.settings.least_column_mm)}"),
    ("tracking_mm", lambda p: f"letter spacing {amount(p.settings.tracking_mm)}"),
    ("run_mm", lambda p: f"run {amount(p.settings.run_mm)}"),
    ("join_mm", lambda p: f"gaps joined to {amount(p.settings.join_mm)}"),
    ("on_top_mm", lambda p: f"runs on top to {amount(p.settings.on_top_mm)}"),
    ("least_stitch_mm", lambda p: f"points {amount(p.settings.least_stitch_mm)} apart"),
    ("longest_stitch_mm", lambda p: f"stitches to {amount(p.settings.longest_stitch_mm)}"),
    ("sewing", lambda p: f"sewn {p.settings.sewing.replace('-', ' ')}"),
)
"""Settings that may tell ways apart, and how each is said."""

_GIVEN = ("option", "job file")


def ways_named(plans: Sequence[Plan]) -> tuple[str, ...]:
    """What each way is called: by what was asked for and differs; numbers where nothing does."""
    told: list[list[str]] = [[] for _ in plans]
    for field, said in _TELLING:
        asked = field == "face" or any(p.settings.origins.get(field) in _GIVEN for p in plans)
        values = [said(p) for p in plans]
        if asked and len(set(values)) > 1:
            for parts, value in zip(told, values, strict=True):
                parts.append(value)
    names = [", ".join(parts) for parts in told]
    if len(set(names)) < len(names):
        names = [f"{name or 'way'} ({n})" for n, name in enumerate(names, 1)]
    return tuple(names)


def settings_rows(ways: Sequence[Way]) -> tuple[Row, ...]:
    """What each way is sewn with."""
    rows: list[tuple[str, Said]] = [
        ("capital height", heights_named),
        ("thread", lambda p: all_of(line.settings.thread.label for line in p.by_line)),
        ("needle", lambda p: all_of(line.settings.needle.label for line in p.by_line)),
        ("spacing", lambda p: all_of(amount(line.settings.spacing_mm) for line in p.by_line)),
        ("allowance a side", lambda p: all_of(amount(s.settings.pull_mm) for s in p.by_line)),
        ("underlay", lambda p: all_of(s.settings.underlay.replace("-", " ") for s in p.by_line)),
        ("cloth", lambda p: p.settings.cloth.name),
        ("face", lambda p: all_of(line.face.name for line in p.by_line)),
    ]
    none = (False,) * len(ways)
    return tuple(Row(name, tuple(said(way.plan) for way in ways), none) for name, said in rows)


def outcome_rows(ways: Sequence[Way]) -> tuple[Row, ...]:
    """What comes of each way; the best of each row is marked where a difference can be seen."""
    facts = [_facts(way) for way in ways]
    rows: list[tuple[str, str, Callable[[Any], str], bool]] = [
        ("reads", "verdict", lambda v: VERDICT_WORDS[v], True),
        ("margin", "margin", lambda v: f"{v:.3f}" if math.isfinite(v) else "none", True),
        ("smallest gap", "gap_threads", _gap_said, True),
        ("stitches", "stitches", grouped_thousands, False),
        ("time", "sew_s", duration, False),
        ("thread", "thread_mm", thread_length, False),
        ("trims", "trims", grouped_thousands, False),
        ("narrowest column", "narrowest_mm", figure, True),
        ("crowding of limit", "crowding_share", lambda v: f"{100.0 * v:.0f} %", False),
        ("stop", "stops", grouped_thousands, False),
        ("check", "checks", grouped_thousands, False),
        ("note", "notes", grouped_thousands, False),
    ]
    out = []
    for name, field, said, more_is_better in rows:
        values = [fact[field] for fact in facts]
        best = said(max(values) if more_is_better else min(values))
        shown = tuple(said(value) for value in values)
        differ = len(set(shown)) > 1
        out.append(Row(name, shown, tuple(differ and value == best for value in shown)))
    return tuple(out)


def _gap_said(threads: float) -> str:
    return f"{threads:.1f} threads" if math.isfinite(threads) else "none"


def _facts(way: Way) -> dict[str, Any]:
    """The figures of one way."""
    made, worst = way.plan, way.reading.worst
    levels = level_counts(made)
    crowding = made.crowding
    share, most, limit = 0.0, math.nan, math.nan
    if crowding is not None and len(crowding.per_mm2):
        shares = crowding.per_mm2 / crowding.limit_per_mm2
        row = int(np.argmax(shares))
        share = float(shares[row])
        most, limit = float(crowding.per_mm2[row]), float(crowding.limit_per_mm2[row])
    return {
        "verdict": way.reading.verdict,
        "margin": worst.margin if worst is not None else math.inf,
        "gap_threads": way.reading.gap_threads,
        "stitches": made.whole.stitches,
        "sew_s": made.sew_s,
        "thread_mm": made.whole.thread_mm,
        "trims": made.whole.trims,
        "narrowest_mm": narrowest_mm(made),
        "crowding_share": share,
        "crowding_per_mm2": most,
        "crowding_limit_per_mm2": limit,
        "stops": levels[Level.STOP.word],
        "checks": levels[Level.CHECK.word],
        "notes": levels[Level.NOTE.word],
    }


def conclusion(ways: Sequence[Way]) -> str:
    """Which way comes out best, and the others, in one sentence each.

    Best is the verdict, then fewest findings that say stop, then check, then fewest stitches.
    """
    facts = {way.label: _facts(way) for way in ways}

    def rank(way: Way) -> tuple[Any, ...]:
        f = facts[way.label]
        return (-f["verdict"], f["stops"], f["checks"], f["stitches"])

    said = []
    for place, way in enumerate(sorted(ways, key=rank)):
        f = facts[way.label]
        stops = f"{f['stops']} to stop, " if f["stops"] else ""
        checks = f"{f['checks']} to check" if f["checks"] else "nothing to check"
        how = "comes out best" if place == 0 else "comes after it"
        said.append(
            f"{way.label} {how}: {VERDICT_WORDS[f['verdict']]}, {stops}{checks},"
            f" {grouped_thousands(f['stitches'])} stitches, {duration(f['sew_s'])}."
        )
    return " ".join(said)


def ways_data(ways: Sequence[Way], files: Sequence[str]) -> dict[str, Any]:
    """The comparison as plain data for JSON."""
    return {
        "caution": list(CAUTION),
        "conclusion": conclusion(ways),
        "files": list(files),
        "lines": list(ways[0].plan.lines),
        "origin": ways[0].reading.origin,
        "ways": [{"way": way.label, **_plain(way)} for way in ways],
    }


def _plain(way: Way) -> dict[str, Any]:
    """Figures of a way: words for enumerations, three decimals, None for no number."""
    out: dict[str, Any] = {}
    for name, value in sorted(_facts(way).items()):
        if name == "verdict":
            out[name] = value.word
        elif isinstance(value, float):
            out[name] = round(value, 3) + 0.0 if math.isfinite(value) else None
        else:
            out[name] = value
    return out


def ways_csv(ways: Sequence[Way]) -> bytes:
    """One row a way (RFC 4180, UTF-8); an empty cell where there is no number."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    rows = [_plain(way) for way in ways]
    writer.writerow(["way", *rows[0]])
    for way, row in zip(ways, rows, strict=True):
        cells = ("" if value is None else value for value in row.values())
        writer.writerow([defused(way.label), *cells])
    return text.getvalue().encode("utf-8", "replace")
