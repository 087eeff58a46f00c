"""Centre lines become outlines: a stroke is a path, and its rails lie half a width to each side.

A path is written as words, read from left to right::

    50,700 50,0            straight from point to point
    h 360,290              quarter ellipse that leaves level and arrives upright
    v 275,40               quarter ellipse that leaves upright and arrives level
    arc 240,350 190,310 45 315    part of an ellipse: centre, half axes, first and last angle
    ring 240,350 190,310   a whole ellipse, closed

The angles of an arc are those of its normal, so that they also tell how an end is cut; growing
angles run counter-clockwise. A stroke is smooth: where a corner is wanted, two strokes meet.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

__all__ = ["Contour", "Station", "Stroke", "contours_of", "read_path"]

ARC_STEP_DEG = 22.5
"""Widest angle that one quadratic piece spans; divides 90, so extremes are points."""

SMOOTH_RAD = 0.03
"""Largest turn between two pieces of one stroke that still counts as smooth."""

TOUCH = 0.5
"""Distance in font units up to which two pieces count as joined."""

QUARTER = {"h": (0.0, 1.0), "v": (1.0, 0.0)}


class Vertex(NamedTuple):
    """One point of an outline; off-curve points are quadratic controls."""

    x: float
    y: float
    on_curve: bool


Contour = list[Vertex]


class Station(NamedTuple):
    """A place on a centre line with its unit direction of travel."""

    x: float
    y: float
    dx: float
    dy: float
    bent: bool  # whether the piece that arrives here is curved

    def beside(self, offset: float) -> tuple[float, float]:
        """The point ``offset`` to the left of travel."""
        return self.x - offset * self.dy, self.y + offset * self.dx


@dataclass(frozen=True, slots=True, kw_only=True)
class Stroke:
    """One stroke as the source states it.

    Attributes
    ----------
    path : str
        Centre line in the words of this module.
    width : float
        Distance between the rails, font units.
    start, end : tuple of str
        Where the left and the right rail end, such as ``("y 700", "x 80")``; empty for an end
        that is square to the stroke.
    """

    path: str
    width: float
    start: tuple[str, ...] = ()
    end: tuple[str, ...] = ()


def read_path(path: str) -> tuple[list[Station], bool]:
    """Stations of a centre line, and whether it is a ring.

    Raises
    ------
    ValueError
        If a word is not understood or the line has a corner.
    """
    words = path.split()
    line: list[Station] = []
    at: tuple[float, float] | None = None
    while words:
        word = words.pop(0)
        if word == "ring":
            return _ellipse_arc(_pair(words.pop(0)), _pair(words.pop(0)), 0.0, 360.0), True
        if word == "arc":
            centre, axes = _pair(words.pop(0)), _pair(words.pop(0))
            piece = _ellipse_arc(centre, axes, float(words.pop(0)), float(words.pop(0)))
        elif word in QUARTER and at is not None:
            piece = _quarter(at, _pair(words.pop(0)), word)
        else:
            there = _pair(word)
            piece = _straight(at, there) if at is not None else []
            at = there
        if piece:
            if at is not None and word == "arc":
                _append(line, _straight(at, (piece[0].x, piece[0].y)), path)
            _append(line, piece, path)
            at = (line[-1].x, line[-1].y)
    return line, False


def _pair(word: str) -> tuple[float, float]:
    """Two numbers written with a comma between them."""
    x, y = word.split(",")
    return float(x), float(y)


def _append(line: list[Station], piece: list[Station], path: str) -> None:
    """Add a piece to a line, or say that it does not go on smoothly."""
    if not piece:
        return
    if line:
        last, first = line[-1], piece[0]
        gap = math.hypot(last.x - first.x, last.y - first.y)
        turn = abs(
            math.atan2(
                last.dx * first.dy - last.dy * first.dx, last.dx * first.dx + last.dy * first.dy
            )
        )
        if gap > TOUCH or turn > SMOOTH_RAD:
            msg = f"{path!r}: gap {gap:.1f}, turn {math.degrees(turn):.1f} degrees before {first}"
            raise ValueError(msg)
        piece = piece[1:]
    line.extend(piece)


def _straight(a: tuple[float, float], b: tuple[float, float]) -> list[Station]:
    """Two stations, or none where the points coincide."""
    size = math.hypot(b[0] - a[0], b[1] - a[1])
    if size <= TOUCH:
        return []
    dx, dy = (b[0] - a[0]) / size, (b[1] - a[1]) / size
    return [Station(*a, dx, dy, False), Station(*b, dx, dy, False)]


def _quarter(a: tuple[float, float], b: tuple[float, float], leave: str) -> list[Station]:
    """Quarter of an ellipse from ``a`` to ``b`` that leaves level (h) or upright (v)."""
    level = 0.0 if (b[0] > a[0]) == (leave == "h") else 180.0
    upright = 90.0 if (b[1] < a[1]) == (leave == "h") else 270.0
    first, last = (upright, level) if leave == "h" else (level, upright)
    last += 360.0 * round((first - last) / 360.0)
    centre = (a[0], b[1]) if leave == "h" else (b[0], a[1])
    return _ellipse_arc(centre, (abs(b[0] - a[0]), abs(b[1] - a[1])), first, last)


def _ellipse_arc(
    centre: tuple[float, float], axes: tuple[float, float], first: float, last: float
) -> list[Station]:
    """Stations along an ellipse from one angle of its normal to another."""
    way = 1.0 if last > first else -1.0
    low, high = min(first, last), max(first, last)
    marks = range(math.floor(low / ARC_STEP_DEG) + 1, math.ceil(high / ARC_STEP_DEG))
    angles = [low, *(m * ARC_STEP_DEG for m in marks), high]
    out = []
    for index, angle in enumerate(angles if way > 0 else reversed(angles)):
        c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
        reach = math.hypot(axes[0] * c, axes[1] * s)  # support function of the ellipse
        x, y = centre[0] + axes[0] ** 2 * c / reach, centre[1] + axes[1] ** 2 * s / reach
        out.append(Station(x, y, -way * s, way * c, index > 0))
    return out


def contours_of(stroke: Stroke) -> list[Contour]:
    """Closed outlines of a stroke: one, or outer and inner for a ring; outer ones clockwise.

    Raises
    ------
    ValueError
        If a bend is tighter than half the width, or an end is cut back beyond its piece.
    """
    line, ring = read_path(stroke.path)
    left, right = (_rail(line, side * stroke.width / 2.0) for side in (1.0, -1.0))
    if ring:
        return [right[:0:-1], left[:-1]]
    for rail, side in ((left, 0), (right, 1)):
        _cut(rail, line, stroke, side)
    _check_forward(left, line, stroke)
    _check_forward(right, line, stroke)
    return [[*left, *reversed(right)]]


def _rail(line: Sequence[Station], offset: float) -> Contour:
    """One rail: on-curve points beside the stations, controls where their tangents cross."""
    x, y = line[0].beside(offset)
    rail = [Vertex(x, y, True)]
    for a, b in pairwise(line):
        x, y = b.beside(offset)
        if b.bent:
            ax, ay = a.beside(offset)
            cross = a.dx * b.dy - a.dy * b.dx
            go = ((x - ax) * b.dy - (y - ay) * b.dx) / cross
            rail.append(Vertex(ax + go * a.dx, ay + go * a.dy, False))
        rail.append(Vertex(x, y, True))
    return rail


def _cut(rail: Contour, line: Sequence[Station], stroke: Stroke, side: int) -> None:
    """Slide both ends of a rail along the stroke to where the source wants them."""
    for index, cut in ((0, stroke.start), (-1, stroke.end)):
        if not cut:
            continue
        axis, value = cut[side % len(cut)].split()
        point, way = rail[index], line[index]
        go = (
            (float(value) - point.x) / way.dx
            if axis == "x"
            else ((float(value) - point.y) / way.dy)
        )
        rail[index] = Vertex(point.x + go * way.dx, point.y + go * way.dy, True)


def _check_forward(rail: Contour, line: Sequence[Station], stroke: Stroke) -> None:
    """Every piece of a rail must run the way that its centre line runs."""
    on = [vertex for vertex in rail if vertex.on_curve]
    for a, b, way in zip(on, on[1:], line[1:], strict=False):
        if (b.x - a.x) * way.dx + (b.y - a.y) * way.dy <= 0.0:
            msg = f"{stroke.path!r}: a rail turns back near {way.x:.0f},{way.y:.0f}"
            raise ValueError(msg)
