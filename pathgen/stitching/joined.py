"""Needle tables that are sewn one after the other become one.

Each table begins with a tie-in and ends with a tie-off, so the thread is fast on both sides of
a cut. Between two tables the thread is cut; where the next has another thread, the machine
changes to it.
"""

from collections.abc import Sequence

import numpy as np

from pathgen.near import Near
from pathgen.needles import Arrive, tables_joined
from pathgen.sewing import Sewing

__all__ = ["one_table"]


def one_table(sewn: Sequence[Sewing], threads: Sequence[int]) -> Sewing:
    """One needle table of several; each keeps its stretches and near penetrations of its own.

    Parameters
    ----------
    sewn : sequence of Sewing
        In sewing order, at least one; some may be empty.
    threads : sequence of int
        Number of the thread of each.
    """
    if len(sewn) == 1:
        return sewn[0]
    tables, starts, pairs = [], [np.zeros(1, dtype=np.int64)], []
    before = 0
    for each, thread in zip(sewn, threads, strict=True):
        table = each.needles.copy()
        table["thread"] = thread
        if len(table):
            if before:
                table["arrive"][0] = Arrive.TRIM if thread == before else Arrive.CHANGE
            before = thread
        tables.append(table)
        pairs.append(each.across.pairs + starts[-1][-1])
        starts.append(each.starts[1:] + starts[-1][-1])
    return Sewing(
        tables_joined(tables),
        tuple(letter for each in sewn for letter in each.letters),
        tuple(stretch for each in sewn for stretch in each.stretches),
        np.concatenate(starts),
        Near(np.concatenate(pairs), np.concatenate([each.across.distances_mm for each in sewn])),
    )
