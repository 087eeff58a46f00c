"""A block of notes on the plot: its heading and its rows. Sizes are for A4."""

from pathgen.writers.plot_style import FAINT, HAIR_MM
from pathgen.writers.plot_svg_pen import Element, path, short, words

__all__ = ["HEADING_MM", "ROW_MM", "TYPE_MM", "heading", "row_y"]

TYPE_MM, ROW_MM, HEADING_MM = 2.7, 4.25, 7.0


def heading(text: str, x: float, y: float, width: float, unit: float) -> list[Element]:
    """A block's heading with a thin line under it."""
    size = 3.1 * unit
    rule = path(
        f"M{short(x)} {short(y + 4.9 * unit)}h{short(width)}",
        fill="none",
        stroke=FAINT,
        stroke_width=HAIR_MM,
    )
    return [words(text, x, y + 3.2 * unit, size, font_weight="bold"), rule]


def row_y(y: float, row: float, unit: float) -> float:
    """Baseline of a row of a block."""
    return y + (HEADING_MM + 2.6 + row * ROW_MM) * unit
