"""Whether the letters can be read once sewn.

Each letter's thread is pictured as it will lie and held against its own drawing and against those
of all letters that it could be taken for. Its confusion margin is its likeness to its own drawing
less the greatest likeness to another letter. These measures see shapes, not bulk: that stitches
crowd is told by the findings, and so are runs from letter to letter, which are left out here.
Every limit is fitted, not measured.
"""

import math
from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.bands import sewn_bands
from pathgen.geometry import turned
from pathgen.model import Letter
from pathgen.needles import NEEDLE_TABLE, Part
from pathgen.review.alphabet import Drawing, drawing_of, drawn_pictures, drawn_rows, same_letter
from pathgen.review.gaps import sewn_gap_threads
from pathgen.review.likeness import CAPITAL_PX, likeness, smoothed
from pathgen.review.raster import Window, pictures
from pathgen.review.visual_angle import farthest_mm
from pathgen.settings import Settings
from pathgen.sewnlook import ReadingLimits
from pathgen.verdicts import LetterReading, Reading, Verdict

__all__ = ["joined_readings", "read_letters", "reading_of"]

# A drawing that is more like a letter's own than this is the same drawing.
_SAME = 0.995
# Places of a letter's needle points are told apart to this many decimals of a mm, so that a letter
# counts as the same wherever it stands in the line.
_DECIMALS = 6


def read_letters(
    letters: Sequence[Letter],
    needles: NDArray[np.void],
    settings: Settings,
    alphabet: tuple[Drawing, ...],
    compared_with: tuple[str, ...],
) -> Reading:
    """How a text reads once sewn.

    Parameters
    ----------
    letters : sequence of Letter
        In sewing order.
    needles : structured array of NEEDLE_TABLE
        Their needle points.
    settings : Settings
        Uses ``height_mm``, ``sewn_look`` and what `gaps` uses.
    alphabet : tuple of Drawing
        Letters that each is held against, beside those of the text.
    compared_with : tuple of str
        What the alphabet is called in the result.

    Returns
    -------
    Reading
        With one row a letter; for no letters, one that reads well and has none.
    """
    known = {drawing.text for drawing in alphabet}
    own = {x.text: drawing_of(x.shape, x.text, settings.height_mm) for x in reversed(letters)}
    others = (*alphabet, *(own[text] for text in sorted(own) if text not in known))
    rows = tuple(
        _letter_reading(letter, stretch, settings, others)
        for letter, stretch in _stretches(letters, needles)
    )
    more = ("the text's own",) if len(others) > len(known) else ()
    return reading_of(rows, settings, (*compared_with, *more))


def reading_of(
    rows: Sequence[LetterReading], settings: Settings, compared_with: tuple[str, ...]
) -> Reading:
    """Reading of a text from the rows of its letters. Uses ``height_mm`` and ``sewn_look``."""
    look = settings.sewn_look
    return Reading(
        verdict=_text_verdict(rows, look.limits),
        letters=tuple(rows),
        likeness=_mean_likeness(rows),
        gap_threads=min((row.gap_threads for row in rows), default=math.inf),
        farthest_mm=farthest_mm(settings.height_mm),
        compared_with=compared_with,
        origin=_origin(settings),
    )


def _origin(settings: Settings) -> str:
    """Where the verdict's limits are from, and what it cannot see: a cloth that closes over."""
    cloth = settings.cloth
    if settings.height_mm >= cloth.least_height_mm:
        return settings.sewn_look.origin
    least = f"{cloth.name} swallows letters under {cloth.least_height_mm:g} mm"
    return f"{settings.sewn_look.origin}; {least}, which is left out here"


def joined_readings(readings: Sequence[Reading]) -> Reading:
    """Readings of several stretches of a text as one, with the worst verdict."""
    rows = tuple(row for reading in readings for row in reading.letters)
    return Reading(
        verdict=min(reading.verdict for reading in readings),
        letters=rows,
        likeness=_mean_likeness(rows),
        gap_threads=min(reading.gap_threads for reading in readings),
        farthest_mm=min(reading.farthest_mm for reading in readings),
        compared_with=tuple(dict.fromkeys(c for r in readings for c in r.compared_with)),
        origin="; ".join(
            dict.fromkeys(part for reading in readings for part in reading.origin.split("; "))
        ),
    )


def _mean_likeness(rows: Sequence[LetterReading]) -> float:
    return sum(row.likeness for row in rows) / len(rows) if rows else 1.0


def _stretches(
    letters: Sequence[Letter], needles: NDArray[np.void]
) -> Iterable[tuple[Letter, NDArray[np.void]]]:
    """Each letter with its rows, without the way to it."""
    line, index = needles["line"].astype(np.int64), needles["letter"].astype(np.int64)
    for letter in letters:
        rows = needles[(line == letter.line) & (index == letter.index)]
        begun = np.flatnonzero(rows["part"] != Part.TRAVEL)
        yield letter, rows[begun[0] if len(begun) else len(rows) :]


def _letter_reading(
    letter: Letter, rows: NDArray[np.void], settings: Settings, others: tuple[Drawing, ...]
) -> LetterReading:
    near = rows.copy()
    near["x_mm"] = np.round(near["x_mm"] - letter.at_mm[0], _DECIMALS) + 0.0
    near["y_mm"] = np.round(near["y_mm"] - letter.at_mm[1], _DECIMALS) + 0.0
    near["letter"], near["line"] = 1, 1
    drawing = drawing_of(letter.shape, letter.text, settings.height_mm)
    seen = _seen(drawing, others, letter.shape.turn_rad, settings, near.tobytes())
    return LetterReading(
        line=letter.line,
        letter=letter.index,
        text=letter.text,
        verdict=_letter_verdict(seen, settings.sewn_look.limits),
        margin=seen.margin,
        drawn_margin=seen.drawn_margin,
        looks_like=seen.looks_like,
        likeness=seen.likeness,
        gap_threads=sewn_gap_threads(letter.shape, settings),
    )


class _Seen(NamedTuple):
    """What is seen of a sewn letter: see `LetterReading`."""

    likeness: float
    margin: float
    drawn_margin: float
    looks_like: str


@lru_cache(maxsize=4096)
def _seen(
    drawing: Drawing,
    others: tuple[Drawing, ...],
    turn_rad: float,
    settings: Settings,
    rows: bytes,
) -> _Seen:
    """A letter's needle points, given as the bytes of its rows, held against all drawings."""
    needles = np.frombuffer(rows, dtype=NEEDLE_TABLE)
    window = drawing.window
    sewn = _sewn_picture(needles, drawing, turn_rad, settings, window)
    itself = float(likeness(sewn, drawn_rows((drawing,), window))[0])
    found = likeness(sewn, drawn_rows(others, window))
    drawn = _drawn_likeness(drawing, others)
    rival = np.array([not same_letter(drawing.text, other.text) for other in others])
    rival &= drawn < _SAME
    if not rival.any():
        return _Seen(itself, itself, 1.0, "")
    first = int(np.where(rival, found, -2.0).argmax())
    return _Seen(
        likeness=itself,
        margin=itself - float(found[first]),
        drawn_margin=1.0 - float(drawn[rival].max()),
        looks_like=others[first].text,
    )


@lru_cache(maxsize=4096)
def _drawn_likeness(drawing: Drawing, others: tuple[Drawing, ...]) -> NDArray[np.float64]:
    """Likeness of a letter as drawn to all drawings."""
    window = drawing.window
    return likeness(drawn_pictures((drawing,), window)[0], drawn_rows(others, window))


def _sewn_picture(
    needles: NDArray[np.void],
    drawing: Drawing,
    turn_rad: float,
    settings: Settings,
    window: Window,
) -> NDArray[np.float64]:
    """Smoothed picture (H, W) of a letter's thread, set upright."""
    corners = sewn_bands(needles, settings).corners_mm * (CAPITAL_PX / settings.height_mm)
    upright = turned(corners.reshape(-1, 2), -turn_rad).reshape(-1, 4, 2)
    upright -= (drawing.middle_px, 0.0)
    edges = np.stack([upright, np.roll(upright, -1, axis=1)], axis=2).reshape(-1, 2, 2)
    return smoothed(pictures(edges, np.zeros(len(edges), dtype=np.int64), 1, window))[0]


def _letter_verdict(seen: _Seen, limits: ReadingLimits) -> Verdict:
    """The worse of what margin and correlation say."""
    by_likeness = _reached(seen.likeness, limits.well_likeness, limits.least_likeness)
    return min(by_likeness, _margin_verdict(seen.margin, seen.drawn_margin, limits))


def _margin_verdict(margin: float, drawn: float, limits: ReadingLimits) -> Verdict:
    """Two letters that are drawn alike need no more margin than a share of what they have."""
    return _reached(margin, min(limits.well_margin, limits.well_kept * drawn), limits.least_margin)


def _reached(value: float, well: float, least: float) -> Verdict:
    if value >= well:
        return Verdict.READS_WELL
    return Verdict.BORDERLINE if value >= least else Verdict.WILL_NOT_READ


def _text_verdict(rows: Sequence[LetterReading], limits: ReadingLimits) -> Verdict:
    """Worst of three, as `Reading` says."""
    mean = _mean_likeness(rows)
    by_likeness = _reached(mean, limits.text_well_likeness, limits.text_least_likeness)
    by_margin = sorted(_margin_verdict(row.margin, row.drawn_margin, limits) for row in rows)
    let_off = int(len(rows) * (1.0 - limits.share_of_letters) + 0.5)
    most = by_margin[let_off] if rows else Verdict.READS_WELL
    fails = any(row.verdict is Verdict.WILL_NOT_READ for row in rows)
    return min(by_likeness, most, Verdict.BORDERLINE if fails else Verdict.READS_WELL)
