"""A sign of life for whatever takes over a second: on a terminal only, and gone when done."""

import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

import click

__all__ = ["told_when_long"]

PATIENCE_S = 1.0
EVERY_S = 0.5

_telling: list[str] = []
"""What is being told; empty while nothing is."""


@contextmanager
def told_when_long(what: str) -> Iterator[Callable[[str], None]]:
    """Say on standard error what is being done, from the second second on.

    Nothing is said where standard error is no terminal, so that logs and pipes stay clean, and
    nothing inside another such block, which says it already. Who takes many steps calls what
    the block is given with what is being done now.
    """
    if _telling or sys.stderr is None or not sys.stderr.isatty():
        yield lambda _: None
        return
    _telling.append(what)
    done = threading.Event()
    teller = threading.Thread(target=_tell, args=(done,), daemon=True)
    teller.start()
    try:
        yield lambda now: _telling.__setitem__(0, now)
    finally:
        done.set()
        teller.join()
        _telling.clear()


def _tell(done: threading.Event) -> None:
    """What is done and the seconds so far on one line, which is wiped at the end."""
    start = time.monotonic()
    if done.wait(PATIENCE_S):
        return
    wide = 0
    while True:
        line = f"{_telling[0]}, {time.monotonic() - start:.0f} s so far"
        wide = max(wide, len(line))
        click.echo(f"\r{line:<{wide}}", nl=False, err=True)
        if done.wait(EVERY_S):
            break
    click.echo("\r" + " " * wide + "\r", nl=False, err=True)
