"""Needle tables that are sewn one after the other become one.

Each table begins with a tie-in and ends with a tie-off, so the thread is fast on both sides of
a cut. Between two tables the thread is cut; where the next has another thread, the machine
changes to it.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from pathgen.needles import Arrive

__all__ = ["one_table"]


def one_table(tables: Sequence[NDArray[np.void]], threads: Sequence[int]) -> NDArray[np.void]:
    """One needle table of several.

    Parameters
    ----------
    tables : sequence of structured array of NEEDLE_TABLE
        In sewing order; some may be empty.
    threads : sequence of int
        Number of the thread of each.
    """
    if len(tables) == 1:
        return tables[0]
    out = []
    before = 0
    for table, thread in zip(tables, threads, strict=True):
        if len(table):
            table = table.copy()
            table["thread"] = thread
            if before:
                table["arrive"][0] = Arrive.TRIM if thread == before else Arrive.CHANGE
            before = thread
            out.append(table)
    return np.concatenate(out or tables[:1])
