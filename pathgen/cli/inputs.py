"""Values as people type them on a command line."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import Any

import click

from pathgen.errors import SettingsError
from pathgen.units import parse_length_mm

__all__ = ["LENGTH", "as_typed", "axis_places", "text_lines"]


class _Length(click.ParamType[float]):
    """A length: a number in mm, or with a unit."""

    name = "length"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> float:
        """Millimetres; a bad value is a bad input, not wrong usage."""
        option = param.opts[0] if param else "length"
        return value if isinstance(value, float) else parse_length_mm(str(value), option)


LENGTH = _Length()


def text_lines(texts: tuple[str, ...]) -> list[str]:
    r"""Lines of the text arguments; a typed ``\n`` breaks a line too."""
    return [line for text in texts for line in text.replace("\\n", "\n").split("\n")]


def axis_places(pairs: tuple[str, ...]) -> dict[str, float]:
    """Axis places from ``tag=value`` pairs."""
    places = {}
    for pair in pairs:
        tag, _, value = pair.partition("=")
        try:
            places[tag] = float(value)
        except ValueError as error:
            msg = f"--axis is {pair!r}; write a tag and a number, such as wght=700"
            raise SettingsError(msg) from error
    return places


@contextmanager
def as_typed(params: Sequence[click.Parameter]) -> Iterator[None]:
    """Name a setting in an error by the option that was typed for it."""
    try:
        yield
    except SettingsError as error:
        message = str(error)
        for param in params:
            if message.startswith(f"{param.name} is "):
                message = param.opts[0] + message[len(str(param.name)) :]
        raise SettingsError(message) from error
