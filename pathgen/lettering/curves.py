"""HarfBuzz draws a glyph; its curves become polylines.

Curves are flattened so that no chord strays from its curve by more than a tolerance. The
number of pieces follows from the second differences of the control points: a curve of degree
n strays from m chords by at most n (n - 1) / (8 m^2) times the largest of them (a bound
credited to Wang, 1984; quoted from memory, and tested).
"""

import math
from functools import cache

import numpy as np
import uharfbuzz as hb

from pathgen.geometry import Points
from pathgen.interrupts import held

__all__ = ["drawn"]

_Point = tuple[float, float]
_Ring = list[_Point]
_Pen = tuple[list[_Ring], float]

# More pieces than this would mean coordinates far outside any em.
_MOST_PIECES = 200


def drawn(font: hb.Font, glyph_id: int, tolerance_fu: float) -> tuple[Points, ...]:
    """Closed contours of a glyph in font units, each (N, 2), first point not repeated.

    As drawn: in the font's own order and direction, overlaps left as they are. Empty for a
    glyph without ink. Contours of fewer than three different points are left out.
    """
    rings: list[_Ring] = []
    with held():  # what is raised in a callback is lost, and the rest of the glyph drawn without
        font.draw_glyph(glyph_id, _recorder(), (rings, tolerance_fu))
    return tuple(np.array(r) for r in map(_tidied, rings) if len(set(r)) > 2)


def _tidied(ring: _Ring) -> _Ring:
    """Ring without points that the next one, or the first after the last, repeats."""
    return [p for p, ahead in zip(ring, [*ring[1:], ring[0]], strict=True) if p != ahead]


@cache
def _recorder() -> hb.DrawFuncs:
    """Callbacks that write a glyph's contours into ``(rings, tolerance_fu)``."""
    funcs = hb.DrawFuncs()

    def move(x: float, y: float, pen: _Pen) -> None:
        pen[0].append([(x, y)])

    def line(x: float, y: float, pen: _Pen) -> None:
        pen[0][-1].append((x, y))

    def quadratic(bx: float, by: float, x: float, y: float, pen: _Pen) -> None:
        ring = pen[0][-1]
        ax, ay = ring[-1]
        bend = math.hypot(ax - 2.0 * bx + x, ay - 2.0 * by + y)
        for a, b, c in _quadratic_weights(_pieces(0.25 * bend, pen[1])):
            ring.append((a * ax + b * bx + c * x, a * ay + b * by + c * y))

    def cubic(bx: float, by: float, cx: float, cy: float, x: float, y: float, pen: _Pen) -> None:
        ring = pen[0][-1]
        ax, ay = ring[-1]
        bend = max(
            math.hypot(ax - 2.0 * bx + cx, ay - 2.0 * by + cy),
            math.hypot(bx - 2.0 * cx + x, by - 2.0 * cy + y),
        )
        for a, b, c, d in _cubic_weights(_pieces(0.75 * bend, pen[1])):
            ring.append((a * ax + b * bx + c * cx + d * x, a * ay + b * by + c * cy + d * y))

    funcs.set_move_to_func(move)
    funcs.set_line_to_func(line)
    funcs.set_quadratic_to_func(quadratic)
    funcs.set_cubic_to_func(cubic)
    return funcs


def _pieces(bend: float, tolerance: float) -> int:
    """Chords that keep a curve of this bend within tolerance."""
    return min(_MOST_PIECES, max(1, math.ceil(math.sqrt(bend / tolerance))))


@cache
def _quadratic_weights(count: int) -> tuple[tuple[float, float, float], ...]:
    """Weights of the control points at the ends of ``count`` pieces, even in the parameter."""
    shares = [(step / count, 1.0 - step / count) for step in range(1, count + 1)]
    return tuple((s * s, 2.0 * s * t, t * t) for t, s in shares)


@cache
def _cubic_weights(count: int) -> tuple[tuple[float, float, float, float], ...]:
    """The same for a cubic curve."""
    shares = [(step / count, 1.0 - step / count) for step in range(1, count + 1)]
    return tuple((s * s * s, 3.0 * s * s * t, 3.0 * s * t * t, t * t * t) for t, s in shares)
