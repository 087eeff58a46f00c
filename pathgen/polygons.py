"""Polygon work: the only file that calls shapely.

Fonts are filled by the non-zero rule, which shapely does not offer: ``filled`` nodes all rings,
takes the faces between them, and keeps those that the rings wind around. (Sum of signed
turns about a point: Hormann and Agathos, "The point in polygon problem for arbitrary
polygons", Computational Geometry 20, 2001.)
"""

from collections.abc import Sequence
from itertools import combinations, pairwise
from typing import TypeVar

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LinearRing, Polygon
from shapely.geometry.base import BaseGeometry

from pathgen.crossings import Outlines
from pathgen.geometry import Points, cross, placed, signed_area

__all__ = [
    "Polygon",
    "Shape",
    "area",
    "band",
    "constrained_triangles",
    "counters",
    "distances",
    "edge_crossings",
    "filled",
    "filled_apart",
    "holds",
    "hull_share",
    "ink_beyond",
    "inset",
    "joined",
    "moved",
    "outlines_of",
    "outside",
    "outside_area",
    "parts",
    "perimeter",
    "pockets",
    "rings_of",
    "shortest_way",
    "simplified",
    "solid",
    "thinned",
    "tight_box",
    "vertices",
    "widest_disc",
]

Shape = BaseGeometry
"""Any shape: polygons, several of them, or nothing."""

AnyShape = TypeVar("AnyShape", bound=Shape)


def filled(rings: Sequence[Points]) -> tuple[Polygon, ...]:
    """Areas that closed rings enclose by the non-zero rule, largest first.

    Rings may overlap, cross themselves or each other, and run either way round. Rings of
    fewer than three points, or without area, enclose nothing.
    """
    return filled_apart(rings)[0]


def filled_apart(rings: Sequence[Points]) -> tuple[tuple[Polygon, ...], bool]:
    """What `filled` gives, and whether no ring touches itself or another (one may lie in one)."""
    loops = _loops(rings)
    if not len(loops):
        return (), True
    simple = bool(shapely.is_simple(loops).all())
    if simple and len(loops) == 1:
        return _by_size(shapely.polygons(loops[0])), True
    apart = simple and _all_apart(loops)
    ccw = shapely.is_ccw(loops)
    if simple and (ccw == ccw[0]).all():
        # Simple rings that run the same way round can only add to one another.
        return _by_size(shapely.union_all(shapely.polygons(loops))), apart
    if apart and len(loops) <= _FEW_LOOPS and (whole := _pierced(loops, ccw)) is not None:
        return _by_size(whole), True
    edges = list(loops if apart else parts(shapely.unary_union(loops)))
    faces = _polygons(shapely.polygonize(edges))
    inside = _windings(faces, loops) != 0
    kept = [face for face, keep in zip(faces, inside, strict=True) if keep]
    union = shapely.union_all(kept) if len(kept) > 1 else (kept[0] if kept else Polygon())
    return _by_size(union), apart


# Up to so many rings are asked, each of each other, whether they touch and which lies in which.
_FEW_LOOPS = 8


def _pierced(loops: NDArray[np.object_], ccw: NDArray[np.bool_]) -> Polygon | None:
    """The polygon of apart loops of which one holds all others, which are holes; None if not so."""
    shapes = np.asarray(shapely.polygons(loops))
    outer = int(shapely.area(shapes).argmax())
    if (ccw == ccw[outer]).sum() > 1:
        return None
    start = shapely.get_coordinates(shapely.get_point(loops, 0))
    held = shapely.contains_xy(shapes[:, None], start[:, 0], start[:, 1])
    if held.sum() > held[outer].sum() or held[outer].sum() < len(loops) - 1:
        return None
    holes = [loop for k, loop in enumerate(loops) if k != outer]
    return shapely.orient_polygons(_holed(loops[outer], holes), exterior_cw=True)


def _holed(shell: LinearRing, holes: Sequence[LinearRing]) -> Polygon:
    """Polygon between closed lines."""
    whole: Polygon = shapely.polygons(shell, holes=holes or None)
    return whole


def _by_size(shape: BaseGeometry) -> tuple[Polygon, ...]:
    """The parts that have an area, largest first."""
    if isinstance(shape, Polygon):
        return (shape,) if shape.area > 0.0 else ()
    return tuple(sorted(_polygons(shape), key=lambda p: (-p.area, p.bounds)))


def _loops(rings: Sequence[Points]) -> NDArray[np.object_]:
    """Closed lines around rings that have a length."""
    drawn = [ring for ring in rings if len(ring) > 2]
    loops = np.array([shapely.linearrings(ring) for ring in drawn])
    return loops[shapely.length(loops) > 0.0]


def _all_apart(lines: NDArray[np.object_]) -> bool:
    """Whether of lines that are simple no two touch, so that they need no noding."""
    if len(lines) <= _FEW_LOOPS:
        pairs = list(combinations(lines, 2))
        return not pairs or not shapely.intersects(*np.array(pairs).T).any()
    hits = shapely.STRtree(lines).query(lines, predicate="intersects")
    return bool(hits.shape[1] == len(lines))


def _windings(faces: Sequence[Polygon], lines: NDArray[np.object_]) -> NDArray[np.int64]:
    """How often the lines wind around a point inside each face.

    Edges that cross the ray from the point to the right count 1 upward and -1 downward. A tree
    of edges finds those near the ray, so that a scribble of 20,000 points takes a second.
    """
    at = shapely.get_coordinates(shapely.point_on_surface(faces))
    corners, of_line = shapely.get_coordinates(lines, return_index=True)
    same = of_line[1:] == of_line[:-1]
    start, end = corners[:-1][same], corners[1:][same]
    far = np.column_stack([np.full(len(at), corners[:, 0].max() + 1.0), at[:, 1]])
    edges: NDArray[np.object_] = np.array(shapely.linestrings(np.stack([start, end], axis=1)))
    tree = shapely.STRtree(edges)
    ray, edge = tree.query(shapely.linestrings(np.stack([at, far], axis=1)))
    point, a, b = at[ray], start[edge], end[edge]
    above_a, above_b = a[:, 1] > point[:, 1], b[:, 1] > point[:, 1]
    side = cross(b - a, point - a)
    turns = (~above_a & above_b & (side > 0.0)).astype(np.float64)
    turns -= above_a & ~above_b & (side < 0.0)
    return np.bincount(ray, weights=turns, minlength=len(faces)).astype(np.int64)


def parts(shape: BaseGeometry) -> tuple[BaseGeometry, ...]:
    """The single shapes that a shape consists of; none for an empty one."""
    return tuple(g for g in shapely.get_parts(shape) if not g.is_empty)


def _polygons(shape: BaseGeometry) -> tuple[Polygon, ...]:
    """The parts that have an area."""
    return tuple(p for p in parts(shape) if isinstance(p, Polygon) and p.area > 0.0)


def rings_of(polygon: Polygon) -> tuple[Points, ...]:
    """Outer ring counter-clockwise, then holes clockwise: ink on the left; no repeated end."""
    out = []
    for index, line in enumerate([polygon.exterior, *polygon.interiors]):
        ring = shapely.get_coordinates(line)[:-1]
        out.append(ring if shapely.is_ccw(line) == (index == 0) else ring[::-1])
    return tuple(out)


def joined(shapes: Sequence[BaseGeometry]) -> BaseGeometry:
    """Union of shapes; an empty polygon for none."""
    return shapely.union_all(list(shapes)) if shapes else Polygon()


def area(shape: BaseGeometry) -> float:
    """Area of a shape."""
    return float(shape.area)


def perimeter(shape: BaseGeometry) -> float:
    """Length of a shape's outline, holes and all."""
    return float(shape.length)


def outside_area(shape: BaseGeometry, cover: BaseGeometry) -> float:
    """Area of ``shape`` that ``cover`` leaves free."""
    return float(shapely.difference(shape, cover).area)


def ink_beyond(shapes: Sequence[Polygon], others: Sequence[Polygon]) -> BaseGeometry | None:
    """What others leave of shapes; None where they do not meet."""
    meet = shapely.intersects(np.array(shapes)[:, None], np.array(others))
    return shapely.difference(joined(shapes), joined(others)) if meet.any() else None


def outlines_of(shapes: Sequence[BaseGeometry]) -> Outlines:
    """Outlines of polygons, or of shapes with polygons in them."""
    pieces, of_piece = shapely.get_parts(list(shapes), return_index=True)
    areal = shapely.get_dimensions(pieces) == 2
    rings, of_ring = shapely.get_rings(
        shapely.orient_polygons(pieces[areal], exterior_cw=False), return_index=True
    )
    vertices, of_vertex = shapely.get_coordinates(rings, return_index=True)
    owner = of_piece[areal][of_ring[of_vertex]].astype(np.int64)
    joined_on = np.append(of_vertex[1:] == of_vertex[:-1], False)[: len(vertices)]
    return Outlines(vertices, np.where(joined_on, owner + 1, 0), len(shapes))


def holds(shape: BaseGeometry, points: Points) -> NDArray[np.bool_]:
    """Whether each point lies inside a shape (points on its edge do not)."""
    return np.asarray(shapely.contains_xy(shape, points[:, 0], points[:, 1]))


def outside(shape: BaseGeometry, points: Points, tolerance: float) -> NDArray[np.int64]:
    """Numbers of the points that lie outside a shape by more than ``tolerance``."""
    out = (~holds(shape, points)).nonzero()[0]
    if not len(out):
        return out
    return out[~shapely.dwithin(shape, shapely.points(points.take(out, axis=0)), tolerance)]


def distances(shape: BaseGeometry, points: Points) -> NDArray[np.float64]:
    """How far each point lies outside a shape; 0 inside it."""
    return np.asarray(shapely.distance(shape, shapely.points(points)))


def band(left: Points, right: Points, *, closed: bool = False) -> Shape:
    """Area between two rails of N points each.

    Taken as one ring (or, for a closed band, as a ring in a ring) where that is a valid
    polygon; else as the union of the N - 1 quadrangles between neighbouring rungs, one whose
    rungs cross counting as the two triangles it draws.
    """
    if closed:
        rails = sorted((Polygon(left[:-1]), Polygon(right[:-1])), key=lambda p: -p.area)
        whole = Polygon(rails[0].exterior, [rails[1].exterior])
    else:
        whole = Polygon(np.concatenate([left, right[::-1]]))
    return whole if whole.is_valid else _quadrangles(left, right)


def _quadrangles(left: Points, right: Points) -> Shape:
    """Union of the quadrangles between neighbouring rungs."""
    quads = np.stack([left[:-1], left[1:], right[1:], right[:-1]], axis=1)
    pieces: NDArray[np.object_] = np.array(shapely.polygons(quads), ndmin=1)
    bad = ~shapely.is_valid(pieces)
    if bad.any():
        pieces[bad] = shapely.make_valid(pieces[bad])
    return shapely.union_all(pieces)


def moved(shape: AnyShape, scale: float, turn_rad: float, x: float, y: float) -> AnyShape:
    """Shape scaled, turned counter-clockwise about the origin, then moved."""
    return shapely.transform(shape, lambda points: placed(points, scale, turn_rad, x, y))


def simplified(shape: AnyShape, tolerance: float) -> AnyShape:
    """Shape with fewer points, its outline moved by no more than ``tolerance``."""
    return shapely.simplify(shape, tolerance, preserve_topology=True)


def thinned(ring: Points, tolerance: float) -> Points:
    """Closed ring with fewer points, none of those left out farther off than ``tolerance``."""
    closed = shapely.linestrings(np.concatenate([ring, ring[:1]]))
    line = shapely.simplify(closed, tolerance, preserve_topology=False)
    return np.asarray(shapely.get_coordinates(line)[:-1])


def vertices(shape: BaseGeometry) -> int:
    """How many points the outline of a shape has."""
    return int(shapely.get_num_coordinates(shape))


def counters(shapes: Sequence[Polygon]) -> tuple[Polygon, ...]:
    """The holes of polygons, as polygons."""
    return tuple(Polygon(ring) for shape in shapes for ring in shape.interiors)


def pockets(polygon: Polygon, least_area: float) -> tuple[Points, ...]:
    """Walls of the pockets between a polygon's outline and its convex hull, largest first.

    Each is the outline from one corner of the hull to the next, (N, 2), with the pocket on its
    left; pockets smaller than ``least_area`` are left out.
    """
    ring = rings_of(polygon)[0]
    # A set: numpy's own search would load its masked arrays.
    hull = set(map(tuple, shapely.get_coordinates(shapely.convex_hull(polygon)).tolist()))
    corners = [n for n, point in enumerate(map(tuple, ring.tolist())) if point in hull]
    around = np.concatenate([ring, ring[: corners[0] + 1]])
    ends = [*corners, len(ring) + corners[0]]
    walls = [around[a : b + 1][::-1] for a, b in pairwise(ends) if b > a + 1]
    kept = [wall for wall in walls if signed_area(wall) >= least_area]
    return tuple(sorted(kept, key=signed_area, reverse=True))


def shortest_way(
    one: Sequence[BaseGeometry], other: Sequence[BaseGeometry]
) -> tuple[float, float, float]:
    """Shortest distance between two groups of shapes, and the middle of that way (x, y)."""
    lines = shapely.shortest_line(np.array(one)[:, None], np.array(other)[None, :]).ravel()
    lengths = shapely.length(lines)
    nearest = int(lengths.argmin())
    x, y = shapely.get_coordinates(lines[nearest]).mean(axis=0)
    return float(lengths[nearest]), float(x), float(y)


def widest_disc(polygon: Polygon, tolerance: float) -> tuple[Points, float]:
    """Centre (1, 2) and radius of the largest disc inside a polygon, within ``tolerance``."""
    spoke = shapely.maximum_inscribed_circle(polygon, tolerance=tolerance)
    return shapely.get_coordinates(spoke)[:1], float(spoke.length)


def solid(rings: Sequence[Points]) -> Polygon:
    """Polygon with the first ring as its outline and the others as its holes."""
    shell, *holes = np.array([shapely.linearrings(ring) for ring in rings])
    return _holed(shell, holes)


def constrained_triangles(polygon: Polygon) -> NDArray[np.float64]:
    """Constrained Delaunay triangles of a polygon, (T, 3, 2), in no promised order or winding.

    All outline edges are edges of triangles, and no point is added. (T, 3, 3) if the polygon's
    points have heights, which they keep.

    Raises
    ------
    ValueError
        If GEOS finds no triangulation.
    """
    try:
        pieces = shapely.constrained_delaunay_triangles(polygon)
    except shapely.GEOSException as error:
        msg = f"no triangulation: {error}"
        raise ValueError(msg) from error
    corners = np.asarray(shapely.get_coordinates(pieces, include_z=polygon.has_z))
    return corners.reshape(-1, 4, corners.shape[1])[:, :3]


def inset(polygon: Polygon, distance: float) -> tuple[Polygon, ...]:
    """What is left of a polygon when its whole outline steps inward, corners kept sharp."""
    return _polygons(shapely.make_valid(shapely.buffer(polygon, -distance, join_style="mitre")))


def tight_box(polygon: Polygon) -> Points:
    """Corners (4, 2) of the smallest box, at any turn, around a polygon."""
    return np.asarray(shapely.get_coordinates(shapely.minimum_rotated_rectangle(polygon))[:4])


def hull_share(polygon: Polygon) -> float:
    """Share of its convex hull that a polygon fills; 1 for a convex one."""
    return float(polygon.area / shapely.convex_hull(polygon).area)


# Edges whose crossings are counted at once: few, so that counting can stop soon.
_EDGES_AT_ONCE = 64


def edge_crossings(rings: Sequence[Points], most: int) -> int:
    """Pairs of edges of closed rings that touch, neighbours along a ring left out.

    Counting stops once there are more than ``most``, so that it is quick for a scribble too.
    """
    edges = np.concatenate([np.stack([r, np.roll(r, -1, axis=0)], axis=1) for r in rings])
    lines: NDArray[np.object_] = np.array(shapely.linestrings(edges))
    tree = shapely.STRtree(lines)
    found = 0
    for start in range(0, len(lines), _EDGES_AT_ONCE):
        some = lines[start : start + _EDGES_AT_ONCE]
        # Each edge meets itself, the one before and the one after it.
        found += tree.query(some, predicate="intersects").shape[1] - 3 * len(some)
        if found > 2 * most:
            break
    return max(0, found // 2)
