"""Outlines of glyphs as closed polylines, in font units."""

from pathgen.geometry import Points
from pathgen.lettering.curves import drawn
from pathgen.lettering.fontfile import Face

__all__ = ["FLATTEN_EM", "glyph_rings"]

# Largest distance between chord and curve, in ems: 0.0036 mm at 5 mm capitals.
FLATTEN_EM = 1.0 / 2000.0


def glyph_rings(face: Face, glyph_id: int) -> tuple[Points, ...]:
    """Closed contours of a glyph, each (N, 2), first point not repeated.

    As drawn: in the font's own order and direction, overlaps left as they are. Empty for a
    glyph without ink. Contours of fewer than three different points are left out.
    """
    return drawn(face.hb_font, glyph_id, FLATTEN_EM * face.facts.units_per_em)
