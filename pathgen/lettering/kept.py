"""Faces that are open already."""

from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

from pathgen.lettering.bundled import meant_for
from pathgen.lettering.fontfile import Face, open_face

__all__ = ["kept_face"]


def kept_face(path: Path, index: int = 0, axes: Mapping[str, float] | None = None) -> Face:
    """Open face, kept while its file stays as it is; errors as those of `open_face`."""
    try:
        state = path.stat()
        stamp = (state.st_mtime_ns, state.st_size)
    except OSError:
        stamp = (0, 0)
    return _opened(path, stamp, index, tuple(sorted((axes or {}).items())))


@lru_cache(maxsize=16)
def _opened(
    path: Path, stamp: tuple[int, int], index: int, axes: tuple[tuple[str, float], ...]
) -> Face:
    face = open_face(path, index=index, axes=dict(axes))
    meant = meant_for(path)
    if meant is None:
        return face
    least_mm, most_mm, tex = meant
    facts = replace(face.facts, least_mm=least_mm, most_mm=most_mm, meant_tex=tex)
    return replace(face, facts=facts)
