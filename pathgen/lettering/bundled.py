"""Find a face: a bundled one by its name, or a font file by its path."""

import runpy
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from pathgen.errors import FontError, did_you_mean

__all__ = ["bundled_faces", "face_name", "face_path", "meant_for"]

_SUFFIXES = {".ttf", ".otf", ".ttc", ".otc", ".woff", ".woff2"}


def bundled_faces() -> dict[str, Path]:
    """Bundled faces by name, the default first, then as ``fonts/__init__.py`` lists them.

    A name is the stem of the font's file. Empty where no face is bundled.
    """
    home = _home()
    if not (home / "__init__.py").is_file():
        return {}
    listed = _listed(home)
    default = listed["DEFAULT_FACE"]
    full_names = sorted(listed["FACES"], key=lambda name: name != default)
    paths = [home / listed["FACES"][name] for name in full_names]
    return {path.stem: path for path in paths if path.is_file()}


def meant_for(path: Path) -> tuple[float, float, float] | None:
    """Least and greatest height of capitals that a face was drawn for, and in which tex.

    None where that is not known.
    """
    home = _home()
    if path.parent != home:
        return None
    listed = _listed(home)
    named = {file: name for name, file in listed["FACES"].items()}
    found: tuple[float, float, float] | None = listed["MEANT_MM"].get(named.get(path.name))
    return found


@cache
def _listed(home: Path) -> dict[str, Any]:
    """What ``fonts/__init__.py`` says, read once a run."""
    return runpy.run_path(str(home / "__init__.py"))


@cache
def _home() -> Path:
    """Folder of the bundled faces: in the package, or beside it in a checkout."""
    spec = find_spec("pathgen.faces")
    if spec is not None and spec.origin is not None:
        return Path(spec.origin).parent
    return Path(__file__).parents[2] / "fonts"


def face_path(face: str | Path | None) -> Path:
    """File of a face.

    Parameters
    ----------
    face : str or Path, optional
        A bundled face's name, or a font file; None for the default bundled face.

    Raises
    ------
    FontError
        If it is neither a bundled name nor looks like a file.
    """
    known = bundled_faces()
    if face is None:
        if not known:
            msg = "no face is bundled with this installation; give a font file"
            raise FontError(msg)
        return next(iter(known.values()))
    name = str(face)
    if name in known:
        return known[name]
    path = Path(name)
    if (
        name
        and name.isprintable()
        and (path.suffix.lower() in _SUFFIXES or _has_folder_or_exists(path))
    ):
        return path
    msg = f"face {name!r} is neither a file nor a bundled face ({', '.join(known)})"
    msg += did_you_mean(name, known) or "; a font is given by its file, such as MyFont.ttf"
    raise FontError(msg)


def _has_folder_or_exists(path: Path) -> bool:
    try:
        return len(path.parts) > 1 or path.exists()
    except OSError:  # such as a name that is too long
        return False


def face_name(source: str) -> str:
    """What to ask for a face by: a bundled one's name, the same on any machine, or its path."""
    names = {str(path): name for name, path in bundled_faces().items()}
    return names.get(source, source)
