"""Fetch the faces of unseen_faces.toml by the registries' ordinary clients.

    python tests/bench/fetch_faces.py [FOLDER]

The folder is a cache, under the system's folder for temporary files unless given, and never
inside this repository. Each package is fetched once, in the version stated: ``npm pack``, ``pip
download --no-deps`` (never built, nor installed), ``apt-get download``. A package that cannot be
had is named at the end, and the exit code is 1.
"""

import io
import subprocess
import sys
import tarfile
import tempfile
import tomllib
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

__all__ = ["FOLDER", "Entry", "entries", "fetched"]

FOLDER = Path(tempfile.gettempdir()) / "pathgen-unseen-faces"

_LIST = Path(__file__).with_name("unseen_faces.toml")
_REPOSITORY = Path(__file__).resolve().parents[2]


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One face of the list."""

    name: str
    kind: str
    part: str
    registry: str
    package: str
    version: str
    files: list[str]
    licence: str
    forms: list[str] = field(default_factory=list)

    def paths(self, folder: Path) -> list[Path]:
        """Where the face's files are kept."""
        return [folder / Path(file).name for file in self.files]


def entries() -> list[Entry]:
    """The list, in its order."""
    table = tomllib.loads(_LIST.read_text(encoding="utf-8"))
    return [Entry(**face) for face in table["face"]]


def fetched(folder: Path) -> list[str]:
    """Fetch what is not there yet; what could not be had, a line each."""
    if folder.resolve().is_relative_to(_REPOSITORY):
        msg = f"{folder} is inside the repository; name a folder outside it"
        raise ValueError(msg)
    folder.mkdir(parents=True, exist_ok=True)
    failures = []
    for entry in entries():
        wanted = [path for path in entry.paths(folder) if not path.is_file()]
        if not wanted:
            continue
        try:
            _fetch(entry, folder)
        except (OSError, LookupError, subprocess.CalledProcessError) as error:
            failures.append(f"{entry.name} ({entry.registry} {entry.package}): {error}")
    return failures


def _fetch(entry: Entry, folder: Path) -> None:
    """Download a face's package, and keep its font files."""
    with tempfile.TemporaryDirectory() as place:
        members = dict(_CLIENTS[entry.registry](entry, Path(place)))
        for file, path in zip(entry.files, entry.paths(folder), strict=True):
            found = [name for name in members if f"/{name}".endswith(f"/{file}")]
            if not found:
                msg = f"no {file} in the package"
                raise LookupError(msg)
            path.write_bytes(members[found[0]])


def _run(*command: str, place: Path) -> None:
    """Run a client in a folder of its own."""
    subprocess.run(command, cwd=place, check=True, capture_output=True)


def _from_npm(entry: Entry, place: Path) -> Iterator[tuple[str, bytes]]:
    """Files of an npm package."""
    _run("npm", "pack", "--silent", f"{entry.package}@{entry.version}", place=place)
    return _from_tar(next(place.glob("*.tgz")))


def _from_pypi(entry: Entry, place: Path) -> Iterator[tuple[str, bytes]]:
    """Files of a wheel, or of a source package that is only read."""
    pinned = f"{entry.package}=={entry.version}"
    _run(sys.executable, "-m", "pip", "download", "--no-deps", "-q", pinned, place=place)
    wheel = next(place.glob("*.whl"), None)
    return _from_zip(wheel) if wheel else _from_tar(next(place.glob("*.tar.*")))


def _from_apt(entry: Entry, place: Path) -> Iterator[tuple[str, bytes]]:
    """Files of a Debian package."""
    _run("apt-get", "download", f"{entry.package}={entry.version}", place=place)
    package = next(place.glob("*.deb"))
    command = ["dpkg-deb", "--fsys-tarfile", str(package)]
    packed = subprocess.run(command, check=True, capture_output=True).stdout
    with tarfile.open(fileobj=io.BytesIO(packed)) as archive:
        yield from _members(archive)


def _from_tar(path: Path) -> Iterator[tuple[str, bytes]]:
    """Files of a tar archive."""
    with tarfile.open(path) as archive:
        yield from _members(archive)


def _members(archive: tarfile.TarFile) -> Iterator[tuple[str, bytes]]:
    """Names and bytes of a tar archive's plain files."""
    for member in archive:
        content = archive.extractfile(member) if member.isfile() else None
        if content is not None:
            yield member.name, content.read()


def _from_zip(path: Path) -> Iterator[tuple[str, bytes]]:
    """Files of a zip archive."""
    with zipfile.ZipFile(path) as archive:
        for name in archive.namelist():
            yield name, archive.read(name)


_CLIENTS = {"npm": _from_npm, "pypi": _from_pypi, "apt": _from_apt}


def main() -> int:
    """Fetch into the folder named; say what is missing."""
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else FOLDER
    failures = fetched(folder)
    print(f"{len(entries()) - len(failures)} of {len(entries())} faces in {folder}")
    for failure in failures:
        print(f"missing: {failure}")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
