"""Triangles that span the strokes.

The constrained Delaunay triangles of an outline with evenly spaced points lie across its
strokes: an inner edge joins two outline points that face each other, so it is a rung already.
A triangle with two inner edges is a piece of a stroke, one with three a joint, one with one a
tip. (Prasad, "Morphological analysis of shapes", CNLS Newsletter 139, Los Alamos, 1997,
calls the midpoints of the inner edges the chordal axis; Chen, Lian, Tang and Xiao, "A benchmark
for stroke extraction of Chinese characters", Acta Sci. Nat. Univ. Pekinensis 52(1), 2016, split
characters this way.)
"""

from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.columns.outline import Outline
from pathgen.columns.plane import turn
from pathgen.polygons import constrained_triangles

__all__ = ["Mesh", "SplitError", "Walk", "shaved", "triangulated", "walked"]


# An ear that stands out of its stroke by no more than this, in mean stroke widths, is shaved off.
EAR_WIDTHS = 0.03  # -30 %: 1 lost; +30 %: alike

# No ear has more triangles than this.
EAR_TRIANGLES = 3  # -30 %: same; +30 %: same


class SplitError(ValueError):
    """An outline that the triangles do not resolve into strokes."""


@dataclass(frozen=True, slots=True, eq=False)
class Mesh:
    """Triangles of an outline.

    Attributes
    ----------
    corners : (T, 3) int
        Outline points of each triangle, counter-clockwise.
    inner : (T, 3) bool
        Whether the edge from corner k to the next lies inside the ink.
    degree : (T,) int
        How many of its edges do: 1 in a tip, 2 in a stroke, 3 in a joint; 0 in a triangle
        that has been shaved off.
    facing : dict
        From a directed inner edge, coded ``first * N + second``, to three times the number of
        the triangle on its left and which of its edges it is.
    apexes : list of int
        The third corner of that triangle, by the same number.
    after : list of int
        Next outline point.
    places : list of complex
        Where the outline points are.
    """

    corners: NDArray[np.int64]
    inner: NDArray[np.bool_]
    degree: NDArray[np.int8]
    facing: dict[int, int]
    apexes: list[int]
    after: list[int]
    places: list[complex]

    def mouths(self, triangle: int) -> list[tuple[int, int]]:
        """Inner edges of a triangle as (left, right), seen by one who leaves it."""
        a, b, c = self.corners[triangle].tolist()
        edges = zip(((b, a), (c, b), (a, c)), self.inner[triangle].tolist(), strict=True)
        return [edge for edge, inner in edges if inner]


def triangulated(outline: Outline) -> Mesh:
    """Triangles of an outline whose points are all different.

    Raises
    ------
    SplitError
        If the triangles are not between the outline's own points.
    """
    triangles = constrained_triangles(outline.leaning)
    numbers = triangles[..., 2]
    if np.isnan(numbers).any():
        msg = "the triangles have points that the outline has not"
        raise SplitError(msg)
    corners = _in_order(_turned(numbers.astype(np.int64), triangles))
    second, third = corners.take(_SECOND, axis=1), corners.take(_THIRD, axis=1)
    inner = outline.after.take(corners) != second
    edges = inner.ravel().nonzero()[0]
    codes = (corners * len(outline.points) + second).ravel().take(edges).tolist()
    facing, apexes = dict(zip(codes, edges.tolist(), strict=True)), third.ravel().tolist()
    after = outline.after.tolist()
    return Mesh(corners, inner, _degree(inner), facing, apexes, after, outline.places)


# From the corners of a triangle to those after them, and to those after these.
_SECOND, _THIRD = np.array([1, 2, 0]), np.array([2, 0, 1])


def _turned(corners: NDArray[np.int64], triangles: NDArray[np.float64]) -> NDArray[np.int64]:
    """Corners of triangles, those of clockwise ones turned round."""
    x, y = triangles[..., 0], triangles[..., 1]
    ax, ay = x[:, 0], y[:, 0]
    clockwise = (x[:, 1] - ax) * (y[:, 2] - ay) - (y[:, 1] - ay) * (x[:, 2] - ax) < 0.0
    return np.where(clockwise[:, None], corners[:, ::-1], corners)


def _in_order(corners: NDArray[np.int64]) -> NDArray[np.int64]:
    """Each triangle from its lowest corner on, and triangles by their last corners, falling."""
    a, b, c = corners.T
    from_b, from_c = (b < a) & (b < c), (c < a) & (c < b)
    first = np.where(from_b, b, np.where(from_c, c, a))
    second = np.where(from_b, c, np.where(from_c, a, b))
    third = np.where(from_b, a, np.where(from_c, b, c))
    count = int(corners.max()) + 1
    order = ((third * count + second) * count + first).argsort()[::-1]
    return np.array([first, second, third]).T.take(order, axis=0)


def _degree(inner: NDArray[np.bool_]) -> NDArray[np.int8]:
    """How many edges of each triangle are inner ones."""
    a, b, c = inner.view(np.int8).T
    return np.asarray(a + b + c)


class Walk(NamedTuple):
    """Rungs met when crossing triangles from one inner edge on.

    Attributes
    ----------
    left, right : list of int
        Outline points of each rung, seen in walking direction. The right rail follows the
        outline, the left one runs against it.
    tip : int or None
        Last outline point, where the walk ended in a tip.
    joint : int or None
        Triangle with three inner edges where it ended otherwise; None for a closed ring too.
    """

    left: list[int]
    right: list[int]
    tip: int | None
    joint: int | None


def walked(mesh: Mesh, left: int, right: int) -> Walk:
    """Walk across the edge with ``left`` and ``right`` at its sides as far as the stroke goes.

    A walk that comes back to its first rung is a ring; that rung is then repeated at the end.
    """
    after, facing, apexes, count = mesh.after, mesh.facing, mesh.apexes, len(mesh.after)
    lefts, rights, first = [left], [right], (left, right)
    while True:
        edge = facing[left * count + right]
        apex = apexes[edge]
        right_is_outline, left_is_outline = after[right] == apex, after[apex] == left
        if right_is_outline and left_is_outline:
            return Walk(lefts, rights, apex, None)
        if not right_is_outline and not left_is_outline:
            return Walk(lefts, rights, None, edge // 3)
        left, right = (left, apex) if right_is_outline else (apex, right)
        lefts.append(left)
        rights.append(right)
        if (left, right) == first:
            return Walk(lefts, rights, None, None)


def shaved(outline: Outline, mesh: Mesh) -> Mesh:
    """Mesh without the ears that make joints of the middle of a stroke.

    Where an outline bends in small arcs, as that of a pen drawn along a polyline does, a
    circle across the stroke passes through three points of one arc, and the triangle between
    them stands apart like an ear. Its base becomes the outline there.
    """
    after, gone = outline.after.copy(), []
    height = EAR_WIDTHS * outline.width_em
    for tip in (mesh.degree == 1).nonzero()[0].tolist():
        ear = _ear(mesh, tip, height)
        if ear is not None:
            start, end, triangles = ear
            after[start] = end
            gone += triangles
    if not gone:
        return mesh
    inner = mesh.inner & (after.take(mesh.corners) != mesh.corners.take(_SECOND, axis=1))
    inner[gone] = False
    degree = _degree(inner)
    return replace(mesh, inner=inner, degree=degree, after=after.tolist())


def _ear(mesh: Mesh, tip: int, height: float) -> tuple[int, int, list[int]] | None:
    """Both outline points of an ear's base, in outline order, and its triangles; None if none.

    An ear is low, and its base is an edge of a joint.
    """
    left, right = mesh.mouths(tip)[0]
    crest = [mesh.after[left]]
    if _rise(mesh, left, right, crest) > height:
        return None
    triangles, count = [tip], len(mesh.after)
    while len(triangles) <= EAR_TRIANGLES:
        edge = mesh.facing[left * count + right]
        triangle, apex = edge // 3, mesh.apexes[edge]
        if mesh.degree[triangle] == 3:
            low = _rise(mesh, left, right, crest) <= height
            return (left, right, triangles) if low else None
        if mesh.degree[triangle] == 1:
            return None
        triangles.append(triangle)
        if mesh.after[right] == apex:
            crest.append(right)
            right = apex
        else:
            crest.append(left)
            left = apex
    return None


def _rise(mesh: Mesh, start: int, end: int, crest: list[int]) -> float:
    """Largest distance of some outline points from the line through two others."""
    at = mesh.places
    base = at[end] - at[start]
    return max(abs(turn(base, at[k] - at[start]).imag) for k in crest) / abs(base)
