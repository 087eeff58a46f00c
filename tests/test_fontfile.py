"""Outside checks: figures measured with fontTools 4.68 on DejaVu 2.37 and Liberation 1.07.4
(Debian's fonts-dejavu-core 2.37-6 and fonts-liberation); fonts made by fontTools' FontBuilder."""

import logging
import os
import random
from functools import cache, partial
from pathlib import Path

import pytest
from fontTools.ttLib import TTFont
from fontTools.ttLib.tables import DefaultTable
from made_fonts import (
    CAPITAL,
    LETTERS,
    SMALL,
    box,
    made_font,
    nothing,
    saved,
    saved_collection,
    with_weight_axis,
)
from outside import font_file

from pathgen.errors import FontError
from pathgen.lettering.fontfile import Face, open_face
from pathgen.lettering.outlines import glyph_rings


def _refusal(path: Path, **options: object) -> str:
    """The message of the error, which must be one line that names the file."""
    with pytest.raises(FontError) as caught:
        open_face(path, **options)  # type: ignore[arg-type]
    message = str(caught.value)
    assert len(message.splitlines()) == 1
    assert str(path) in message
    return message.replace(str(path), "FILE")


@pytest.mark.parametrize(
    ("font", "em", "capital", "small"),
    [
        ("DejaVuSans.ttf", 2048, 1493, 1120),
        ("DejaVuSans-Bold.ttf", 2048, 1493, 1120),
        ("DejaVuSerif.ttf", 2048, 1493, 1063),
        ("LiberationSans-Regular.ttf", 2048, 1409, 1082),
        ("LiberationSerif-Regular.ttf", 2048, 1341, 940),
        ("LiberationMono-Regular.ttf", 2048, 1349, 1082),
    ],
)
def test_heights_are_measured_on_the_outlines(font: str, em: int, capital: int, small: int) -> None:
    """DejaVu states no heights at all: its OS/2 table is of version 1."""
    facts = open_face(font_file(font)).facts

    assert (facts.units_per_em, facts.cap_height_fu, facts.x_height_fu) == (em, capital, small)


def test_face_has_its_full_name_and_its_file() -> None:
    path = font_file("DejaVuSans-Bold.ttf")

    facts = open_face(path).facts

    assert facts.name == "DejaVu Sans Bold"
    assert facts.source == str(path)


def test_a_stated_height_that_is_off_is_not_believed(tmp_path: Path) -> None:
    font = made_font(stated={"sCapHeight": 660, "sxHeight": 900})

    facts = open_face(saved(font, tmp_path / "lie.ttf")).facts

    assert (facts.cap_height_fu, facts.x_height_fu) == (700, 500)


def test_a_box_stated_in_the_glyph_that_is_off_is_not_believed(tmp_path: Path) -> None:
    font = made_font()
    font["glyf"]["g0048"].yMax = 650
    font.recalcBBoxes = False

    assert open_face(saved(font, tmp_path / "lie.ttf")).facts.cap_height_fu == 700


@pytest.mark.parametrize("letter", ["\u0397", "\u041d"])
def test_greek_or_cyrillic_twin_of_h_is_measured(letter: str, tmp_path: Path) -> None:
    font = made_font({letter: CAPITAL})

    facts = open_face(saved(font, tmp_path / "twin.ttf")).facts

    assert (facts.cap_height_fu, facts.x_height_fu) == (700, 0)


@pytest.mark.parametrize("letters", [{"a": SMALL}, {"a": SMALL, "H": nothing}])
def test_without_a_capital_the_stated_height_counts(
    letters: dict[str, object], tmp_path: Path
) -> None:
    font = made_font(letters, stated={"sCapHeight": 660})  # type: ignore[arg-type]

    assert open_face(saved(font, tmp_path / "small.ttf")).facts.cap_height_fu == 660


def test_without_a_capital_and_a_stated_height_there_is_no_size(tmp_path: Path) -> None:
    unsized = saved(made_font({"a": SMALL}), tmp_path / "unsized.ttf")
    sunken = saved(
        made_font({"H": partial(box, y=-300, height=200)}, stated={"sCapHeight": 660}),
        tmp_path / "sunken.ttf",
    )

    expected = "font FILE has no capital H and states no capital height; cannot size it"
    assert _refusal(unsized) == expected
    assert _refusal(sunken) == expected


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

    assert _refusal(path, index=index) == f"font FILE has no face {index}; allowed 0 to 1"


def test_wrong_index_of_a_single_face_is_refused(tmp_path: Path) -> None:
    path = saved(made_font(), tmp_path / "one.ttf")

    assert _refusal(path, index=1) == "font FILE has no face 1; allowed 0 to 0"


@pytest.mark.parametrize(
    ("weight", "capital", "width"), [(400, 700, 500), (650, 725, 550), (900, 750, 600)]
)
def test_axes_move_the_outline_and_the_height(
    weight: float, capital: float, width: float, tmp_path: Path
) -> None:
    """At 650 the axis is half way from its default, 400, to its end, 900."""
    path = saved(with_weight_axis(made_font(), taller=50, wider=100), tmp_path / "vary.ttf")

    face = open_face(path, axes={"wght": weight})

    [ring] = glyph_rings(face, face.hb_font.get_nominal_glyph(ord("H")))
    assert face.facts.cap_height_fu == pytest.approx(capital)
    assert ring[:, 0].max() - ring[:, 0].min() == pytest.approx(width)
    assert face.facts.name == f"Harbour Sans Test (wght {weight})"


def test_axes_left_out_stay_at_their_default(tmp_path: Path) -> None:
    path = saved(with_weight_axis(made_font(), taller=50), tmp_path / "vary.ttf")

    facts = open_face(path).facts

    assert (facts.name, facts.cap_height_fu) == ("Harbour Sans Test", 700)


@pytest.mark.parametrize(
    ("axes", "message"),
    [
        ({"wdth": 100.0}, "font FILE has no axis 'wdth'; its axes: wght"),
        ({"wght": 99.9}, "axis wght is 99.9; allowed 100 to 900 in FILE"),
        ({"wght": 901.0}, "axis wght is 901; allowed 100 to 900 in FILE"),
        ({"wght": float("nan")}, "axis wght is nan; allowed 100 to 900 in FILE"),
        ({"": 1.0}, "font FILE has no axis ''; its axes: wght"),
    ],
)
def test_wrong_axes_are_named_with_what_is_allowed(
    axes: dict[str, float], message: str, tmp_path: Path
) -> None:
    path = saved(with_weight_axis(made_font()), tmp_path / "vary.ttf")

    assert _refusal(path, axes=axes) == message


def test_an_axis_with_a_damaged_tag_is_refused(tmp_path: Path) -> None:
    path = saved(with_weight_axis(made_font()), tmp_path / "vary.ttf")
    data = path.read_bytes()
    path.write_bytes(data.replace(b"wght", b"\x88ght"))

    assert open_face(path).facts.cap_height_fu == 700
    assert _refusal(path, axes={"wght": 700.0}) == (
        "font FILE is malformed: an axis has a tag that is not text"
    )


def test_an_axis_of_a_font_without_axes_is_refused(tmp_path: Path) -> None:
    path = saved(made_font(), tmp_path / "still.ttf")

    assert _refusal(path, axes={"wght": 700.0}) == (
        "font FILE has no axis 'wght'; its axes: none; it is not a variable font"
    )


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
        (b"\0\1\0\0" + b"\xff" * 60, None),
        (b"OTTO\0\1" + b"\0" * 60, None),
        (b"ttcf" + b"\xff" * 60, None),
        (b"wOFF" + b"\xff" * 60, "font FILE unpacks to 4294967295 bytes; a font has up to 1000"),
        (b"wOFF" + b"\0" * 60, None),
        (b"wOF2" + b"\0" * 60, None),
    ],
)
def test_files_that_are_no_fonts_are_refused(
    content: bytes, message: str | None, tmp_path: Path
) -> None:
    path = tmp_path / "odd.ttf"
    path.write_bytes(content)

    found = _refusal(path)

    assert found.startswith(message or "font FILE ")


def test_paths_that_are_no_files_are_refused(tmp_path: Path) -> None:
    assert _refusal(tmp_path) == (
        "font FILE is not a file; give a TTF, OTF, TTC, WOFF or WOFF2 file"
    )
    assert _refusal(tmp_path / "none.ttf") == (
        "font FILE does not exist; give a font file or a bundled face's name"
    )
    assert "cannot be read" in _refusal(tmp_path / ("a" * 5000 + ".ttf"))


@pytest.mark.skipif(os.name != "posix", reason="modes are POSIX")
def test_a_file_that_may_not_be_read_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Root may read everything, so the refusal of the system is acted."""
    path = saved(made_font(), tmp_path / "locked.ttf")

    def refuse(self: Path) -> bytes:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "read_bytes", refuse)

    assert _refusal(path) == "font FILE cannot be read: Permission denied"


@pytest.mark.parametrize("tag", ["head", "hhea", "hmtx", "maxp", "cmap", "glyf", "loca"])
def test_a_missing_table_is_named(tag: str, tmp_path: Path) -> None:
    font = TTFont(saved(made_font(), tmp_path / "whole.ttf"))
    _drop(font, tag)

    message = _refusal(saved(font, tmp_path / "lacking.ttf"))

    if tag == "glyf":
        assert message == ("font FILE has no outlines (pictures only); give one with outlines")
    else:
        assert message.startswith(f"font FILE lacks the table {tag!r}; ")


def _drop(font: TTFont, *tags: str) -> None:
    """Leave tables out, and keep the others as bytes, as they depend on each other."""
    for tag in font.reader.keys():  # noqa: SIM118  # the reader is no mapping
        raw = DefaultTable.DefaultTable(tag)
        raw.data = font.reader[tag]
        font[tag] = raw
    for tag in tags:
        del font[tag]


def test_a_font_of_pictures_only_is_refused(tmp_path: Path) -> None:
    font = TTFont(saved(made_font(), tmp_path / "whole.ttf"))
    _drop(font, "glyf", "loca")
    for tag in ("EBDT", "EBLC"):
        font[tag] = DefaultTable.DefaultTable(tag)
        font[tag].data = b"\0\2\0\0" + b"\0" * 8

    assert _refusal(saved(font, tmp_path / "pictures.ttf")) == (
        "font FILE has no outlines (pictures only); give one with outlines"
    )


@pytest.mark.parametrize("em", [0, 15, 16_385, 65_535])
def test_an_em_out_of_range_is_named(em: int, tmp_path: Path) -> None:
    font = made_font()
    font["head"].unitsPerEm = em

    assert _refusal(saved(font, tmp_path / "em.ttf")) == (
        f"font FILE has unitsPerEm {em}; allowed 16 to 16384"
    )


@pytest.mark.parametrize("em", [16, 16_384])
def test_an_em_at_its_limits_is_taken(em: int, tmp_path: Path) -> None:
    font = made_font({"H": partial(box, x=1, width=6, height=11)}, em=em)

    facts = open_face(saved(font, tmp_path / "em.ttf")).facts

    assert (facts.units_per_em, facts.cap_height_fu) == (em, 11)


def test_a_font_without_any_mapped_letter_is_refused(tmp_path: Path) -> None:
    font = made_font()
    for table in font["cmap"].tables:
        table.cmap = {}

    assert _refusal(saved(font, tmp_path / "unmapped.ttf")) == (
        "font FILE has no character map; letters cannot be found in it"
    )


def test_letters_of_a_symbol_font_are_found(tmp_path: Path) -> None:
    """Microsoft's symbol encoding maps the letters of the keyboard to U+F000 and up."""
    font = made_font(cmap={0xF000 + ord("H"): "g0048"})
    [*_, table] = font["cmap"].tables
    table.platformID, table.platEncID = 3, 0
    font["cmap"].tables = [table]

    assert open_face(saved(font, tmp_path / "symbol.ttf")).facts.cap_height_fu == 700


def test_a_name_of_several_lines_or_with_controls_becomes_one_line(tmp_path: Path) -> None:
    font = made_font(name="Harbour\r\n Sans\x00\x07 \u202eTest " + "x" * 200)

    name = open_face(saved(font, tmp_path / "name.ttf")).facts.name

    assert name.startswith("Harbour Sans Test xxx")
    assert name.isprintable()
    assert len(name) == 80


def test_a_font_without_a_name_is_called_by_its_file(tmp_path: Path) -> None:
    font = TTFont(saved(made_font(), tmp_path / "whole.ttf"))
    _drop(font, "name")

    assert open_face(saved(font, tmp_path / "nameless.ttf")).facts.name == "nameless"


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
