"""Names by the thousand: a job planned for each row of a table.

The table is gone through twice: first what is missing or changed is planned, by any executor in
batches, and written down at once; then totals and index are written in the order of the rows.
So a run that is stopped goes on where it was, and any number of workers gives the same bytes.
"""

import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import FIRST_COMPLETED, Executor, Future, wait
from itertools import islice
from pathlib import Path
from typing import NamedTuple

from pathgen.errors import OutputError
from pathgen.orders.batch import NAMES_FOLDER, Batch, Done, Task, batch_of, do_batch, key_for
from pathgen.orders.filling import fields_in, filled
from pathgen.orders.job import Job
from pathgen.orders.ledger import Ledger, replaced
from pathgen.orders.naming import Namer
from pathgen.orders.table import NamesTable, TableRow
from pathgen.ready import ready_line
from pathgen.writers.contact_sheet import Card, sheet_pages
from pathgen.writers.locking import alone_in
from pathgen.writers.totals_csv import Sums, TotalRow, figure, measured, totals_csv

__all__ = ["BadRow", "NamesRun", "run_names"]

BATCH = 16
COUNT_BATCH = 128
"""Names in one batch: large enough that sending it costs little, small enough to tell progress."""

AHEAD = 4
"""Batches that wait for each one being done, so that no worker is ever idle."""

ENDINGS = (".svg", ".needles.csv", ".counts.csv")


class BadRow(NamedTuple):
    """A row that could not be planned, and why."""

    number: int
    reason: str


class NamesRun(NamedTuple):
    """What a run did.

    Attributes
    ----------
    rows, names : int
        Rows of the table, and different names among those that could be planned.
    planned, kept : int
        Names planned now, and those that were done before.
    bad : tuple of BadRow
        Rows that could not be planned.
    stops : tuple of int
        Numbers of the rows with a finding that says stop.
    older : int
        Names of earlier runs whose files are still in the folder.
    sums : mapping of str to float
        All rows that could be planned together, by the columns of the totals.
    files : tuple of Path
        Totals, then the pages of the index.
    """

    rows: int
    names: int
    planned: int
    kept: int
    bad: tuple[BadRow, ...]
    stops: tuple[int, ...]
    older: int
    sums: Mapping[str, float]
    files: tuple[Path, ...]


class _Name(NamedTuple):
    """A row with its texts; ``fault`` tells why there are none."""

    row: int
    key: str
    texts: tuple[str, ...]
    name: str
    fault: str = ""

    @property
    def written(self) -> str:
        """Its lines in one, parted by a slash."""
        return " / ".join(line for text in self.texts for line in text.splitlines() if line)


def run_names(
    job: Job,
    table: NamesTable,
    folder: Path,
    *,
    executor: Executor | None = None,
    workers: int = 1,
    counts_only: bool = False,
    tell: Callable[[int, int], None] | None = None,
) -> NamesRun:
    """Plan a job for every row of a table.

    Parameters
    ----------
    job : Job
        Its texts are filled from the table's columns.
    table : NamesTable
        The names.
    folder : Path
        Where totals, index and ledger go; plots and tables go into ``names`` in it.
    executor : Executor, optional
        What runs the batches: of processes, or of another machine that sees the same folder;
        without one this process does.
    workers : int
        How many batches it does at a time.
    counts_only : bool
        Write totals alone.
    tell : function of (done, all), optional
        Told how many names are done, of how many.

    Raises
    ------
    PathgenError
        If job, table or folder cannot be used; a bad row is no such error.
    """
    table.check(job.fields)
    batch = batch_of(job, None if counts_only else folder)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        if batch.folder and (folder / NAMES_FOLDER).is_dir():
            with alone_in(folder / NAMES_FOLDER):  # what a killed run left is swept up
                pass
    except OSError as error:
        rule = "is a file; choose a folder" if folder.is_file() else "could not be made: "
        reason = "" if folder.is_file() else (error.strerror or "").lower()
        msg = f"output folder {str(folder)!r} {rule}{reason}"
        raise OutputError(msg) from error
    ledger = Ledger(folder)
    faults: dict[str, str] = {}
    todo, kept = _todo(batch, job, table, ledger)
    tasks = (
        Task(key=name.key, texts=name.texts, name=name.name)
        for name in _names(batch, job, table)
        if name.key in todo and not todo.discard(name.key)  # type: ignore[func-returns-value]
    )
    count, planned = len(todo), 0
    try:
        for results in _results(batch, tasks, count, executor, workers):
            ledger.add(done for done in results if not done.fault)
            faults |= {done.key: done.fault for done in results if done.fault}
            planned += len(results)
            if tell is not None:
                tell(planned, count)
    finally:
        ledger.close()
    return _written(batch, job, table, folder, ledger, faults, (planned - len(faults), kept))


def _names(batch: Batch, job: Job, table: NamesTable) -> Iterator[_Name]:
    """Rows with their texts filled, each text with the same key and name wherever it stands."""
    namer = Namer()
    for row in table.rows():
        yield _name(batch, job, row, namer)


def _name(batch: Batch, job: Job, row: TableRow, namer: Namer) -> _Name:
    """One row with its texts filled."""
    if row.fault:
        return _Name(row.number, "", (), "", row.fault)
    texts = tuple(filled(line.text, row.cells).strip() for line in job.lines)
    if not any(row.cells[name] for name in job.fields) or not any(texts):
        empty = ", ".join(job.fields)
        return _Name(row.number, "", texts, "", f"has nothing to sew: {empty} empty")
    own = [text for text, line in zip(texts, job.lines, strict=True) if fields_in(line.text)]
    name = namer.name(" ".join(text for text in own if text))
    return _Name(row.number, key_for(batch, texts, name), texts, name)


def _todo(batch: Batch, job: Job, table: NamesTable, ledger: Ledger) -> tuple[set[str], int]:
    """Names that are missing or changed, and how many are done."""
    todo: set[str] = set()
    kept: set[str] = set()
    for name in _names(batch, job, table):
        if not name.key or name.key in todo or name.key in kept:
            continue
        if name.key in ledger and _as_written(batch, ledger.done(name.key), name.name):
            kept.add(name.key)
        else:
            ledger.forget(name.key)
            todo.add(name.key)
    return todo, len(kept)


def _as_written(batch: Batch, done: Done, name: str) -> bool:
    """Whether the files of a name are there, as long as they were."""
    if not batch.folder:
        return True
    stem = os.path.join(batch.folder, NAMES_FOLDER, name)
    try:
        return len(done.sizes) == len(ENDINGS) and all(
            os.stat(stem + ending).st_size == size
            for ending, size in zip(ENDINGS, done.sizes, strict=True)
        )
    except OSError:
        return False


def _results(
    batch: Batch, tasks: Iterator[Task], count: int, executor: Executor | None, workers: int
) -> Iterator[list[Done]]:
    """Results of so many tasks, batch by batch as they come; few are under way at a time."""
    pieces = _pieces(tasks, count, BATCH if batch.folder else COUNT_BATCH, workers)
    if executor is None:
        yield from (do_batch(batch, piece) for piece in pieces)
        return
    under_way: list[Future[list[Done]]] = []
    try:
        for piece in pieces:
            under_way.append(executor.submit(do_batch, batch, piece))
            if len(under_way) >= AHEAD * workers:
                yield from _done(under_way)
        while under_way:
            yield from _done(under_way)
    finally:
        for future in under_way:
            future.cancel()


def _done(under_way: list[Future[list[Done]]]) -> Iterator[list[Done]]:
    """Results of what is done by now, once anything is, as submitted; they leave the list."""
    done = wait(under_way, return_when=FIRST_COMPLETED).done
    for future in [future for future in under_way if future in done]:
        under_way.remove(future)
        yield future.result()


def _pieces(tasks: Iterator[Task], count: int, most: int, workers: int) -> Iterator[Sequence[Task]]:
    """Batches; for several workers the last ones are small, so that all end at the same time."""
    least = most if workers == 1 else 1
    while piece := list(islice(tasks, max(least, min(most, count // (2 * workers))))):
        count -= len(piece)
        yield piece


def _written(
    batch: Batch,
    job: Job,
    table: NamesTable,
    folder: Path,
    ledger: Ledger,
    faults: dict[str, str],
    done: tuple[int, int],
) -> NamesRun:
    """Totals and index, and what is to be told of the run."""
    bad: list[BadRow] = []
    stops: list[int] = []
    rows = 0
    names: set[str] = set()
    keys: dict[str, None] = {}

    def totals() -> Iterator[TotalRow]:
        nonlocal rows
        for name in _names(batch, job, table):
            rows += 1
            fault = name.fault or faults.get(name.key, "")
            text = name.written
            if fault:
                bad.append(BadRow(name.row, fault))
                yield TotalRow(name.row, text, "", fault, "")
                continue
            keys[name.key] = None
            cells = ledger.done(name.key).cells
            names.add(name.name)
            if figure(cells, "stops") > 0:
                stops.append(name.row)
            yield TotalRow(name.row, text, name.name if batch.folder else "", "", cells)

    files, sums = [folder / "totals.csv"], Sums()
    with replaced(files[0]) as write:
        for piece in totals_csv(totals(), sums):
            write(piece)
    if batch.folder:
        files += _index(batch, job, table, folder, ledger, faults)
    ledger.keep_only(keys)
    planned, kept = done
    together = measured(sums.cells)
    older = _older(folder, names) if batch.folder else 0
    return NamesRun(
        rows, len(keys), planned, kept, tuple(bad), tuple(stops), older, together, tuple(files)
    )


def _older(folder: Path, names: set[str]) -> int:
    """How many other names have all their files there: those of an earlier table or job."""
    try:
        there = set(os.listdir(folder / NAMES_FOLDER))
    except FileNotFoundError:  # no row has ever been planned here
        return 0
    plots = {file.removesuffix(ENDINGS[0]) for file in there if file.endswith(ENDINGS[0])}
    return sum(all(name + ending in there for ending in ENDINGS) for name in plots - names)


def _index(
    batch: Batch,
    job: Job,
    table: NamesTable,
    folder: Path,
    ledger: Ledger,
    faults: dict[str, str],
) -> list[Path]:
    """Pages with all names drawn; pages of an earlier run that are no longer needed go."""
    first: dict[str, int] = {}

    def cards() -> Iterator[Card]:
        for name in _names(batch, job, table):
            text = name.written
            fault = name.fault or faults.get(name.key, "")
            if fault:
                yield Card(row=name.row, text=text, fault=fault)
                continue
            same = first.setdefault(name.key, name.row)
            done = ledger.done(name.key)
            link = f"{NAMES_FOLDER}/{name.name}{ENDINGS[0]}"
            yield Card(name.row, text, "", link, same, done.cells, done.drawing)

    files = []
    colours = _colours(batch)
    for file, page in sheet_pages(job.title, cards, ledger.shapes, colours):
        with replaced(folder / file) as write:
            write(page)
        files.append(folder / file)
    for old in folder.glob("index-*.html"):
        if old not in files and old.stem.removeprefix("index-").isdecimal():
            old.unlink()
    return files


def _colours(batch: Batch) -> list[str]:
    """Colour of each line's thread; empty for none chosen."""
    return [ready_line(line).settings.thread.colour for line in batch.lines]
