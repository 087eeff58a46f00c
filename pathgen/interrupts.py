"""An interrupt is put off where Python would drop it, or where it would leave a thing half done."""

import signal
from collections.abc import Iterator
from contextlib import contextmanager
from threading import current_thread, main_thread

__all__ = ["held"]


@contextmanager
def held() -> Iterator[None]:
    """Hold an interrupt back; it comes through afterwards.

    A process or a thread that is started meanwhile goes on without hearing any. Another thread may
    still take one and have it raised in the main one, so that is put off too.
    """
    told = signal.getsignal(signal.SIGINT)
    if not callable(told) or current_thread() is not main_thread():
        yield  # none can be raised here
        return
    came: list[int] = []
    signal.signal(signal.SIGINT, lambda number, _: came.append(number))
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
