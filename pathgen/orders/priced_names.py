"""What the names of a table have sewn: one work for each different text, with its pieces."""

from collections.abc import Sequence
from typing import NamedTuple

from pathgen.errors import PathgenError
from pathgen.orders.filling import filled
from pathgen.orders.job import Job
from pathgen.orders.names import BadRow
from pathgen.orders.table import NamesTable
from pathgen.pipeline import plan_ready
from pathgen.pricing import Work
from pathgen.ready import ReadyLine, ready_line
from pathgen.shop.price import work_of

__all__ = ["NamedWorks", "works_of_table"]


class NamedWorks(NamedTuple):
    """Works with their pieces, in order of appearance, and rows that could not be planned."""

    works: tuple[tuple[Work, int], ...]
    bad: tuple[BadRow, ...]


def works_of_table(job: Job, table: NamesTable) -> NamedWorks:
    """Plan a job for every row of a table, only to count it; equal rows once.

    Raises
    ------
    PathgenError
        If job or table cannot be used; a bad row is no such error.
    """
    table.check(job.fields)
    ready = [ready_line(line) for line in job.lines]
    rows: dict[tuple[str, ...], list[int]] = {}
    bad: list[BadRow] = []
    for row in table.rows():
        if row.fault:
            bad.append(BadRow(row.number, row.fault))
            continue
        texts = tuple(filled(line.text, row.cells).strip() for line in job.lines)
        if not any(row.cells[name] for name in job.fields) or not any(texts):
            bad.append(BadRow(row.number, f"has nothing to sew: {', '.join(job.fields)} empty"))
            continue
        rows.setdefault(texts, []).append(row.number)
    works = []
    for texts, numbers in rows.items():
        try:
            works.append((_work(job, ready, texts), len(numbers)))
        except PathgenError as error:
            bad += [BadRow(number, str(error)) for number in numbers]
    return NamedWorks(tuple(works), tuple(sorted(bad)))


def _work(job: Job, ready: Sequence[ReadyLine], texts: Sequence[str]) -> Work:
    """One name, planned and counted; lines that are left empty are not sewn."""
    lines = [(text, by) for text, by in zip(texts, ready, strict=True) if text.strip()]
    return work_of(plan_ready(lines, job.field))
