"""The lettering as thread: every stitch a rounded band with a dark edge and a lit back.

Thread shines where it lies across the light, which comes from the upper left; so a stitch is as
light as its direction tells. Stitches are drawn column by column as they are sewn, first those that
go one way, then those that come back: neighbours of one way leave one another's edges in sight, and
many stitches share a path.
"""

from collections.abc import Iterator
from itertools import groupby
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.bands import sewn_bands
from pathgen.geometry import Points
from pathgen.model import Plan
from pathgen.needles import Part
from pathgen.writers.plot_svg_pen import Element, group, path
from pathgen.writers.plot_threads import thread_looks
from pathgen.writers.shades import mixed

__all__ = ["sewn_lettering"]

BLACK, WHITE = "#000000", "#ffffff"
LIGHT_DEG = 135.0
"""Where the light comes from, counter-clockwise from the right."""

SHADES = 4
"""Steps from a stitch that points at the light to one that lies across it."""

BACK_SHARE, SHINE_SHARE = 0.74, 0.2
"""Width of the lit back, and of the shine on it, as shares of the thread's."""


class _Stitch(NamedTuple):
    """Path data of a band's middle line, its width and its shade."""

    data: str
    width: str
    shade: int


def sewn_lettering(plan: Plan, *, shine: bool = True) -> Element:
    """All thread of a plan in mm as sewn, y down from the first baseline.

    Parameters
    ----------
    plan : Plan
        Each thread is drawn in its colour.
    shine : bool
        Whether each stitch has its fine shine, which shows only when enlarged.
    """
    out = group("", "", fill="none", stroke_linecap="round")
    colours = {look.number: look.true for look in thread_looks(plan)}
    for number, runs, cover in _columns(plan):
        colour = colours[number]
        for stitches in (runs, cover[::2], cover[1::2]):
            for shade, alike in groupby(sorted(stitches, key=_shade), key=_shade):
                for item in _drawn(list(alike), _tones(colour, shade), shine):
                    out.add(item)
    return out


def _shade(stitch: _Stitch) -> int:
    return stitch.shade


def _columns(plan: Plan) -> Iterator[tuple[int, list[_Stitch], list[_Stitch]]]:
    """Thread number, runs and zigzag stitches of each column as sewn."""
    table = plan.needles
    for line, rows in _runs_of(table["line"]):
        settings = plan.by_line[line - 1].settings
        bands = sewn_bands(table[rows], settings)
        at = rows.start + bands.row
        stitches = _stitches(bands.corners_mm)
        key = table["letter"].astype(np.int64) << 32 | table["column"]
        zigzag = (table["part"] == Part.ZIGZAG)[at]
        for _, within in _runs_of(key[at]):
            number = int(table["thread"][at[within.start]])
            picked = [(s, bool(z)) for s, z in zip(stitches[within], zigzag[within], strict=True)]
            yield number, [s for s, z in picked if not z], [s for s, z in picked if z]


def _runs_of(keys: NDArray[np.integer]) -> Iterator[tuple[int, slice]]:
    """Each stretch of equal keys."""
    ends = [*(np.flatnonzero(np.diff(keys)) + 1).tolist(), len(keys)]
    start = 0
    for end in ends:
        if end > start:
            yield int(keys[start]), slice(start, end)
        start = end


def _stitches(corners_mm: NDArray[np.float64]) -> list[_Stitch]:
    """Middle lines of bands, drawn so that their round ends lie within the band's."""
    foot, top = corners_mm[:, [0, 3]].mean(axis=1), corners_mm[:, [1, 2]].mean(axis=1)
    width = np.hypot(*(corners_mm[:, 0] - corners_mm[:, 3]).T)
    way = top - foot
    size = np.hypot(way[:, 0], way[:, 1])
    inward = np.divide(np.minimum(width, size) / 2.0, size, out=np.zeros_like(size), where=size > 0)
    start, step = foot + inward[:, None] * way, (1.0 - 2.0 * inward[:, None]) * way
    turn = np.arctan2(way[:, 1], way[:, 0]) - np.radians(LIGHT_DEG)
    shades = np.round(np.sin(turn) ** 2 * (SHADES - 1)).astype(int)
    rows = zip(_short(start), _short(step), width.tolist(), shades.tolist(), strict=True)
    return [
        _Stitch(f"M{x} {y}l{dx} {dy}", f"{wide:.3f}", shade)
        for (x, y), (dx, dy), wide, shade in rows
    ]


def _short(points: Points) -> list[tuple[str, str]]:
    """Points with y down, to a hundredth of a mm."""
    flipped = np.round(points * (1.0, -1.0), 2) + 0.0
    return [
        (f"{x:.2f}".rstrip("0").rstrip("."), f"{y:.2f}".rstrip("0").rstrip("."))
        for x, y in flipped.tolist()
    ]


def _tones(colour: str, shade: int) -> tuple[str, str, str]:
    """Edge, back and shine of a stitch."""
    lit = shade / (SHADES - 1)
    back = mixed(mixed(colour, BLACK, 0.14 * (1.0 - lit)), WHITE, 0.04 + 0.2 * lit)
    return mixed(colour, BLACK, 0.42), back, mixed(back, WHITE, 0.18 + 0.22 * lit)


def _drawn(stitches: list[_Stitch], tones: tuple[str, str, str], shine: bool) -> Iterator[Element]:
    """Edges, backs and shine of stitches that do not hide one another."""
    shares = (1.0, BACK_SHARE, SHINE_SHARE) if shine else (1.0, BACK_SHARE)
    for width, alike in groupby(stitches, key=lambda stitch: stitch.width):
        data = "".join(stitch.data for stitch in alike)
        for tone, share in zip(tones, shares, strict=False):
            yield path(data, stroke=tone, stroke_width=float(width) * share)
