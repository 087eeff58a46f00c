"""What the review page shows, as plain data: whole numbers for places, texts as they are read.

Places are thousandths of a mm, x right, y up, as in the needle table. Letters, columns and
findings are told by their place in a list, from 0; -1 means none.
"""

import math
from collections.abc import Iterable
from typing import Any

import numpy as np

from pathgen.geometry import Points
from pathgen.model import Count, Plan
from pathgen.needles import Arrive, Part, Side, stitch_lengths_mm
from pathgen.polygons import rings_of
from pathgen.verdicts import Reading
from pathgen.writers.plot_crowding import CROWDING_STEPS
from pathgen.writers.plot_threads import thread_looks
from pathgen.writers.reading_words import reading_short
from pathgen.writers.setting_rows import setting_rows
from pathgen.writers.wording import (
    CAUTION,
    FindingGroup,
    all_of,
    duration,
    finding_groups,
    grouped_thousands,
    heights_named,
    lettering_of,
    measured_words,
    sewn_size_mm,
    speeds_named,
    thread_length,
)

__all__ = ["review_data"]

UM_PER_MM = 1000.0

TABLE_SCOPES = ("whole", "thread", "line", "letter")
"""Counts that the page lists, in this order; those of single columns are in the table of counts."""


def review_data(plan: Plan, reading: Reading | None = None) -> dict[str, Any]:
    """The plan as data that JSON can hold: no NaN, no arrays, keys as the page's script reads."""
    order = {(letter.line, letter.index): n for n, letter in enumerate(plan.letters)}
    return {
        "title": lettering_of(plan),
        "about": _about(plan),
        "figures": _figures(plan),
        "caution": list(CAUTION),
        "settings": [list(row) for row in setting_rows(plan)],
        "speed_spm": plan.settings.speed_spm,
        "reading": reading_short(reading) if reading else "",
        "threads": _threads(plan),
        "crowding": _crowding(plan),
        "words": {
            "part": [part.word for part in Part],
            "arrive": [arrive.word for arrive in Arrive],
            "side": [side.word for side in Side],
        },
        "needles": _needles(plan, order),
        "letters": _letters(plan),
        "counts": [
            _count(count, order)
            for scope in TABLE_SCOPES
            for count in plan.counts
            if count.scope == scope
        ],
        "findings": [_finding(group, plan, order) for group in finding_groups(plan)],
    }


def _about(plan: Plan) -> str:
    """What the lettering is set in and sewn with, in one line."""
    every = [line.settings for line in plan.by_line]
    return ", ".join(
        (
            all_of(line.face.name for line in plan.by_line),
            f"capitals {heights_named(plan)}",
            all_of(s.thread.name for s in every),
            f"needle {all_of(s.needle.label for s in every)}",
            all_of(s.cloth.name for s in every),
        )
    )


def _threads(plan: Plan) -> list[dict[str, str]]:
    """Name of each thread, and what it is drawn in where threads are told apart by colour."""
    told = len(plan.threads) > 1 or any(thread.colour for thread in plan.threads)
    return [{"name": look.name, "colour": look.true if told else ""} for look in thread_looks(plan)]


def _crowding(plan: Plan) -> dict[str, Any] | None:
    """Penetrations around each needle point, as percent of what is borne; None if not known."""
    crowding = plan.crowding
    if crowding is None or not len(crowding.per_mm2):
        return None
    share = crowding.per_mm2 / crowding.limit_per_mm2
    return {
        "percent": np.round(share * 100.0).astype(np.int64).tolist(),
        "blade": _thousandths(crowding.blade_mm),
        "steps": [[round(step.share * 100.0), step.colour] for step in CROWDING_STEPS],
    }


def _figures(plan: Plan) -> list[list[str]]:
    """Name and value of the figures at the head of the page."""
    whole = plan.whole
    width, height = sewn_size_mm(plan)
    return [
        ["stitches", grouped_thousands(whole.stitches)],
        ["trims", grouped_thousands(whole.trims)],
        *([["thread changes", grouped_thousands(plan.changes)]] if plan.changes else []),
        ["size", f"{width:.1f} x {height:.1f} mm"],
        ["time", f"{duration(plan.sew_s)} at {speeds_named(plan)} a minute"],
        ["thread", thread_length(whole.thread_mm)],
    ]


def _thousandths(values: Iterable[float]) -> list[int]:
    """Values in mm as whole thousandths."""
    rounded: list[int] = np.round(np.asarray(values) * UM_PER_MM).astype(np.int64).tolist()
    return rounded


def _needles(plan: Plan, order: dict[tuple[int, int], int]) -> dict[str, list[int]]:
    """The needle table, one list a column."""
    table = plan.needles
    places = zip(table["line"].tolist(), table["letter"].tolist(), strict=True)
    return {
        "x": _thousandths(table["x_mm"]),
        "y": _thousandths(table["y_mm"]),
        "length": _thousandths(stitch_lengths_mm(table)),
        "letter": [order.get(place, -1) for place in places],
        **{name: table[name].tolist() for name in ("part", "arrive", "thread", "column", "side")},
    }


def _ring(points: Points) -> list[int]:
    """A closed line as x, y, x, y and so on."""
    return _thousandths(points.ravel())


def _letters(plan: Plan) -> list[dict[str, Any]]:
    """Outline and columns of every letter."""
    return [
        {
            "text": letter.text,
            "line": letter.line,
            "ink": [_ring(ring) for shape in letter.ink for ring in rings_of(shape)],
            "columns": [
                _ring(np.concatenate([column.left, column.right[::-1]]))
                for column in letter.columns
            ],
        }
        for letter in plan.letters
    ]


def _count(count: Count, order: dict[tuple[int, int], int]) -> dict[str, Any]:
    """One row of the table of counts, the figures as they are read."""
    widths = (count.narrowest_column_mm, count.width_mean_mm, count.width_most_mm)
    names = {
        "letter": count.text,
        "line": f"line {count.line}: {count.text}",
        "thread": f"thread {count.thread}",
        "whole": "all",
    }
    return {
        "scope": count.scope,
        "name": names[count.scope],
        "letter": order.get((count.line, count.letter), -1),
        "cells": [
            grouped_thousands(count.stitches),
            *(grouped_thousands(n) for n in count.by_part),
            grouped_thousands(count.trims),
            f"{count.thread_mm:.0f}",
            *("" if math.isnan(width) else f"{width:.2f}" for width in widths),
            grouped_thousands(count.findings),
        ],
    }


def _finding(group: FindingGroup, plan: Plan, order: dict[tuple[int, int], int]) -> dict[str, Any]:
    """Findings of one kind, with every place."""
    return {
        "number": group.number,
        "level": group.level.word,
        "name": group.name,
        "figures": group.figures,
        "advice": group.worst.advice,
        "places": [
            {
                "at": _thousandths(finding.at_mm),
                "letter": order.get((finding.line, finding.letter), -1),
                "column": finding.column,
                "measured": measured_words(finding) if math.isfinite(finding.measured) else "",
            }
            for finding in group.members
            if all(map(math.isfinite, finding.at_mm))
        ],
    }
