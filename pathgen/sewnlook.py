"""How thread shows once sewn, and from where on letters read: figures that settings carry.

They are fitted, not measured (``shop/sewn_look.toml``), unless sewn samples of the cloth gave them.
"""

from dataclasses import dataclass

__all__ = ["FITTED", "ReadingLimits", "SewnLook"]

FITTED = "fitted, not measured"
"""Where figures are from that no sewn sample has set."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingLimits:
    """From where on letters read.

    Attributes
    ----------
    well_likeness, least_likeness : float
        Likeness to its drawing of a letter that reads well, and of one that still reads.
    text_well_likeness, text_least_likeness : float
        The same of the mean over a text.
    well_margin, least_margin : float
        Confusion margin of a letter that reads well, and of one that still reads.
    well_kept : float
        Letters that are drawn alike read well with this share of the margin that they are drawn
        with, if that is less than ``well_margin``.
    share_of_letters : float
        Share of its letters that must have the margin for a text to have it.
    """

    well_likeness: float = 0.94
    least_likeness: float = 0.90
    text_well_likeness: float = 0.96
    text_least_likeness: float = 0.93
    well_margin: float = 0.025
    least_margin: float = 0.0
    well_kept: float = 0.5
    share_of_letters: float = 0.9


@dataclass(frozen=True, slots=True, kw_only=True)
class SewnLook:
    """How a thread shows on a cloth; the figures that stand here are those of 40 wt on twill.

    Attributes
    ----------
    width_mm : float
        Visible width of a zigzag stitch.
    pull_in_mm : float
        How far tension draws each end of a stitch inward.
    overhang_mm : float
        How far the thread bulges out over the needle point, at each end.
    over_underlay : float
        Factor of ``pull_in_mm`` over a run.
    limits : ReadingLimits
        What a verdict is given by.
    origin : str
        Where the figures are from: `FITTED`, or sewn samples.
    """

    width_mm: float = 0.38
    pull_in_mm: float = 0.15
    overhang_mm: float = 0.10
    over_underlay: float = 0.8
    limits: ReadingLimits = ReadingLimits()
    origin: str = FITTED
