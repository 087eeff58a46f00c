"""Everything that sewing one column takes, whichever end it is entered at.

Without underlay a column is sewn from one end to the other; with a centre run underneath it is
entered and left at the same end: the run goes there, the zigzag comes back.
"""

from dataclasses import dataclass

from pathgen.geometry import Points
from pathgen.model import Column, Letter
from pathgen.polygons import Shape
from pathgen.settings import Settings
from pathgen.stitching.ties import IN_FROM_END_MM, OFF_FROM_END_MM, tie
from pathgen.stitching.underlay import centre_run
from pathgen.stitching.zigzag import Stitches, zigzag

__all__ = ["FIRST", "LAST", "Stroke", "strokes_of"]

FIRST, LAST = 0, 1
"""The two ends of a column: at its first and at its last rung."""


@dataclass(frozen=True, slots=True, eq=False)
class Stroke:
    """One column with its needle points.

    Attributes
    ----------
    column : Column
        Rails in mm.
    number : int
        Of the column in its letter, from 1.
    zigzag : Stitches
        From the first rung to the last.
    underlay : (N, 2) float
        Centre run from the first rung to the last; empty for none.
    cover : Shape
        What the column's rails enclose.
    """

    column: Column
    number: int
    zigzag: Stitches
    underlay: Points
    cover: Shape

    def leaves_at(self, start: int) -> int:
        """End at which the needle is when the column, entered at ``start``, is done."""
        return start if len(self.underlay) else 1 - start

    def run_from(self, start: int) -> Points:
        """Underlay in sewing order."""
        return self.underlay[::-1] if start == LAST else self.underlay

    def zigzag_from(self, start: int) -> Stitches:
        """Zigzag in sewing order: away from ``start``, or back to it over an underlay."""
        away = start if not len(self.underlay) else 1 - start
        return self.zigzag.reversed() if away == LAST else self.zigzag

    def entry(self, start: int) -> Points:
        """First penetration when entered at ``start``, ties aside."""
        first = self.run_from(start) if len(self.underlay) else self.zigzag_from(start).xy_mm
        return first[0]

    def exit(self, start: int) -> Points:
        """Last penetration when entered at ``start``, ties aside."""
        return self.zigzag_from(start).xy_mm[-1]

    def tie_in(self, start: int) -> Points:
        """Three penetrations that fasten the thread where the column is entered."""
        return tie(self.column, IN_FROM_END_MM, at_last=start == LAST)

    def tie_off(self, start: int) -> Points:
        """Three penetrations that fasten the thread where the column is left."""
        return tie(self.column, OFF_FROM_END_MM, at_last=self.leaves_at(start) == LAST)


def strokes_of(letter: Letter, settings: Settings) -> tuple[Stroke, ...]:
    """Needle points of each column of a letter, in the splitter's order."""
    return tuple(
        Stroke(
            column=column,
            number=number,
            zigzag=zigzag(column, settings),
            underlay=centre_run(column, settings),
            cover=cover,
        )
        for number, (column, cover) in enumerate(zip(letter.columns, letter.covers, strict=True), 1)
    )
