"""Find a face: a bundled one by its name, or a font file by its path."""

from importlib import import_module
from pathlib import Path

from pathgen.errors import FontError

__all__ = ["bundled_faces", "face_path"]

_SUFFIXES = {".ttf", ".otf", ".ttc", ".otc", ".woff", ".woff2"}


def bundled_faces() -> dict[str, Path]:
    """Bundled faces by name, the default first."""
    try:
        home = import_module("pathgen.faces")
        folder = Path(str(home.__file__)).parent
    except ModuleNotFoundError:  # a checkout that is not installed
        folder = Path(__file__).parents[2] / "fonts"
    return {path.stem: path for path in sorted(folder.glob("*.ttf"))}


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
    raise FontError(msg)


def _has_folder_or_exists(path: Path) -> bool:
    try:
        return len(path.parts) > 1 or path.exists()
    except OSError:  # such as a name that is too long
        return False
