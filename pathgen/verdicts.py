"""Whether letters can be read once sewn: the verdicts and what they rest on.

Every limit behind them is fitted, not measured, unless sewn samples gave it (`pathgen.sewnlook`).
"""

from dataclasses import dataclass

from pathgen.needles import Word

__all__ = ["LetterReading", "Reading", "Tried", "Verdict"]


class Verdict(Word):
    """Whether something can be read; the higher, the better."""

    WILL_NOT_READ = 0
    BORDERLINE = 1
    READS_WELL = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class LetterReading:
    """How one letter reads once sewn.

    Attributes
    ----------
    line, letter : int
        Line, and place in the line's text, from 1.
    text : str
        The letter as written.
    verdict : Verdict
        The worse of what margin and likeness say.
    margin : float
        Confusion margin: likeness to its own drawing, less the greatest to that of another
        letter; below 0 it looks more like that one.
    drawn_margin : float
        The same of the letter as drawn, not sewn.
    looks_like : str
        That other letter.
    likeness : float
        Likeness to its own drawing, at most 1.
    gap_threads : float
        Smallest counter, bay or gap between parts as sewn, in thread diameters; infinite if
        there is none.
    """

    line: int
    letter: int
    text: str
    verdict: Verdict
    margin: float
    drawn_margin: float
    looks_like: str
    likeness: float
    gap_threads: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """How a text reads once sewn.

    Attributes
    ----------
    verdict : Verdict
        The worst of three: by the mean likeness; the one that about nine in ten letters (all of
        a text of four) reach by their margin; and borderline where any letter will not read.
    letters : tuple of LetterReading
        In sewing order.
    likeness : float
        Mean of the letters'.
    gap_threads : float
        Least of the letters'.
    farthest_mm : float
        Farthest distance from which the capitals are large enough to be read, by the least
        visual angle of ISO 9241-3.
    compared_with : tuple of str
        Which letters they were held against.
    origin : str
        Where the limits and the look of the thread are from, such as ``fitted, not measured``.
    """

    verdict: Verdict
    letters: tuple[LetterReading, ...]
    likeness: float
    gap_threads: float
    farthest_mm: float
    compared_with: tuple[str, ...]
    origin: str

    @property
    def worst(self) -> LetterReading | None:
        """The letter with the least margin, the first of several; None if there is no letter."""
        return min(self.letters, key=lambda letter: letter.margin, default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """Settings that were tried on a text, and how it then reads.

    Attributes
    ----------
    height_mm, spacing_mm, pull_mm, underlay
        As in `pathgen.settings.Settings`.
    stitches : int
        Needle penetrations.
    reading : Reading
        How the text reads.
    """

    height_mm: float
    spacing_mm: float
    pull_mm: float
    underlay: str
    stitches: int
    reading: Reading
