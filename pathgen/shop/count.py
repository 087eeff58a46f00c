"""Count stitches, lengths and thread: by column, letter, line, thread, and the whole.

A stitch is a needle penetration, a row of the needle table; no other count exists. Every row
belongs to one column (a travel to the one it leads to), so the sums agree at every scope.
"""

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from itertools import islice
from operator import attrgetter
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.model import Count, Finding, Letter
from pathgen.needles import Arrive, Crowding, Part, stitch_lengths_mm, tables_joined
from pathgen.settings import Settings
from pathgen.sewing import Sewing, sewing_of
from pathgen.stretches import Known, Stretch, with_hole

__all__ = ["counted"]


class _Sums(NamedTuple):
    """What some rows come to, and their columns; that of nothing if left out.

    Widths add up along the columns' centre lines.
    """

    by_part: tuple[int, ...] = (0,) * len(Part)
    trims: int = 0
    sewn_mm: float = 0.0
    thread_mm: float = 0.0
    narrowest_mm: float = math.inf
    least_mm: float = math.inf
    across_mm2: float = 0.0
    along_mm: float = 0.0
    most_mm: float = -math.inf


# A column without length has no share in the mean width of several, but one of its own.
_SHORT_MM = 1e-9


def _together(found: Sequence[_Sums]) -> _Sums:
    """Sums of several; narrowest column, least and greatest width."""
    if len(found) < 2:
        return found[0] if found else _Sums()
    parts, trims, sewn, thread, narrowest, least, across, along, most = zip(*found, strict=True)
    return _Sums(
        tuple(map(sum, zip(*parts, strict=True))),
        sum(trims),
        sum(sewn),
        sum(thread),
        min(narrowest),
        min(least),
        sum(across),
        sum(along),
        max(most),
    )


_Figures = tuple[tuple[int, ...], int, float, float, float, float, float, float]
"""Fields of a `Count` from ``by_part`` to ``width_most_mm``."""


def _figures(sums: _Sums, cut: int = 0) -> _Figures:
    """What sums come to, and a trim before them."""
    parts, trims, sewn, length, narrowest, least, across, along, most = sums
    if not along:
        return parts, trims + cut, sewn, length, *(math.nan,) * 4
    return parts, trims + cut, sewn, length, narrowest, least, across / along, most


class _Letter(NamedTuple):
    """What a stretch comes to, in itself: nothing of how it is reached, nor of crowding.

    Attributes
    ----------
    numbers, starts : list of int
        Its columns in sewing order, and the first row of each; each is sewn in one go.
    columns : list of tuple
        What each of them comes to, as `_figures`.
    whole : _Sums
        What they come to together.
    """

    numbers: list[int]
    starts: list[int]
    columns: list[_Figures]
    whole: _Sums


def _letters(stretches: Sequence[Stretch]) -> list[_Letter]:
    """What each stretch comes to; all are measured in one needle table."""
    led = [with_hole(one.rows, one.came) for one in stretches]
    table, last = tables_joined(led), np.cumsum([len(rows) for rows in led])
    lengths, sewn = stitch_lengths_mm(table), table["arrive"] == int(Arrive.SEW)
    # Each stitch goes through the cloth once: length on top plus thickness, the model of
    # a lockstitch (formula of stitch type 301: stitch length + seam thickness).
    thread = np.where(sewn, lengths + stretches[0].settings.cloth.thickness_mm, 0.0)
    found = []
    for stretch, end in zip(stretches, last.tolist(), strict=True):
        own = slice(end - len(stretch.rows), end)
        found.append(_letter_of(stretch, lengths[own], thread[own]))
    return found


def _letter_of(
    stretch: Stretch, lengths: NDArray[np.float64], thread: NDArray[np.float64]
) -> _Letter:
    """What a stretch comes to, given the length of each stitch and the thread that it takes."""
    trims = stretch.rows["arrive"] == int(Arrive.TRIM)
    trims[0] = False
    column, part = stretch.rows["column"], stretch.rows["part"]
    starts = [0, *(np.flatnonzero(column[1:] != column[:-1]) + 1).tolist()]
    numbers = column[starts].tolist()
    columns = []
    for number, rows in zip(numbers, map(slice, starts, [*starts[1:], None]), strict=True):
        drawn = stretch.shape.columns[number - 1]
        widths, long = drawn.widths, max(float(drawn.where[-1]), _SHORT_MM)
        columns.append(
            _Sums(
                by_part=tuple(np.bincount(part[rows], minlength=len(Part)).tolist()),
                trims=int(trims[rows].sum()),
                sewn_mm=float(lengths[rows].sum()),
                thread_mm=float(thread[rows].sum()),
                narrowest_mm=drawn.usual_width,
                least_mm=float(widths.min()),
                across_mm2=drawn.mean_width * long,
                along_mm=long,
                most_mm=float(widths.max()),
            )
        )
    return _Letter(numbers, starts, [*map(_figures, columns)], _together(columns))


_letters_of: Known[_Letter] = Known(_letters)

_Place = tuple[int, ...]


class _Counted(NamedTuple):
    """A letter or line of a needle table: what it comes to, trims before it, crowding."""

    sums: _Sums
    cut: int
    crowding_per_mm2: float


def _all_counted(found: Sequence[_Counted]) -> _Counted:
    """Several together."""
    if not found:
        return _Counted(_Sums(), 0, math.nan)
    sums, cuts, crowding = zip(*found, strict=True)
    return _Counted(_together(sums), sum(cuts), max(crowding))


class _Tally:
    """What each column, letter and line comes to."""

    def __init__(
        self,
        sewing: Sewing,
        findings: Sequence[Finding],
        threads: Sequence[int],
        crowding: Crowding | None,
    ) -> None:
        self.threads = threads
        self.concerning: Counter[_Place] = Counter(
            place
            for f in findings
            for place in ((f.line,), (f.line, f.letter), (f.line, f.letter, f.column), ())
        )
        self.columns: dict[_Place, list[Count]] = {}
        self.letters: dict[_Place, Count] = {}
        by_line: list[list[_Counted]] = [[] for _ in threads]
        known = _letters_of(sewing.stretches)
        begins = sewing.starts[:-1]
        cuts = (sewing.needles["arrive"][begins] == int(Arrive.TRIM)).tolist()
        most = iter(_crowding(begins.tolist(), known, crowding))
        for letter, one, cut in zip(sewing.letters, known, cuts, strict=True):
            crowded = list(islice(most, len(one.numbers)))
            place, whole = (letter.line, letter.index), _Counted(one.whole, int(cut), max(crowded))
            self.columns[place] = self._columns(letter, one, crowded, cut=cut)
            self.letters[place] = self.count("letter", whole, letter.text, place)
            by_line[letter.line - 1].append(whole)
        self.lines = [_all_counted(there) for there in by_line]

    def _columns(
        self, letter: Letter, known: _Letter, crowded: Sequence[float], *, cut: bool
    ) -> list[Count]:
        """Counts of a letter's columns by number."""
        line, index, text = letter.line, letter.index, letter.text
        thread, concerning = self.threads[line - 1], self.concerning.get
        counts = []
        for number, figures, most in zip(known.numbers, known.columns, crowded, strict=True):
            findings = concerning((line, index, number), 0)
            where = (thread, line, index, number, text)
            counts.append(Count("column", *figures, findings, most, *where))
        if cut:
            counts[0] = counts[0]._replace(trims=counts[0].trims + 1)
        return sorted(counts, key=attrgetter("column"))

    def together(self, lines: Iterable[int]) -> _Counted:
        """What some lines come to; blank ones to nothing."""
        found = [self.lines[line - 1] for line in lines]
        return _all_counted([one for one in found if one.sums.along_mm])

    def count(self, scope: str, found: _Counted, text: str, place: _Place = ()) -> Count:
        """Counts of a letter, a line or the whole."""
        thread = self.threads[place[0] - 1] if place else 0
        return _count(scope, found, self.concerning.get(place, 0), text, thread, place)


def _crowding(
    begins: Sequence[int], known: Sequence[_Letter], crowding: Crowding | None
) -> list[float]:
    """Greatest crowding of each column, in sewing order; NaN where it is not known."""
    starts = [
        begin + start for begin, one in zip(begins, known, strict=True) for start in one.starts
    ]
    if crowding is None or not starts:
        return [math.nan] * len(starts)
    return list(np.maximum.reduceat(crowding.per_mm2, starts).tolist())


def _count(
    scope: str, found: _Counted, findings: int, text: str, thread: int, place: _Place = ()
) -> Count:
    line, letter = (*place, 0, 0)[:2]
    figures = _figures(found.sums, found.cut)
    return Count(scope, *figures, findings, found.crowding_per_mm2, thread, line, letter, 0, text)


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
    drawn = [(each.line, each.index) for each in letters if each.shape.columns]
    return (
        *(count for place in drawn for count in tally.columns[place]),
        *(tally.letters[place] for place in drawn),
        *(
            tally.count("line", found, text, (line,))
            for line, (text, found) in enumerate(zip(lines, tally.lines, strict=True), 1)
        ),
        *_threads(tally, labels),
        tally.count("whole", tally.together(range(1, len(lines) + 1)), " / ".join(lines)),
    )


def _threads(tally: _Tally, labels: Sequence[str]) -> Iterator[Count]:
    """Each thread: what the lines come to that are sewn with it."""
    for number, label in enumerate(labels, 1):
        lines = [line for line, thread in enumerate(tally.threads, 1) if thread == number]
        findings = sum(tally.concerning[line,] for line in lines)
        if len(labels) == 1:
            findings = tally.concerning[()]
        yield _count("thread", tally.together(lines), findings, label, number)
