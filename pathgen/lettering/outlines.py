"""Outlines of glyphs as closed polylines, in font units.

A font may draw a glyph with any number of points, or as a scribble whose edges all cross. No letter
is drawn so, and filling it would take all time and memory there is, so it is refused.
"""

from collections.abc import Sequence

from pathgen.errors import FontError
from pathgen.geometry import Points
from pathgen.lettering.curves import drawn
from pathgen.lettering.fontfile import Face
from pathgen.polygons import edge_crossings

__all__ = ["FLATTEN_EM", "glyph_rings"]

# Largest distance between chord and curve, in ems: 0.0036 mm at 5 mm capitals.
FLATTEN_EM = 1.0 / 2000.0

# Measured on 75 published faces: at most 2,015 points and 68 contours a glyph.
MOST_POINTS = 10_000
MOST_CONTOURS = 1_000
MOST_CROSSINGS = 10_000
# Up to this many points can cross one another only as often as still takes no time.
FEW_POINTS = 300


def glyph_rings(face: Face, glyph_id: int) -> tuple[Points, ...]:
    """Closed contours of a glyph, each (N, 2), first point not repeated.

    As drawn: in the font's own order and direction, overlaps left as they are. Empty for a
    glyph without ink. Contours of fewer than three different points are left out.

    Raises
    ------
    FontError
        If it is drawn with more points, contours or crossings than any letter has.
    """
    rings = drawn(face.hb_font, glyph_id, FLATTEN_EM * face.facts.units_per_em)
    _check_plain(face, glyph_id, rings)
    return rings


def _check_plain(face: Face, glyph_id: int, rings: Sequence[Points]) -> None:
    """Refuse what no letter is drawn like."""
    points = sum(map(len, rings))
    if points > MOST_POINTS:
        raise _too_much(face, glyph_id, f"{points:,} points", MOST_POINTS)
    if len(rings) > MOST_CONTOURS:
        raise _too_much(face, glyph_id, f"{len(rings):,} contours", MOST_CONTOURS)
    if points > FEW_POINTS and edge_crossings(rings, MOST_CROSSINGS) > MOST_CROSSINGS:
        raise _too_much(face, glyph_id, f"over {MOST_CROSSINGS:,} crossings", MOST_CROSSINGS)


def _too_much(face: Face, glyph_id: int, what: str, most: int) -> FontError:
    return FontError(
        f"font {face.facts.source} draws its glyph {glyph_id} with {what}; allowed up to {most:,}; "
        "choose a plainer face"
    )
