"""HarfBuzz draws a glyph; its curves become polylines.

Curves are flattened so that no chord strays from its curve by more than a tolerance. The
number of pieces follows from the second differences of the control points: a curve of degree
n strays from m chords by at most n (n - 1) / (8 m^2) times the largest of them (a bound
credited to Wang, 1984; quoted from memory, and tested).
"""

import math
from collections.abc import Callable
from functools import cache

import numpy as np
import uharfbuzz as hb

from pathgen.geometry import Points

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
        control = (ring[-1], (bx, by), (x, y))
        count = _pieces(0.25 * _bend(control), pen[1])
        ring.extend(_points(count, _quadratic_weights, control))

    def cubic(bx: float, by: float, cx: float, cy: float, x: float, y: float, pen: _Pen) -> None:
        ring = pen[0][-1]
        control = (ring[-1], (bx, by), (cx, cy), (x, y))
        count = _pieces(0.75 * _bend(control), pen[1])
        ring.extend(_points(count, _cubic_weights, control))

    funcs.set_move_to_func(move)
    funcs.set_line_to_func(line)
    funcs.set_quadratic_to_func(quadratic)
    funcs.set_cubic_to_func(cubic)
    return funcs


def _bend(control: tuple[_Point, ...]) -> float:
    """Largest second difference of the control points."""
    return max(
        math.hypot(a[0] - 2.0 * b[0] + c[0], a[1] - 2.0 * b[1] + c[1])
        for a, b, c in zip(control, control[1:], control[2:], strict=False)
    )


def _pieces(bend: float, tolerance: float) -> int:
    """Chords that keep a curve of this bend within tolerance."""
    return min(_MOST_PIECES, max(1, math.ceil(math.sqrt(bend / tolerance))))


def _quadratic_weights(t: float) -> tuple[float, ...]:
    s = 1.0 - t
    return (s * s, 2.0 * s * t, t * t)


def _cubic_weights(t: float) -> tuple[float, ...]:
    s = 1.0 - t
    return (s * s * s, 3.0 * s * s * t, 3.0 * s * t * t, t * t * t)


def _points(
    count: int,
    weights: Callable[[float], tuple[float, ...]],
    control: tuple[_Point, ...],
) -> _Ring:
    """Points of a Bezier curve after its first, evenly spaced in its parameter."""
    out = []
    for step in range(1, count + 1):
        w = weights(step / count)
        out.append(
            (
                sum(k * p[0] for k, p in zip(w, control, strict=True)),
                sum(k * p[1] for k, p in zip(w, control, strict=True)),
            )
        )
    return out
