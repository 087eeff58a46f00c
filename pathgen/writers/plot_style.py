"""How the plot looks: colours, dashes, dots and sizes, all in mm on paper.

Colours start from the eight of Okabe and Ito, "Color Universal Design" (2008), which people
with any common colour blindness tell apart; some are darkened to carry thin lines on a light
page. Nothing is told by colour alone: each part has its own dash and its own dot, each level
of finding its own shape, so that the plot also reads in black and white.
"""

from typing import NamedTuple

from pathgen.model import Level
from pathgen.needles import Part

__all__ = [
    "ALARM",
    "COLUMN_TINTS",
    "EDGE",
    "FAINT",
    "HAIR_MM",
    "INK",
    "INK_FILL",
    "LEVEL_LOOK",
    "PAPER",
    "PART_LOOK",
    "QUIET",
    "TEXT",
    "TRIM_DASH_MM",
    "TRIM_LINE_MM",
    "LevelLook",
    "PartLook",
]

PAPER = "#fdfcf9"
TEXT = "#1c1f24"
QUIET = "#5d6068"
FAINT = "#c9c6bf"
INK = "#8b8578"
INK_FILL = "#efebe2"
EDGE = "#9aa3ad"
ALARM = "#a32100"
COLUMN_TINTS = ("#d3e2ee", "#f6e8c9", "#dfe0d2")
"""Neighbouring columns take turns, so that one sees where a letter was split."""

HAIR_MM = 0.12
"""Thinnest line that common office printers hold (300 dots an inch: one dot and a half)."""


class PartLook(NamedTuple):
    """Line and dot of one part of the path.

    Attributes
    ----------
    colour : str
        Of both.
    line_mm : float
        Line width.
    dash_mm : tuple of float
        Dash and gap; empty for a full line.
    dot_mm : float
        Size of the needle point.
    cap : str
        ``round`` or ``square`` dots.
    core_mm : float
        Light core of an open dot; 0 for a full one.
    """

    colour: str
    line_mm: float
    dot_mm: float
    dash_mm: tuple[float, ...] = ()
    cap: str = "round"
    core_mm: float = 0.0


PART_LOOK = {
    Part.TIE_IN: PartLook(colour="#9c3f74", line_mm=0.3, dot_mm=0.95, cap="square"),
    Part.UNDERLAY: PartLook(
        colour="#c24e00", line_mm=0.26, dash_mm=(1.3, 0.6), dot_mm=0.9, core_mm=0.5
    ),
    Part.TRAVEL: PartLook(
        colour="#007a59", line_mm=0.3, dash_mm=(0.3, 0.55), dot_mm=0.8, cap="square", core_mm=0.42
    ),
    Part.ZIGZAG: PartLook(colour="#0a5c94", line_mm=0.2, dot_mm=0.6),
    Part.TIE_OFF: PartLook(colour="#1c1f24", line_mm=0.3, dot_mm=1.0, cap="square", core_mm=0.36),
}


class LevelLook(NamedTuple):
    """Marker of one level of finding: corners of its shape (0: a circle), fill, line and text."""

    corners: int
    fill: str
    line: str
    text: str


LEVEL_LOOK = {
    Level.NOTE: LevelLook(corners=0, fill="#ffffff", line="#1c1f24", text="#1c1f24"),
    Level.CHECK: LevelLook(corners=4, fill="#f2c14e", line="#1c1f24", text="#1c1f24"),
    Level.STOP: LevelLook(corners=8, fill=ALARM, line=ALARM, text="#ffffff"),
}

TRIM_DASH_MM, TRIM_LINE_MM = (0.1, 1.1), 0.24
"""Dash and gap, and width, of a way that is not sewn: a row of fine dots."""
