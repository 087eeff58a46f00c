"""Processes that plan names, and leave an interrupt to the one that started them."""

import signal
from collections.abc import Callable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from contextlib import contextmanager
from multiprocessing import get_context
from typing import ParamSpec, TypeVar

__all__ = ["workers_of"]

_Given = ParamSpec("_Given")
_Result = TypeVar("_Result")


@contextmanager
def _held() -> Iterator[None]:
    """Hold an interrupt back; it comes through afterwards.

    What is started meanwhile, a process or a thread, goes on without hearing any. A thread of old
    may still take one and have it raised in this one, so that is put off too.
    """
    came: list[int] = []
    told = signal.signal(signal.SIGINT, lambda number, _: came.append(number))
    masked = hasattr(signal, "pthread_sigmask")  # not on Windows
    heard = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT}) if masked else set()
    try:
        yield
    finally:
        if masked:
            signal.pthread_sigmask(signal.SIG_SETMASK, heard)
        signal.signal(signal.SIGINT, told)
        if came:
            signal.raise_signal(signal.SIGINT)


class _Pool(ProcessPoolExecutor):
    """Processes that are started whole, with the thread that watches over them, or not at all."""

    def submit(
        self, fn: Callable[_Given, _Result], /, *args: _Given.args, **kwargs: _Given.kwargs
    ) -> Future[_Result]:
        with _held():
            return super().submit(fn, *args, **kwargs)


def workers_of(count: int) -> ProcessPoolExecutor:
    """Executor of so many processes; to be used from the main thread."""
    deaf = (signal.SIGINT, signal.SIG_IGN)
    return _Pool(count, mp_context=get_context("spawn"), initializer=signal.signal, initargs=deaf)
