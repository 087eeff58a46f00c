"""The annotated plot: the lettering enlarged and at true size, with all that is known of it.

Real size in mm, plain SVG 1.1 (DTD of 16 August 2011). Plan coordinates run y up; they become
SVG's y down in `pathgen.writers.plot_layers` and `Page.on_paper`, and nowhere else.
"""

from pathgen.model import Plan
from pathgen.verdicts import Reading
from pathgen.writers.plot_choice import chosen_page, wanted_scale
from pathgen.writers.plot_cuts import cuts
from pathgen.writers.plot_dimensions import baselines, dimensions, stretch_names
from pathgen.writers.plot_head import head, head_height, rulers, strip_height
from pathgen.writers.plot_labels import free_room
from pathgen.writers.plot_layers import enlarged, in_stretches
from pathgen.writers.plot_narrow import narrow_dimensions
from pathgen.writers.plot_notes import caution, caution_height, notes, notes_height
from pathgen.writers.plot_page import Page, Sheet, drawing_bounds
from pathgen.writers.plot_signs import finding_markers, keep_spots_free, sewing_order
from pathgen.writers.plot_style import PAPER
from pathgen.writers.plot_svg_pen import document, rectangle, sheet
from pathgen.writers.wording import all_of, lettering_as_written

__all__ = ["plot_svg"]

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
    page = _page(plan, reading)
    title = lettering_as_written(plan.lines)
    faces = all_of(line.face.name for line in plan.by_line)
    about = (
        f"Needle plan for {title} in {faces}, an estimate until sewn. In the group"
        " lettering one unit is 1 mm as sewn, x right, y down from the first baseline."
    )
    out = sheet(page.width, page.height, title, about)
    out.add(rectangle(0.0, 0.0, page.width, page.height, id="page", fill=PAPER))
    room = free_room(plan, page)
    keep_spots_free(plan, page, room)
    out.add(head(plan, page))
    out.add(baselines(plan, page))
    for item in in_stretches(enlarged(plan, page), page):
        out.add(item)
    if not page.is_whole:
        out.add(stretch_names(page))
    out.add(dimensions(plan, page))
    out.add(sewing_order(plan, page, room))
    out.add(narrow_dimensions(plan, page, room))
    out.add(finding_markers(plan, page, room))
    unit, x, width = page.unit, page.margin, page.width - 2.0 * page.margin
    out.add(rulers(plan, page, page.strip_top))
    y = page.strip_top + strip_height(page.bounds, unit) + BLOCK_GAP_MM * unit
    out.add(notes(plan, x, y, width, unit, reading))
    y = page.height - page.margin - caution_height(width, unit)
    out.add(caution(x, y, width, unit))
    return document(out)


def _page(plan: Plan, reading: Reading | None) -> Page:
    """The page that holds the drawing and everything around it."""
    bounds = drawing_bounds(plan)

    def header(on: Sheet) -> float:
        return head_height(on.type_scale)

    def rest(on: Sheet) -> float:
        unit = on.type_scale
        width = on.width_mm - 26.0 * unit
        below = notes_height(plan, width, unit, reading) + caution_height(width, unit)
        return below + 2.0 * BLOCK_GAP_MM * unit

    def strip(on: Sheet) -> float:
        return strip_height(bounds, on.type_scale)

    height_mm = min(line.settings.height_mm for line in plan.by_line)
    wanted = wanted_scale(height_mm, min(line.settings.spacing_mm for line in plan.by_line))

    def cutting(count: int) -> tuple[float, ...]:
        return cuts(plan, bounds, count)

    return chosen_page(bounds, height_mm, wanted, header, rest, strip, cutting)
