from pathlib import Path

import pytest

from pathgen.errors import FontError
from pathgen.lettering import bundled
from pathgen.lettering.bundled import bundled_faces, face_path
from pathgen.lettering.fontfile import open_face


def test_bundled_faces_open_by_name_and_the_first_is_the_default() -> None:
    faces = bundled_faces()

    assert faces
    assert face_path(None) == next(iter(faces.values()))
    for name, path in faces.items():
        assert face_path(name) == path
        assert open_face(path).facts.cap_height_fu > 0.0


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
