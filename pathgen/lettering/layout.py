"""Shaped lines are set on their baselines, straight or around a circle, in mm.

Here alone font units become mm. The origin is the left end of the first baseline; on a circle
each letter stands square to the arc at the middle of its own advance, and the first line's
left end stays the origin.

limit: tracking opens the joins of joining scripts.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby
from typing import NamedTuple

from pathgen.errors import SettingsError
from pathgen.lettering.fontfile import Face
from pathgen.lettering.shaping import ShapedGlyph, shape_line
from pathgen.model import Glyph, Layout
from pathgen.settings import Settings
from pathgen.units import mm_per_font_unit

__all__ = ["lay_out"]

_SHARE_LEFT = {"left": 0.0, "centre": 0.5, "right": 1.0}


class _Block(NamedTuple):
    """The glyphs of one letter, from the left end of its advance, mm."""

    letter: int
    x_mm: float
    width_mm: float
    glyphs: tuple[Glyph, ...]


def lay_out(lines: Sequence[Sequence[str]], face: Face, settings: Settings) -> Layout:
    """Place every glyph of a text.

    Parameters
    ----------
    lines : sequence of sequence of str
        Letters of each line.
    face : Face
        The face to set them in.
    settings : Settings
        Uses ``height_mm``, ``tracking_mm``, ``line_spacing_mm``, ``align``, ``arc_mm``,
        ``arc_side`` and ``ligatures``.

    Raises
    ------
    TextError
        If the face lacks a letter.
    SettingsError
        If a line is longer than its circle, or a circle would have no radius left.
    """
    scale = mm_per_font_unit(settings.height_mm, face.facts.cap_height_fu)
    rows = [
        _blocks(shape_line(face, line, n, ligatures=settings.ligatures), n, scale, settings)
        for n, line in enumerate(lines, 1)
    ]
    widths = [row[-1].x_mm + row[-1].width_mm if row else 0.0 for row in rows]
    place = _straight if settings.arc_mm is None else _around
    glyphs: list[Glyph] = []
    for n, row in enumerate(rows):
        placed = [(b.letter, g) for b in row for g in place(b, n, widths, settings)]
        glyphs += [g for _, g in sorted(placed, key=lambda pair: pair[0])]
    return Layout(lines=tuple(tuple(line) for line in lines), glyphs=tuple(glyphs), mm_per_fu=scale)


def _blocks(
    shaped: Sequence[ShapedGlyph], line: int, scale: float, settings: Settings
) -> list[_Block]:
    """Letters of a line from left to right, tracking between those that have a width."""
    blocks: list[_Block] = []
    end, gap = 0.0, 0.0
    for letter, group in groupby(shaped, key=lambda g: g.letter):
        pen = 0.0
        glyphs = []
        for g in group:
            x, y = pen + g.x_fu * scale, g.y_fu * scale
            glyphs.append(
                Glyph(glyph_id=g.glyph_id, line=line, letter=letter, x_mm=x, y_mm=y, turn_rad=0.0)
            )
            pen += g.advance_fu * scale
        start = end + gap if pen else end
        blocks.append(_Block(letter, start, pen, tuple(glyphs)))
        if pen:
            end, gap = start + pen, settings.tracking_mm
    return blocks


def _straight(
    block: _Block, row: int, widths: Sequence[float], settings: Settings
) -> Iterator[Glyph]:
    """Glyphs of a letter on straight baselines, one below the other."""
    share = _SHARE_LEFT[settings.align]
    left = share * (widths[0] - widths[row])
    base = -row * settings.line_spacing_mm
    for g in block.glyphs:
        yield replace(g, x_mm=left + block.x_mm + g.x_mm, y_mm=base + g.y_mm)


def _around(
    block: _Block, row: int, widths: Sequence[float], settings: Settings
) -> Iterator[Glyph]:
    """Glyphs of a letter on circles about one centre, turned square to the arc."""
    radius = _radius_mm(row, widths[row], settings)
    first = _radius_mm(0, widths[0], settings)
    way = 1.0 if settings.arc_side == "above" else -1.0
    share = _SHARE_LEFT[settings.align]
    # Angles from the middle of the arc, positive to the right.
    left_end = -0.5 * widths[0] / first
    start = left_end + share * (widths[0] / first - widths[row] / radius)
    angle = start + (block.x_mm + 0.5 * block.width_mm) / radius
    turn = -way * angle
    x_mm = radius * math.sin(angle) - first * math.sin(left_end)
    y_mm = way * (radius * math.cos(angle) - first * math.cos(left_end))
    c, s = math.cos(turn), math.sin(turn)
    for g in block.glyphs:
        x = g.x_mm - 0.5 * block.width_mm
        yield replace(
            g,
            x_mm=x_mm + c * x - s * g.y_mm,
            y_mm=y_mm + s * x + c * g.y_mm,
            turn_rad=turn,
        )


def _radius_mm(row: int, width_mm: float, settings: Settings) -> float:
    """Radius of a line's baseline: lower lines lie nearer the centre above it, farther below."""
    if settings.arc_mm is None:
        msg = "straight lines have no radius"
        raise ValueError(msg)
    down = row * settings.line_spacing_mm
    radius = settings.arc_mm - down if settings.arc_side == "above" else settings.arc_mm + down
    # Hanging letters point to the centre, so their tops must not pass it.
    inner = radius if settings.arc_side == "above" else radius - settings.height_mm
    if inner <= 0.0:
        msg = f"arc_mm is {settings.arc_mm:g}; line {row + 1} has no radius left; enlarge it"
        raise SettingsError(msg)
    if width_mm > 2.0 * math.pi * radius:
        msg = (
            f"arc_mm is {settings.arc_mm:g}; line {row + 1} is {width_mm:.1f} mm long and goes "
            f"more than once around; enlarge it"
        )
        raise SettingsError(msg)
    return radius
