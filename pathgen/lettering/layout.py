"""Shaped lines are set on their baselines, straight or around a circle, in mm.

Here alone font units become mm. The origin is the left end of the first baseline; on a circle
each letter stands square to the arc at the middle of its own advance, and the first line's
left end stays the origin.

limit: tracking opens the joins of joining scripts.
"""

import math
from collections.abc import Iterator, Sequence
from itertools import groupby, pairwise
from operator import attrgetter
from typing import NamedTuple

from pathgen.errors import SettingsError
from pathgen.lettering.fontfile import Face
from pathgen.lettering.shaping import ShapedGlyph, shape_line
from pathgen.model import Glyph, Layout
from pathgen.settings import Settings
from pathgen.units import mm_per_font_unit

__all__ = ["SHARE_LEFT", "lay_out", "lay_out_lines"]

SHARE_LEFT = {"left": 0.0, "centre": 0.5, "right": 1.0}


class _Block(NamedTuple):
    """The glyphs of one letter: number, x and y, from the left end of its advance, mm."""

    letter: int
    x_mm: float
    width_mm: float
    glyphs: tuple[tuple[int, float, float], ...]


def lay_out(lines: Sequence[Sequence[str]], face: Face, settings: Settings) -> Layout:
    """Place every glyph of a text that has one face and one setting; see `lay_out_lines`."""
    return lay_out_lines(lines, [face] * len(lines), [settings] * len(lines))


class _Frame(NamedTuple):
    """What the lines of a layout have in common.

    Attributes
    ----------
    widths_mm, downs_mm : sequence of float
        Length of each line, and how far its baseline lies below the first.
    settings : sequence of Settings
        Those of each line.
    """

    widths_mm: Sequence[float]
    downs_mm: Sequence[float]
    settings: Sequence[Settings]


def lay_out_lines(
    lines: Sequence[Sequence[str]], faces: Sequence[Face], settings: Sequence[Settings]
) -> Layout:
    """Place every glyph of lines that each have a face and settings.

    Lines whose arc is that of the first stand on circles about one centre. Another arc has its
    highest (or lowest) point under the middle of the first line; straight lines below a curved
    one start under its feet.

    Parameters
    ----------
    lines : sequence of sequence of str
        Letters of each line.
    faces : sequence of Face
        The face to set each line in.
    settings : sequence of Settings
        Of each line. Uses ``height_mm``, ``tracking_mm``, ``line_spacing_mm``, ``align``,
        ``arc_mm``, ``arc_side`` and ``ligatures``.

    Raises
    ------
    TextError
        If the face lacks a letter.
    SettingsError
        If a line is longer than its circle, or a circle would have no radius left.
    """
    scales = [
        mm_per_font_unit(by.height_mm, face.facts.cap_height_fu)
        for face, by in zip(faces, settings, strict=True)
    ]
    rows = [
        _blocks(shape_line(face, line, n, ligatures=by.ligatures), scale, by)
        for n, (line, face, scale, by) in enumerate(
            zip(lines, faces, scales, settings, strict=True), 1
        )
    ]
    widths = [row[-1].x_mm + row[-1].width_mm if row else 0.0 for row in rows]
    frame = _Frame(widths, _downs_mm(settings, widths), settings)
    glyphs: list[Glyph] = []
    for n, row in enumerate(rows):
        placed = _straight if settings[n].arc_mm is None else _around
        glyphs += sorted(placed(row, n, frame), key=attrgetter("letter"))
    return Layout(
        lines=tuple(tuple(line) for line in lines),
        glyphs=tuple(glyphs),
        scales_mm_per_fu=tuple(scales),
        downs_mm=tuple(frame.downs_mm),
        widths_mm=tuple(widths),
    )


def _downs_mm(settings: Sequence[Settings], widths_mm: Sequence[float]) -> list[float]:
    """How far each baseline lies below the first; straight ones below its deepest place."""
    steps = [_step_mm(above, below) for above, below in pairwise(settings)]
    first, sag = settings[0], 0.0
    if first.arc_mm is not None and first.arc_side == "below":
        sag = first.arc_mm * (1.0 - math.cos(0.5 * widths_mm[0] / first.arc_mm))
    # fsum, so that n equal steps are n times one to the last bit.
    return [
        math.fsum([*steps[:n], sag if by.arc_mm is None else 0.0]) for n, by in enumerate(settings)
    ]


def _span_mm(frame: _Frame) -> float:
    """From the left to the right end of the first line, straight across."""
    arc_mm, width = frame.settings[0].arc_mm, frame.widths_mm[0]
    if arc_mm is None:
        return width
    return 2.0 * arc_mm * math.sin(min(0.5 * width / arc_mm, 0.5 * math.pi))


def _step_mm(above: Settings, below: Settings) -> float:
    """From one baseline to the next: as asked, or the upper line's gap and the lower's height."""
    asked = below.origins.get("line_spacing_mm", "default") != "default"
    if asked or above.height_mm == below.height_mm:
        return below.line_spacing_mm
    return above.line_spacing_mm - above.height_mm + below.height_mm


def _blocks(shaped: Sequence[ShapedGlyph], scale: float, settings: Settings) -> list[_Block]:
    """Letters of a line from left to right, tracking between those that have a width."""
    blocks: list[_Block] = []
    end, gap = 0.0, 0.0
    for letter, group in groupby(shaped, key=lambda g: g.letter):
        pen = 0.0
        glyphs = []
        for g in group:
            glyphs.append((g.glyph_id, pen + g.x_fu * scale, g.y_fu * scale))
            pen += g.advance_fu * scale
        start = end + gap if pen else end
        blocks.append(_Block(letter, start, pen, tuple(glyphs)))
        if pen:
            end, gap = start + pen, settings.tracking_mm
    return blocks


def _straight(blocks: Sequence[_Block], row: int, frame: _Frame) -> list[Glyph]:
    """Glyphs of a line on straight baselines, one below the other."""
    left = SHARE_LEFT[frame.settings[row].align] * (_span_mm(frame) - frame.widths_mm[row])
    base, line = -frame.downs_mm[row], row + 1
    return [
        Glyph(glyph_id, line, block.letter, left + block.x_mm + x, base + y, turn_rad=0.0)
        for block in blocks
        for glyph_id, x, y in block.glyphs
    ]


def _around(blocks: Sequence[_Block], row: int, frame: _Frame) -> list[Glyph]:
    """Glyphs of a line on a circle, each letter turned square to the arc."""
    return [glyph for block in blocks for glyph in _turned(block, row, frame)]


def _turned(block: _Block, row: int, frame: _Frame) -> Iterator[Glyph]:
    by, width = frame.settings[row], frame.widths_mm[row]
    way = 1.0 if by.arc_side == "above" else -1.0
    # Angles from the middle of the arc, positive to the right.
    if (by.arc_mm, by.arc_side) == (frame.settings[0].arc_mm, frame.settings[0].arc_side):
        radius = _radius_mm(row, frame.downs_mm[row], width, by)
        first = _radius_mm(0, 0.0, frame.widths_mm[0], by)
        left_end = -0.5 * frame.widths_mm[0] / first
        share = SHARE_LEFT[by.align]
        start = left_end + share * (frame.widths_mm[0] / first - width / radius)
        x0, y0 = first * math.sin(left_end), first * math.cos(left_end)
    else:
        radius = _radius_mm(row, 0.0, width, by)
        start = -0.5 * width / radius
        x0, y0 = _middle_mm(row, frame, radius * way)
    angle = start + (block.x_mm + 0.5 * block.width_mm) / radius
    turn = -way * angle
    x_mm = radius * math.sin(angle) - x0
    y_mm = way * (radius * math.cos(angle) - y0)
    c, s = math.cos(turn), math.sin(turn)
    for glyph_id, along_mm, y in block.glyphs:
        x = along_mm - 0.5 * block.width_mm
        yield Glyph(
            glyph_id=glyph_id,
            line=row + 1,
            letter=block.letter,
            x_mm=x_mm + c * x - s * y,
            y_mm=y_mm + s * x + c * y,
            turn_rad=turn,
        )


def _middle_mm(row: int, frame: _Frame, upward_mm: float) -> tuple[float, float]:
    """What to take off a place around a circle of its own, whose apex is under the first line."""
    way = math.copysign(1.0, upward_mm)
    return -0.5 * _span_mm(frame), abs(upward_mm) + way * frame.downs_mm[row]


def _radius_mm(row: int, down: float, width_mm: float, settings: Settings) -> float:
    """Radius of a line's baseline: lower lines lie nearer the centre above it, farther below."""
    if settings.arc_mm is None:
        msg = "straight lines have no radius"
        raise ValueError(msg)
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
