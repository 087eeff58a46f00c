"""Run as ``python -m pathgen``."""

from pathgen.cli import start

start()
