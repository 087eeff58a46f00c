"""The results of a run on disk: all of them or none, under names that are safe anywhere.

All contents are written beside their targets under temporary names and flushed to the disk;
only then are they renamed into place one by one, each earlier result being kept aside until
the last rename is done. Whatever fails on the way, the folder is put back as it was. Runs that
write into one folder at once take turns, so that their files never mix.

limit: if the power fails between two renames, some files of the run are new and some old;
each single file is whole all the same.
"""

import hashlib
import os
import re
import shutil
import unicodedata
from collections.abc import Mapping, Sequence
from contextlib import suppress
from itertools import count
from pathlib import Path

from pathgen.errors import OutputError, SettingsError
from pathgen.writers.locking import alone_in

__all__ = ["checked_name", "safe_name", "write_keeping", "write_together"]

SAFE_NAME_MOST = 60
"""Longest slug, in characters: leaves room for endings and short paths on any system."""

GIVEN_NAME_MOST = 100
"""Longest name that a user may give, in characters."""

_AS_BYTES = getattr(os, "O_BINARY", 0)
"""Windows would else write other line ends than it is given."""

_DEVICES = frozenset(
    ["con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(10))]
)
"""Names of devices on Windows, with or without an ending (Microsoft, "Naming files")."""

_SPELT = str.maketrans(
    {"ß": "ss", "æ": "ae", "œ": "oe", "ø": "o", "đ": "d", "ð": "d", "þ": "th", "ł": "l", "ı": "i"}
)
"""Latin letters that Unicode does not take apart into a base letter and a mark."""

_NOT_ASCII = re.compile(r"[^\0-\x7f]")
_NOT_PLAIN = re.compile(r"[^0-9a-z]+")

_FORBIDDEN = set('/\\:<>"|?*')
_DIRECTION_MARKS = set("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
"""Signs that make a name read otherwise than it is written (Unicode UAX #9)."""


def write_together(
    folder: Path,
    contents: Mapping[str, bytes],
    *,
    without: Sequence[str] = (),
    flushed: bool = True,
) -> tuple[Path, ...]:
    """Write all files into a folder, or none.

    Parameters
    ----------
    folder : Path
        Made with its parents if missing, and taken away again on failure.
    contents : mapping of str to bytes
        File name (no folder in it) to content; earlier files of these names are replaced.
    without : sequence of str
        Names of earlier files that go when the new ones are there; see `leftovers`.
    flushed : bool
        Whether to wait until the disk has them; without it a power failure may leave files
        cut short, and whoever asks for that must look at them again, and must sweep up first
        what killed runs left (`alone_in`).

    Returns
    -------
    tuple of Path
        The files, in the order of ``contents``.

    Raises
    ------
    OutputError
        If anything could not be written; the folder is then as it was before.
    ValueError
        If a file name leads out of the folder; see `checked_name`.
    """
    names = (*contents, *without)
    if any(os.path.basename(name) != name or name in ("", ".", "..") for name in names):
        msg = f"file names must be plain: {', '.join(map(repr, contents))}"
        raise ValueError(msg)
    made: list[Path] = []
    try:
        made = _make_folders(folder)
        with alone_in(folder, swept=not flushed):
            return _write_all(folder, contents, without, flushed)
    except BaseException as error:
        for path in reversed(made):
            with suppress(OSError):
                path.rmdir()
        if isinstance(error, OSError):
            raise OutputError(_what_failed(folder, error)) from error
        raise


def write_keeping(folder: Path, contents: Mapping[str, bytes]) -> tuple[Path, ...]:
    """As `write_together`, but nothing is lost: what a file held before is kept beside it.

    An earlier file of other content is kept as ``NAME.old-1.EXT``, the next time as
    ``NAME.old-2.EXT``, and so on.

    Returns
    -------
    tuple of Path
        The files, in the order of ``contents``, then the earlier ones that were kept.
    """
    kept = {}
    for name, data in contents.items():
        path = folder / name
        try:
            before = path.read_bytes() if path.exists() else data
        except OSError as error:
            raise OutputError(_what_failed(folder, error)) from error
        if before != data:
            spare = (f"{path.stem}.old-{n}{path.suffix}" for n in count(1))
            kept[next(free for free in spare if not (folder / free).exists())] = before
    return write_together(folder, {**contents, **kept})


def _make_folders(folder: Path) -> list[Path]:
    """Make a folder and its missing parents; those made, outermost first."""
    if os.path.isdir(folder):
        return []
    missing = []
    for path in (folder, *folder.parents):
        if path.exists():
            break
        missing.append(path)
    made: list[Path] = []
    try:
        for path in reversed(missing):
            try:
                path.mkdir()
            except FileExistsError:
                # Another run has made it in the meantime.
                if not path.is_dir():
                    raise
            else:
                made.append(path)
    except OSError:
        for path in reversed(made):
            path.rmdir()
        raise
    return made


def _write_all(
    folder: Path, contents: Mapping[str, bytes], without: Sequence[str], flushed: bool
) -> tuple[Path, ...]:
    """Write beside, keep the earlier files, rename; undo all of it on any failure."""
    spare = (os.path.join(folder, f".pathgen-{os.getpid()}-{n}.part") for n in count(1))
    fresh: list[tuple[str, Path]] = []
    kept: list[tuple[str, Path]] = []
    done: list[Path] = []
    try:
        for name, data in contents.items():
            fresh.append((next(spare), folder / name))
            _write_new(fresh[-1][0], data, flushed)
        for target in [*(target for _, target in fresh), *(folder / name for name in without)]:
            if os.path.lexists(target):
                kept.append((next(spare), target))
                _keep_aside(target, kept[-1][0])
        for beside, target in fresh:
            os.replace(beside, target)
            done.append(target)
        for name in without:
            (folder / name).unlink(missing_ok=True)
            done.append(folder / name)
    except BaseException:
        _put_back(kept, done)
        raise
    finally:
        for leftover, _ in (*fresh[len(done) :], *kept):
            with suppress(OSError):
                os.unlink(leftover)
    return tuple(done[: len(contents)])


def _write_new(path: str, data: bytes, flushed: bool) -> None:
    """Write a new file, down to the disk if asked; an existing one is an error."""
    # Not `open`, which asks the system three more things of each file.
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | _AS_BYTES, 0o666)
    try:
        left = memoryview(data)
        while left:
            left = left[os.write(handle, left) :]
        if flushed:
            os.fsync(handle)
    finally:
        os.close(handle)


def _keep_aside(target: Path, aside: str) -> None:
    """Give a file a second name, or copy it where the disk knows no second names."""
    try:
        os.link(target, aside, follow_symlinks=False)
    except (OSError, NotImplementedError):
        shutil.copy2(target, aside)


def _put_back(kept: list[tuple[str, Path]], done: list[Path]) -> None:
    """Undo renames: earlier files return, new ones go."""
    earlier = {target: aside for aside, target in kept}
    for target in reversed(done):
        with suppress(OSError):
            if target in earlier:
                os.replace(earlier[target], target)
            else:
                target.unlink()


def _what_failed(folder: Path, error: OSError) -> str:
    """Thing, value, rule and remedy in one line."""
    # os.path, unlike pathlib, also answers where the way to the folder may not be looked at
    if os.path.exists(folder) and not os.path.isdir(folder):
        return f"output folder {os.fspath(folder)!r} is a file; choose a folder"
    reason = (error.strerror or "unknown reason").lower()
    about = f" at {error.filename}" if error.filename else ""
    return (
        f"output folder {os.fspath(folder)!r} could not be written: {reason}{about}; nothing was"
        " changed; choose a folder that you may write to, with free space"
    )


def safe_name(text: str) -> str:
    """A file name made from any text: ASCII letters, digits and hyphens, lower case.

    Letters with marks lose the marks; signs of other scripts become their code point, so that
    different texts keep different names. A name that had to be cut ends in six hexadecimal
    digits of its text's SHA-256. Never empty, a dot file, or the name of a device.

    Examples
    --------
    >>> safe_name("Café Möwe & Söhne")
    'cafe-mowe-sohne'
    >>> safe_name("港")
    'u6e2f'
    """
    folded = unicodedata.normalize("NFKD", text).lower().translate(_SPELT)
    plain = _NOT_ASCII.sub(lambda sign: _slug_piece(sign[0]), folded).replace("'", "")
    slug = _NOT_PLAIN.sub("-", plain).strip("-")
    if not slug:
        slug = "lettering"
    if slug in _DEVICES:
        slug = f"{slug}-lettering"
    if len(slug) > SAFE_NAME_MOST:
        digest = hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()[:6]
        slug = f"{slug[: SAFE_NAME_MOST - 7].strip('-')}-{digest}"
    return slug


def _slug_piece(sign: str) -> str:
    """What one sign beyond ASCII adds to a slug: nothing, its code point, or a hyphen."""
    kind = unicodedata.category(sign)
    if kind[0] == "M" or sign == "\N{RIGHT SINGLE QUOTATION MARK}":
        return ""
    return f"-u{ord(sign):x}-" if kind[0] in "LNS" else "-"


def checked_name(name: str) -> str:
    """A file name that a user gave, unchanged.

    Raises
    ------
    SettingsError
        If it could leave the folder, hide, or not be written on some system.
    """
    fault = _name_fault(name)
    if fault:
        shown = name if len(name) <= GIVEN_NAME_MOST else f"{name[:30]}..."
        msg = f"name is {shown!r}: {fault}; give a plain file name such as 'harbour-bakery'"
        raise SettingsError(msg)
    return name


def _name_fault(name: str) -> str:
    """Which rule a name breaks; empty for none."""
    barred = sorted(_FORBIDDEN.intersection(name))
    unseen = [s for s in name if unicodedata.category(s) in ("Cc", "Cs", "Zl", "Zp")]
    rules = {
        "it must not be empty": not name.strip(),
        f"it has {len(name)} characters, at most {GIVEN_NAME_MOST}": len(name) > GIVEN_NAME_MOST,
        f"it must not hold {' '.join(barred)}": bool(barred),
        "it must not hold control characters": bool(unseen) or bool(_DIRECTION_MARKS & set(name)),
        "it must not start with a dot": name.startswith("."),
        "it must not hold two dots in a row": ".." in name,
        "it must not start with a space": name.startswith(" "),
        "it must not end in a dot or a space": name.endswith((".", " ")),
        "it is the name of a device": name.split(".")[0].strip().lower() in _DEVICES,
    }
    return next((rule for rule, broken in rules.items() if broken), "")
