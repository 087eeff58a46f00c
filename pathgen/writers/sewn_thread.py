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

from pathgen.bands import MiddleLines, middle_lines
from pathgen.model import Plan
from pathgen.needles import Part
from pathgen.writers.plot_svg_pen import Element, group, moved, path, shorts, written
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

WIDTH, SHADE, COVER = 4, 5, 6
"""Places in a drawn stitch. First come its middle line's start and the way from there, x and y, in
hundredths of a mm, y down, from its letter's origin; then its width in thousandths, its shade, and
whether it is of the zigzag."""

STITCH_BYTES = 7 * 4

_JUST = 1e-9
"""A share this little above one half is one half: level and upright stitches have one shade."""


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
    places = {(letter.line, letter.index): letter.at_mm for letter in plan.letters}
    for line, start, stop in _runs(plan.needles["line"]):
        row, table = plan.by_line[line - 1], plan.needles[start:stop]
        lines = middle_lines(table, row.settings)
        letter, column = (table[name][lines.row].astype(np.int64) for name in ("letter", "column"))
        runs = list(_runs(letter << 32 | column))
        at = [_hundredths(places.get((line, key >> 32), (0.0, 0.0))) for key, _, _ in runs]
        sizes = [last - first for _, first, last in runs]
        stitches = _stitches(lines, table["part"][lines.row] == Part.ZIGZAG)
        stitches[:, :2] -= np.repeat(np.array(at, np.int32).reshape(-1, 2), sizes, axis=0)
        data, colour = stitches.tobytes(), colours[row.thread]
        drawn: list[str] = []
        here: list[tuple[float, float]] = []
        before = -1
        for (key, first, last), (x, y) in zip(runs, at, strict=True):
            text = _column(data[first * STITCH_BYTES : last * STITCH_BYTES], colour, shine)
            if key >> 32 == before:
                drawn[-1] += text
            else:
                drawn.append(text)
                here.append((x / 100.0, y / 100.0))
            before = key >> 32
        out.add(moved(drawn, here))
    return out


def _hundredths(at_mm: tuple[float, float]) -> tuple[int, int]:
    """A place in hundredths of a mm, y down."""
    return round(at_mm[0] * 100.0), round(at_mm[1] * -100.0)


def _runs(keys: NDArray[np.integer]) -> Iterator[tuple[int, int, int]]:
    """Each stretch of equal keys: the key, its first row, and the row after its last."""
    ends = [*(np.flatnonzero(keys[1:] != keys[:-1]) + 1).tolist(), len(keys)]
    start = 0
    for end in ends:
        if end > start:
            yield int(keys[start]), start, end
        start = end


def _stitches(lines: MiddleLines, cover: NDArray[np.bool_]) -> NDArray[np.int32]:
    """Middle lines as drawn, (B, 7), so that their round ends lie within the band's."""
    inward = np.minimum(lines.wide_mm, lines.long_mm) / 2.0
    reach = lines.long_mm - 2.0 * inward
    out = np.empty((len(reach), 7), np.int32)
    for place, values in enumerate(
        (
            (lines.x_mm + inward * lines.ahead_x) * 100.0,
            (lines.y_mm + inward * lines.ahead_y) * -100.0,
            reach * lines.ahead_x * 100.0,
            reach * lines.ahead_y * -100.0,
            lines.wide_mm * 1000.0,
            _shades(lines.ahead_x, lines.ahead_y),
            cover,
        )
    ):
        out[:, place] = np.rint(values)
    return out


def _shades(ahead_x: NDArray[np.float64], ahead_y: NDArray[np.float64]) -> NDArray[np.float64]:
    """Shade of stitches by their direction: the square of the sine of the angle to the light."""
    light = np.radians(LIGHT_DEG)
    across = ahead_y * np.cos(light) - ahead_x * np.sin(light)
    return np.rint(across**2 * (SHADES - 1) - _JUST)


@lru_cache(maxsize=KEPT_COLUMNS)
def _column(stitches: bytes, colour: str, shine: bool) -> str:
    """The thread of a column, written: the same for the same stitches, whoever asks first."""
    rows = np.frombuffer(stitches, np.int32).reshape(-1, WIDTH + 3)
    cover = rows[:, COVER] == 1
    covering = rows[cover]
    return written(
        item
        for those in (rows[~cover], covering[::2], covering[1::2])
        for shade in range(SHADES)
        for item in _drawn(those[those[:, SHADE] == shade], _tones(colour, shade), shine)
    )


def _tones(colour: str, shade: int) -> tuple[str, str, str]:
    """Edge, back and shine of a stitch."""
    lit = shade / (SHADES - 1)
    back = mixed(mixed(colour, BLACK, 0.14 * (1.0 - lit)), WHITE, 0.04 + 0.2 * lit)
    return mixed(colour, BLACK, 0.42), back, mixed(back, WHITE, 0.18 + 0.22 * lit)


def _drawn(
    stitches: NDArray[np.int32], tones: tuple[str, str, str], shine: bool
) -> Iterator[Element]:
    """Edges, backs and shine of stitches that do not hide one another."""
    shares = (1.0, BACK_SHARE, SHINE_SHARE) if shine else (1.0, BACK_SHARE)
    for width_um, start, stop in _runs(stitches[:, WIDTH]):
        lines = stitches[start:stop, :4]
        at = shorts(*(lines.ravel() / 100.0).tolist())
        data = ("M%s %sl%s %s" * len(lines)) % tuple(at)
        for tone, share in zip(tones, shares, strict=False):
            yield path(data, stroke=tone, stroke_width=width_um / 1000.0 * share)
