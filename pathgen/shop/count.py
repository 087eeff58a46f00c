"""Count stitches, lengths and thread: by column, letter, line, thread, and the whole.

A stitch is a needle penetration, a row of the needle table; no other count exists. Every row
belongs to one column (a travel to the one it leads to), so the sums agree at every scope.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from pathgen.model import Column, Count, Finding, Letter
from pathgen.needles import Arrive, Crowding, Part, stitch_lengths_mm
from pathgen.settings import Settings

__all__ = ["counted"]


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

    def stretches(self, *fields: str) -> dict[tuple[int, ...], slice]:
        """Rows of each line, letter or column: each is sewn in one go."""
        keys = np.stack([self.needles[name].astype(np.int64) for name in fields], axis=1)
        starts = [0, *(np.flatnonzero((keys[1:] != keys[:-1]).any(axis=1)) + 1).tolist()]
        ends = [*starts[1:], len(keys)]
        return {
            tuple(keys[a].tolist()): slice(a, b) for a, b in zip(starts, ends, strict=True) if b > a
        }

    def count(
        self,
        scope: str,
        rows: slice,
        columns: Sequence[Column],
        place: tuple[int, ...],
        text: str = "",
        thread: int = 0,
    ) -> Count:
        """Counts of a stretch of rows and its columns; ``place`` is line, letter, column."""
        by_part = np.bincount(self.needles["part"][rows], minlength=len(Part)).tolist()
        widths = np.concatenate([c.widths for c in columns]) if columns else np.full(1, np.nan)
        line, letter, column = (*place, 0, 0, 0)[:3]
        return Count(
            scope=scope,
            thread=self.threads[line - 1] if line else thread,
            line=line,
            letter=letter,
            column=column,
            text=text,
            by_part=(by_part[0], by_part[1], by_part[2], by_part[3], by_part[4]),
            trims=int((self.needles["arrive"][rows] == Arrive.TRIM).sum()),
            sewn_mm=float(self.lengths[rows].sum()),
            thread_mm=float(self.thread[rows].sum()),
            width_least_mm=float(widths.min()),
            width_mean_mm=float(widths.mean()),
            width_most_mm=float(widths.max()),
            findings=self.concerning[place],
            crowding_per_mm2=float(self.per_mm2[rows].max()) if by_part != _EMPTY else np.nan,
        )


_NONE = slice(0, 0)
_EMPTY = [0] * len(Part)


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
    everything = slice(0, len(needles))
    return (
        *_columns(tally, letters),
        *_letters(tally, letters),
        *_lines(tally, lines, letters),
        *_threads(tally, letters, labels),
        tally.count("whole", everything, columns, (), " / ".join(lines)),
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
