"""From filled forms to cloth files: what was learnt, written so that the next plan uses it."""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import NamedTuple

from pathgen.errors import SettingsError
from pathgen.materials import Cloth, SewnThread
from pathgen.orders.foretelling import told_anew
from pathgen.orders.samples import COLUMNS, Reading, read_samples
from pathgen.orders.sewnlog import added_to_log
from pathgen.shop.clothfile import CLOTH_FILE_FIELDS, cloth_text
from pathgen.shop.lessons import lessons, limit_lesson, sewn_thread, verdict
from pathgen.shop.look import over_underlay
from pathgen.shop.schema import checked
from pathgen.shop.shelves import Shop
from pathgen.shop.stock import cloth_named
from pathgen.trials import Fault, Lesson, Sample
from pathgen.writers.files import safe_name, write_keeping
from pathgen.writers.lesson_plot import lesson_plot

__all__ = ["Learnt", "learn"]


class Learnt(NamedTuple):
    """What came of a learning.

    Attributes
    ----------
    reading : Reading
        What the files held.
    lessons : tuple of Lesson
        One a cloth.
    files : tuple of Path
        Cloth files and plots, then earlier ones that were kept; none where all cloths had too
        little.
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
        If a file is no form, nothing was filled in, a cloth is unknown and ``like`` is not given,
        or what was learnt is beyond what a cloth file may hold.
    OutputError
        If a file cannot be written.
    """
    reading = read_samples(files)
    if not reading.samples:
        many = ", ".join(map(str, files))
        msg = (
            f"nothing to learn from {many}: no row has a measurement that can be used; fill in"
            " edge, holes, counter or read"
        )
        raise SettingsError(msg)
    told = [
        _told(lesson, reading.samples, like, shop)
        for lesson in lessons(reading.samples, keep_all=keep_all)
    ]
    contents: dict[str, bytes] = {}
    for one in told:
        stem = safe_name(one.lesson.cloth)
        while f"{stem}.cloth.toml" in contents:
            stem += "-2"
        if one.base is not None:
            text = _cloth_text(one, reading, files)
            checked(text, CLOTH_FILE_FIELDS, "cloth file", f"{stem}.cloth.toml")
            contents[f"{stem}.cloth.toml"] = text.encode()
            contents[f"{stem}.learnt.svg"] = lesson_plot(one.lesson).encode()
    written = write_keeping(folder, contents) if contents else ()
    rows = [dict(zip(COLUMNS, row, strict=True)) for row in reading.rows]
    logged = added_to_log(log, rows) if log else 0
    faults = (*reading.faults, *(fault for one in told for fault in one.faults))
    return Learnt(
        reading._replace(faults=faults), tuple(one.lesson for one in told), written, logged
    )


class _Told(NamedTuple):
    """A lesson, and what its cloth file is made of; no base where nothing was learnt."""

    lesson: Lesson
    base: Cloth | None
    sewn: tuple[tuple[str, SewnThread], ...]
    faults: list[Fault]


def _told(lesson: Lesson, samples: Sequence[Sample], like: str | None, shop: Shop | None) -> _Told:
    """A lesson whose limits fit the look that its own bars have taught."""
    of_all = [(t.thread, sewn_thread(t, over_underlay(None))) for t in lesson.threads]
    sewn = tuple((label, one) for label, one in of_all if one is not None)
    if not sewn:
        known = verdict(lesson.limits) is not None
        return _Told(lesson, _base(lesson.cloth, like, shop) if known else None, (), [])
    base = _base(lesson.cloth, like, shop)
    learnt = replace(base, sewn=tuple(one for _, one in sewn))
    here = [sample for sample in samples if sample.cloth == lesson.cloth]
    anew, faults = told_anew(here, base, learnt, shop)
    return _Told(replace(lesson, limits=limit_lesson(anew)), base, sewn, faults)


def _cloth_text(told: _Told, reading: Reading, files: Sequence[Path]) -> str:
    """The cloth file of a lesson."""
    cloth = told.lesson.cloth
    count = sum(sample.cloth == cloth for sample in reading.samples)
    named = ", ".join(path.name for path in files)
    return cloth_text(
        cloth,
        told.base.name if told.base else cloth,
        told.lesson.date,
        told.sewn,
        verdict(told.lesson.limits),
        f"learnt from {count} rows of {named}"[:200],
    )


def _base(cloth: str, like: str | None, shop: Shop | None) -> Cloth:
    """The listed cloth that a cloth file builds on."""
    try:
        return cloth_named(like or cloth, shop)
    except SettingsError as error:
        if like:
            raise
        msg = f"cloth {cloth!r} is not listed; say with --like which listed one it is most like"
        raise SettingsError(msg) from error
