"""Contours that are strokes already.

Some fonts are drawn stroke by stroke, with contours that overlap and run the same way round
(variable fonts are, so that their weights can change). Where each contour alone is one
column, the designer has split the glyph, better than any method could.
"""

from collections.abc import Sequence

import numpy as np

from pathgen.geometry import Points, length, signed_area
from pathgen.model import Column
from pathgen.polygons import (
    Polygon,
    area,
    filled,
    holds,
    joined,
    outside_area,
    solid,
)

__all__ = ["are_strokes", "drawn_shapes", "members"]

# Share of an area that may be missing, or left over, when shapes are said to make up a whole.
REMAINDER = 1e-3  # -30 %: same; +30 %: same

# A contour is a stroke of its own if this share of it lies outside the contours before it.
OWN_SHARE = 0.02  # -30 %: same; +30 %: same

# Shapes are compared with one another; a glyph of more contours than this was not drawn stroke by
# stroke.
MOST_DRAWN = 50  # -30 %: same; +30 %: same

# A contour is one stroke if its column takes up this share of it: else something stands out, like
# the wedge between the stem of a K and its arms.
WHOLE_SHARE = 0.98  # -30 %: 2 lost; +30 %: alike

# A contour narrower and shorter than this, in widths of the glyph's widest, is the slab of a serif:
# such a glyph is split as a whole, so that serifs go with their stems.
SLAB_THIN = 0.75  # -30 %: same; +30 %: same
SLAB_LONG = 4.0  # -30 %: alike; +30 %: same


def drawn_shapes(rings: Sequence[Points]) -> tuple[Polygon, ...]:
    """Shape of each outer contour with its own counters, in the font's order.

    Empty if there are more than `MOST_DRAWN`, or if they do not resolve into simple shapes.
    """
    if not 1 < len(rings) <= MOST_DRAWN:
        return ()
    areas = [signed_area(ring) for ring in rings]
    forward = max(areas, key=abs) > 0.0
    outers = [ring for ring, a in zip(rings, areas, strict=True) if (a > 0.0) == forward]
    inners = [ring for ring, a in zip(rings, areas, strict=True) if (a > 0.0) != forward]
    counters: list[list[Points]] = [[] for _ in outers]
    for inner in inners:
        around = [k for k, outer in enumerate(outers) if holds(solid([outer]), inner).all()]
        if not around:
            return ()
        counters[min(around, key=lambda k: abs(signed_area(outers[k])))].append(inner)
    shapes = [filled([outer, *own]) for outer, own in zip(outers, counters, strict=True)]
    if any(len(shape) != 1 for shape in shapes):
        return ()
    return tuple(shape[0] for shape in shapes)


def members(ink: Polygon, shapes: Sequence[Polygon], *, whole: bool) -> tuple[Polygon, ...]:
    """The shapes that together make up one polygon of the ink; none if they do not.

    ``whole`` says that the polygon is all the ink there is, so that all shapes lie in it.
    """
    inside = [s for s in shapes if whole or outside_area(s, ink) <= REMAINDER * area(s)]
    own = inside[:1]
    for shape in inside[1:]:
        if outside_area(shape, joined(own)) > OWN_SHARE * area(shape):
            own.append(shape)
    if len(own) < 2:
        return ()
    is_all = whole and len(own) == len(shapes)
    if not is_all and outside_area(ink, joined(own)) > REMAINDER * area(ink):
        return ()
    return tuple(own)


def are_strokes(shapes: Sequence[Polygon], splits: Sequence[Sequence[Column]]) -> bool:
    """Whether shapes that were split one by one are one stroke each, and none is a serif."""
    if not splits or any(len(columns) != 1 for columns in splits):
        return False
    strokes = [columns[0] for columns in splits]
    if any(_share(s, shape) < WHOLE_SHARE for s, shape in zip(strokes, shapes, strict=True)):
        return False
    widths = [stroke.usual_width for stroke in strokes]
    widest = max(widths)
    return not any(
        width < SLAB_THIN * widest and length(stroke.centre) < SLAB_LONG * widest
        for width, stroke in zip(widths, strokes, strict=True)
    )


def _share(stroke: Column, shape: Polygon) -> float:
    """Area of a column over that of its shape."""
    if stroke.closed:
        return abs(abs(signed_area(stroke.left)) - abs(signed_area(stroke.right))) / area(shape)
    return abs(signed_area(np.concatenate([stroke.left, stroke.right[::-1]]))) / area(shape)
