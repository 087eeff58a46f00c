"""Runs that write into one folder take turns, and sweep up after one that was killed.

The folder itself is locked, so that no lock file is left behind; the system frees the lock when its
holder ends, however that happens.

limit: not on Windows, nor on disks that know no locks.
"""

import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

__all__ = ["PARTS", "alone_in"]

PARTS = ".pathgen-*.part"
"""Names of files that are still being written."""


@contextmanager
def alone_in(folder: Path, *, swept: bool = False) -> Iterator[None]:
    """Hold a folder to oneself; unfinished files of runs that were killed are taken away.

    Whoever writes many names one by one does that once and then says ``swept``: looking through
    a folder takes the longer, the more is in it.
    """
    try:
        import fcntl
    except ImportError:  # Windows
        yield
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        with suppress(OSError):
            fcntl.flock(handle, fcntl.LOCK_EX)
            # Whoever made them no longer holds the folder.
            for left in () if swept else folder.glob(PARTS):
                left.unlink()
        yield
    finally:
        os.close(handle)
