"""Run as ``pathgen``, or ``python -m pathgen``."""

import signal

# Until the command line is loaded, an interrupt ends the process at once and without a word.
if signal.getsignal(signal.SIGINT) is signal.default_int_handler:
    signal.signal(signal.SIGINT, signal.SIG_DFL)

from pathgen.cli import start

__all__ = ["start"]

if __name__ == "__main__":
    start()
