"""What a plan is made with: thread, needle, cloth and every number that a user may set.

Ranges are checked here, once, when `Settings` is made; the rooms trust it.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from pathgen.errors import SettingsError, did_you_mean, one_of
from pathgen.materials import Cloth, Needle, Thread
from pathgen.sewnlook import SewnLook

__all__ = [
    "CHOICES",
    "CLOSE_THREADS",
    "GAP_THREADS",
    "HEAP",
    "HEAP_MM",
    "LIES_FLAT_MM",
    "NEARLY_LEAST",
    "SAME_HOLE_MM",
    "SHORT_SHARE",
    "Cloth",
    "Needle",
    "Settings",
    "Thread",
]

HEAP = 3
HEAP_MM = 0.1
"""More penetrations than `HEAP` within this radius are a heap (common practice, no published
source)."""

LIES_FLAT_MM = 7.0
"""Longer stitches lie loose and catch: they are split unless more is asked for, and then told
(common practice, no published source)."""

NEARLY_LEAST = 0.9
"""A column at least this share of the thread's least one, allowance included, keeps its look
when it is widened: by less than a tenth."""

SAME_HOLE_MM = 0.05
"""Nearer than this the needle would enter the hole that it is in."""

SHORT_SHARE = 0.75
"""A stitch of less than this share of the least one does not form."""

CLOSE_THREADS = 0.25
"""Holes of the zigzag that are nearer than this many thread diameters: the later needle splits the
thread of the earlier one (placeholder until sewn samples set it)."""

GAP_THREADS = 2.0
"""A gap thinner than this many thread diameters, after allowance, is easily bridged by fluff
(placeholder until sewn samples set it)."""


_ALLOWED: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        "height_mm": (1.0, 100.0),
        "spacing_mm": (0.15, 2.0),
        "pull_mm": (0.0, 1.0),
        "run_mm": (0.5, 6.0),
        "tracking_mm": (-5.0, 50.0),
        "line_spacing_mm": (0.5, 500.0),
        "arc_mm": (5.0, 5000.0),
        "join_mm": (0.0, 12.0),
        "on_top_mm": (0.0, 20.0),
        "least_column_mm": (0.0, 5.0),
        "least_stitch_mm": (0.05, 1.0),
        "longest_stitch_mm": (2.0, 12.0),
        "longest_jump_mm": (2.0, 50.0),
        "speed_spm": (50.0, 2000.0),
    }
)
"""Lowest and highest value of each setting: beyond them a plan would be absurd."""

CHOICES: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "underlay": ("none", "centre-run", "edge-run", "zigzag"),
        "align": ("left", "centre", "right"),
        "arc_side": ("above", "below"),
        "sewing": ("reading", "left-to-right", "right-to-left", "centre-out"),
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """Everything that a plan depends on beside the text and the face.

    Attributes
    ----------
    height_mm : float
        Height of the capital H as sewn before allowance.
    spacing_mm : float
        Distance along a column between successive needle points on the same side.
    pull_mm : float
        Pull allowance: how far each needle point lies outside its rail, on each side.
    underlay : str
        ``none``, ``centre-run``, ``edge-run`` or ``zigzag``.
    run_mm : float
        Longest stitch of underlay and travel; none is longer than ``longest_stitch_mm``.
    tracking_mm : float
        Added between letters.
    line_spacing_mm : float
        From baseline to baseline.
    arc_mm : float or None
        Radius of the first baseline; None for straight lines.
    arc_side : str
        ``above``: the letters stand on top of the circle; ``below``: they hang in its foot.
    join_mm : float
        Farthest over bare cloth that the needle runs to the next column or letter, instead of
        a trim (common practice, no published source).
    on_top_mm : float
        Farthest on top of sewn columns that the needle runs there, instead of a trim. A setting
        of its own beside ``join_mm``: thread on thread of its own colour shows less, and cannot
        snag (placeholder until sewn samples set it).
    least_column_mm : float
        Columns usually narrower than this, allowance included, are widened evenly to it.
    least_stitch_mm : float
        Distance that the needle points of a column keep from one another.
    longest_stitch_mm : float
        Longer ones are split, whatever they belong to.
    longest_jump_mm : float
        Farthest that the machine moves at once: a longer jump is made in several, a longer
        stitch cannot be sewn (common practice, no published source; the machine's manual
        decides).
    sewing : str
        Order of the letters of a line: ``reading``, ``left-to-right``, ``right-to-left`` or
        ``centre-out``, as caps want it.
    least_height_mm : float
        Lowest height that the recipe for this thread goes down to.
    recipe_speed_spm : float
        Speed that the recipe asks for; infinite where it asks for none.
    sewn_look : SewnLook
        How the thread shows on the cloth once sewn; left out, that of 40 wt on backed twill.
    origins : mapping of str to str
        Where each value came from: ``default``, ``recipe``, ``shop file`` (a recipe row of
        the user's), ``recipe, cloth`` (as the cloth changes it), ``thread``, ``cloth``,
        ``cloth file``, ``job file`` or ``option``.

    Raises
    ------
    SettingsError
        If a number is outside its allowed range, or a word is not one of its choices.
    """

    height_mm: float
    thread: Thread
    needle: Needle
    cloth: Cloth
    spacing_mm: float
    pull_mm: float
    underlay: str
    line_spacing_mm: float
    least_column_mm: float
    least_height_mm: float = 0.0
    least_stitch_mm: float = 0.3
    longest_stitch_mm: float = LIES_FLAT_MM
    longest_jump_mm: float = 12.0
    sewing: str = "reading"
    run_mm: float = 1.5
    tracking_mm: float = 0.0
    align: str = "left"
    arc_mm: float | None = None
    arc_side: str = "above"
    ligatures: bool = False
    join_mm: float = 2.0
    on_top_mm: float = 2.0
    speed_spm: float = 600.0
    recipe_speed_spm: float = math.inf
    sewn_look: SewnLook = field(default_factory=SewnLook)
    origins: Mapping[str, str] = field(default_factory=dict, compare=False)

    def __post_init__(self) -> None:
        """Check every value against its range or choices."""
        for name, (least, most) in _ALLOWED.items():
            value = getattr(self, name)
            if value is not None and not least <= value <= most:
                unit = "mm" if name.endswith("_mm") else "stitches a minute"
                msg = f"{name} is {value:g}; allowed {least:g} to {most:g} {unit}"
                raise SettingsError(msg)
        for name, choices in CHOICES.items():
            value = getattr(self, name)
            if value not in choices:
                near = did_you_mean(str(value), choices)
                msg = f"{name} is {value!r}; choose {one_of(choices)}{near}"
                raise SettingsError(msg)
        object.__setattr__(self, "origins", MappingProxyType(dict(self.origins)))

    def __hash__(self) -> int:
        """Of a few values that often differ: settings are looked up all the time."""
        return hash((self.height_mm, self.spacing_mm, self.pull_mm, self.underlay, self.arc_mm))

    @property
    def run_stitch_mm(self) -> float:
        """Longest stitch of runs: that of underlay and travel, or of any, if shorter."""
        return min(self.run_mm, self.longest_stitch_mm)

    @property
    def close_mm(self) -> float:
        """Distance that holes of different columns of a letter keep."""
        return CLOSE_THREADS * self.thread.diameter_mm

    @property
    def same_hole_mm(self) -> float:
        """A column's first hole is left out where the needle is nearer to it than this.

        As where two strokes share a corner: the stitch would not form.
        """
        return max(SAME_HOLE_MM, SHORT_SHARE * self.least_stitch_mm)

    def widening_mm(self, usual_width_mm: float) -> float:
        """How far a column of this usual width, as drawn, is widened on each side.

        The allowance is not counted in; 0 for a column that is wide enough with it.
        """
        return max(0.0, (self.least_column_mm - usual_width_mm) / 2.0 - self.pull_mm)

    def growth_mm(self, usual_width_mm: float) -> float:
        """How far the needle points of such a column lie outside its rails, on each side."""
        return self.pull_mm + self.widening_mm(usual_width_mm)
