"""Thread, needle and cloth: what a shop has on its shelves, with where each figure is from.

Each holds its figures and the origin of each; what follows from them by arithmetic (diameter,
cover, counts) is computed.
"""

import math
from dataclasses import dataclass

from pathgen.yarncount import counts

__all__ = [
    "EYE_THREADS",
    "EYE_THREADS_MOST",
    "STABILITIES",
    "Cloth",
    "Needle",
    "Origins",
    "SewnThread",
    "Thread",
    "VerdictLimits",
]

Origins = tuple[tuple[str, str], ...]
"""Field and where its figure is from; the field "" stands for all that are not named."""

EYE_THREADS = 1.4
"""An eye is at least this many threads wide (rule of thumb of needle tables: about 40 % wider)."""

EYE_THREADS_MOST = 2.0
"""A wider eye means a needle whose hole the thread does not fill (ours, a placeholder)."""

STABILITIES = ("firm", "fair", "loose")
"""How well a cloth holds still under the needle, best first."""


def _origin(origins: Origins, field: str) -> str:
    known = dict(origins)
    return known.get(field, known.get("", ""))


@dataclass(frozen=True, slots=True, kw_only=True)
class Thread:
    """A needle thread.

    Attributes
    ----------
    label : str
        What the cone says, such as ``40 wt``; conventions disagree, so it is only a label.
    tex : float
        Grams per 1,000 m (ISO 1144).
    density_g_cm3 : float
        Density of the fibre; 1.39 for polyester (Morton and Hearle, table 5.1).
    packing : float
        Share of the thread's cross section that is fibre; 0.60 after Peirce's cotton.
    least_column_mm : float
        Narrowest column that is sewn, allowance included (common practice, no published
        source).
    key : str
        What it is asked for by; empty for a thread given by its count.
    fibre : str
        Such as ``polyester``.
    plies : int
        Yarns twisted into it; 0 where not known.
    colour : str
        What it is drawn in, such as ``#1f3a5f``; empty for the plot's own colours.
    colour_name : str
        What that colour was called.
    origins : Origins
        Where the figures are from.
    """

    label: str
    tex: float
    least_column_mm: float
    density_g_cm3: float = 1.39
    packing: float = 0.60
    key: str = ""
    fibre: str = "polyester"
    plies: int = 0
    colour: str = ""
    colour_name: str = ""
    origins: Origins = ()

    @property
    def name(self) -> str:
        """Label, and the colour where one was chosen, such as ``40 wt, navy``."""
        return f"{self.label}, {self.colour_name or self.colour}" if self.colour else self.label

    @property
    def diameter_mm(self) -> float:
        """Diameter of a round thread: 4 tex / 1000 = pi rho phi d^2."""
        return math.sqrt(4.0 * self.tex / (1000.0 * math.pi * self.density_g_cm3 * self.packing))

    @property
    def ideal_spacing_mm(self) -> float:
        """Spacing on one side at which round threads just close the ground."""
        return 2.0 * self.diameter_mm

    def cover(self, spacing_mm: float) -> float:
        """Threads' widths over the ground between them: 1 where it just closes."""
        return self.ideal_spacing_mm / spacing_mm

    def counts(self) -> dict[str, float]:
        """Its count in tex, dtex, den, nm, ne, tkt (metric ticket) and cotton tkt."""
        return counts(self.tex)

    def origin_of(self, field: str) -> str:
        """Where a figure is from; empty where that is not known."""
        return _origin(self.origins, field)


@dataclass(frozen=True, slots=True, kw_only=True)
class Needle:
    """A needle size; the metric size is 100 times the blade in mm (DIN 5325).

    Attributes
    ----------
    size, number : int
        Metric size and number, as in 75/11; the number may not be known.
    eye_mm : float or None
        Width of the eye; None where not known.
    table_blade_mm : float or None
        Blade after the table of a standard, which is a little over the nominal one.
    origins : Origins
        Where the figures are from.
    """

    size: int
    number: int | None = None
    eye_mm: float | None = None
    table_blade_mm: float | None = None
    origins: Origins = ()

    @property
    def label(self) -> str:
        """Both numberings, such as ``75/11``."""
        return f"{self.size}/{self.number}" if self.number is not None else f"{self.size}"

    @property
    def blade_mm(self) -> float:
        """Nominal diameter of the blade."""
        return self.size / 100.0

    def eye_threads(self, thread: Thread) -> float:
        """Width of the eye in diameters of a thread; NaN where the eye is not known."""
        return math.nan if self.eye_mm is None else self.eye_mm / thread.diameter_mm

    def takes(self, thread: Thread) -> bool:
        """Whether the eye is wide enough for a thread; True where it is not known."""
        return not self.eye_threads(thread) < EYE_THREADS

    def origin_of(self, field: str) -> str:
        """Where a figure is from; empty where that is not known."""
        return _origin(self.origins, field)


@dataclass(frozen=True, slots=True, kw_only=True)
class SewnThread:
    """What sewn samples of one thread on a cloth have shown.

    Attributes
    ----------
    tex : float
        Of the thread.
    pull_mm, overhang_mm : float
        How much each side of a column comes out inside its needle points, and how far thread
        bulges beyond them.
    pull_error_mm, overhang_error_mm : float
        Standard errors; NaN where not known.
    along_mm, across_mm : float
        ``pull_mm`` of columns that run along and across the cloth; NaN where not told apart.
    over_underlay : float
        Pull over underlay as a share of ``pull_mm``; NaN where not known.
    samples : int
        Measurements behind it.
    """

    tex: float
    pull_mm: float
    overhang_mm: float = 0.0
    pull_error_mm: float = math.nan
    overhang_error_mm: float = math.nan
    along_mm: float = math.nan
    across_mm: float = math.nan
    over_underlay: float = math.nan
    samples: int = 0

    def allowance_over(self, share: float) -> float:
        """Allowance with which a column comes out as wide as drawn; never under 0.

        Where underlay leaves so large a share of the pull.
        """
        return max(0.0, self.pull_mm * share - self.overhang_mm)


@dataclass(frozen=True, slots=True, kw_only=True)
class VerdictLimits:
    """Limits of the reading verdict as sewn samples have set them.

    Attributes
    ----------
    well_margin, reads_margin : float
        Confusion margin from which letters read well, and read at all.
    well_likeness, reads_likeness : float
        The same for the likeness to the letter as drawn; NaN where not set.
    samples : int
        Letters behind them.
    """

    well_margin: float
    reads_margin: float
    well_likeness: float = math.nan
    reads_likeness: float = math.nan
    samples: int = 0


NEAR_TEX_SHARE = 0.08
"""Samples count for a thread of a tex within this share (cones of one weight differ so much)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cloth:
    """What is sewn on.

    Attributes
    ----------
    name : str
        Plain name, such as ``backed twill``.
    steady : bool
        Whether the recipes, which are for stable twill, hold on it.
    thickness_mm : float
        With its backing; each stitch spends this much more needle thread.
    remark : str
        What small letters suffer on it.
    stability : str
        One of `STABILITIES`.
    pile_mm : float
        Height of loops, nap or knit ribs above the ground.
    pull_more_mm : float
        Added to the recipe's allowance, on each side.
    spacing_factor : float
        The recipe's spacing is multiplied by it.
    holes_limit : float
        Penetrations in a disc of the blade's size beyond which the cloth is taken to suffer.
    least_height_mm : float
        Capitals below this sink into it; 0 for none.
    sewing : str
        Order of the letters that it wants, as `Settings.sewing`; empty for any.
    also : tuple of str
        Other names that it is asked for by.
    sewn : tuple of SewnThread
        What sewn samples have shown, from a cloth file.
    verdict : VerdictLimits or None
        The same for the reading verdict.
    date : str
        Day of the samples, such as ``2026-11-25``; empty where there are none.
    origins : Origins
        Where the figures are from.
    """

    name: str
    steady: bool
    thickness_mm: float
    remark: str = ""
    stability: str = "firm"
    pile_mm: float = 0.0
    pull_more_mm: float = 0.0
    spacing_factor: float = 1.0
    holes_limit: float = 8.0
    least_height_mm: float = 0.0
    sewing: str = ""
    also: tuple[str, ...] = ()
    sewn: tuple[SewnThread, ...] = ()
    verdict: VerdictLimits | None = None
    date: str = ""
    origins: Origins = ()

    def sewn_with(self, thread: Thread) -> SewnThread | None:
        """What samples of a thread have shown; None if there are none of its thickness."""
        near = [s for s in self.sewn if abs(s.tex - thread.tex) <= NEAR_TEX_SHARE * thread.tex]
        return min(near, key=lambda s: abs(s.tex - thread.tex), default=None)

    def holes_per_mm2(self, needle: Needle) -> float:
        """``holes_limit`` as penetrations per mm2 in a disc of the needle's blade."""
        return self.holes_limit / (math.pi * needle.blade_mm**2 / 4.0)

    def origin_of(self, field: str) -> str:
        """Where a figure is from; empty where that is not known."""
        return _origin(self.origins, field)
