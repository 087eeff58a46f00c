"""The lettering as thread: every stitch a rounded band with a dark edge and a lit back.

Thread shines where it lies across the light, which comes from the upper left; so a stitch is as
light as its direction tells. Stitches are drawn column by column as they are sewn, first those that
go one way, then those that come back: neighbours of one way leave one another's edges in sight, and
many stitches share a path.

Letters come again, in a text and from text to text: so each column is written in the place of its
letter, and what was written for the same stitches stays.
"""

from collections.abc import Iterator
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from pathgen.bands import sewn_bands
from pathgen.geometry import Points
from pathgen.model import Plan
from pathgen.needles import Part
from pathgen.writers.plot_svg_pen import Element, fragment, group, path, short, written
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


KEPT_COLUMNS = 4096
"""Columns that stay written, a few kB each: those of the letters of several faces."""

STITCH = np.dtype([(name, "i4") for name in ["x", "y", "dx", "dy", "width_um", "shade", "cover"]])
"""A band's middle line as drawn, from its start onward in hundredths of a mm, y down; how wide it
is, its shade, and whether it is of the zigzag."""


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
    at_mm = {(letter.line, letter.index): letter.at_mm for letter in plan.letters}
    table = plan.needles
    for line, rows in _runs_of(table["line"]):
        bands = sewn_bands(table[rows], plan.by_line[line - 1].settings)
        at = rows.start + bands.row
        letter_of, column_of, thread_of = (table[k][at] for k in ("letter", "column", "thread"))
        letters = list(_runs_of(letter_of))
        places = np.array([at_mm.get((line, letter), (0.0, 0.0)) for letter, _ in letters])
        origins = _hundredths(places.reshape(-1, 2))
        sizes = [within.stop - within.start for _, within in letters]
        from_mm = np.repeat(origins * (0.01, -0.01), sizes, axis=0)
        corners = bands.corners_mm - from_mm[:, None]
        stitches = _stitches(corners, table["part"][at] == Part.ZIGZAG)
        for (x, y), (_, within) in zip(origins.tolist(), letters, strict=True):
            drawn = group("", "", transform=f"translate({_mm(x)} {_mm(y)})")
            for _, column in _runs_of(column_of[within]):
                start, stop = within.start + column.start, within.start + column.stop
                colour = colours[int(thread_of[start])]
                drawn.add(fragment(_column(stitches[start:stop].tobytes(), colour, shine)))
            out.add(drawn)
    return out


def _runs_of(keys: NDArray[np.integer]) -> Iterator[tuple[int, slice]]:
    """Each stretch of equal keys."""
    ends = [*(np.flatnonzero(np.diff(keys)) + 1).tolist(), len(keys)]
    start = 0
    for end in ends:
        if end > start:
            yield int(keys[start]), slice(start, end)
        start = end


def _stitches(corners_mm: NDArray[np.float64], cover: NDArray[np.bool_]) -> NDArray[np.void]:
    """Middle lines of bands (B, 4, 2), drawn so that their round ends lie within the band's."""
    foot = (corners_mm[:, 0] + corners_mm[:, 3]) / 2.0
    way = (corners_mm[:, 1] + corners_mm[:, 2]) / 2.0 - foot
    width, size = (np.hypot(*side.T) for side in (corners_mm[:, 0] - corners_mm[:, 3], way))
    inward = np.divide(np.minimum(width, size) / 2.0, size, out=np.zeros_like(size), where=size > 0)
    turn = np.arctan2(way[:, 1], way[:, 0]) - np.radians(LIGHT_DEG)
    out = np.zeros(len(way), STITCH)
    out["x"], out["y"] = _hundredths(foot + inward[:, None] * way).T
    out["dx"], out["dy"] = _hundredths((1.0 - 2.0 * inward[:, None]) * way).T
    out["width_um"] = np.round(width * 1000.0)
    out["shade"] = np.round(np.sin(turn) ** 2 * (SHADES - 1))
    out["cover"] = cover
    return out


def _hundredths(points_mm: Points) -> NDArray[np.int64]:
    """Points (..., 2) with y down, in hundredths of a mm."""
    return np.round(points_mm * (100.0, -100.0)).astype(np.int64)


def _mm(hundredths: int) -> str:
    """Hundredths of a mm as mm, no trailing zeros."""
    return short(hundredths / 100.0)


@lru_cache(maxsize=KEPT_COLUMNS)
def _column(stitches: bytes, colour: str, shine: bool) -> str:
    """The thread of a column, written: the same for the same stitches, whoever asks first."""
    rows = np.frombuffer(stitches, STITCH)
    runs, cover = rows[rows["cover"] == 0], rows[rows["cover"] == 1]
    return written(
        item
        for those in (runs, cover[::2], cover[1::2])
        for shade in range(SHADES)
        for item in _drawn(those[those["shade"] == shade], _tones(colour, shade), shine)
    )


def _tones(colour: str, shade: int) -> tuple[str, str, str]:
    """Edge, back and shine of a stitch."""
    lit = shade / (SHADES - 1)
    back = mixed(mixed(colour, BLACK, 0.14 * (1.0 - lit)), WHITE, 0.04 + 0.2 * lit)
    return mixed(colour, BLACK, 0.42), back, mixed(back, WHITE, 0.18 + 0.22 * lit)


def _drawn(
    stitches: NDArray[np.void], tones: tuple[str, str, str], shine: bool
) -> Iterator[Element]:
    """Edges, backs and shine of stitches that do not hide one another."""
    shares = (1.0, BACK_SHARE, SHINE_SHARE) if shine else (1.0, BACK_SHARE)
    for width_um, within in _runs_of(stitches["width_um"]):
        data = "".join(
            f"M{_mm(x)} {_mm(y)}l{_mm(dx)} {_mm(dy)}"
            for x, y, dx, dy, *_ in stitches[within].tolist()
        )
        for tone, share in zip(tones, shares, strict=False):
            yield path(data, stroke=tone, stroke_width=width_um / 1000.0 * share)
