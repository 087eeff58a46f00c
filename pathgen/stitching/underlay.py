"""Lay the underlay of a column: single stitches that hold the cloth before the zigzag covers it.

A centre run follows the centre line. For larger letters there are two more: an edge run, which
goes there halfway between centre and one rail and comes back along the other, and a light
zigzag between those two lines. All stay short of both ends and inside the rails, so that they
cannot show, and their chords stay close to the line they follow.
"""

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.column import CentreLine, CentreLines
from pathgen.geometry import (
    Lines,
    Place,
    Points,
    along_each,
    along_places,
    places_between,
    places_of,
)
from pathgen.model import Column
from pathgen.settings import Settings

__all__ = [
    "RunEnds",
    "Underlay",
    "centre_run",
    "run_along",
    "run_between",
    "run_ends",
    "underlay",
    "underlays",
]

# How far a run stays from each end, in column widths (common practice: out of sight; no
# published figure).
_SHORT_OF_END_WIDTHS = 0.6
# A chord of a run strays from its line by at most this share of the half width.
_STRAY_SHARE = 0.25
# Where edge run and light zigzag lie between centre line and rail, 1 being the rail.
_EDGE_SHARE = 0.5
_EDGE_SHARES = (_EDGE_SHARE, -_EDGE_SHARE)
# Spacing of the light zigzag on one side (common practice: a few times that of the cover, no
# published figure), and no more than this many column widths, so that it follows bends.
_LIGHT_SPACING_MM = 1.6
_LIGHT_SPACING_WIDTHS = 1.0
# Denser than this it would be a cover, not an underlay.
_LEAST_SPACING_MM = 0.6

_NOTHING = np.zeros((0, 2))


class Underlay(NamedTuple):
    """Needle points under the cover of one column.

    Attributes
    ----------
    from_first, from_last : (N, 2) float
        In sewing order, when begun at the first or at the last rung; empty for none.
    returns : bool
        Whether it ends where it began, rather than at the other end.
    """

    from_first: Points
    from_last: Points
    returns: bool


def underlay(column: Column, settings: Settings) -> Underlay:
    """Underlay of a column as the settings ask. Uses ``underlay`` and ``run_mm``."""
    return underlays(CentreLines([column]), settings)[0]


def underlays(centres: CentreLines, settings: Settings) -> list[Underlay]:
    """As `underlay`, for each of several columns."""
    if settings.underlay == "none":
        return [Underlay(_NOTHING, _NOTHING, returns=False)] * len(centres.columns)
    if settings.underlay == "edge-run":
        rails = [_runs(centres, settings, share) for share in _EDGE_SHARES]
        return [
            Underlay(
                np.concatenate([left, right[::-1]]),
                np.concatenate([left[::-1], right]),
                returns=True,
            )
            for left, right in zip(*rails, strict=True)
        ]
    laid = _light_zigzags(centres) if settings.underlay == "zigzag" else _runs(centres, settings)
    return [Underlay(there, there[::-1], returns=False) for there in laid]


def centre_run(column: Column, settings: Settings) -> Points:
    """Needle points of a run along the centre line, from the first rung towards the last.

    Parameters
    ----------
    column : Column
        Rails in mm.
    settings : Settings
        Uses ``run_mm`` and ``longest_stitch_mm``.

    Returns
    -------
    (N, 2) float
        Empty when the column is too short to hide a run.
    """
    return _runs(CentreLines([column]), settings)[0]


class RunEnds(NamedTuple):
    """Where a centre run begins and ends, without its points.

    Attributes
    ----------
    first, last : tuple of float
        Near the first and near the last rung.
    where_mm : tuple of float
        How far along the centre line both are.
    """

    first: Place
    last: Place
    where_mm: tuple[float, float]


def run_ends(centres: CentreLines, settings: Settings) -> list[RunEnds | None]:
    """Ends of `centre_run` in each column; None where one is too short to hide a run."""
    short = _short_each(centres.columns, centres.totals)
    stops = np.array([short, centres.totals - short]).T
    places = places_of(centres.between(stops.ravel(), np.arange(stops.size) // 2))
    return [
        RunEnds(first, last, (begin, end)) if hidden else None
        for first, last, (begin, end), hidden in zip(
            places[::2], places[1::2], stops.tolist(), _hidden(centres, settings), strict=True
        )
    ]


def run_between(
    column: Column | CentreLine, from_mm: float, to_mm: float, settings: Settings
) -> Points:
    """Needle points of a run along part of the centre line, forwards or backwards, both ends too.

    Uses ``run_mm`` and ``longest_stitch_mm``.
    """
    centre, where = column.centre, column.where
    first, last = sorted((from_mm, to_mm))
    k, end = int(where.searchsorted(first, side="right")), int(where.searchsorted(last))
    # The piece of the centre line from the rung before it to the rung after it.
    places, at = centre[k - 1 : end + 1].tolist(), where[k - 1 : end + 1].tolist()
    begin, stop = places_between(places, at, (first, last))
    line = [begin, *places[1 : end - k + 1], stop]
    if to_mm < from_mm:
        line.reverse()
    return run_along(line, along_places(line), settings.run_stitch_mm, _stray_mm(column))


def _short_each(columns: Sequence[Column], totals_mm: NDArray[np.float64]) -> NDArray[np.float64]:
    """How far runs keep from the ends of each column."""
    widths = [0.0 if column.closed else column.usual_width for column in columns]
    return np.minimum(_SHORT_OF_END_WIDTHS * np.array(widths), totals_mm / 2.0)


def _hidden(centres: CentreLines, settings: Settings) -> list[bool]:
    """Whether each column is long enough to hide a run."""
    free_mm = centres.totals - 2.0 * _short_each(centres.columns, centres.totals)
    return (free_mm >= settings.run_stitch_mm / 2.0).tolist()


def _stray_mm(column: Column | CentreLine) -> float:
    """How far chords of runs may stray from their line."""
    return _STRAY_SHARE * column.usual_width / 2.0


def _runs(centres: CentreLines, settings: Settings, share: float = 0.0) -> list[Points]:
    """Run a share of the way from the centre line (0) to the left (1) or right (-1) rail of each.

    Nothing where a column is too short to hide one.
    """
    inner = _short_of_ends(centres.columns, _beside(centres, share) if share else centres)
    return [
        run_along(*line, settings.run_stitch_mm, _stray_mm(column)) if hidden else _NOTHING
        for column, line, hidden in zip(
            centres.columns, inner, _hidden(centres, settings), strict=True
        )
    ]


def _beside(centres: CentreLines, share: float) -> Lines:
    """Lines a share of the way from the centre lines to the rails."""
    left, right = centres.rails[:, :2], centres.rails[:, 2:]
    points = centres.points + share * (left - right) / 2.0
    return Lines(points, along_each(points, centres.sizes))


def _short_of_ends(
    columns: Sequence[Column], lines: Lines
) -> Iterator[tuple[list[list[float]], list[float]]]:
    """Lines inside columns with as many points, but short of both ends; how far along each is."""
    stops, line, _ = _even_stops(columns, lines.totals, np.array(lines.sizes))
    inner = lines.between(stops, line)
    first = 0
    for where in along_each(inner, lines.sizes):
        yield inner[first : first + len(where)].tolist(), where.tolist()
        first += len(where)


def _even_stops(
    columns: Sequence[Column], totals_mm: NDArray[np.float64], sizes: NDArray[np.int64]
) -> tuple[NDArray[np.float64], NDArray[np.int64], NDArray[np.int64]]:
    """So many even stops along each column, from short of one end to short of the other.

    With the number of its column, and of the stop in it.
    """
    short, last = _short_each(columns, totals_mm), np.cumsum(sizes) - 1
    line = np.repeat(np.arange(len(columns)), sizes)
    number = np.arange(len(line)) - (last - sizes + 1)[line]
    stops = number * ((totals_mm - short - short) / (sizes - 1))[line] + short[line]
    stops[last] = totals_mm - short
    return stops, line, number


def _light_zigzags(centres: CentreLines) -> list[Points]:
    """Points that swing between the two edge lines, from the first rung towards the last."""
    columns, totals = centres.columns, centres.totals
    most = np.array(
        [
            max(min(_LIGHT_SPACING_MM, _LIGHT_SPACING_WIDTHS * c.usual_width), _LEAST_SPACING_MM)
            for c in columns
        ]
    )
    # Half a pitch is half a pitch, whatever the last bits say.
    asked = np.floor((totals - 2.0 * _short_each(columns, totals)) / most + 0.5 + 1e-9)
    sizes = 2 * np.maximum(1, asked.astype(np.int64)) + 1
    stops, line, number = _even_stops(columns, totals, sizes)
    found = centres.between(stops, line, centres.rails)
    left, right = found[:, :2], found[:, 2:]
    swing = (1.0 - 2.0 * (number % 2))[:, None] * (_EDGE_SHARE * (left - right) / 2.0)
    return np.split((left + right) / 2.0 + swing, np.cumsum(sizes)[:-1])


def run_along(
    line: Sequence[Sequence[float]], where: Sequence[float], run_mm: float, stray_mm: float
) -> Points:
    """Needle points along a polyline, both its ends among them, (N, 2).

    Stitches are even pieces of the line, none longer than ``run_mm``, and as many as it takes
    for every chord to stay within ``stray_mm`` of the line, so far as its own points tell.
    ``where`` is how far along it its points lie.
    """
    count = max(1, math.ceil(where[-1] / run_mm - 1e-9))
    most = max(count, len(line) - 1)
    while True:
        stops = [where[-1] * (k / count) for k in range(count + 1)]
        points = places_between(line, where, stops)
        if count >= most or _near(line, where, points, stops, stray_mm):
            return np.array(points)
        count += 1


def _near(
    line: Sequence[Sequence[float]],
    where: Sequence[float],
    points: Sequence[Sequence[float]],
    stops: Sequence[float],
    stray_mm: float,
) -> bool:
    """Whether all points of a line are near the chord above them.

    In plain numbers: most lines have few points, and the first that strays ends the matter.
    """
    chord, last = -1, len(stops) - 2
    x = y = ahead_x = ahead_y = 0.0
    for (here_x, here_y), at in zip(line, where, strict=True):
        while chord < 0 or (chord < last and stops[chord + 1] <= at):
            chord += 1
            (x, y), (to_x, to_y) = points[chord], points[chord + 1]
            size = math.hypot(to_x - x, to_y - y) or math.inf
            ahead_x, ahead_y = (to_x - x) / size, (to_y - y) / size
        if abs(ahead_x * (here_y - y) - ahead_y * (here_x - x)) > stray_mm:
            return False
    return True
