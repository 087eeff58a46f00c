"""Shaped glyphs become letters in their places, with ink and stroke columns.

A glyph is split into columns once, in font units; a letter's shape is made once for each size
and turn. Both are kept, so that a letter that comes again costs nothing.
"""

from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import groupby
from typing import NamedTuple

from pathgen.column import Column, columns_placed
from pathgen.columns.split import split_glyph
from pathgen.crossings import Outlines, together
from pathgen.errors import TextError
from pathgen.lettering.fontfile import Face
from pathgen.lettering.outlines import glyph_rings
from pathgen.lettering.text import is_blank
from pathgen.meetings import Meeting, meetings
from pathgen.model import Layout, Letter, LetterShape
from pathgen.polygons import (
    Polygon,
    area,
    band,
    joined,
    moved,
    outlines_of,
    outside_area,
    simplified,
)

__all__ = ["letters_of"]

# Ink and covers are what travel is weighed against; this much of an em off, they have a third of
# the points.
COVER_EM = 1.0 / 1000.0


class _GlyphColumns(NamedTuple):
    """Ink and columns of a glyph in font units, with what `LetterShape` says of them."""

    ink: tuple[Polygon, ...]
    columns: tuple[Column, ...]
    ink_lines: Outlines
    cover_lines: Outlines
    ink_fu2: float
    bare_fu2: float
    meetings: tuple[Meeting, ...]


@lru_cache(maxsize=4096)
def _split(face: Face, glyph_id: int) -> _GlyphColumns:
    """Split a glyph: once for all sizes and settings."""
    ink, columns = split_glyph(glyph_rings(face, glyph_id), float(face.facts.units_per_em))
    covers = tuple(band(c.left, c.right, closed=c.closed) for c in columns)
    inked = joined(ink)
    bare = outside_area(inked, joined(covers))
    tolerance = COVER_EM * face.facts.units_per_em
    lines = [outlines_of([simplified(s, tolerance) for s in shapes]) for shapes in (ink, covers)]
    met = meetings(columns)
    return _GlyphColumns(ink, columns, lines[0], lines[1], area(inked), bare, met)


def letters_of(layout: Layout, faces: Sequence[Face]) -> Iterator[Letter]:
    """Letters with ink, each in its place."""
    for (line, index), group in groupby(layout.glyphs, key=lambda g: (g.line, g.letter)):
        text = layout.lines[line - 1][index - 1]
        glyphs = tuple(group)
        at_mm = x, y = glyphs[0].x_mm, glyphs[0].y_mm
        parts = [(glyphs[0].glyph_id, 0.0, 0.0)]
        for glyph in glyphs[1:]:
            off = round(glyph.x_mm - x, PART_DECIMALS), round(glyph.y_mm - y, PART_DECIMALS)
            parts.append((glyph.glyph_id, *off))
        scale = layout.scales_mm_per_fu[line - 1]
        shape = _shape(faces[line - 1], tuple(parts), glyphs[0].turn_rad, scale)
        if shape.ink:
            yield Letter(line=line, index=index, text=text, shape=shape, at_mm=at_mm)
        elif not is_blank(text):
            msg = f"face has no outline for {text!r}, letter {index} of line {line}"
            raise TextError(msg)


# Offsets of a letter's parts are rounded to this many decimals of a mm, so that a mark sits the
# same on its letter wherever that stands in the line.
PART_DECIMALS = 9


@lru_cache(maxsize=4096)
def _shape(
    face: Face, parts: tuple[tuple[int, float, float], ...], turn_rad: float, scale: float
) -> LetterShape:
    """What a letter made of glyphs at offsets (glyph, x mm, y mm) looks like."""
    glyphs = [(_split(face, glyph_id), (scale, turn_rad, x, y)) for glyph_id, x, y in parts]
    inked = sum(split.ink_fu2 for split, _ in glyphs)
    bare = sum(split.bare_fu2 for split, _ in glyphs)
    return LetterShape(
        ink=tuple(moved(shape, *where) for split, where in glyphs for shape in split.ink),
        columns=tuple(c for split, where in glyphs for c in columns_placed(split.columns, *where)),
        ink_lines=together([split.ink_lines.placed(*where) for split, where in glyphs]),
        cover_lines=together([split.cover_lines.placed(*where) for split, where in glyphs]),
        bare_share=bare / inked if inked > 0.0 else 0.0,
        turn_rad=turn_rad,
        meetings=tuple(_met([split for split, _ in glyphs])),
    )


def _met(glyphs: Sequence[_GlyphColumns]) -> Iterator[Meeting]:
    """Meetings inside each glyph, columns numbered on from one to the next."""
    before = 0
    for split in glyphs:
        for met in split.meetings:
            yield met._replace(column=met.column + before, other=met.other + before)
        before += len(split.columns)
