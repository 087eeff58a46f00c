"""Processes that plan names, and leave an interrupt to the one that started them."""

import signal
from concurrent.futures import ProcessPoolExecutor
from multiprocessing.context import SpawnContext, SpawnProcess

__all__ = ["workers_of"]


class _Deaf(SpawnProcess):
    """A process that is deaf to interrupts while it is still loading; not on Windows."""

    def start(self) -> None:
        """Start it; what is ignored now stays so in it."""
        heard = signal.signal(signal.SIGINT, signal.SIG_IGN)
        try:
            super().start()
        finally:
            signal.signal(signal.SIGINT, heard)


class _Context(SpawnContext):
    Process = _Deaf


def workers_of(count: int) -> ProcessPoolExecutor:
    """Executor of so many processes; to be used from the main thread."""
    deaf = (signal.SIGINT, signal.SIG_IGN)
    return ProcessPoolExecutor(
        count, mp_context=_Context(), initializer=signal.signal, initargs=deaf
    )
