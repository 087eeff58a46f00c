"""The options of commands that search for settings: those of a plan that a search leaves open."""

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

import click

from pathgen.cli.inputs import axis_places, text_lines
from pathgen.cli.plan_options import asked_settings, asked_shop

if TYPE_CHECKING:
    from pathgen.advice.trying import Trying

__all__ = ["kept_params", "trying_of"]

_OPEN = (
    "face",
    "face_index",
    "axis",
    "thread",
    "needle",
    "cloth",
    "shop",
    "spacing_mm",
    "pull_mm",
    "underlay",
    "least_column_mm",
)
"""Options of a plan that bear on single letters."""


def kept_params(
    params: Sequence[click.Parameter], own: Sequence[str], repeated: Sequence[str] = ()
) -> list[click.Parameter]:
    """Parameters that a search understands: a command's own and those left open.

    Those named in ``repeated`` may be given more than once.
    """
    kept = [p for p in params if p.name in own or p.name in _OPEN]
    return [
        click.Option(
            [*p.opts, str(p.name)], type=p.type, multiple=True, help=p.help, metavar=p.metavar
        )
        if isinstance(p, click.Option) and p.name in repeated
        else p
        for p in kept
    ]


def trying_of(
    text: Sequence[str],
    asked: Mapping[str, Any],
    tell: Callable[[float], None] | None = None,
    **changed: Any,
) -> "Trying":
    """Text with face, thread, cloth and what was typed, on which settings are tried."""
    from pathgen.advice.trying import Trying

    settings = {**asked_settings(asked), **changed}
    face = settings.pop("face", None)
    given = {name: value for name, value in settings.items() if value is not None}
    shop = asked_shop(asked["shop"])
    return Trying(
        text_lines(tuple(text)),
        face=face,
        index=asked["face_index"],
        axes=axis_places(asked["axis"]),
        asked={**given, **({"shop": shop} if shop is not None else {})},
        tell=tell,
    )
