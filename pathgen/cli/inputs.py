"""Values as people type them on a command line."""

import os
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from pathgen.errors import SettingsError
from pathgen.settings import CHOICES
from pathgen.units import parse_length_mm, parse_size_mm

if TYPE_CHECKING:
    from click.shell_completion import CompletionItem

    from pathgen.lines import SewingField

__all__ = [
    "FILE",
    "FOLDER",
    "LENGTH",
    "Word",
    "as_typed",
    "axis_places",
    "field_option",
    "listed",
    "listed_heights",
    "name_option",
    "named_file",
    "one_of",
    "out_option",
    "page_size_option",
    "text_lines",
]


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


class _Field(click.ParamType["SewingField"]):
    """A sewing field: its sides, or the diameter of a round one."""

    name = "field"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> "SewingField":
        """A field without a name; a bad value is a bad input, not wrong usage."""
        from pathgen.lines import FIELD_MM, FIELD_NAME, SewingField

        sizes = parse_size_mm(value, "--field")
        if not all(FIELD_MM[0] <= size <= FIELD_MM[1] for size in sizes):
            msg = f"--field is {value!r}; allowed {FIELD_MM[0]:g} to {FIELD_MM[1]:g} mm"
            raise SettingsError(msg)
        return SewingField(
            name=FIELD_NAME, width_mm=sizes[0], height_mm=sizes[-1], is_round=len(sizes) == 1
        )


field_option = click.option(
    "--field",
    type=_Field(),
    metavar="SIZE",
    help="Sewing field to fit: 75x30mm, or the diameter of a round one. [none]",
)

FILE = click.Path(path_type=Path, readable=False)
"""A file that is read later: what is wrong with it is then told in one line."""

FOLDER = click.Path(path_type=Path)

out_option = click.option(
    "--out", type=FOLDER, default=Path("out"), help="Folder for the files. [out]"
)

name_option = click.option("--name", metavar="NAME", help="Name of the files. [made from the text]")


class Word(click.ParamType[str]):
    """A text that is checked later; the shell is offered the words that are right.

    Parameters
    ----------
    offered : function
        The words, found when they are asked for.
    shown : str
        What help shows in the option's place.
    """

    name = "text"

    def __init__(self, offered: Callable[[], Iterable[str]], shown: str) -> None:
        self._offered = offered
        self._shown = shown

    def get_metavar(self, param: click.Parameter, ctx: click.Context) -> str:
        """What help shows."""
        return self._shown

    def shell_complete(
        self, ctx: click.Context, param: click.Parameter, incomplete: str
    ) -> list["CompletionItem"]:
        """Words that go on as the typed one begins."""
        from click.shell_completion import CompletionItem

        return [CompletionItem(word) for word in self._offered() if word.startswith(incomplete)]


page_size_option = click.option(
    "--page-size",
    type=Word(lambda: ("a4", "letter"), "a4|letter"),
    help="Plot on sheets of this size, as many as it takes. [one sheet that holds all]",
)


def one_of(setting: str) -> Word:
    """A word out of a setting's choices."""
    choices = CHOICES[setting]
    return Word(lambda: choices, "|".join(choices))


_FILES = {
    ".toml": "a job file, for pathgen plot, price and log; here a text is asked for",
    ".csv": "a table, for pathgen names; here a text is asked for",
}
"""Kinds of files whose name is likely meant as the file, not as letters."""


def text_lines(texts: tuple[str, ...]) -> list[str]:
    r"""Lines of the text arguments; a typed ``\n`` breaks a line too.

    Raises
    ------
    SettingsError
        If the only one is the name of a job file or a table that lies there.
    """
    if len(texts) == 1 and os.path.isfile(texts[0]):
        kind = _FILES.get(os.path.splitext(texts[0])[1].lower())
        if kind is not None:
            msg = f"{texts[0]} is {kind}; to sew these letters, add a space at their end"
            raise SettingsError(msg)
    return [line for text in texts for line in text.replace("\\n", "\n").split("\n")]


def named_file(texts: Sequence[str], ending: str, kind: str) -> Path | None:
    """The file of a kind that the text arguments stand for; None if they are letters.

    Raises
    ------
    SettingsError
        If it is named like one and there is none.
    """
    if len(texts) != 1 or not texts[0].lower().endswith(ending):
        return None
    path = Path(texts[0])
    if not path.is_file():
        msg = f"{kind} {texts[0]} does not exist; to sew these letters, add a space at their end"
        raise SettingsError(msg)
    return path


def listed(option: str, typed: str, like: str) -> list[str]:
    """Words parted by commas.

    Raises
    ------
    SettingsError
        If there is nothing between two of them.
    """
    found = [word.strip() for word in typed.split(",")]
    if not all(found):
        msg = f"{option} is {typed!r}; write them with commas between, such as {like}"
        raise SettingsError(msg)
    return found


def listed_heights(typed: str) -> list[float]:
    """Heights of ``--heights`` in mm."""
    return [parse_length_mm(word, "--heights") for word in listed("--heights", typed, "6,5,4")]


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
