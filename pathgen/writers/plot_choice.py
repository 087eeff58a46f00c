"""Which sheet the plot takes, how large the lettering is drawn, and in how many stretches.

The smallest sheet that shows the stitches well enough is taken, A4 to A0 lying (ISO 216). A
long line is cut into stretches that stand below one another before a sheet larger than A3 is
taken. Where even the largest is too small, the page grows.
"""

from collections.abc import Callable, Iterator
from itertools import pairwise
from typing import NamedTuple

from pathgen.writers.plot_page import MARGIN_MM, SCALES, SHEETS, Bounds, Page, Sheet, Stretch

__all__ = [
    "AROUND_MM",
    "BETWEEN_MM",
    "BEYOND_MM",
    "HEAD_MM",
    "SIDE_MM",
    "Cutting",
    "Height",
    "chosen_page",
    "fitting_scale",
    "longest_mm",
    "placed_stretches",
    "step_up",
    "wanted_scale",
]

SIDE_MM, HEAD_MM, FOOT_MM = 20.0, 9.0, 13.0
"""Kept free beside, above and below the lettering, on A4: dimensions and labels."""

RIGHT_MM = 24.0
"""Of the room on both sides together what the height of capitals takes on the right, on A4."""

AROUND_MM = HEAD_MM + FOOT_MM

BETWEEN_MM = 18.0
"""Free height between two stretches, on A4."""

BEYOND_MM = 1.0
"""As sewn: what a stretch shows of its neighbours."""

MOST_GROWN = 0.6
"""Share of a sheet's height up to which long notes may not cramp the drawing: the page grows."""

STRIP_WIDTH_MM = 88.0
"""Width on either side of the drawing that the strip of rulers needs to stand there, on A4."""

LEAST_CAPITAL_MM, LEAST_PITCH_MM = 20.0, 1.2
"""Capitals and spacing on paper are to be this large, or a larger sheet is taken."""

WHOLE_SHEETS = 2
"""The smaller sheets, which stay whole; larger ones are cut to the height that is needed."""

MOST_SPARE = 0.35
"""Free share of the drawing's band on a sheet that is cut."""

LONG = 8.0
"""Times as wide as high: a drawing that may be cut."""

MOST_STRETCHES = 6

_LAST_BITS_MM = 1e-6
"""What fits but for its last bits fits."""

Height = Callable[[Sheet], float]
"""A height in mm that something takes on a sheet."""

Cutting = Callable[[int], tuple[float, ...]]
"""Where a drawing is cut, plan mm, for a number of stretches."""


def fitting_scale(width_mm: float, height_mm: float, width: float, height: float) -> int:
    """The largest scale at which a box as sewn fits a space; 0 if none does."""
    wide, high = width + _LAST_BITS_MM, height + _LAST_BITS_MM
    fits = (s for s in SCALES if width_mm * s <= wide and height_mm * s <= high)
    return max(fits, default=0)


def wanted_scale(height_mm: float, spacing_mm: float) -> float:
    """Least scale at which capitals and stitches are large enough on paper to be looked over."""
    wanted = min(LEAST_CAPITAL_MM / height_mm, SCALES[-1])
    return max(wanted, min(LEAST_PITCH_MM / spacing_mm, 3.0))


def step_up(wanted: float) -> int:
    """The next scale that may be drawn."""
    return next(scale for scale in SCALES if scale >= wanted)


class _Fit(NamedTuple):
    """A drawing tried on a sheet.

    Attributes
    ----------
    ends : tuple of float
        Where its stretches begin and end, plan mm: one more than there are stretches.
    free : float
        Height that head, notes and margins leave.
    beside, below : int
        Scales with the strip of rulers beside the drawing and below it; 0 if it does not fit.
    """

    sheet: Sheet
    ends: tuple[float, ...]
    free: float
    beside: int
    below: int

    @property
    def scale(self) -> int:
        """The larger of the two, 1 at least."""
        return max(self.below, self.beside, 1)

    @property
    def longest_mm(self) -> float:
        """Of its stretches, with what they show beyond their ends."""
        return longest_mm(self.ends)


def longest_mm(ends: tuple[float, ...]) -> float:
    """The longest stretch, with what it shows of its neighbours."""
    beyond = BEYOND_MM if len(ends) > 2 else 0.0
    return max(b - a for a, b in pairwise(ends)) + 2.0 * beyond


def _trials(bounds: Bounds) -> Iterator[tuple[Sheet, int]]:
    """Sheets and numbers of stretches, the most welcome first."""
    small = [(sheet, 1) for sheet in SHEETS[:WHOLE_SHEETS]]
    most = MOST_STRETCHES if bounds.width > LONG * bounds.height else 1
    yield from small
    for sheet in SHEETS:
        yield from ((sheet, k) for k in range(1, most + 1) if (sheet, k) not in small)


def chosen_page(
    bounds: Bounds,
    capital_mm: float,
    wanted: float,
    header: Height,
    rest: Height,
    strip: Height,
    cutting: Cutting,
) -> Page:
    """The smallest sheet that shows the drawing at a wanted scale, and the place on it.

    Parameters
    ----------
    bounds : Bounds
        Of the drawing, plan mm.
    capital_mm : float
        Height of capitals as sewn.
    wanted : float
        Scale to be reached if any sheet allows it.
    header, rest, strip : functions of a sheet
        Heights that the head, all that stands below the drawing, and the strip of rulers take
        on it. The strip stands beside a slim drawing if that can then be larger, else below.
    cutting : function of a number
        Where the drawing would be cut into so many stretches.
    """

    def fit(sheet: Sheet, ends: tuple[float, ...]) -> _Fit:
        free = sheet.height_mm - header(sheet) - rest(sheet) - 2.0 * MARGIN_MM * sheet.type_scale
        return _tried(sheet, bounds, ends, wanted, free, strip(sheet))

    trials = []
    for sheet, count in _trials(bounds):
        trials.append((sheet, (bounds.x0, *cutting(count), bounds.x1)))
        if _widest_scale(*trials[-1]) < wanted:
            continue  # before it is known how high all is that stands around the drawing
        best = fit(*trials[-1])
        if max(best.below, best.beside) >= wanted:
            break
    else:
        best = max((fit(*trial) for trial in reversed(trials)), key=lambda fit: fit.scale)
    return _laid_out(best, bounds, capital_mm, header, rest, strip)


def _widest_scale(sheet: Sheet, ends: tuple[float, ...]) -> int:
    """The scale at which stretches fit the width of a sheet, however high they are."""
    width = sheet.width_mm - 2.0 * MARGIN_MM * sheet.type_scale
    return fitting_scale(longest_mm(ends), 0.0, width - 2.0 * SIDE_MM * sheet.type_scale, 0.0)


def _tried(
    sheet: Sheet, bounds: Bounds, ends: tuple[float, ...], wanted: float, free: float, strip: float
) -> _Fit:
    """The scales at which a drawing in stretches fits a sheet."""
    unit, count = sheet.type_scale, len(ends) - 1
    width = sheet.width_mm - 2.0 * MARGIN_MM * unit
    around = (AROUND_MM + (count - 1) * BETWEEN_MM) * unit
    high, long = count * bounds.height, longest_mm(ends)
    enough = high * step_up(wanted) + around + strip
    free = max(free, min(enough, MOST_GROWN * sheet.height_mm))
    edge = max(STRIP_WIDTH_MM * unit, bounds.width + SIDE_MM * unit)
    beside = fitting_scale(long, high, width - 2.0 * edge, free - around)
    below = fitting_scale(long, high, width - 2.0 * SIDE_MM * unit, free - strip - around)
    return _Fit(sheet, ends, free, beside if count == 1 else 0, below)


def _laid_out(
    fit: _Fit, bounds: Bounds, capital_mm: float, header: Height, rest: Height, strip: Height
) -> Page:
    """The page for a drawing that was tried on a sheet."""
    sheet, scale, unit = fit.sheet, fit.scale, fit.sheet.type_scale
    count = len(fit.ends) - 1
    around = AROUND_MM * unit
    block = count * bounds.height * scale + (count - 1) * BETWEEN_MM * unit
    taken = strip(sheet) if scale > fit.beside else 0.0
    zone = max(fit.free - taken, block + around)
    if sheet not in SHEETS[:WHOLE_SHEETS]:
        zone = min(zone, max(block * (1.0 + MOST_SPARE), strip(sheet)) + around)
    width = max(sheet.width_mm, fit.longest_mm * scale + 2.0 * (MARGIN_MM + SIDE_MM) * unit)
    zone_top = MARGIN_MM * unit + header(sheet)
    top = zone_top + HEAD_MM * unit + (zone - block - around) / 2.0
    return Page(
        width=width,
        height=zone_top + zone + taken + rest(sheet) + MARGIN_MM * unit,
        unit=unit,
        scale=scale,
        bounds=bounds,
        stretches=placed_stretches(fit.ends, bounds, scale, width, top, unit),
        of_all=(0, count),
        zone_top=zone_top,
        zone_foot=zone_top + zone,
        strip_top=zone_top + zone + taken - strip(sheet),
        strip_foot=zone_top + zone + taken,
        capital_mm=capital_mm * scale,
    )


def placed_stretches(
    ends: tuple[float, ...], bounds: Bounds, scale: int, width: float, top: float, unit: float
) -> tuple[Stretch, ...]:
    """Stretches below one another, their left ends in line, the longest in the middle.

    It stands more to the left where the height of capitals would not have room beside it.
    """
    free = width - longest_mm(ends) * scale
    left = min(free / 2.0, free - (MARGIN_MM + RIGHT_MM) * unit)
    left += BEYOND_MM * scale if len(ends) > 2 else 0.0
    step = bounds.height * scale + BETWEEN_MM * unit
    return tuple(
        Stretch(x0=a, x1=b, left=left, top=top + row * step)
        for row, (a, b) in enumerate(pairwise(ends))
    )
