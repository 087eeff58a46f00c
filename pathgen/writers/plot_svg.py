"""The annotated plot: the lettering enlarged and at true size, with all that is known of it.

Real size in mm, plain SVG 1.1 (DTD of 16 August 2011). Plan coordinates run y up; they become
SVG's y down in `plot_letters`, `sewn_thread` and `Page.on_paper`, and nowhere else.
"""

from collections.abc import Iterator
from functools import cache, partial
from math import inf

from pathgen.model import Plan
from pathgen.verdicts import Reading
from pathgen.writers.leftovers import numbered
from pathgen.writers.plot_choice import chosen_page, wanted_scale
from pathgen.writers.plot_cuts import cuts
from pathgen.writers.plot_dimensions import baselines, dimensions, stretch_names
from pathgen.writers.plot_head import head, head_height, rulers, strip_height
from pathgen.writers.plot_labels import free_room
from pathgen.writers.plot_layers import enlarged, in_stretches
from pathgen.writers.plot_narrow import narrow_asked, narrow_dimensions
from pathgen.writers.plot_notes import caution, caution_height, notes, notes_height
from pathgen.writers.plot_page import MARGIN_MM, Page, Sheet, drawing_bounds
from pathgen.writers.plot_signs import (
    finding_markers,
    keep_spots_free,
    marked_findings,
    markers_asked,
    order_asked,
    sewing_order,
)
from pathgen.writers.plot_style import PAPER
from pathgen.writers.plot_svg_pen import Element, document, encoded, rectangle, sheet
from pathgen.writers.plot_svg_pen import Page as Paper
from pathgen.writers.wording import all_of, lettering_of

__all__ = ["plot_sheets", "plot_svg", "plots_encoded"]

BLOCK_GAP_MM = 4.5
"""Between the blocks of the page, on A4."""


def plot_svg(plan: Plan, reading: Reading | None = None) -> str:
    """The plot of a plan as an SVG 1.1 document.

    Parameters
    ----------
    plan : Plan
        May be of any size, and may lack letters, needle points or findings.
    reading : Reading, optional
        Whether it can be read; the notes then tell.

    Returns
    -------
    str
        XML with its declaration, encoding UTF-8. The paths in the group ``needle-points`` are
        the needle table's points as (x, -y) in mm, three decimals, one subpath each.
    """
    return document(_drawn(plan, _chosen(plan, reading), reading))


def plot_sheets(plan: Plan, size: str, reading: Reading | None = None) -> tuple[str, ...]:
    """The plot on sheets of one size, ``a4`` or ``letter``: one document a sheet.

    Raises
    ------
    SettingsError
        If there is no such size, or the lettering is too high for it.
    """
    pages = _sheets(plan, size, reading)
    return tuple(document(_drawn(plan, page, reading)) for page in pages)


def plots_encoded(
    plan: Plan, size: str | None = None, reading: Reading | None = None
) -> tuple[bytes, ...]:
    """The plot on one page, or on sheets of a size, in UTF-8."""
    pages = (_chosen(plan, reading),) if size is None else _sheets(plan, size, reading)
    return tuple(encoded(_drawn(plan, page, reading)) for page in pages)


def _sheets(plan: Plan, size: str, reading: Reading | None) -> tuple[Page, ...]:
    """The pages of the plot on sheets of one size."""
    from pathgen.writers.plot_sheets import Needs, fixed_pages, page_size

    on = page_size(size)
    bounds, unit = drawing_bounds(plan), on.type_scale
    width = on.width_mm - 2.0 * MARGIN_MM * unit
    gap = BLOCK_GAP_MM * unit
    most = on.height_mm - head_height(unit) - 2.0 * MARGIN_MM * unit
    most -= caution_height(width, unit) + 2.0 * gap
    needs = Needs(
        header=head_height(unit),
        strip=strip_height(bounds, width, unit),
        ruler=strip_height(None, width, unit),
        notes=min(notes_height(plan, width, unit, reading), most) + gap,
        caution=caution_height(width, unit) + gap,
    )
    return fixed_pages(on, bounds, *_wanted(plan), needs, partial(cuts, plan, bounds))


def _drawn(plan: Plan, page: Page, reading: Reading | None) -> Paper:
    """All that stands on a page."""
    title = lettering_of(plan)
    faces = all_of(line.face.name for line in plan.by_line)
    about = (
        f"Needle plan for {title} in {faces}, an estimate until sewn. In the group"
        " lettering one unit is 1 mm as sewn, x right, y down from the first baseline."
    )
    out = sheet(page.width, page.height, numbered(title, "sheet", *page.sheet), about)
    out.add(rectangle(0.0, 0.0, page.width, page.height, id="page", fill=PAPER))
    out.add(head(plan, page))
    if page.stretches:
        for item in _drawing(plan, page):
            out.add(item)
    unit, x, width = page.unit, page.margin, page.width - 2.0 * page.margin
    if page.sheet[0] == 1:
        out.add(rulers(plan, page, page.strip_top))
    top = page.height - page.margin - caution_height(width, unit)
    if page.with_notes:
        y = (page.strip_foot if page.stretches else page.zone_top) + BLOCK_GAP_MM * unit
        most = top - y if page.sheet[1] > 1 else inf
        out.add(notes(plan, x, y, width, unit, reading, most))
    out.add(caution(x, top, width, unit))
    return out


def _drawing(plan: Plan, page: Page) -> Iterator[Element]:
    """The lettering and what is written into it and around it."""
    room = free_room(plan, page)
    marked = marked_findings(plan, page)
    keep_spots_free(marked, page, room)
    numbers, order = order_asked(plan, page)
    narrow, widths = narrow_asked(plan, page)
    markers = markers_asked(marked, page)
    at_numbers, at_widths, at_markers = room.places(order, widths, markers)
    yield baselines(plan, page)
    yield from in_stretches(enlarged(plan, page), page)
    if not page.is_whole:
        yield stretch_names(page)
    yield dimensions(plan, page)
    yield sewing_order(numbers, order, at_numbers, page)
    yield narrow_dimensions(narrow, at_widths, page)
    yield finding_markers(marked, markers, at_markers, page)


def _wanted(plan: Plan) -> tuple[float, float]:
    """Height of capitals as sewn, and the scale at which they are large enough."""
    height_mm = min(line.settings.height_mm for line in plan.by_line)
    spacing_mm = min(line.settings.spacing_mm for line in plan.by_line)
    return height_mm, wanted_scale(height_mm, spacing_mm)


def _chosen(plan: Plan, reading: Reading | None) -> Page:
    """The one page that holds the drawing and everything around it."""
    bounds = drawing_bounds(plan)

    @cache
    def header(on: Sheet) -> float:
        return head_height(on.type_scale)

    @cache
    def rest(on: Sheet) -> float:
        unit = on.type_scale
        width = on.width_mm - 2.0 * MARGIN_MM * unit
        below = notes_height(plan, width, unit, reading) + caution_height(width, unit)
        return below + 2.0 * BLOCK_GAP_MM * unit

    @cache
    def strip(on: Sheet) -> float:
        unit = on.type_scale
        return strip_height(bounds, on.width_mm - 2.0 * MARGIN_MM * unit, unit)

    return chosen_page(bounds, *_wanted(plan), header, rest, strip, partial(cuts, plan, bounds))
