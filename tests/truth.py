"""Outlines whose strokes are known: single-line letters given a width.

The lines are those of Dr Allen V. Hershey's letters, from the package Hershey-Fonts. Their
licence asks for this acknowledgement:

    The Hershey Fonts were originally created by Dr. A. V. Hershey while working at the U. S.
    National Bureau of Standards. The format of the Font data in this distribution was originally
    created by James Hurt, Cognition, Inc., 900 Technology Park Drive, Billerica, MA 01821.

(A. V. Hershey, "Calligraphy for Computers", U. S. Naval Weapons Laboratory, 1967.)
"""

import math
from dataclasses import dataclass
from functools import cache
from itertools import pairwise

import numpy as np
import shapely
from HersheyFonts import HersheyFonts
from shapely.geometry import LineString, MultiPolygon, Polygon

__all__ = ["Truth", "hershey_lines", "letter_truth", "stroked"]

# A line that turns by more than this at a point, degrees, is two strokes that meet in a corner;
# less is an arc drawn by its chords, which is rounded.
CORNER_DEG = 55.0

# Corners are mitred, but sharp ones are cut off so far from the centre line, in half widths.
MITRE = 2.0

# Points on a centre line are this far apart, in stroke widths.
STEP_WIDTHS = 1.0 / 8.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Truth:
    """An outline and the strokes that it was made from.

    Attributes
    ----------
    ink : tuple of Polygon
        The outline, piece by piece.
    width : float
        Of every stroke.
    strokes : list of (N, 2) float
        Centre lines, without corners.
    free : list of (N,) bool
        Which points of each centre line are farther than a width from any other stroke, from any
        other part of their own, and from their ends.
    """

    ink: tuple[Polygon, ...]
    width: float
    strokes: list[np.ndarray]
    free: list[np.ndarray]


@cache
def _hershey(face: str) -> HersheyFonts:
    """A face of the set."""
    font = HersheyFonts()
    font.load_default_font(face)
    return font


def hershey_lines(face: str, letter: str) -> list[np.ndarray]:
    """A letter's pen lines, y up; capitals are 21 units high."""
    lines = (np.array(list(line), float) for line in _hershey(face).strokes_for_text(letter))
    return [line * (1.0, -1.0) for line in lines if len(line) > 1]


def letter_truth(face: str, letter: str, width: float, *, round_ends: bool) -> Truth:
    """A Hershey letter written with a pen of this width."""
    return stroked(hershey_lines(face, letter), width, round_ends=round_ends)


def stroked(lines, width: float, *, round_ends: bool) -> Truth:
    """Outline of pen lines; corners round or mitred, ends round or flat."""
    lines = [_Line.of(line, width) for line in _merged(lines)]
    buffered = [
        LineString(line.points).buffer(
            width / 2.0,
            cap_style="round" if round_ends else "flat",
            join_style="round" if round_ends else "mitre",
            mitre_limit=MITRE,
            quad_segs=16,
        )
        for line in lines
    ]
    whole = shapely.union_all(buffered)
    pieces = tuple(whole.geoms) if isinstance(whole, MultiPolygon) else (whole,)
    strokes = [stroke for line in lines for stroke in line.strokes]
    free = [_free(strokes, k, width) for k in range(len(strokes))]
    return Truth(ink=pieces, width=width, strokes=strokes, free=free)


@dataclass(frozen=True, slots=True)
class _Line:
    """A pen line with its arcs rounded, whole and cut at its corners."""

    points: np.ndarray
    strokes: list[np.ndarray]

    @classmethod
    def of(cls, line: np.ndarray, width: float) -> "_Line":
        """Round and cut a line."""
        closed = len(line) > 3 and np.allclose(line[0], line[-1])
        if closed:
            line = _from_corner(line)
        cuts = [0, *(np.nonzero(_turns(line) > CORNER_DEG)[0] + 1).tolist(), len(line) - 1]
        ring = closed and len(cuts) == 2 and _seam_deg(line) <= CORNER_DEG
        strokes = []
        for first, last in pairwise(cuts):
            smooth = _rounded(line[first : last + 1], ring=ring)
            strokes.append(_spaced(smooth, STEP_WIDTHS * width))
        points = np.concatenate([strokes[0], *[stroke[1:] for stroke in strokes[1:]]])
        return cls(points, strokes)


def _merged(lines) -> list[np.ndarray]:
    """Lines joined where the ends of just two of them meet, so that the pen mitres the corner."""
    merged = shapely.line_merge(shapely.MultiLineString([list(line) for line in lines]))
    return [np.array(line.coords) for line in shapely.get_parts(merged)]


def _turns(line: np.ndarray) -> np.ndarray:
    """Turn at each inner point, degrees, unsigned."""
    steps = np.diff(line, axis=0)
    return np.array([_turn_deg(a, b) for a, b in pairwise(steps)])


def _turn_deg(a: np.ndarray, b: np.ndarray) -> float:
    return abs(math.degrees(math.atan2(a[0] * b[1] - a[1] * b[0], float(a @ b))))


def _seam_deg(line: np.ndarray) -> float:
    """Turn of a closed line where it starts and ends."""
    return _turn_deg(line[-1] - line[-2], line[1] - line[0])


def _from_corner(line: np.ndarray) -> np.ndarray:
    """Closed line begun at a corner, if it has one."""
    at = np.nonzero(_turns(line) > CORNER_DEG)[0]
    if _seam_deg(line) > CORNER_DEG or not len(at):
        return line
    turned = np.roll(line[:-1], -int(at[0]) - 1, axis=0)
    return np.concatenate([turned, turned[:1]])


def _rounded(line: np.ndarray, *, ring: bool) -> np.ndarray:
    """Line with its bends rounded by cutting corners (Chaikin 1974), its ends kept."""
    for _ in range(4):
        if len(line) == 2:
            break
        near, far = 0.75 * line[:-1] + 0.25 * line[1:], 0.25 * line[:-1] + 0.75 * line[1:]
        cut = np.stack([near, far], axis=1).reshape(-1, 2)
        line = (
            np.concatenate([cut, cut[:1]])
            if ring
            else np.concatenate([line[:1], cut[1:-1], line[-1:]])
        )
    return line


def _spaced(line: np.ndarray, step: float) -> np.ndarray:
    """Line with points added so that none are farther apart than ``step``."""
    return shapely.get_coordinates(shapely.segmentize(LineString(line), step))


def _run(stroke: np.ndarray) -> np.ndarray:
    """Length from the start to each point."""
    return np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(stroke, axis=0).T))])


def _free(strokes: list[np.ndarray], k: int, width: float) -> np.ndarray:
    """Which points of a stroke are clear of all else; see `Truth`."""
    stroke = strokes[k]
    run = _run(stroke)
    ring = bool(np.allclose(stroke[0], stroke[-1]))
    free = np.ones(len(stroke), bool) if ring else (run > width) & (run[-1] - run > width)
    others = [LineString(other) for j, other in enumerate(strokes) if j != k]
    if others:
        free &= shapely.distance(shapely.points(stroke), shapely.union_all(others)) > width
    apart = np.abs(run[:, None] - run[None, :])
    apart = np.minimum(apart, run[-1] - apart) if ring else apart
    near = np.hypot(*(stroke[:, None] - stroke[None, :]).T) <= width
    # Within so much of its own length a stroke cannot have come back to itself.
    return free & ~(near & (apart > math.pi * width)).any(axis=0)
