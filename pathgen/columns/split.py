"""Ink becomes stroke columns.

The way of a polygon, each stage in the file of its name, lengths in ems throughout::

    outline -> triangles -> branches -> joints -> serifs -> pairing -> strokes -> rungs

Plain bars need none of it (see `bars`).

The unit of a threshold is in its name or in the comment above it. Behind it stands what becomes of
496 letters of eight faces if it is 30 % less or more (tests/bench/thresholds.py): letters lost or
won, by the number of columns that a person would draw; cover and spill in percent of the ink;
"alike" where other columns are as good, "same" where they are the very same.

Inner edges of the triangles are rungs, so strokes are followed on the chordal axis (Prasad
1997, see `triangles`). On the medial axis (Blum, "A transformation for extracting new
descriptors of shape", 1967) widths overshoot at joints, by 17 % in an L, 25 % in a T and 41 %
in an X; here they are those of the arms.
"""

import logging
from collections.abc import Callable, Sequence
from typing import TypeVar

import numpy as np

from pathgen.columns.arranging import directed, place
from pathgen.columns.bars import bar
from pathgen.columns.blobs import is_blob, swept
from pathgen.columns.branches import branches, ring_walk
from pathgen.columns.contours import are_strokes, drawn_shapes, members
from pathgen.columns.hollows import kept_inside
from pathgen.columns.joints import gathered, merged
from pathgen.columns.outline import Outline, settled, traced
from pathgen.columns.rails import Rails
from pathgen.columns.rungs import evened, mended
from pathgen.columns.serifs import scale_of, without_serifs, without_spurs, without_stubs
from pathgen.columns.strokes import stroked
from pathgen.columns.triangles import Mesh, shaved, triangulated
from pathgen.geometry import Points, middle
from pathgen.model import Column
from pathgen.polygons import (
    Polygon,
    area,
    filled_apart,
    inset,
    rings_of,
    simplified,
    thinned,
    vertices,
)

__all__ = ["split", "split_glyph"]

_log = logging.getLogger(__name__)

# Rails in ems, and whether they are a ring.
_Stroke = tuple[Rails, bool]

# Where rings meet in a point, the outline steps inward by this, in ems, to part them.
PART_EM = 1.0 / 1500.0  # -30 %: same; +30 %: same

# Strokes that make up less of the ink than this are no way to sew it; sweeping may be.
LEAST_SHARE = 0.7  # -30 %: same; +30 %: same

# A glyph of more points than this, or a piece of ink of more vertices, is no letter, and triangles
# take time that grows with their square: 0.2 s for these. It is roughened from ROUGH_EM on,
# twice as much each time.
MOST_POINTS = 6000  # -30 %: same; +30 %: same
MOST_VERTICES = 3000  # -30 %: same; +30 %: same
ROUGH_EM = 1.0 / 2000.0  # -30 %: same; +30 %: same
ROUGH_MOST_EM = 1.0 / 10.0  # -30 %: same; +30 %: same

# An outline with more arms than this is no letter, and pairing them takes time that grows with
# the square of their number; it is swept.
MOST_ARMS = 200  # -30 %: same; +30 %: same

# Ink in a square of this side, in ems, is dust: 0.035 mm at 5 mm capitals.
DUST_EM = 1.0 / 200.0  # -30 %: same; +30 %: same


def split_glyph(
    rings: Sequence[Points], em: float
) -> tuple[tuple[Polygon, ...], tuple[Column, ...]]:
    """Ink and stroke columns of a glyph.

    Parameters
    ----------
    rings : sequence of (N, 2) float
        Closed contours as the font draws them, in font units, first point not repeated. They
        may overlap; they are filled by the non-zero rule.
    em : float
        Font units to the em.

    Returns
    -------
    ink : tuple of Polygon
        The filled outline, largest piece first, without dust.
    columns : tuple of Column
        Piece by piece. Where contours overlap and each of them alone is one column, those are
        the columns, in the font's order; else those of `split`.
    """
    rings = _thinned(rings, em)
    filling, apart = filled_apart(rings)
    ink = tuple(piece for piece in filling if area(piece) >= (DUST_EM * em) ** 2)
    drawn = () if apart else drawn_shapes(rings)
    columns: list[Column] = []
    for piece in ink:
        shapes = members(piece, drawn, whole=len(ink) == 1)
        singles = [split(shape, em) for shape in shapes]
        if are_strokes(shapes, singles):
            columns += [single[0] for single in singles]
        else:
            columns += split(piece, em)
    return ink, tuple(columns)


def split(polygon: Polygon, em: float) -> tuple[Column, ...]:
    """Stroke columns of one polygon, stems downward, bars to the right, from the upper left on.

    Parameters
    ----------
    polygon : Polygon
        One piece of ink, holes and all, in font units.
    em : float
        Font units to the em.

    Returns
    -------
    tuple of Column
        In the polygon's units. No two neighbouring rungs cross. Empty only for a polygon too
        thin for any rung.

    Notes
    -----
    Never raises for a valid polygon: one that does not resolve into strokes is swept across
    its longer axis. Scaling polygon and ``em``, moving the polygon, or starting its rings
    elsewhere changes nothing but the numbers' last digits.
    """
    plain = _plain_bar(polygon, em)
    if plain is not None:
        return (plain,)
    outline = traced(_bounded(polygon, em), em)
    if outline is None:
        return ()
    if outline.pinched:
        pieces = inset(polygon, PART_EM * em)
        return tuple(column for piece in pieces for column in split(piece, em))
    whole = _mended(outline, _strokes(outline))
    if _share(outline, whole) < LEAST_SHARE:
        swept_whole = _mended(outline, _swept(outline))
        whole = max(whole, swept_whole, key=lambda strokes: _share(outline, strokes))
    whole.sort(key=lambda stroke: place(stroke[0]))
    return tuple(_column(rails, outline.origin, em, closed=closed) for rails, closed in whole)


def _plain_bar(polygon: Polygon, em: float) -> Column | None:
    """The column of a polygon that is a plain bar."""
    if vertices(polygon) != 5:  # four corners, the first again at the end
        return None
    ring = rings_of(polygon)[0]
    origin = ring.min(axis=0)
    rails = bar(settled((ring - origin) / em))
    return None if rails is None else _column(directed(rails, closed=False), origin, em)


def _mended(outline: Outline, strokes: Sequence[_Stroke]) -> list[_Stroke]:
    """The strokes that have rungs left when those outside the ink are gone, directed."""
    inside = kept_inside(outline, list(mended(outline, strokes)))
    return [(directed(rails, closed=closed), closed) for rails, closed in inside]


def _share(outline: Outline, strokes: Sequence[_Stroke]) -> float:
    """Area of the strokes over that of the ink, overlaps counted twice."""
    return sum(rails.area for rails, _ in strokes) / outline.ink.area


def _thinned(rings: Sequence[Points], em: float) -> Sequence[Points]:
    """Contours of no more than `MOST_POINTS` in all, roughened as little as that takes.

    Roughened by `ROUGH_MOST_EM` if no less would do.
    """

    def rougher(rings: Sequence[Points], rough_em: float) -> Sequence[Points]:
        return [thinned(ring, rough_em * em) for ring in rings]

    return _roughened(rings, lambda rings: sum(map(len, rings)), MOST_POINTS, rougher)


def _bounded(polygon: Polygon, em: float) -> Polygon:
    """Polygon of no more than `MOST_VERTICES`, its outline roughened as little as that takes.

    Roughened by `ROUGH_MOST_EM` if no less would do.
    """

    def rougher(polygon: Polygon, rough_em: float) -> Polygon:
        return simplified(polygon, rough_em * em)

    return _roughened(polygon, vertices, MOST_VERTICES, rougher)


_Drawn = TypeVar("_Drawn")


def _roughened(
    drawn: _Drawn,
    size: Callable[[_Drawn], int],
    most: int,
    rougher: Callable[[_Drawn, float], _Drawn],
) -> _Drawn:
    """What is drawn, roughened from `ROUGH_EM` on until its size is no more than ``most``."""
    if size(drawn) <= most:
        return drawn
    roughest = rougher(drawn, ROUGH_MOST_EM)
    if size(roughest) > most:  # asked first, as roughening takes time that grows with the square
        return roughest
    rough_em = ROUGH_EM
    while size(drawn) > most and rough_em <= ROUGH_MOST_EM:
        drawn = rougher(drawn, rough_em)
        rough_em *= 2.0
    return drawn


def _strokes(outline: Outline) -> list[_Stroke]:
    """The strokes of an outline; none if it does not resolve into any."""
    if is_blob(outline):
        return _swept(outline)
    try:
        mesh = shaved(outline, triangulated(outline))
        return _ring(outline, mesh) or _open_strokes(outline, mesh)
    except (ValueError, LookupError, ArithmeticError) as error:
        # The promise never to raise is kept here, for outlines that no one has drawn yet.
        _log.debug("swept, not split: %r", error)
        return []


def _swept(outline: Outline) -> list[_Stroke]:
    """The outline as one blob."""
    return [(swept(outline), False)]


def _ring(outline: Outline, mesh: Mesh) -> list[_Stroke]:
    """The one stroke of a ring such as O; none for any other shape."""
    walk = ring_walk(mesh)
    if walk is None:
        return []
    rails = Rails(outline.points[walk.left], outline.points[walk.right])
    across = rails.left - rails.right
    width = middle(np.hypot(across[:, 0], across[:, 1]))
    return [(evened(rails, width, closed=True), True)]


def _open_strokes(outline: Outline, mesh: Mesh) -> list[_Stroke]:
    """Strokes of a shape with joints or free ends; none if it has no branches, or too many."""
    bones = gathered(outline, mesh, branches(outline, mesh))
    if not 0 < len(bones.arms) <= MOST_ARMS:
        return []
    scale = scale_of(bones)
    bones = without_stubs(bones, scale)
    # Before joints are merged, so that the slab of a short stem does not merge with its bar, and
    # after, when all the wings of a slab meet in one joint.
    bones = without_serifs(merged(without_serifs(bones, scale)), scale)
    return stroked(without_spurs(bones, scale))


def _column(rails: Rails, origin: Points, em: float, *, closed: bool = False) -> Column:
    """Rails back in the polygon's units."""
    left, right = (origin + rail * em for rail in rails)
    return Column(left=left, right=right, closed=closed)
