"""The lettering as thread: every stitch a rounded band with a dark edge and a lit back.

Thread shines where it lies across the light, which comes from the upper left; so a stitch is as
light as its direction tells. Stitches are drawn column by column as they are sewn, first those that
go one way, then those that come back: neighbours of one way leave one another's edges in sight, and
many stitches share a path.

Letters come again, in a text and from text to text: so each is written in its place, as it is sewn
from its own origin, and what was written for the same penetrations stays.
"""

from collections.abc import Iterator, Sequence
from itertools import accumulate, pairwise

import numpy as np
from numpy.typing import NDArray

from pathgen.bands import MiddleLines, middle_lines
from pathgen.kept import Kept
from pathgen.model import Plan
from pathgen.needles import Arrive, Part, needle_table
from pathgen.settings import Settings
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


KEPT_LETTERS, KEPT_SETTINGS = 2048, 4
"""Letters that stay written for the same settings, some 5 kB each, and for how many settings."""

PER_MM = 10_000.0
"""Places of penetrations are told apart in ten thousandths of a mm."""

WIDTH, SHADE, COVER, COLUMN = 4, 5, 6, 7
"""Places in a drawn stitch. First come its middle line's start and the way from there, x and y, in
hundredths of a mm, y down, from its letter's origin; then its width in thousandths, its shade,
whether it is of the zigzag, and its column."""

_Sewn = tuple[bytes, str, bool]
"""A letter as it is sewn, from its own origin: places of its penetrations, and what each is; then
its colour, and whether it shines."""

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
        runs = list(_runs(table["letter"]))
        at = [places.get((line, letter), (0.0, 0.0)) for letter, _, _ in runs]
        keys = [(data, colours[row.thread], shine) for data in _as_sewn(table, runs, at)]
        drawn = zip(_written(keys, row.settings), at, strict=True)
        shown = [(text, (x, -y)) for text, (x, y) in drawn if text]
        out.add(moved([text for text, _ in shown], [place for _, place in shown]))
    return out


def _as_sewn(
    table: NDArray[np.void],
    runs: Sequence[tuple[int, int, int]],
    at: Sequence[tuple[float, float]],
) -> Iterator[bytes]:
    """Penetrations of each letter, from its origin; before them that which it is joined to."""
    firsts, lasts = np.array([run[1:] for run in runs]).reshape(-1, 2).T
    joined = table["arrive"][firsts] == int(Arrive.SEW)
    joined[:1] = False
    sizes = lasts - firsts + joined
    ends = [0, *accumulate(sizes.tolist())]
    rows = np.arange(ends[-1]) + np.repeat(firsts - joined - ends[:-1], sizes)
    out = np.empty((len(rows), 3), np.int32)
    for axis, name in enumerate(("x_mm", "y_mm")):
        from_mm = np.repeat([place[axis] for place in at], sizes)
        out[:, axis] = np.rint((table[name][rows] - from_mm) * PER_MM)
    what = table["column"].astype(np.int32) << 8 | table["part"] << 4 | table["arrive"]
    out[:, 2] = what[rows]
    out[np.array(ends[:-1])[joined], 2] = int(Arrive.TRIM)
    data, size = out.tobytes(), out.itemsize * 3
    return (data[first * size : last * size] for first, last in pairwise(ends))


def _letters_written(letters: Sequence[_Sewn], settings: Settings) -> Iterator[str]:
    """The thread of letters, written."""
    for data, colour, shine in letters:
        x, y, what = np.frombuffer(data, np.int32).reshape(-1, 3).T
        table = needle_table(len(what))
        table["x_mm"], table["y_mm"] = x / PER_MM, y / PER_MM
        table["column"], table["part"], table["arrive"] = what >> 8, what >> 4 & 15, what & 15
        stitches = _stitches(middle_lines(table, settings), table)
        yield "".join(
            _column(stitches[first:last], colour, shine)
            for _, first, last in _runs(stitches[:, COLUMN])
        )


_written: Kept[_Sewn, str] = Kept(
    lambda letters, settings: list(_letters_written(letters, settings)),
    most=KEPT_LETTERS,
    settings=KEPT_SETTINGS,
)


def _runs(keys: NDArray[np.integer]) -> Iterator[tuple[int, int, int]]:
    """Each stretch of equal keys: the key, its first row, and the row after its last."""
    ends = [*(np.flatnonzero(keys[1:] != keys[:-1]) + 1).tolist(), len(keys)]
    start = 0
    for end in ends:
        if end > start:
            yield int(keys[start]), start, end
        start = end


def _stitches(lines: MiddleLines, table: NDArray[np.void]) -> NDArray[np.int32]:
    """Middle lines as drawn, (B, 8), so that their round ends lie within the band's."""
    inward = np.minimum(lines.wide_mm, lines.long_mm) / 2.0
    reach = lines.long_mm - 2.0 * inward
    out = np.empty((len(reach), 8), np.int32)
    for place, values in enumerate(
        (
            (lines.x_mm + inward * lines.ahead_x) * 100.0,
            (lines.y_mm + inward * lines.ahead_y) * -100.0,
            reach * lines.ahead_x * 100.0,
            reach * lines.ahead_y * -100.0,
            lines.wide_mm * 1000.0,
            _shades(lines.ahead_x, lines.ahead_y),
            table["part"][lines.row] == Part.ZIGZAG,
            table["column"][lines.row],
        )
    ):
        out[:, place] = np.rint(values)
    return out


def _shades(ahead_x: NDArray[np.float64], ahead_y: NDArray[np.float64]) -> NDArray[np.float64]:
    """Shade of stitches by their direction: the square of the sine of the angle to the light."""
    light = np.radians(LIGHT_DEG)
    across = ahead_y * np.cos(light) - ahead_x * np.sin(light)
    return np.rint(across**2 * (SHADES - 1) - _JUST)


def _column(stitches: NDArray[np.int32], colour: str, shine: bool) -> str:
    """The thread of a column, written."""
    cover = stitches[:, COVER] == 1
    covering = stitches[cover]
    return written(
        item
        for those in (stitches[~cover], covering[::2], covering[1::2])
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
