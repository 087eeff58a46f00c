"""Processes that plan names, and leave an interrupt to the one that started them."""

import signal
from collections.abc import Callable
from concurrent.futures import Future, ProcessPoolExecutor
from multiprocessing import get_context
from typing import ParamSpec, TypeVar

from pathgen.interrupts import held

__all__ = ["workers_of"]

_Given = ParamSpec("_Given")
_Result = TypeVar("_Result")


class _Pool(ProcessPoolExecutor):
    """Processes that are started whole, with the thread that watches over them, or not at all."""

    def submit(
        self, fn: Callable[_Given, _Result], /, *args: _Given.args, **kwargs: _Given.kwargs
    ) -> Future[_Result]:
        with held():
            return super().submit(fn, *args, **kwargs)


def workers_of(count: int) -> ProcessPoolExecutor:
    """Executor of so many processes; to be used from the main thread."""
    deaf = (signal.SIGINT, signal.SIG_IGN)
    return _Pool(count, mp_context=get_context("spawn"), initializer=signal.signal, initargs=deaf)
