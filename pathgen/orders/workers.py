"""Processes that plan names, and leave an interrupt to the one that started them."""

import signal
from concurrent.futures import ProcessPoolExecutor
from multiprocessing.context import SpawnContext, SpawnProcess

__all__ = ["workers_of"]


class _Deaf(SpawnProcess):
    """A process that is deaf to interrupts while it is still loading; not on Windows."""

    def start(self) -> None:
        """Start it; what is held back now stays so in it, and comes through here afterwards."""
        if not hasattr(signal, "pthread_sigmask"):
            super().start()
            return
        heard = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
        try:
            super().start()
        finally:
            signal.pthread_sigmask(signal.SIG_SETMASK, heard)


class _Context(SpawnContext):
    Process = _Deaf


def workers_of(count: int) -> ProcessPoolExecutor:
    """Executor of so many processes; to be used from the main thread."""
    deaf = (signal.SIGINT, signal.SIG_IGN)
    return ProcessPoolExecutor(
        count, mp_context=_Context(), initializer=signal.signal, initargs=deaf
    )
