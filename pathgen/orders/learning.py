"""From filled forms to cloth files: what was learnt, written so that the next plan uses it."""

from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from pathgen.errors import SettingsError
from pathgen.orders.sewnlog import added_to_log
from pathgen.shop.clothfile import cloth_text
from pathgen.shop.lessons import lessons, sewn_thread, verdict
from pathgen.shop.samples import COLUMNS, Reading, read_samples
from pathgen.shop.shelves import Shop
from pathgen.shop.stock import cloth_named
from pathgen.trials import Lesson
from pathgen.writers.files import safe_name, write_keeping
from pathgen.writers.lesson_plot import lesson_plot

__all__ = ["Learnt", "learn"]

OVER_UNDERLAY = 0.8
"""Pull over underlay by pull without, where samples do not say (fitted, not measured)."""


class Learnt(NamedTuple):
    """What came of a learning.

    Attributes
    ----------
    reading : Reading
        What the files held.
    lessons : tuple of Lesson
        One a cloth.
    files : tuple of Path
        Cloth files and plots, then earlier ones that were kept.
    logged : int
        Rows added to the log.
    """

    reading: Reading
    lessons: tuple[Lesson, ...]
    files: tuple[Path, ...]
    logged: int


def learn(
    files: Sequence[Path],
    folder: Path,
    *,
    like: str | None = None,
    log: Path | None = None,
    keep_all: bool = False,
    shop: Shop | None = None,
) -> Learnt:
    """Learn from filled forms and logs, and write a cloth file and a plot for each cloth.

    Parameters
    ----------
    files : sequence of Path
        Forms and logs, joined.
    folder : Path
        Where the cloth files go; earlier ones are kept beside them.
    like : str, optional
        Listed cloth that the rest of an unknown one is taken from.
    log : Path, optional
        Log that the samples are added to.
    keep_all : bool
        Whether outliers are fitted like the rest.
    shop : Shop, optional
        Where cloths are looked up.

    Raises
    ------
    SettingsError
        If a file is no form, nothing was filled in, or a cloth is unknown and ``like`` is not
        given.
    OutputError
        If a file cannot be written.
    """
    reading = read_samples(files)
    if not reading.samples:
        many = ", ".join(map(str, files))
        msg = f"nothing to learn from {many}: no row has a measurement that can be used"
        raise SettingsError(msg)
    taught = lessons(reading.samples, keep_all=keep_all)
    contents: dict[str, bytes] = {}
    for lesson in taught:
        text = _cloth_text(lesson, reading, files, like, shop)
        stem = safe_name(lesson.cloth)
        if text:
            contents[f"{stem}.cloth.toml"] = text.encode()
        contents[f"{stem}.learnt.svg"] = lesson_plot(lesson).encode()
    written = write_keeping(folder, contents)
    rows = [dict(zip(COLUMNS, row, strict=True)) for row in reading.rows]
    logged = added_to_log(log, rows) if log else 0
    return Learnt(reading, taught, written, logged)


def _cloth_text(
    lesson: Lesson, reading: Reading, files: Sequence[Path], like: str | None, shop: Shop | None
) -> str:
    """The cloth file of a lesson; empty where nothing could be fitted."""
    sewn = [(t.thread, sewn_thread(t, OVER_UNDERLAY)) for t in lesson.threads]
    known = [(label, one) for label, one in sewn if one is not None]
    limits = verdict(lesson.limits)
    if not known and limits is None:
        return ""
    count = sum(sample.cloth == lesson.cloth for sample in reading.samples)
    named = ", ".join(path.name for path in files)
    return cloth_text(
        lesson.cloth,
        _base(lesson.cloth, like, shop),
        lesson.date,
        known,
        limits,
        f"learnt from {count} rows of {named}"[:200],
    )


def _base(cloth: str, like: str | None, shop: Shop | None) -> str:
    """The listed cloth that a cloth file builds on."""
    try:
        return cloth_named(like or cloth, shop).name
    except SettingsError as error:
        if like:
            raise
        msg = f"cloth {cloth!r} is not listed; say with --like which listed one it is most like"
        raise SettingsError(msg) from error
