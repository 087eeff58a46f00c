"""A face opened and its settings worked out, for any number of texts."""

from collections.abc import Mapping
from typing import Any, NamedTuple

from pathgen.errors import FontError
from pathgen.lettering.bundled import face_path
from pathgen.lettering.fontfile import Face
from pathgen.lettering.kept import kept_face
from pathgen.lines import AskedLine
from pathgen.settings import Settings
from pathgen.shop.recipes import settings_for

__all__ = ["ReadyLine", "ready_line"]


class ReadyLine(NamedTuple):
    """Opened face and settings of a line, for any number of texts."""

    face: Face
    settings: Settings


def ready_line(line: AskedLine) -> ReadyLine:
    """Open the face of a line and work out its settings; its text is not looked at."""
    face = kept_face(face_path(line.face), line.index, line.axes)
    return ReadyLine(face, _settings(face, line.asked, line.origins))


def _settings(face: Face, asked: Mapping[str, Any], origins: Mapping[str, str]) -> Settings:
    """Settings for what was asked."""
    options = dict(asked)
    x_height_mm = options.pop("x_height_mm", None)
    if x_height_mm is not None:
        origins = {**origins, "height_mm": origins.get("x_height_mm", "option")}
    return settings_for(
        height_mm=_height_mm(face, options.pop("height_mm", None), x_height_mm),
        thread=options.pop("thread", None),
        colour=options.pop("colour", None),
        needle=options.pop("needle", None),
        cloth=options.pop("cloth", None),
        shop=options.pop("shop", None),
        options=options,
        origins=origins,
    )


def _height_mm(face: Face, height_mm: float | None, x_height_mm: float | None) -> float | None:
    """Capital height for an asked x-height."""
    if x_height_mm is None:
        return height_mm
    if face.facts.x_height_fu <= 0.0:
        msg = f"font {face.facts.source} has no small x; give the capital height instead"
        raise FontError(msg)
    return x_height_mm * face.facts.cap_height_fu / face.facts.x_height_fu
