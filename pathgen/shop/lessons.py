"""All that samples teach, cloth by cloth: threads first, then the limits of the verdict.

Letters were read or not; the verdict had foretold a margin for each. A logistic curve through them
gives the margin at which half are read, from which on letters count as readable at all, and that at
which nine in ten are, from which on they read well.
"""

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from pathgen.materials import SewnThread, VerdictLimits
from pathgen.shop.calibrate import thread_lesson
from pathgen.shop.leastsquares import normal_quantile
from pathgen.shop.logistic import Curve, curve_through
from pathgen.trials import Estimate, Lesson, LimitLesson, Sample, ThreadLesson

__all__ = ["LETTERS_LEAST", "READS", "WELL", "lessons", "limit_lesson", "sewn_thread", "verdict"]

READS, WELL = 0.5, 0.9
"""Share of letters that are read at the two limits (ours)."""

LETTERS_LEAST, EITHER_LEAST = 30, 6
"""Fewest letters, and fewest of those read and of those not read, that a curve is drawn through."""

SURE = 0.95


def lessons(samples: Sequence[Sample], *, keep_all: bool = False) -> tuple[Lesson, ...]:
    """What samples teach of each cloth, in order of appearance.

    Threads of a cloth are told apart by their count in tex.
    """
    out = []
    for cloth in dict.fromkeys(s.cloth for s in samples):
        here = [s for s in samples if s.cloth == cloth]
        threads = dict.fromkeys(s.tex for s in here if s.kind != "letter")
        taught = tuple(
            thread_lesson(
                [s for s in here if s.tex == tex and s.kind != "letter"], keep_all=keep_all
            )
            for tex in threads
        )
        date = max(s.date for s in here)
        out.append(Lesson(cloth=cloth, date=date, threads=taught, limits=limit_lesson(here)))
    return tuple(out)


def limit_lesson(samples: Sequence[Sample]) -> LimitLesson:
    """Limits of the verdict from letters with a margin that were read or not."""
    letters = [s for s in samples if s.kind == "letter" and s.read is not None]
    letters = [s for s in letters if not np.isnan(s.margin)]
    margins, read = tuple(s.margin for s in letters), tuple(bool(s.read) for s in letters)
    lacking = _lacking(read)
    if lacking:
        return LimitLesson(margins=margins, read=read, lacking=lacking)
    x = np.array(margins)
    try:
        curve = curve_through(x, np.array(read))
    except (ValueError, np.linalg.LinAlgError):
        said = "limits: all letters have the same margin; sew some at other heights"
        return LimitLesson(margins=margins, read=read, lacking=(said,))
    said = _useless(curve, x)
    if said:
        return LimitLesson(margins=margins, read=read, lacking=(said,))

    def limit(share: float) -> Estimate:
        error = curve.error(share)
        within = normal_quantile((1.0 + SURE) / 2.0) * error
        return Estimate(value=curve.place(share), error=error, within=within, samples=len(x))

    return LimitLesson(
        reads=limit(READS),
        well=limit(WELL),
        at=curve.at,
        steepness=curve.steepness,
        margins=margins,
        read=read,
    )


def _useless(curve: Curve, x: NDArray[np.float64]) -> str:
    """Why a curve gives no limits; empty if it does."""
    rising = curve.steepness / math.sqrt(curve.covariance[1, 1])
    if rising < normal_quantile((1.0 + SURE) / 2.0):
        return (
            "limits: letters of a larger margin were not surely read more often"
            f" (the rise is {rising:.1f} of its standard errors); sew more letters, also at"
            " heights that are easily read and at some that are not"
        )
    for share in (READS, WELL):
        at = curve.place(share)
        if not x.min() <= at <= x.max():
            return (
                f"limits: {share:.0%} would be read from margin {at:.2f}, beyond all that were"
                f" sewn ({x.min():.2f} to {x.max():.2f}); sew letters that come to it"
            )
    return ""


def _lacking(read: Sequence[bool]) -> tuple[str, ...]:
    """What is missing for a curve."""
    yes, no = sum(read), len(read) - sum(read)
    said = []
    if len(read) < LETTERS_LEAST:
        said.append(f"limits: {len(read)} letters, {LETTERS_LEAST - len(read)} more are needed")
    for count, what in ((yes, "read"), (no, "not read")):
        if count < EITHER_LEAST:
            said.append(f"limits: {count} letters {what}, {EITHER_LEAST - count} more are needed")
    return tuple(said)


def sewn_thread(lesson: ThreadLesson, over_underlay: float) -> SewnThread | None:
    """What a cloth file says of a thread; None where nothing could be fitted.

    Where pull and overhang cannot be told apart, the pull is that less the overhang, and no
    overhang is given.

    Parameters
    ----------
    lesson : ThreadLesson
        Of the thread.
    over_underlay : float
        Pull over underlay as a share of pull without, where the samples do not say.
    """
    if lesson.allowance is None:
        return None
    pull = lesson.pull or lesson.allowance
    scale = 1.0 / over_underlay if lesson.over_run_only else 1.0
    nan = float("nan")

    def value(of: Estimate | None, times: float = scale) -> float:
        return nan if of is None else of.value * times

    return SewnThread(
        tex=lesson.tex,
        pull_mm=pull.value * scale,
        pull_error_mm=pull.error * scale,
        overhang_mm=lesson.overhang.value if lesson.overhang else 0.0,
        overhang_error_mm=lesson.overhang.error if lesson.overhang else nan,
        along_mm=value(lesson.along),
        across_mm=value(lesson.across),
        over_underlay=value(lesson.over_underlay, 1.0),
        samples=lesson.allowance.samples,
    )


def verdict(lesson: LimitLesson) -> VerdictLimits | None:
    """What a cloth file says of the verdict; None where nothing could be fitted."""
    if lesson.reads is None or lesson.well is None:
        return None
    return VerdictLimits(
        well_margin=lesson.well.value,
        reads_margin=lesson.reads.value,
        samples=lesson.reads.samples,
    )
