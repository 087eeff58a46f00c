"""Count stitches, lengths and thread: by column, letter, line, thread, and the whole.

A stitch is a needle penetration, a row of the needle table; no other count exists. Every row
belongs to one column (a travel to the one it leads to), so the sums agree at every scope.
"""

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.model import Column, Count, Finding, Letter
from pathgen.needles import Arrive, Crowding, Part, stitch_lengths_mm
from pathgen.settings import Settings

__all__ = ["counted"]


class _Rows(NamedTuple):
    """What a stretch of rows comes to; the empty one if left out."""

    by_part: Sequence[int] = (0,) * len(Part)
    trims: int = 0
    sewn_mm: float = 0.0
    thread_mm: float = 0.0
    crowding_per_mm2: float = math.nan


_NONE = _Rows()


class _Tally:
    """Counts any stretch of the needle table."""

    def __init__(
        self,
        needles: NDArray[np.void],
        findings: Sequence[Finding],
        settings: Settings,
        threads: Sequence[int],
        crowding: Crowding | None,
    ) -> None:
        self.needles = needles
        self.per_mm2 = np.full(len(needles), np.nan) if crowding is None else crowding.per_mm2
        self.threads = threads
        self.lengths = stitch_lengths_mm(needles)
        # Each stitch goes through the cloth once: length on top plus thickness, the model of
        # a lockstitch (formula of stitch type 301: stitch length + seam thickness).
        self.thread = np.where(
            needles["arrive"] == Arrive.SEW, self.lengths + settings.cloth.thickness_mm, 0.0
        )
        self.concerning = Counter(
            place
            for f in findings
            for place in {(f.line,), (f.line, f.letter), (f.line, f.letter, f.column), ()}
        )

    def stretches(self, *fields: str) -> dict[tuple[int, ...], _Rows]:
        """What the rows of each line, letter or column come to: each is sewn in one go."""
        table, count = self.needles, len(self.needles)
        if not count:
            return {}
        keys = np.stack([np.zeros(count, np.int64), *(table[name] for name in fields)], axis=1)
        new = (keys[1:] != keys[:-1]).any(axis=1)
        starts = np.concatenate([[0], np.flatnonzero(new) + 1])
        which = np.concatenate([[0], np.cumsum(new)])
        cells = np.bincount(which * len(Part) + table["part"], minlength=len(starts) * len(Part))
        trims = (table["arrive"] == Arrive.TRIM).astype(np.int64)
        found = zip(
            cells.reshape(-1, len(Part)).tolist(),
            np.add.reduceat(trims, starts).tolist(),
            np.add.reduceat(self.lengths, starts).tolist(),
            np.add.reduceat(self.thread, starts).tolist(),
            np.maximum.reduceat(self.per_mm2, starts).tolist(),
            strict=True,
        )
        places = map(tuple, keys[starts, 1:].tolist())
        return dict(zip(places, (_Rows(*rows) for rows in found), strict=True))

    def count(
        self,
        scope: str,
        rows: _Rows,
        columns: Sequence[Column],
        place: tuple[int, ...],
        text: str = "",
        thread: int = 0,
    ) -> Count:
        """Counts of a stretch of rows and its columns; ``place`` is line, letter, column."""
        line, letter, column = (*place, 0, 0, 0)[:3]
        least, mean, most = _widths_mm(tuple(columns))
        parts = rows.by_part
        return Count(
            scope=scope,
            thread=self.threads[line - 1] if line else thread,
            line=line,
            letter=letter,
            column=column,
            text=text,
            by_part=(parts[0], parts[1], parts[2], parts[3], parts[4]),
            trims=rows.trims,
            sewn_mm=rows.sewn_mm,
            thread_mm=rows.thread_mm,
            width_least_mm=least,
            width_mean_mm=mean,
            width_most_mm=most,
            findings=self.concerning[place],
            crowding_per_mm2=rows.crowding_per_mm2,
        )


@lru_cache(maxsize=8192)
def _widths_mm(columns: tuple[Column, ...]) -> tuple[float, float, float]:
    """Least, mean and greatest width of columns; NaN for none."""
    if not columns:
        return (math.nan, math.nan, math.nan)
    widths = np.concatenate([column.widths for column in columns])
    return float(widths.min()), float(widths.mean()), float(widths.max())


def counted(
    lines: Sequence[str],
    letters: Sequence[Letter],
    needles: NDArray[np.void],
    findings: Sequence[Finding],
    settings: Settings,
    threads: Sequence[int] = (),
    labels: Sequence[str] = ("",),
    crowding: Crowding | None = None,
) -> tuple[Count, ...]:
    """Counts at every scope: columns, letters, lines, threads, and last the whole.

    Letters and columns come in reading order; a letter without a column has no row. ``settings``
    are those of any line: all have one cloth. ``threads`` are the numbers of the lines' threads,
    all 1 if left out, and ``labels`` what each thread is called. Without ``crowding`` counts say
    nothing of it.
    """
    threads = threads or [1] * len(lines)
    tally = _Tally(needles, findings, settings, threads, crowding)
    columns = [c for letter in letters for c in letter.shape.columns]
    return (
        *_columns(tally, letters),
        *_letters(tally, letters),
        *_lines(tally, lines, letters),
        *_threads(tally, letters, labels),
        tally.count("whole", tally.stretches().get((), _NONE), columns, (), " / ".join(lines)),
    )


def _threads(tally: _Tally, letters: Sequence[Letter], labels: Sequence[str]) -> Iterator[Count]:
    """Each thread; its lines are sewn one after the other."""
    rows = tally.stretches("thread")
    for number, label in enumerate(labels, 1):
        here = [c for p in letters if tally.threads[p.line - 1] == number for c in p.shape.columns]
        count = tally.count("thread", rows.get((number,), _NONE), here, (), label, number)
        if len(labels) > 1:
            lines = [n for n, thread in enumerate(tally.threads, 1) if thread == number]
            count = replace(count, findings=sum(tally.concerning[(n,)] for n in lines))
        yield count


def _columns(tally: _Tally, letters: Sequence[Letter]) -> Iterator[Count]:
    rows = tally.stretches("line", "letter", "column")
    for letter in letters:
        for number, column in enumerate(letter.shape.columns, 1):
            place = (letter.line, letter.index, number)
            yield tally.count("column", rows[place], [column], place, letter.text)


def _letters(tally: _Tally, letters: Sequence[Letter]) -> Iterator[Count]:
    rows = tally.stretches("line", "letter")
    for letter in letters:
        place = (letter.line, letter.index)
        if letter.shape.columns:
            yield tally.count("letter", rows[place], letter.shape.columns, place, letter.text)


def _lines(tally: _Tally, lines: Sequence[str], letters: Sequence[Letter]) -> Iterator[Count]:
    rows = tally.stretches("line")
    columns: dict[int, list[Column]] = {}
    for letter in letters:
        columns.setdefault(letter.line, []).extend(letter.shape.columns)
    for number, text in enumerate(lines, 1):
        here = columns.get(number, [])
        yield tally.count("line", rows.get((number,), _NONE), here, (number,), text)
