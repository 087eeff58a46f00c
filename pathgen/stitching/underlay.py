"""Lay the underlay of a column: single stitches that hold the cloth before the zigzag covers it.

A centre run follows the centre line. For larger letters there are two more: an edge run, which
goes there halfway between centre and one rail and comes back along the other, and a light
zigzag between those two lines. All stay short of both ends and inside the rails, so that they
cannot show, and their chords stay close to the line they follow.
"""

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from pathgen.geometry import Points, along, between, between_each
from pathgen.model import Column
from pathgen.settings import Settings

__all__ = ["RunEnds", "Underlay", "centre_run", "run_along", "run_between", "run_ends", "underlay"]

# How far a run stays from each end, in column widths (common practice: out of sight; no
# published figure).
_SHORT_OF_END_WIDTHS = 0.6
# A chord of a run strays from its line by at most this share of the half width.
_STRAY_SHARE = 0.25
# Where edge run and light zigzag lie between centre line and rail, 1 being the rail.
_EDGE_SHARE = 0.5
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
    if settings.underlay == "none":
        return Underlay(_NOTHING, _NOTHING, returns=False)
    if settings.underlay == "edge-run":
        left, right = (_run(column, share, settings) for share in (_EDGE_SHARE, -_EDGE_SHARE))
        return Underlay(
            np.concatenate([left, right[::-1]]), np.concatenate([left[::-1], right]), returns=True
        )
    there = _light_zigzag(column) if settings.underlay == "zigzag" else centre_run(column, settings)
    return Underlay(there, there[::-1], returns=False)


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
    return _run(column, 0.0, settings)


class RunEnds(NamedTuple):
    """Where a centre run begins and ends, without its points.

    Attributes
    ----------
    first, last : (2,) float
        Near the first and near the last rung.
    where_mm : tuple of float
        How far along the centre line both are.
    """

    first: Points
    last: Points
    where_mm: tuple[float, float]


def run_ends(columns: Sequence[Column], settings: Settings) -> list[RunEnds | None]:
    """Ends of `centre_run` in each column; None where one is too short to hide a run."""
    totals = [float(column.where[-1]) for column in columns]
    shorts = [_short_mm(*each) for each in zip(columns, totals, strict=True)]
    stops = [np.array([short, total - short]) for short, total in zip(shorts, totals, strict=True)]
    centres = np.concatenate([column.centre for column in columns])
    places = between_each(centres, [column.where for column in columns], stops)
    least = settings.run_stitch_mm / 2.0
    return [
        None if total - 2.0 * short < least else RunEnds(first, last, (short, total - short))
        for total, short, (first, last) in zip(
            totals, shorts, places.reshape(-1, 2, 2), strict=True
        )
    ]


def run_between(column: Column, from_mm: float, to_mm: float, settings: Settings) -> Points:
    """Needle points of a run along part of the centre line, forwards or backwards, both ends too.

    Uses ``run_mm`` and ``longest_stitch_mm``.
    """
    centre, where = column.centre, column.where
    ends = between(centre, where, np.array([from_mm, to_mm]))
    first, last = sorted((from_mm, to_mm))
    inner = centre[where.searchsorted(first, side="right") : where.searchsorted(last)]
    line = np.concatenate([ends[:1], inner if from_mm < to_mm else inner[::-1], ends[1:]])
    return run_along(line, settings.run_stitch_mm, _STRAY_SHARE * column.usual_width / 2.0)


def _short_mm(column: Column, total_mm: float) -> float:
    """How far runs keep from the ends of a column."""
    return 0.0 if column.closed else min(_SHORT_OF_END_WIDTHS * column.usual_width, total_mm / 2.0)


def _run(column: Column, share: float, settings: Settings) -> Points:
    """Run a share of the way from the centre line (0) to the left (1) or right (-1) rail."""
    total = float(column.where[-1])
    if total - 2.0 * _short_mm(column, total) < settings.run_stitch_mm / 2.0:
        return _NOTHING
    line, width = _inner_line(column, share)
    return run_along(line, settings.run_stitch_mm, _STRAY_SHARE * width / 2.0)


def _inner_line(column: Column, share: float) -> tuple[Points, float]:
    """Line inside a column, short of both ends, and the column's usual width."""
    line, where = column.centre, column.where
    if share != 0.0:
        line = line + share * (column.left - column.right) / 2.0
        where = along(line)
    total = float(where[-1])
    short = _short_mm(column, total)
    stops = np.linspace(short, total - short, max(2, len(line)))
    return between(line, where, stops), column.usual_width


def _light_zigzag(column: Column) -> Points:
    """Points that swing between the two edge lines, from the first rung towards the last."""
    total = float(column.where[-1])
    short = _short_mm(column, total)
    most = max(
        min(_LIGHT_SPACING_MM, _LIGHT_SPACING_WIDTHS * column.usual_width), _LEAST_SPACING_MM
    )
    # Half a pitch is half a pitch, whatever the last bits say.
    pitches = max(1, math.floor((total - 2.0 * short) / most + 0.5 + 1e-9))
    stops = np.linspace(short, total - short, 2 * pitches + 1)
    left, right = (between(rail, column.where, stops) for rail in (column.left, column.right))
    points = (left + right) / 2.0
    points[::2] += _EDGE_SHARE * (left - right)[::2] / 2.0
    points[1::2] -= _EDGE_SHARE * (left - right)[1::2] / 2.0
    return points


def run_along(line: Points, run_mm: float, stray_mm: float) -> Points:
    """Needle points along a polyline, both its ends among them.

    Stitches are even pieces of the line, none longer than ``run_mm``, and as many as it takes
    for every chord to stay within ``stray_mm`` of the line, so far as its own points tell.
    """
    where = along(line)
    places, at = line.tolist(), where.tolist()
    count = max(1, math.ceil(at[-1] / run_mm - 1e-9))
    most = max(count, len(line) - 1)
    if count == 1:
        ends, stops_mm = (places[0], places[-1]), (at[0], at[-1])
        if most == 1 or _near(places, at, ends, stops_mm, stray_mm):
            return line[[0, -1]]
        count = 2
    while True:
        stops = where[-1] * (np.arange(count + 1) / count)
        points = between(line, where, stops)
        if count >= most or _near(places, at, points.tolist(), stops.tolist(), stray_mm):
            return points
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
