"""Hand-made outlines for the splitter, and what its columns are held against."""

import math

import numpy as np
import shapely
from shapely.geometry import Polygon

from pathgen.polygons import band, joined

# Hand-made shapes are a few units large; ten to the em makes them letters.
EM = 10.0


def ring_points(radius, count=180):
    turn = np.linspace(0.0, 2.0 * math.pi, count, endpoint=False)
    return radius * np.column_stack([np.cos(turn), np.sin(turn)])


BAR = Polygon([(0, 0), (6, 0), (6, 1), (0, 1)])
ELL = Polygon([(0, 0), (6, 0), (6, 1), (1, 1), (1, 8), (0, 8)])
TEE = Polygon([(0, 7), (2.5, 7), (2.5, 0), (3.5, 0), (3.5, 7), (6, 7), (6, 8), (0, 8)])
PLUS = Polygon(
    [(3, 0), (4, 0), (4, 3), (7, 3), (7, 4), (4, 4), (4, 7), (3, 7), (3, 4), (0, 4), (0, 3), (3, 3)]
)
RING = Polygon(ring_points(3.0), [ring_points(2.0)])
STADIUM = shapely.LineString([(0, 0), (6, 0)]).buffer(0.5, quad_segs=16)
BOW = shapely.LineString(
    [
        (0, 7),
        *[(3 - 3 * math.cos(a), 3 - 3 * math.sin(a)) for a in np.linspace(0, math.pi, 40)],
        (6, 7),
    ]
).buffer(0.5, cap_style="flat", quad_segs=32)
WEDGE = Polygon([(0, 0), (8, 0.4), (8, 0.6), (0, 1)])
DOT = Polygon(ring_points(0.6, 40))
SQUARE_DOT = Polygon([(0, 0), (1, 0), (1, 1), (0, 1)])

COLUMNS = {
    "bar": (BAR, 1),
    "ell": (ELL, 2),
    "tee": (TEE, 2),
    "plus": (PLUS, 2),
    "ring": (RING, 1),
    "stadium": (STADIUM, 1),
    "bow": (BOW, 1),
    "wedge": (WEDGE, 1),
    "dot": (DOT, 1),
    "square dot": (SQUARE_DOT, 1),
}


def covered(columns, ink):
    """Share of the ink under columns, and columns' area outside it as a share of the ink."""
    sewn = joined([band(c.left, c.right, closed=c.closed) for c in columns])
    return sewn.intersection(ink).area / ink.area, sewn.difference(ink).area / ink.area


def cross_count(columns):
    """Neighbouring rungs that cross, by shapely's own predicate."""
    total = 0
    for column in columns:
        rungs = shapely.linestrings(np.stack([column.left, column.right], axis=1))
        total += int(shapely.crosses(rungs[:-1], rungs[1:]).sum())
    return total
