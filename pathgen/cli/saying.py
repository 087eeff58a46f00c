"""What is printed: colour for the levels of findings on a terminal, and only there.

Colour is left out in pipes and files, and where ``NO_COLOR`` is set (no-color.org); the word says
the same without it.
"""

import os
import sys
from collections.abc import Mapping, Sequence
from typing import Any

import click

__all__ = ["say", "say_json"]

LEVEL_COLOURS = {"stop": "red", "check": "yellow"}


def say(lines: Sequence[str]) -> None:
    """Print lines; a finding's level at the start of its line is coloured on a terminal."""
    if sys.stdout is not None and sys.stdout.isatty() and not os.environ.get("NO_COLOR"):
        lines = [_coloured(line) for line in lines]
    click.echo("\n".join(lines))


def say_json(data: Mapping[str, Any]) -> None:
    """Print plain data as JSON."""
    import json

    click.echo(json.dumps(data, ensure_ascii=False, indent=2))


def _coloured(line: str) -> str:
    """A line with its first word coloured if that is a level."""
    inner = line.lstrip(" ")
    word = inner.split(" ", 1)[0]
    if line == inner or word not in LEVEL_COLOURS:
        return line
    edge = line[: len(line) - len(inner)]
    return edge + click.style(word, fg=LEVEL_COLOURS[word], bold=True) + inner[len(word) :]
