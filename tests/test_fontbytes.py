"""Whatever a file holds, it opens as a face or ends in one line. Published fonts: DejaVu Sans 2.37
and Liberation Sans 1.07.4 (Debian's fonts-dejavu-core and fonts-liberation); the others are made by
fontTools' FontBuilder."""

import logging
import os
import random
from functools import cache, partial
from pathlib import Path

import pytest
from fontTools.ttLib import TTFont
from fontTools.ttLib.tables import DefaultTable
from made_fonts import (
    LETTERS,
    box,
    made_font,
    saved,
    saved_collection,
    with_weight_axis,
    without,
)
from outside import font_file
from refusals import font_refusal

from pathgen.errors import FontError
from pathgen.lettering.fontfile import Face, open_face
from pathgen.lettering.outlines import glyph_rings


@pytest.mark.parametrize("cubic", [False, True], ids=["TrueType", "CFF"])
@pytest.mark.parametrize("flavor", [None, "woff", "woff2"])
def test_plain_and_web_fonts_give_the_same_face(
    cubic: bool, flavor: str | None, tmp_path: Path
) -> None:
    path = saved(made_font(cubic=cubic), tmp_path / "font.bin", flavor)

    face = open_face(path)

    assert face.facts.name == "Harbour Sans Test"
    assert (face.facts.cap_height_fu, face.facts.x_height_fu) == (700, 500)
    [ring] = glyph_rings(face, face.hb_font.get_nominal_glyph(ord("H")))
    assert sorted(map(tuple, ring.tolist())) == [(100, 0), (100, 700), (600, 0), (600, 700)]


def test_web_fonts_of_a_large_face_keep_its_outlines(tmp_path: Path) -> None:
    path = font_file("LiberationSans-Regular.ttf")
    plain, packed = open_face(path), open_face(saved(TTFont(path), tmp_path / "l.woff2", "woff2"))

    for char in "HOx&":
        glyph = plain.hb_font.get_nominal_glyph(ord(char))
        for ring, other in zip(glyph_rings(plain, glyph), glyph_rings(packed, glyph), strict=True):
            assert ring.tolist() == other.tolist()


def test_each_face_of_a_collection_is_opened_by_its_index(tmp_path: Path) -> None:
    tall = {**LETTERS, "H": partial(box, height=800)}
    path = saved_collection(
        [made_font(), made_font(tall, name="Harbour Tall")], tmp_path / "both.ttc"
    )

    low, high = (open_face(path, index=i).facts for i in (0, 1))

    assert (low.name, low.cap_height_fu) == ("Harbour Sans Test", 700)
    assert (high.name, high.cap_height_fu) == ("Harbour Tall", 800)


@pytest.mark.parametrize("index", [-1, 2, 2**32])
def test_wrong_index_of_a_collection_is_named_with_its_range(index: int, tmp_path: Path) -> None:
    path = saved_collection([made_font(), made_font()], tmp_path / "both.ttc")

    assert font_refusal(path, index=index) == f"font FILE has no face {index}; allowed 0 to 1"


def test_wrong_index_of_a_single_face_is_refused(tmp_path: Path) -> None:
    path = saved(made_font(), tmp_path / "one.ttf")

    assert font_refusal(path, index=1) == "font FILE has no face 1; allowed 0 to 0"


@pytest.mark.parametrize(
    ("content", "message"),
    [
        (b"", "font FILE has 0 bytes; a font has 12 to 100000000"),
        (b"\0\1\0\0", "font FILE has 4 bytes; a font has 12 to 100000000"),
        (
            b"Harbour Bakery, fresh every morning\n",
            "font FILE is not a font; give a TTF, OTF, TTC, WOFF or WOFF2 file",
        ),
        (b"\0" * 64, "font FILE is not a font; give a TTF, OTF, TTC, WOFF or WOFF2 file"),
        (b"Harbour Tea", "font FILE has 11 bytes; a font has 12 to 100000000"),
        (b"Harbour Teas", "font FILE is not a font; give a TTF, OTF, TTC, WOFF or WOFF2 file"),
        (
            b"\0\1\0\0" + b"\xff" * 60,
            "font FILE is malformed: unexpected end of table directory",
        ),
        (b"OTTO\0\0" + b"\0" * 60, "font FILE lacks the table 'head'; it cannot be set"),
        (b"ttcf" + b"\xff" * 60, "font FILE is malformed: "),
        (b"wOFF" + b"\xff" * 60, "font FILE unpacks to 4294967295 bytes; a font has up to 1000"),
        (b"wOFF" + b"\0" * 60, "font FILE is malformed: "),
        (b"wOF2" + b"\0" * 60, "font FILE is malformed: a table cannot be read"),
    ],
    ids=lambda value: value[:4].hex() if isinstance(value, bytes) else "",
)
def test_files_that_are_no_fonts_are_refused(content: bytes, message: str, tmp_path: Path) -> None:
    path = tmp_path / "odd.ttf"
    path.write_bytes(content)

    found = font_refusal(path)

    assert found.startswith(message)


def test_paths_that_are_no_files_are_refused(tmp_path: Path) -> None:
    assert font_refusal(tmp_path) == (
        "font FILE is not a file; give a TTF, OTF, TTC, WOFF or WOFF2 file"
    )
    assert font_refusal(tmp_path / "none.ttf") == (
        "font FILE does not exist; give a font file or a bundled face's name"
    )
    assert "cannot be read" in font_refusal(tmp_path / ("a" * 5000 + ".ttf"))


@pytest.mark.skipif(os.name != "posix", reason="modes are POSIX")
def test_a_file_that_may_not_be_read_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Root may read everything, so the refusal of the system is acted."""
    path = saved(made_font(), tmp_path / "locked.ttf")

    def refuse(self: Path, mode: str) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)

    assert font_refusal(path) == "font FILE cannot be read: permission denied"


@pytest.mark.parametrize("tag", ["head", "hhea", "hmtx", "maxp", "cmap", "glyf", "loca"])
def test_a_missing_table_is_named(tag: str, tmp_path: Path) -> None:
    font = without(TTFont(saved(made_font(), tmp_path / "whole.ttf")), tag)

    message = font_refusal(saved(font, tmp_path / "lacking.ttf"))

    if tag == "glyf":
        assert message == ("font FILE has no outlines (pictures only); give one with outlines")
    else:
        assert message.startswith(f"font FILE lacks the table {tag!r}; ")


def test_a_font_of_pictures_only_is_refused(tmp_path: Path) -> None:
    font = without(TTFont(saved(made_font(), tmp_path / "whole.ttf")), "glyf", "loca")
    for tag in ("EBDT", "EBLC"):
        font[tag] = DefaultTable.DefaultTable(tag)
        font[tag].data = b"\0\2\0\0" + b"\0" * 8

    assert font_refusal(saved(font, tmp_path / "pictures.ttf")) == (
        "font FILE has no outlines (pictures only); give one with outlines"
    )


@pytest.mark.parametrize("em", [0, 15, 16_385, 65_535])
def test_an_em_out_of_range_is_named(em: int, tmp_path: Path) -> None:
    font = made_font()
    font["head"].unitsPerEm = em

    assert font_refusal(saved(font, tmp_path / "em.ttf")) == (
        f"font FILE has unitsPerEm {em}; allowed 16 to 16384"
    )


@pytest.mark.parametrize("em", [16, 16_384])
def test_an_em_at_its_limits_is_taken(em: int, tmp_path: Path) -> None:
    font = made_font({"H": partial(box, x=1, width=6, height=11)}, em=em)

    facts = open_face(saved(font, tmp_path / "em.ttf")).facts

    assert (facts.units_per_em, facts.cap_height_fu) == (em, 11)


def _try(path: Path) -> Face | str:
    """An open face that can be drawn from, or the message of one line."""
    try:
        face = open_face(path)
    except FontError as error:
        assert len(str(error).splitlines()) == 1
        assert len(str(error)) < 200 + 2 * len(str(path))
        return str(error)
    assert face.facts.cap_height_fu > 0.0
    for char in "HOx&e\u0301":
        for ring in glyph_rings(face, face.hb_font.get_nominal_glyph(ord(char)) or 0):
            assert ring.shape[1] == 2
    return face


@cache
def _whole(name: str) -> bytes:
    return font_file(name).read_bytes()


@pytest.mark.parametrize("part", range(30))
def test_a_font_cut_short_is_refused_wherever_it_ends(part: int, tmp_path: Path) -> None:
    data = _whole("DejaVuSans.ttf")
    path = tmp_path / "cut.ttf"
    path.write_bytes(data[: part * (len(data) - 8) // 29])

    found = _try(path)

    assert isinstance(found, str)


@pytest.mark.parametrize("flavor", ["woff", "woff2"])
def test_a_web_font_cut_short_is_refused_wherever_it_ends(flavor: str, tmp_path: Path) -> None:
    data = saved(made_font(), tmp_path / "whole", flavor).read_bytes()
    path = tmp_path / "cut"
    for end in range(0, len(data) - 4, 37):
        path.write_bytes(data[:end])

        assert isinstance(_try(path), str)


_TABLES = (
    *("GDEF", "GPOS", "GSUB", "OS/2", "cmap", "cvt ", "fpgm", "gasp", "glyf"),
    *("head", "hhea", "hmtx", "kern", "loca", "maxp", "name", "post", "prep"),
)


@pytest.mark.parametrize("tag", _TABLES)
def test_bytes_flipped_in_a_table_never_break_out(
    tag: str, tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    """DejaVu Sans, 12 times with up to 40 bytes of a table overwritten, fixed seeds."""
    whole = _whole("DejaVuSans.ttf")
    entry = TTFont(font_file("DejaVuSans.ttf")).reader.tables[tag]
    path = tmp_path / "flipped.ttf"
    for seed in range(12):
        rng = random.Random(f"{tag}{seed}")
        data = bytearray(whole)
        reach = entry.length if seed % 2 else min(entry.length, 64)  # half of them in its head
        for _ in range(rng.choice([1, 4, 40])):
            data[entry.offset + rng.randrange(reach)] = rng.randrange(256)
        path.write_bytes(data)

        _try(path)

    assert [r for r in caplog.records if r.levelno >= logging.WARNING] == []


@pytest.mark.parametrize("kind", ["ttf", "cff", "woff", "woff2", "ttc", "vary"])
def test_bytes_flipped_anywhere_never_break_out(
    kind: str, tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    """Small fonts, where every byte counts, 150 times, fixed seeds."""
    path = tmp_path / "font"
    if kind == "ttc":
        saved_collection([made_font(), made_font()], path)
    elif kind == "vary":
        saved(with_weight_axis(made_font(), taller=50), path)
    else:
        saved(made_font(cubic=kind == "cff"), path, kind if kind.startswith("w") else None)
    whole = path.read_bytes()
    refused = 0
    for seed in range(150):
        rng = random.Random(seed)
        data = bytearray(whole)
        for _ in range(rng.choice([1, 3, 10])):
            data[rng.randrange(len(data))] = rng.randrange(256)
        path.write_bytes(data)

        refused += isinstance(_try(path), str)

    assert refused > 0
    assert [r for r in caplog.records if r.levelno >= logging.WARNING] == []
