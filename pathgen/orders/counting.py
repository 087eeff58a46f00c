"""Names counted word by word, so that a word that comes again costs nothing.

Between two words the thread is cut. So all that one word has to do with the next is by which way
the one is ended and the other begun; once these are chosen, as they are for the whole text,
each word is sewn as it would be alone, and stitches, lengths and findings of a name are the sums
of those of its words. That holds for straight lines, left to right, whose words stand too far
apart to be joined; every other name is planned whole. Both ways give the same figures.
"""

import math
from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import Generic, NamedTuple, TypeVar

import numpy as np

from pathgen.errors import PathgenError
from pathgen.lettering.graphemes import letters as letters_in
from pathgen.lettering.layout import SHARE_LEFT, lay_out_lines
from pathgen.lettering.text import checked_lines
from pathgen.letters import letters_of
from pathgen.lines import LineSettings, SewingField, numbered_threads
from pathgen.model import Letter, Level
from pathgen.pipeline import plan_letters, plan_ready
from pathgen.ready import ReadyLine
from pathgen.settings import Settings
from pathgen.shop.time import CHANGE_S, TRIM_S
from pathgen.stitching.links import Costs
from pathgen.stitching.route import bridge, way_costs
from pathgen.writers.totals_csv import Measures, measures_of

__all__ = ["NameCounter"]

MOST_KEPT = 20_000
"""Words that are remembered, and as much of each kind: a few MB each, and more than a large
table has different ones."""

LEFT_TO_RIGHT_BELOW = 0x0590
"""Scripts from here on may run from the right or shape letters by their neighbours."""

Key = TypeVar("Key")
Answer = TypeVar("Answer")


class _Kept(Generic[Key, Answer]):
    """Answers that are remembered; all are forgotten when there are too many."""

    def __init__(self, find: Callable[[Key], Answer]) -> None:
        self._find = find
        self._known: dict[Key, Answer] = {}

    def __call__(self, key: Key) -> Answer:
        if key not in self._known:
            if len(self._known) >= MOST_KEPT:
                self._known.clear()
            self._known[key] = self._find(key)
        return self._known[key]


class _Word(NamedTuple):
    """A word alone, its first advance at the origin.

    Attributes
    ----------
    first, last : str
        Its first and its last letter, with their marks.
    letters : tuple of Letter
        Those with columns.
    width_mm : float
        Of all its advances.
    costs : (F, L) int64
        From each way to begin it to each way to end it.
    """

    first: str
    last: str
    letters: tuple[Letter, ...]
    width_mm: float
    costs: Costs

    @property
    def first_mm(self) -> float:
        """Where its first letter stands."""
        return self.letters[0].at_mm[0]

    @property
    def last_mm(self) -> float:
        """Where its last letter stands."""
        return self.letters[-1].at_mm[0]


class _Sewn(NamedTuple):
    """What a word comes to when it is begun and ended by given ways; sizes from its origin."""

    left_mm: float
    right_mm: float
    foot_mm: float
    top_mm: float
    begin_mm: tuple[float, float]
    end_mm: tuple[float, float]
    jumps: int
    measures: Measures


class _Line(NamedTuple):
    """A line of words in its place; ``jumps`` are those inside words and from word to word."""

    left_mm: float
    right_mm: float
    width_mm: float
    foot_mm: float
    top_mm: float
    begin_mm: tuple[float, float]
    end_mm: tuple[float, float]
    jumps: int
    words: tuple[Measures, ...]


class _Across(NamedTuple):
    """Way from the last letter of a word to the first of the next.

    Attributes
    ----------
    apart_mm : float
        How far that one stands behind this one.
    costs : (L, F) int64
        From each way to end the one to each way to begin the other.
    always_cut : bool
        Whether the thread is cut on all of them.
    """

    apart_mm: float
    costs: Costs
    always_cut: bool


class _LineCounter:
    """Counts the texts of one line of a job."""

    def __init__(self, by: ReadyLine) -> None:
        self._by = by
        self._word = _Kept(self._planned)
        self._sewn = _Kept(self._sewn_by)
        self._across = _Kept(self._bridged)
        s = by.settings
        self._straight = (
            s.arc_mm is None and s.sewing in ("reading", "left-to-right") and not s.ligatures
        )

    def line(self, text: str) -> _Line | None:
        """A line of words; None where it must be planned whole."""
        if not (self._straight and text.isprintable() and ord(max(text)) < LEFT_TO_RIGHT_BELOW):
            return None
        pieces, gaps = _parted(text)
        words = [self._word(piece) for piece in pieces]
        if not all(word.letters for word in words):
            return None
        across = [
            self._across((a.last, gap, b.first))
            for (a, b), gap in zip(pairwise(words), gaps, strict=True)
        ]
        steps = [step for step in across if step is not None and step.always_cut]
        ends = _ends(words, steps) if len(steps) == len(across) else None
        if ends is None:
            return None
        sewn = [self._sewn((piece, *end)) for piece, end in zip(pieces, ends, strict=True)]
        at, jumps = [0.0], sum(word.jumps for word in sewn)
        pairs = zip(pairwise(words), pairwise(sewn), steps, strict=True)
        for (here, there), (a, b), step in pairs:
            onward_mm = here.last_mm + step.apart_mm - there.first_mm
            at.append(at[-1] + onward_mm)
            jumps += _jumps(a.end_mm, b.begin_mm, onward_mm, 0.0, self._by.settings)
        return _Line(
            left_mm=min(x + word.left_mm for x, word in zip(at, sewn, strict=True)),
            right_mm=max(x + word.right_mm for x, word in zip(at, sewn, strict=True)),
            width_mm=at[-1] + words[-1].width_mm,
            foot_mm=min(word.foot_mm for word in sewn),
            top_mm=max(word.top_mm for word in sewn),
            begin_mm=sewn[0].begin_mm,
            end_mm=(at[-1] + sewn[-1].end_mm[0], sewn[-1].end_mm[1]),
            jumps=jumps,
            words=tuple(word.measures for word in sewn),
        )

    def _laid(self, text: str) -> tuple[tuple[Letter, ...], float]:
        """Letters of a text and the length of its advances."""
        layout = lay_out_lines(checked_lines(text), [self._by.face], [self._by.settings])
        return tuple(letters_of(layout, [self._by.face])), layout.widths_mm[0]

    def _planned(self, word: str) -> _Word:
        letters, width = self._laid(word)
        inked = tuple(letter for letter in letters if letter.shape.columns)
        whole = len(inked) == len(letters)
        costs = way_costs(inked, self._by.settings) if inked and whole else np.zeros((0, 0), int)
        text = letters_in(word)
        return _Word(text[0], text[-1], letters if whole else (), width, costs)

    def _sewn_by(self, key: tuple[str, int | None, int]) -> _Sewn:
        word, first, last = key
        by = self._by
        line = LineSettings(text=word, face=by.face.facts, settings=by.settings)
        made = plan_letters((line,), self._word(word).letters, ends=(first, last))
        x, y = made.needles["x_mm"], made.needles["y_mm"]
        own = [finding for finding in made.findings if finding.letter]
        begin, end = ((float(x[k]), float(y[k])) for k in (0, -1))
        return _Sewn(
            left_mm=float(x.min()),
            right_mm=float(x.max()),
            foot_mm=float(y.min()),
            top_mm=float(y.max()),
            begin_mm=begin,
            end_mm=end,
            jumps=made.jumps,
            measures=measures_of(made, own),
        )

    def _bridged(self, step: tuple[str, str, str]) -> _Across | None:
        """Way from a letter to the next one, and what is between; None if either has no ink."""
        letters, _ = self._laid("".join(step))
        if len(letters) != 2:
            return None
        last, first = letters
        across = bridge(last, first, self._by.settings)
        pairs = np.ndindex(across.cost.shape)
        return _Across(
            apart_mm=first.at_mm[0] - last.at_mm[0],
            costs=across.cost,
            always_cut=all(across.path(row, entry).cut for row, entry in pairs),
        )


def _jumps(
    end_mm: tuple[float, float],
    begin_mm: tuple[float, float],
    dx_mm: float,
    dy_mm: float,
    settings: Settings,
) -> int:
    """Jumps from a last penetration to a first one whose origin lies so much farther."""
    way = math.hypot(begin_mm[0] + dx_mm - end_mm[0], begin_mm[1] + dy_mm - end_mm[1])
    return max(1, math.ceil(way / settings.longest_jump_mm - 1e-9))


def _sewn_s(lines: Sequence[_Line], settings: Sequence[Settings], turns: int) -> float:
    """Seconds of all stitches at their speeds, and of turns without one at the slowest."""
    stitches = (sum(word.stitches for word in line.words) for line in lines)
    spent = sum(60.0 * n / s.speed_spm for n, s in zip(stitches, settings, strict=True))
    return spent + 60.0 * turns / min(s.speed_spm for s in settings)


def _parted(text: str) -> tuple[list[str], list[str]]:
    """Words of a text, and the spaces between them."""
    pieces = [piece for piece in text.split(" ") if piece]
    gaps, rest = [], text.strip(" ")
    for piece in pieces[:-1]:
        rest = rest[len(piece) :]
        gaps.append(" " * (len(rest) - len(rest.lstrip(" "))))
        rest = rest.lstrip(" ")
    return pieces, gaps


def _ends(words: Sequence[_Word], steps: Sequence[_Across]) -> list[tuple[int | None, int]] | None:
    """First and last way of each word on the cheapest path of the whole line.

    The same choice as `route` makes letter by letter. The way by which the first word is begun
    is left to it; None if two ways to begin a later one are equally cheap, as only the letters
    between could tell which `route` takes.
    """
    reach = [words[0].costs.min(axis=0)]
    totals = []
    for word, step in zip(words[1:], steps, strict=True):
        arrive = (reach[-1][:, None] + step.costs).min(axis=0)
        totals.append(arrive[:, None] + word.costs)
        cheapest = totals[-1].min(axis=0)
        reach.append(cheapest - cheapest.min())
    last = int(reach[-1].argmin())
    ends: list[tuple[int | None, int]] = []
    for total, step, before in zip(totals[::-1], steps[::-1], reach[-2::-1], strict=True):
        column = total[:, last]
        first = int(column.argmin())
        if (column == column[first]).sum() > 1:
            return None
        ends.append((first, last))
        last = int((before + step.costs[:, first]).argmin())
    return [*reversed([*ends, (None, last)])]


class NameCounter:
    """Counts names whose lines have given faces and settings.

    Parameters
    ----------
    ready : sequence of ReadyLine
        Of each line of the job.
    field : SewingField or None
        What each name must fit into.
    """

    def __init__(self, ready: Sequence[ReadyLine], field: SewingField | None) -> None:
        self._ready, self._field = tuple(ready), field
        self._lines = [_LineCounter(by) for by in ready]
        self._frame = _Kept(self._framed)

    def counted(self, texts: Sequence[str]) -> Measures:
        """Measures of a name whose lines have these texts.

        Raises
        ------
        FontError, TextError, SettingsError
            If it cannot be planned.
        """
        used = tuple(n for n, text in enumerate(texts) if text.strip())
        by = [self._ready[n] for n in used]
        if used and len(set(by)) == len(by) and not (self._field and self._field.is_round):
            try:
                lines = [self._lines[n].line(texts[n].strip()) for n in used]
            except PathgenError:  # told below, with its place in the whole text
                lines = []
            parted = [line for line in lines if line is not None]
            if len(parted) == len(used):
                return self._together(parted, used)
        return measures_of(plan_ready([(texts[n], self._ready[n]) for n in used], self._field))

    def _framed(self, used: tuple[int, ...]) -> tuple[tuple[float, ...], tuple[int, int, int]]:
        """How far lines lie below the first, and findings that all texts in them have."""
        ready = [self._ready[n] for n in used]
        lines = [checked_lines("H")[0] for _ in ready]
        layout = lay_out_lines(lines, [by.face for by in ready], [by.settings for by in ready])
        found = plan_ready([("H", by) for by in ready]).findings
        levels = [finding.level for finding in found if not finding.letter]
        stops, checks, notes = (levels.count(k) for k in (Level.STOP, Level.CHECK, Level.NOTE))
        return layout.downs_mm, (stops, checks, notes)

    def _together(self, lines: Sequence[_Line], used: tuple[int, ...]) -> Measures:
        """Measures of lines that are sewn one after the other."""
        downs, levels = self._frame(used)
        settings = [self._ready[n].settings for n in used]
        shares = [SHARE_LEFT[s.align] for s in settings]
        starts = [
            k * (lines[0].width_mm - line.width_mm) for k, line in zip(shares, lines, strict=True)
        ]
        left = min(at + line.left_mm for at, line in zip(starts, lines, strict=True))
        right = max(at + line.right_mm for at, line in zip(starts, lines, strict=True))
        foot = min(line.foot_mm - down for line, down in zip(lines, downs, strict=True))
        top = max(line.top_mm - down for line, down in zip(lines, downs, strict=True))
        words = [word for line in lines for word in line.words]
        threads = numbered_threads(settings)
        changes = max(threads) - 1
        order = sorted(range(len(lines)), key=lambda n: threads[n])
        jumps = sum(line.jumps for line in lines)
        for a, b in pairwise(order):
            dx, dy = starts[b] - starts[a], downs[a] - downs[b]
            jumps += _jumps(lines[a].end_mm, lines[b].begin_mm, dx, dy, settings[0])
        trims = sum(word.trims for word in words) + len(words) - 1 - changes
        turns = max(0, jumps - trims - changes)
        sewn_s = _sewn_s(lines, settings, turns) + TRIM_S * trims + CHANGE_S * changes
        field = self._field
        over = field is not None and (right - left > field.width_mm or top - foot > field.height_mm)
        return Measures(
            width_mm=right - left,
            height_mm=top - foot,
            letters=sum(word.letters for word in words),
            columns=sum(word.columns for word in words),
            stitches=sum(word.stitches for word in words),
            by_part=tuple(map(sum, zip(*(word.by_part for word in words), strict=True))),
            trims=trims,
            changes=changes,
            sewn_mm=sum(word.sewn_mm for word in words),
            thread_mm=sum(word.thread_mm for word in words),
            sew_s=sewn_s,
            stops=sum(word.stops for word in words) + levels[0] + over,
            checks=sum(word.checks for word in words) + levels[1],
            notes=sum(word.notes for word in words) + levels[2],
        )
