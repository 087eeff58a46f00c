"""The data that passes between the rooms: frozen, arrays read-only, no algorithms.

Text and Settings -> Layout (shaped glyphs) -> Letter (ink and columns, mm) -> needle table
-> Finding and Count -> Plan. Lengths are mm, x to the right, y up, the origin at the left end
of the first baseline. Lines, letters, columns and threads are numbered from 1; 0 means none.
"""

import math
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.column import Column, frozen_points
from pathgen.crossings import Outlines, together
from pathgen.geometry import Box
from pathgen.lines import FaceFacts, LineSettings, SewingField
from pathgen.needles import Arrive, Crowding, Word, jumps_made
from pathgen.polygons import Polygon, Shape, band, moved
from pathgen.settings import Settings, Thread

__all__ = [
    "Column",
    "Count",
    "FaceFacts",
    "Finding",
    "Glyph",
    "Layout",
    "Letter",
    "LetterShape",
    "Level",
    "LineSettings",
    "Plan",
    "frozen_points",
]


class Level(Word):
    """How grave a finding is: good to know, look before sewing, do not sew like this."""

    NOTE = 0
    CHECK = 1
    STOP = 2


class Glyph(NamedTuple):
    """One shaped glyph and where it stands.

    Attributes
    ----------
    glyph_id : int
        Index in the font.
    line, letter : int
        Line, and grapheme cluster within the line's text, from 1.
    x_mm, y_mm : float
        Where the glyph's own origin comes to lie.
    turn_rad : float
        Turn about that origin, counter-clockwise.
    """

    glyph_id: int
    line: int
    letter: int
    x_mm: float
    y_mm: float
    turn_rad: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """Shaped text.

    Attributes
    ----------
    lines : tuple of tuple of str
        The grapheme clusters of each line, as written.
    glyphs : tuple of Glyph
        In sewing order: line by line, letters in reading order.
    scales_mm_per_fu, downs_mm, widths_mm : tuple of float
        Line by line: from font units to mm, how far the baseline lies below the first, and the
        length of all advances.
    """

    lines: tuple[tuple[str, ...], ...]
    glyphs: tuple[Glyph, ...]
    scales_mm_per_fu: tuple[float, ...]
    downs_mm: tuple[float, ...]
    widths_mm: tuple[float, ...]


@dataclass(frozen=True, kw_only=True, eq=False)
class LetterShape:
    """What a letter looks like, mm from its own origin; one object for all letters drawn alike.

    Attributes
    ----------
    ink : tuple of Polygon
        Filled outline.
    columns : tuple of Column
        In the splitter's order; column number n of the needle table is ``columns[n - 1]``.
    ink_lines, cover_lines : Outlines
        Outlines of the ink, part by part, and of what the rails of each column enclose, both
        with fewer points: what travel is weighed against.
    bare_share, turn_rad : float
        Share of the ink that no cover reaches, and turn from upright, counter-clockwise.
    meetings : tuple of (int, int, float, float)
        Columns that meet, and how far along each: see `pathgen.meetings`.
    """

    ink: tuple[Polygon, ...]
    columns: tuple[Column, ...]
    ink_lines: Outlines
    cover_lines: Outlines
    bare_share: float
    turn_rad: float = 0.0
    meetings: tuple[tuple[int, int, float, float], ...] = ()

    @cached_property
    def lines(self) -> Outlines:
        """Outlines of all the ink as one shape, then of what each column covers."""
        return together([self.ink_lines.lumped(1), self.cover_lines])

    @cached_property
    def box(self) -> Box:
        """Box around the ink."""
        lefts, lows, rights, tops = zip(*[part.bounds for part in self.ink], strict=True)
        return min(lefts), min(lows), max(rights), max(tops)


@dataclass(frozen=True, kw_only=True, eq=False)
class Letter:
    """One grapheme cluster in its place.

    Attributes
    ----------
    line, index : int
        Line, and place in the line's text, from 1.
    text : str
        The cluster as written.
    shape : LetterShape
        What it looks like.
    at_mm : tuple of float
        Where the shape's origin lies.
    ink, columns : tuple
        Those of the shape, in place.
    """

    line: int
    index: int
    text: str
    shape: LetterShape
    at_mm: tuple[float, float] = (0.0, 0.0)

    @cached_property
    def ink(self) -> tuple[Polygon, ...]:
        """Filled outline in place."""
        return tuple(moved(shape, 1.0, 0.0, *self.at_mm) for shape in self.shape.ink)

    @cached_property
    def columns(self) -> tuple[Column, ...]:
        """Columns in place."""
        return tuple(
            Column(left=c.left + self.at_mm, right=c.right + self.at_mm, closed=c.closed)
            for c in self.shape.columns
        )

    @cached_property
    def covers(self) -> tuple[Shape, ...]:
        """What the rails of each column enclose, in place."""
        return tuple(band(c.left, c.right, closed=c.closed) for c in self.columns)


class Finding(NamedTuple):
    """Something that a practitioner should know before sewing.

    Attributes
    ----------
    code : str
        Which check, such as ``narrow-column``; never reworded once released.
    level : Level
        How grave.
    at_mm : tuple of float
        Where to look.
    measured, limit : float
        The figure found and the one it was held against; NaN where there is none.
    line, letter, column : int
        What it concerns; 0 for none.
    unit : str
        Unit of both.
    advice : str
        What would help, one clause.
    """

    code: str
    level: Level
    at_mm: tuple[float, float]
    measured: float
    limit: float
    line: int = 0
    letter: int = 0
    column: int = 0
    unit: str = "mm"
    advice: str = ""


class Count(NamedTuple):
    """Counts of one column, letter, line, thread, or of the whole; a plan has dozens of them.

    Attributes
    ----------
    scope : str
        ``column``, ``letter``, ``line``, ``thread`` or ``whole``.
    by_part : tuple of int
        Stitches (penetrations) of each `Part`, in its order.
    trims : int
        Times the thread is cut before a penetration counted here.
    sewn_mm : float
        Length of all stitches.
    thread_mm : float
        Needle thread used, estimated.
    narrowest_column_mm : float
        Usual width of the narrowest column: half of it is no wider, so that an end which runs to
        a point does not count. This and the next as drawn, before allowance; NaN where there is
        no column.
    width_least_mm, width_mean_mm, width_most_mm : float
        Of all columns, their ends too; the mean along their centre lines.
    findings : int
        How many findings concern it.
    crowding_per_mm2 : float
        Most penetrations in a disc of the blade's size, by its area; NaN where not known.
    thread, line, letter, column : int
        What is counted; 0 for all.
    text : str
        The letter or line as written.
    """

    scope: str
    by_part: tuple[int, ...]
    trims: int
    sewn_mm: float
    thread_mm: float
    narrowest_column_mm: float
    width_least_mm: float
    width_mean_mm: float
    width_most_mm: float
    findings: int
    crowding_per_mm2: float = math.nan
    thread: int = 0
    line: int = 0
    letter: int = 0
    column: int = 0
    text: str = ""

    @property
    def stitches(self) -> int:
        """All needle penetrations."""
        return sum(self.by_part)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Plan:
    """A planned lettering, ready for review.

    Attributes
    ----------
    lines : tuple of str
        The text.
    face : FaceFacts
        The face that the first line is set in.
    settings : Settings
        What the first line was planned with, and where each value came from.
    letters : tuple of Letter
        In reading order; letters without ink, such as spaces, are not listed.
    needles : structured array of `NEEDLE_TABLE`
        One row a penetration, in sewing order, read-only.
    counts : tuple of Count
        Columns, then letters, lines, threads and the whole.
    findings : tuple of Finding
        Gravest first.
    sew_s : float
        Estimated machine time in seconds.
    crowding : Crowding or None
        How close the penetrations are.
    by_line : tuple of LineSettings
        Face, settings and thread of each line; left out, all lines have those of the first.
    field : SewingField or None
        What it must fit into.
    """

    lines: tuple[str, ...]
    face: FaceFacts
    settings: Settings
    letters: tuple[Letter, ...]
    needles: NDArray[np.void]
    counts: tuple[Count, ...]
    findings: tuple[Finding, ...]
    sew_s: float
    crowding: Crowding | None = None
    by_line: tuple[LineSettings, ...] = ()
    field: SewingField | None = None

    def __post_init__(self) -> None:
        """Lock the needle table, and give each line its record."""
        self.needles.flags.writeable = False
        if not self.by_line:
            step_mm = self.settings.line_spacing_mm
            rows = tuple(
                LineSettings(text=t, face=self.face, settings=self.settings, down_mm=n * step_mm)
                for n, t in enumerate(self.lines)
            )
            object.__setattr__(self, "by_line", rows)

    @property
    def whole(self) -> Count:
        """Counts of the whole plan."""
        return self.counts[-1]

    @property
    def is_mixed(self) -> bool:
        """Whether its lines differ in face or settings."""
        return any((r.face, r.settings) != (self.face, self.settings) for r in self.by_line)

    @property
    def threads(self) -> tuple[Thread, ...]:
        """The threads by number, the first first."""
        used = {row.thread: row.settings.thread for row in self.by_line}
        return tuple(thread for _, thread in sorted(used.items(), key=lambda item: item[0]))

    @property
    def changes(self) -> int:
        """Times the machine changes to another thread."""
        return int(np.count_nonzero(self.needles["arrive"] == int(Arrive.CHANGE)))

    @property
    def jumps(self) -> int:
        """Moves without stitching, none over the longest jump, from the first stitch on."""
        return jumps_made(self.needles, self.settings.longest_jump_mm)
