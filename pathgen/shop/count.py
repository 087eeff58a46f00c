"""Count stitches, lengths and thread: by column, letter, line, thread, and the whole.

A stitch is a needle penetration, a row of the needle table; no other count exists. Every row
belongs to one column (a travel to the one it leads to), so the sums agree at every scope.
"""

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.model import Count, Finding, Letter
from pathgen.needles import Arrive, Crowding, Part, stitch_lengths_mm
from pathgen.settings import Settings
from pathgen.sewing import Sewing, sewing_of
from pathgen.stretches import Known, Stretch, with_hole

__all__ = ["counted"]


class _Sums(NamedTuple):
    """What some rows come to, and their columns; that of nothing if left out."""

    by_part: tuple[int, ...] = (0,) * len(Part)
    trims: int = 0
    sewn_mm: float = 0.0
    thread_mm: float = 0.0
    crowding_per_mm2: float = math.nan
    least_mm: float = math.inf
    widths_mm: float = 0.0
    rungs: int = 0
    most_mm: float = -math.inf


def _together(found: Iterable[_Sums]) -> _Sums:
    """Sums of several that have columns, greatest crowding and width, least width."""
    several = [one for one in found if one.rungs]
    if len(several) < 2:
        return several[0] if several else _Sums()
    parts, trims, sewn, thread, crowding, least, widths, rungs, most = zip(*several, strict=True)
    return _Sums(
        tuple(map(sum, zip(*parts, strict=True))),
        sum(trims),
        sum(sewn),
        sum(thread),
        max(crowding),
        min(least),
        sum(widths),
        sum(rungs),
        max(most),
    )


class _Column(NamedTuple):
    """A column of a stretch: its number, its first row, and what it comes to.

    Left out is what depends on other letters: whether the thread is cut before the stretch, and
    crowding.
    """

    number: int
    start: int
    sums: _Sums


def _columns_of(stretch: Stretch) -> list[_Column]:
    """Columns of a stretch in sewing order; each is sewn in one go."""
    table = with_hole(stretch.rows, stretch.came)
    own = slice(len(table) - len(stretch.rows), None)
    lengths, sewn = stitch_lengths_mm(table)[own], table["arrive"][own] == Arrive.SEW
    # Each stitch goes through the cloth once: length on top plus thickness, the model of
    # a lockstitch (formula of stitch type 301: stitch length + seam thickness).
    thread = np.where(sewn, lengths + stretch.settings.cloth.thickness_mm, 0.0)
    trims = stretch.rows["arrive"] == Arrive.TRIM
    trims[0] = False
    column, part = stretch.rows["column"], stretch.rows["part"]
    starts = [0, *(np.flatnonzero(column[1:] != column[:-1]) + 1).tolist()]
    out = []
    for start, end in zip(starts, [*starts[1:], len(column)], strict=True):
        rows, number = slice(start, end), int(column[start])
        widths = stretch.shape.columns[number - 1].widths
        sums = _Sums(
            by_part=tuple(np.bincount(part[rows], minlength=len(Part)).tolist()),
            trims=int(trims[rows].sum()),
            sewn_mm=float(lengths[rows].sum()),
            thread_mm=float(thread[rows].sum()),
            least_mm=float(widths.min()),
            widths_mm=float(widths.sum()),
            rungs=len(widths),
            most_mm=float(widths.max()),
        )
        out.append(_Column(number, start, sums))
    return out


_of_stretches: Known[list[_Column]] = Known(
    lambda stretches: [_columns_of(one) for one in stretches]
)

_Place = tuple[int, ...]


class _Tally:
    """What each column, letter and line comes to, by its place: line, letter, column."""

    def __init__(
        self,
        sewing: Sewing,
        findings: Sequence[Finding],
        threads: Sequence[int],
        crowding: Crowding | None,
    ) -> None:
        self.threads = threads
        self.concerning = Counter(
            place
            for f in findings
            for place in {(f.line,), (f.line, f.letter), (f.line, f.letter, f.column), ()}
        )
        columns = dict(_sums_of_columns(sewing, crowding))
        letters = _by_place(columns, 2)
        lines = {(line,): _Sums() for line in range(1, len(threads) + 1)} | _by_place(letters, 1)
        self.sums = {**columns, **letters, **lines, (): _together(lines.values())}

    def count(self, scope: str, place: _Place, text: str) -> Count:
        """Counts of a column, a letter, a line or the whole."""
        thread = self.threads[place[0] - 1] if place else 0
        return _count(scope, self.sums[place], self.concerning[place], text, thread, place)


def _count(
    scope: str, sums: _Sums, findings: int, text: str, thread: int, place: _Place = ()
) -> Count:
    line, letter, column = (*place, 0, 0, 0)[:3]
    parts, drawn = sums.by_part, sums.rungs > 0
    return Count(
        scope=scope,
        thread=thread,
        line=line,
        letter=letter,
        column=column,
        text=text,
        by_part=(parts[0], parts[1], parts[2], parts[3], parts[4]),
        trims=sums.trims,
        sewn_mm=sums.sewn_mm,
        thread_mm=sums.thread_mm,
        width_least_mm=sums.least_mm if drawn else math.nan,
        width_mean_mm=sums.widths_mm / sums.rungs if drawn else math.nan,
        width_most_mm=sums.most_mm if drawn else math.nan,
        findings=findings,
        crowding_per_mm2=sums.crowding_per_mm2,
    )


def _by_place(sums: dict[_Place, _Sums], size: int) -> dict[_Place, _Sums]:
    """The same of the letters that columns belong to, or of the lines of letters."""
    groups: dict[_Place, list[_Sums]] = {}
    for place, one in sums.items():
        groups.setdefault(place[:size], []).append(one)
    return {place: _together(group) for place, group in groups.items()}


def _sums_of_columns(sewing: Sewing, crowding: Crowding | None) -> Iterable[tuple[_Place, _Sums]]:
    """What each column comes to, by line, letter and column."""
    known = _of_stretches(sewing.stretches)
    begins = sewing.starts[:-1]
    starts = [
        begin + column.start
        for begin, columns in zip(begins.tolist(), known, strict=True)
        for column in columns
    ]
    most = iter([math.nan] * len(starts))
    if crowding is not None and starts:
        most = iter(np.maximum.reduceat(crowding.per_mm2, starts).tolist())
    cut = (sewing.needles["arrive"][begins] == Arrive.TRIM).tolist()
    for letter, columns, trim in zip(sewing.letters, known, cut, strict=True):
        for number, start, sums in columns:
            trims = sums.trims + (trim and not start)
            yield (
                (letter.line, letter.index, number),
                sums._replace(trims=trims, crowding_per_mm2=next(most)),
            )


def counted(
    lines: Sequence[str],
    letters: Sequence[Letter],
    needles: NDArray[np.void],
    findings: Sequence[Finding],
    settings: Settings,
    threads: Sequence[int] = (),
    labels: Sequence[str] = ("",),
    crowding: Crowding | None = None,
    sewing: Sewing | None = None,
) -> tuple[Count, ...]:
    """Counts at every scope: columns, letters, lines, threads, and last the whole.

    Letters and columns come in reading order; a letter without a column has no row. ``settings``
    are those of any line: all have one cloth. ``threads`` are the numbers of the lines' threads,
    all 1 if left out, and ``labels`` what each thread is called. Without ``crowding`` counts say
    nothing of it. ``sewing`` is that of the needle table, where it is known already.
    """
    sewn = sewing_of(needles, letters, settings) if sewing is None else sewing
    threads = threads or [1] * len(lines)
    tally = _Tally(sewn, findings, threads, crowding)
    return (
        *_columns(tally, letters),
        *_letters(tally, letters),
        *(tally.count("line", (line,), text) for line, text in enumerate(lines, 1)),
        *_threads(tally, labels),
        tally.count("whole", (), " / ".join(lines)),
    )


def _threads(tally: _Tally, labels: Sequence[str]) -> Iterator[Count]:
    """Each thread: what the lines come to that are sewn with it."""
    for number, label in enumerate(labels, 1):
        lines = [(line,) for line, thread in enumerate(tally.threads, 1) if thread == number]
        findings = sum(tally.concerning[line] for line in lines)
        if len(labels) == 1:
            findings = tally.concerning[()]
        yield _count(
            "thread", _together(tally.sums[line] for line in lines), findings, label, number
        )


def _columns(tally: _Tally, letters: Sequence[Letter]) -> Iterator[Count]:
    for letter in letters:
        for number in range(1, len(letter.shape.columns) + 1):
            yield tally.count("column", (letter.line, letter.index, number), letter.text)


def _letters(tally: _Tally, letters: Sequence[Letter]) -> Iterator[Count]:
    for letter in letters:
        if letter.shape.columns:
            yield tally.count("letter", (letter.line, letter.index), letter.text)
