import os
import runpy
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from pathgen.errors import FontError
from pathgen.lettering import bundled
from pathgen.lettering.bundled import bundled_faces, face_path
from pathgen.lettering.fontfile import open_face

ROOT = Path(__file__).parents[1]
LISTED = runpy.run_path(str(ROOT / "fonts" / "__init__.py"))


def test_bundled_faces_open_by_name_and_the_first_is_the_default() -> None:
    faces = bundled_faces()

    assert faces
    assert face_path(None) == next(iter(faces.values()))
    for name, path in faces.items():
        assert face_path(name) == path
        assert open_face(path).facts.cap_height_fu > 0.0


def test_names_are_the_stems_of_the_listed_files_and_the_listed_default_comes_first() -> None:
    faces = bundled_faces()

    assert set(faces) == {Path(file).stem for file in LISTED["FACES"].values()}
    assert face_path(None).name == LISTED["FACES"][LISTED["DEFAULT_FACE"]]


def test_the_default_is_the_one_stated_not_the_first_of_the_alphabet(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("buoy.ttf", "anchor.ttf", "unlisted.ttf"):
        (tmp_path / name).write_bytes(b"")
    (tmp_path / "__init__.py").write_text(
        'FACES = {"Anchor": "anchor.ttf", "Buoy": "buoy.ttf", "Gone": "gone.ttf"}\n'
        'DEFAULT_FACE = "Buoy"\n',
        encoding="utf-8",
    )
    monkeypatch.setattr(bundled, "_home", lambda: tmp_path)

    assert list(bundled_faces()) == ["buoy", "anchor"]
    assert face_path(None) == tmp_path / "buoy.ttf"


def test_no_folder_of_faces_means_no_faces(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(bundled, "_home", lambda: tmp_path / "gone")

    assert bundled_faces() == {}


def _default_in(folder: Path) -> str:
    """Default face as a Python started in a folder finds it, this checkout out of its sight."""
    code = "from pathgen.lettering.bundled import face_path; print(face_path(None))"
    found = subprocess.run(
        [sys.executable, "-c", code],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(folder)},
        capture_output=True,
        text=True,
        check=True,
    )
    return found.stdout.strip()


def _copied(name: str, where: Path) -> None:
    shutil.copytree(ROOT / name, where, ignore=shutil.ignore_patterns("__pycache__"))


def test_a_checkout_that_is_not_installed_finds_the_faces_beside_the_package(
    tmp_path: Path,
) -> None:
    _copied("pathgen", tmp_path / "pathgen")
    _copied("fonts", tmp_path / "fonts")

    assert Path(_default_in(tmp_path)).name == LISTED["FACES"][LISTED["DEFAULT_FACE"]]


def test_an_installed_package_finds_the_faces_inside_it(tmp_path: Path) -> None:
    _copied("pathgen", tmp_path / "pathgen")
    _copied("fonts", tmp_path / "pathgen" / "faces")

    assert Path(_default_in(tmp_path)).parent == tmp_path / "pathgen" / "faces"


@pytest.mark.parametrize(
    "face", ["here.ttf", "HERE.TTF", "here.woff2", "fonts/here", Path("a/b.otf")]
)
def test_what_looks_like_a_file_is_taken_for_one(face: str | Path) -> None:
    assert face_path(face) == Path(face)


def test_a_file_without_a_suffix_is_taken_if_it_exists(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "plainfile").write_bytes(b"")
    monkeypatch.chdir(tmp_path)

    assert face_path("plainfile") == Path("plainfile")


@pytest.mark.parametrize("face", ["gone", "", "a\0b.ttf", "a\nb/c.ttf", "x" * 5000, "\ud800.ttf"])
def test_other_names_are_refused_with_the_names_there_are(face: str) -> None:
    with pytest.raises(FontError) as caught:
        face_path(face)

    message = str(caught.value)
    assert message.startswith(f"face {face!r} is neither a file nor a bundled face (")
    assert next(iter(bundled_faces())) in message
    assert len(message.splitlines()) == 1


def test_without_bundled_faces_a_file_is_asked_for(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(bundled, "bundled_faces", dict)

    with pytest.raises(FontError, match=r"^no face is bundled with this installation; give a font"):
        face_path(None)
