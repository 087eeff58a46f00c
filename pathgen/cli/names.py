"""``pathgen names``: a job, or a line, planned for every row of a table."""

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import BrokenExecutor, Executor
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from pathgen.cli import STOPPED
from pathgen.cli.command import Command
from pathgen.cli.inputs import FILE, FOLDER, as_typed, field_option
from pathgen.cli.plan_options import asked_job, asked_line, hide, plan_options, refuse_fill
from pathgen.cli.saying import say, say_json
from pathgen.errors import OutputError, SettingsError

if TYPE_CHECKING:
    from pathgen.orders.names import NamesRun
    from pathgen.orders.table import NamesTable

__all__ = ["names"]

MOST_BAD_SHOWN = 20
MOST_STOPS_SHOWN = 10
MOST_WORKERS = 256


class _NamesCommand(Command):
    """The command whose good rows are done beside bad ones, and which may be stopped."""

    exit_codes = (
        "Exit codes: 0 done; 1 rows could not be planned: each is listed, and the others are"
        " done; or table, job or folder could not be used: one line says what and why, and"
        f" nothing was written; 2 wrong usage; {STOPPED} stopped: what is done stays"
    )


@click.command(cls=_NamesCommand)
@click.argument("table", type=FILE)
@click.option("--job", type=FILE, help="Job file with {column} in a text.")
@click.option("--workers", type=int, default=1, metavar="N", help="Processes that plan. [1]")
@click.option("--counts-only", is_flag=True, help="Write the totals alone.")
@click.option("--out", type=FOLDER, help="Folder. [out/ and the table's name]")
@click.option("--json", "as_json", is_flag=True, help="Print what was done as JSON, nothing else.")
@click.option("--strict", is_flag=True, help="Exit code 3 if a finding says stop.")
@plan_options
@field_option
def names(
    table: Path,
    job: Path | None,
    workers: int,
    counts_only: bool,
    out: Path | None,
    as_json: bool,
    strict: bool,
    **asked: Any,
) -> None:
    """Plan a job for every row of TABLE, a CSV file as spreadsheets write it.

    The table's first row names its columns; {column} in a text of the job is filled from them.
    Without a job the first column is planned with the options given. A row that cannot be
    planned is listed with its number and the reason, the rest is done, and the exit code is 1.
    A run that was stopped goes on where it was, and one that is run again plans only what is
    missing or has changed.

    \b
    pathgen names staff.csv --job apron.toml
    pathgen names staff.csv --height 4 --thread 60 --workers 4
    """
    # \b above keeps click from wrapping the examples.
    from pathgen.orders.names import run_names

    if not 1 <= workers <= MOST_WORKERS:
        msg = f"--workers is {workers}; allowed 1 to {MOST_WORKERS}"
        raise SettingsError(msg)
    refuse_fill(asked)
    opened = _opened(table)
    named = [name for name in opened.columns if name]
    alone = named if job is None and len(named) > 1 else []
    with _ended(), as_typed(click.get_current_context().command.params):
        order = (
            asked_line(table.stem, opened.columns, asked) if job is None else asked_job(job, asked)
        )
        with _executor(workers) as executor, _progress() as tell:
            run = run_names(
                order,
                opened,
                out or Path("out") / table.stem,
                executor=executor,
                workers=workers,
                counts_only=counts_only,
                tell=tell,
            )
    if as_json:
        say_json(_data(run))
    else:
        say(_lines(run, alone))
    _tell_bad(run)
    if not run.rows:
        msg = f"table {table} has no rows below its head; nothing was planned"
        raise SettingsError(msg)
    if run.bad:
        raise click.exceptions.Exit(1)
    if strict and run.stops:
        raise click.exceptions.Exit(3)


hide(names, "fill")


@contextmanager
def _ended() -> Iterator[None]:
    """Tell why a run ended before its end."""
    try:
        yield
    except KeyboardInterrupt:
        click.echo("pathgen: stopped; what is done stays, run it again to go on", err=True)
        raise click.exceptions.Exit(STOPPED) from None
    except BrokenExecutor as error:
        msg = (
            "one of the --workers ended without a word, killed or out of memory; what is done"
            " stays, run it again with fewer to go on"
        )
        raise OutputError(msg) from error


def _opened(path: Path) -> "NamesTable":
    """The table, and a word on how it was read."""
    from pathgen.orders.table import open_table

    if path.suffix.lower() == ".toml":
        msg = f"table {path} looks like a job file; give a table, and the job by --job {path}"
        raise SettingsError(msg)
    table = open_table(path)
    for note in table.notes:
        click.echo(f"pathgen: {note}", err=True)
    return table


@contextmanager
def _executor(workers: int) -> Iterator[Executor | None]:
    """Processes; none where this one is enough. They leave an interrupt to this one."""
    if workers == 1:
        yield None
        return
    from pathgen.orders.workers import workers_of

    pool = workers_of(workers)
    try:
        yield pool
    finally:
        pool.shutdown(cancel_futures=True)


@contextmanager
def _progress() -> Iterator[Callable[[int, int], None] | None]:
    """A bar with the time left, on standard error, where that is a terminal."""
    import sys

    if sys.stderr is None or not sys.stderr.isatty():
        yield None
        return
    bars: list[Any] = []

    def tell(done: int, count: int) -> None:
        if not bars:
            bars.append(click.progressbar(length=count, label="names", file=sys.stderr))
            bars[0].__enter__()
        bars[0].update(done - bars[0].pos)

    try:
        yield tell
    finally:
        if bars:
            bars[0].__exit__(None, None, None)


def _lines(run: "NamesRun", alone: Sequence[str]) -> list[str]:
    """What was done, line by line; ``alone`` are the columns of which the first alone was sewn."""
    from pathgen.writers.wording import (
        CAUTION,
        duration,
        grouped_thousands,
        plural,
        thread_length,
    )

    sums = run.sums
    lines = [
        ("rows", f"{run.rows:,}"),
        ("names", f"{run.names:,} different: {run.planned:,} planned, {run.kept:,} done before"),
        ("bad rows", f"{len(run.bad):,}" if run.bad else "none"),
        ("stops", _stops(run.stops)),
    ]
    if alone:
        said = f"column {alone[0]!r} alone, of {', '.join(alone)}; a --job takes all"
        lines.insert(0, ("text", said))
    if len(run.bad) < run.rows:
        lines.append(
            (
                "together",
                f"{grouped_thousands(int(sums['stitches']))} stitches,"
                f" {plural(int(sums['trims']), 'trim')},"
                f" {duration(sums['sew_s'])} if sewn one by one,"
                f" {thread_length(sums['thread_mm'])} of thread",
            )
        )
    lines += [("files" if not n else "", str(f)) for n, f in enumerate(run.files[:2])]
    if len(run.files) > 2:
        more = len(run.files) - 2
        lines.append(("", f"and {more:,} more page{'s' if more > 1 else ''} of the index"))
    if run.older:
        home = run.files[0].parent / "names"
        lines.append(("old", f"{plural(run.older, 'name')} of an earlier run, still in {home}"))
    return [*(f"  {name:<10}{said}" for name, said in lines), " ".join(CAUTION)]


def _stops(rows: Sequence[int]) -> str:
    """Which rows have a finding that says stop."""
    from pathgen.writers.wording import numbers_named, plural

    if not rows:
        return "none"
    more = f" and {len(rows) - MOST_STOPS_SHOWN:,} more" if len(rows) > MOST_STOPS_SHOWN else ""
    named = numbers_named("row", rows[:MOST_STOPS_SHOWN])
    return f"{plural(len(rows), 'row')} with a finding that says stop: {named}{more}"


def _data(run: "NamesRun") -> dict[str, Any]:
    """The same as plain data, with every bad row and every file."""
    from pathgen.writers.wording import CAUTION

    return {
        "bad": [{"fault": row.reason, "row": row.number} for row in run.bad],
        "caution": list(CAUTION),
        "files": [str(path) for path in run.files],
        "kept": run.kept,
        "names": run.names,
        "planned": run.planned,
        "rows": run.rows,
        "old": run.older,
        "stops": list(run.stops),
        "together": {
            name: round(value, 3) if name.endswith(("_mm", "_s")) else int(value)
            for name, value in sorted(run.sums.items())
        },
    }


def _tell_bad(run: "NamesRun") -> None:
    """What was not done, on standard error."""
    for row in run.bad[:MOST_BAD_SHOWN]:
        click.echo(f"pathgen: row {row.number}: {row.reason}", err=True)
    if len(run.bad) > MOST_BAD_SHOWN:
        more = len(run.bad) - MOST_BAD_SHOWN
        click.echo(f"pathgen: and {more:,} more, all in {run.files[0]}", err=True)
