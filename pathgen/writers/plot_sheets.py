"""The plot on sheets of one size, as an office printer takes them: A4 or Letter, lying.

The first sheet holds as many stretches of the drawing as it can, the true size and the notes;
the others hold the further stretches. Where the first has no room for both drawing and notes,
the notes get a sheet of their own at the end.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from pathgen.errors import SettingsError, did_you_mean
from pathgen.writers.plot_choice import (
    AROUND_MM,
    BETWEEN_MM,
    HEAD_MM,
    SIDE_MM,
    Cutting,
    longest_mm,
    placed_stretches,
    step_up,
)
from pathgen.writers.plot_page import MARGIN_MM, SCALES, SHEETS, Bounds, Page, Sheet

__all__ = ["PAGE_SIZES", "Needs", "fixed_pages", "page_size"]

PAGE_SIZES: Mapping[str, Sheet] = MappingProxyType(
    {"a4": SHEETS[0], "letter": Sheet(name="Letter", width_mm=279.4, height_mm=215.9)}
)
"""ISO 216 A4 and ANSI/ASME Y14.1 size A, 8.5 by 11 in, lying."""


SMALL_ENOUGH = 0.5
"""Share of the wanted scale at which one sheet is still better than two."""


def page_size(name: str) -> Sheet:
    """The sheet of that name.

    Raises
    ------
    SettingsError
        If there is none.
    """
    if name.lower() not in PAGE_SIZES:
        near = did_you_mean(name, PAGE_SIZES)
        msg = f"page_size is {name!r}; choose {' or '.join(PAGE_SIZES)}{near}"
        raise SettingsError(msg)
    return PAGE_SIZES[name.lower()]


@dataclass(frozen=True, slots=True, kw_only=True)
class Needs:
    """Heights that parts of the plot take on a sheet, mm on paper.

    Attributes
    ----------
    header, strip, ruler, notes, caution : float
        Head, true size and rulers, these without the true size, notes, and the caution with the
        gap above it.
    """

    header: float
    strip: float
    ruler: float
    notes: float
    caution: float

    def strip_at(self, scale: int) -> float:
        """Height of the strip: a drawing at sewn size is not repeated at true size."""
        return self.strip if scale > 1 else self.ruler


@dataclass(frozen=True, slots=True, kw_only=True)
class _Space:
    """Rows of stretches at one scale: how many on the first sheet and on the others."""

    scale: int
    ends: tuple[float, ...]
    first: int
    others: int
    notes_with_first: bool

    @property
    def rows(self) -> list[int]:
        """Stretches on each sheet; a last 0 is a sheet for the notes."""
        count = len(self.ends) - 1
        out = [min(self.first, count)]
        while sum(out) < count:
            out.append(min(self.others, count - sum(out)))
        return out if self.notes_with_first else [*out, 0]


def fixed_pages(
    sheet: Sheet, bounds: Bounds, capital_mm: float, wanted: float, needs: Needs, cutting: Cutting
) -> tuple[Page, ...]:
    """Pages of one size that hold the whole plot.

    Parameters
    ----------
    sheet : Sheet
        Size of all of them.
    bounds, capital_mm, wanted, cutting
        As for `chosen_page`.
    needs : Needs
        What stands beside the drawing.

    Raises
    ------
    SettingsError
        If the lettering is too high for the sheet even at sewn size.
    """
    space = _space(sheet, bounds, wanted, needs, cutting)
    if space is None:
        msg = (
            f"page_size is {sheet.name.lower()!r}: a lettering {bounds.height:.0f} mm high does"
            " not fit that sheet at sewn size; leave the page size out"
        )
        raise SettingsError(msg)
    pages, done = [], 0
    for number, rows in enumerate(space.rows, start=1):
        with_notes = number == (1 if space.notes_with_first else len(space.rows))
        pages.append(
            _page(sheet, bounds, capital_mm, needs, space, (done, rows), number, with_notes)
        )
        done += rows
    return tuple(pages)


def _space(
    sheet: Sheet, bounds: Bounds, wanted: float, needs: Needs, cutting: Cutting
) -> _Space | None:
    """The largest drawing in one piece, with the notes if it can be, else in stretches.

    In stretches it has the wanted scale, or the next smaller that fits.
    """
    large = [scale for scale in reversed(SCALES) if scale >= SMALL_ENOUGH * wanted]
    whole = [_tried(sheet, bounds, scale, needs, (bounds.x0, bounds.x1)) for scale in large]
    pieces = [tried for tried in whole if tried]
    if pieces:
        return next((tried for tried in pieces if tried.notes_with_first), pieces[0])
    for scale in (s for s in reversed(SCALES) if s <= step_up(wanted)):
        for count in range(1, len(SCALES) * SCALES[-1]):
            ends = (bounds.x0, *cutting(count), bounds.x1)
            tried = _tried(sheet, bounds, scale, needs, ends)
            if tried:
                return tried
            if longest_mm(ends) * scale <= _width(sheet):
                break  # not too long, but too high
    return None


def _width(sheet: Sheet) -> float:
    """What a stretch may measure on paper."""
    return sheet.width_mm - 2.0 * (MARGIN_MM + SIDE_MM) * sheet.type_scale


def _tried(
    sheet: Sheet, bounds: Bounds, scale: int, needs: Needs, ends: tuple[float, ...]
) -> _Space | None:
    """Rows at a scale; None if a stretch is too long, or too high for a sheet of its own."""
    unit = sheet.type_scale
    free = sheet.height_mm - 2.0 * MARGIN_MM * unit - needs.header - needs.caution

    def rows(height: float) -> int:
        step = bounds.height * scale + BETWEEN_MM * unit
        return max(0, int((height - AROUND_MM * unit + BETWEEN_MM * unit) / step))

    free_first = free - needs.strip_at(scale)
    with_notes = rows(free_first - needs.notes)
    first = with_notes or rows(free_first)
    if longest_mm(ends) * scale > _width(sheet) or not first:
        return None
    return _Space(
        scale=scale, ends=ends, first=first, others=rows(free), notes_with_first=with_notes > 0
    )


def _page(
    sheet: Sheet,
    bounds: Bounds,
    capital_mm: float,
    needs: Needs,
    space: _Space,
    part: tuple[int, int],
    number: int,
    with_notes: bool,
) -> Page:
    """One page, with the stretches of its part (the first one, how many)."""
    unit, (start, rows) = sheet.type_scale, part
    zone_top = MARGIN_MM * unit + needs.header
    strip = needs.strip_at(space.scale) if number == 1 else 0.0
    foot = sheet.height_mm - MARGIN_MM * unit - needs.caution
    zone_foot = foot - strip - (needs.notes if with_notes and rows else 0.0)
    top = zone_top + HEAD_MM * unit
    spare = zone_foot - top - rows * (bounds.height * space.scale + BETWEEN_MM * unit)
    top += max(0.0, spare) / 2.0 if len(space.ends) == 2 else 0.0
    every = placed_stretches(space.ends, bounds, space.scale, sheet.width_mm, top, unit)
    lift = every[start].top - top if rows else 0.0
    here = every[start : start + rows]
    return Page(
        width=sheet.width_mm,
        height=sheet.height_mm,
        unit=unit,
        scale=space.scale,
        bounds=bounds,
        stretches=tuple(stretch._replace(top=stretch.top - lift) for stretch in here),
        of_all=(start, len(space.ends) - 1),
        zone_top=zone_top,
        zone_foot=zone_foot,
        strip_top=zone_foot,
        strip_foot=zone_foot + strip,
        capital_mm=capital_mm * space.scale,
        sheet=(number, len(space.rows)),
        with_notes=with_notes,
    )
