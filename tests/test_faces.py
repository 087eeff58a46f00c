"""The bundled faces: what they cover, how their strokes run, that anyone can build them again."""

import math
import shutil
import string
import subprocess
import sys
import unicodedata

import numpy as np
import pytest
import uharfbuzz as hb
from drawn_faces import FACES, FAIRLEAD, FONTS, THOLEPIN
from fontTools.pens.areaPen import AreaPen
from fontTools.pens.basePen import decomposeQuadraticSegment
from fontTools.pens.recordingPen import DecomposingRecordingPen
from fontTools.ttLib import TTFont
from fontTools.ttLib.tables._g_l_y_f import OVERLAP_COMPOUND, flagOverlapSimple

from pathgen.polygons import (
    area,
    counters,
    filled,
    joined,
    moved,
    outside_area,
    widest_disc,
)

PUNCTUATION = "!\"#$%&'()*+,-./:;<=>?@[\\]^_`{|}~–—‘’“”‚„…•·°§€£¢¥©®×÷±¡¿«»‹›"
ASCII = "".join(chr(c) for c in range(0x20, 0x7F)) + "\u00a0"
SEWN = string.ascii_letters + string.digits
LATIN = "".join(
    chr(c) for c in (*range(0xC0, 0x180),) if unicodedata.category(chr(c)).startswith("L")
)


@pytest.fixture(scope="module", params=FACES, ids=[face.name for face in FACES])
def face(request):
    return request.param


@pytest.fixture(scope="module")
def font(face):
    return TTFont(face.path)


@pytest.fixture(scope="module")
def shaper(face):
    return hb.Font(hb.Face(hb.Blob.from_file_path(str(face.path))))


def contours(font, name):
    """Outlines of a glyph, each a (command, points) list."""
    glyphs = font.getGlyphSet()
    pen = DecomposingRecordingPen(glyphs)
    glyphs[name].draw(pen)
    out = []
    for command, points in pen.value:
        if command == "moveTo":
            out.append([])
        out[-1].append((command, points))
    return out


def contour_area(contour):
    """Signed area by fontTools, exact for quadratics; clockwise is negative."""
    pen = AreaPen()
    for command, points in contour:
        getattr(pen, command)(*points)
    return pen.value


def ring_points(contour, steps=8):
    """A contour as a polyline."""
    points = []
    for command, args in contour:
        if command == "qCurveTo":
            for control, end in decomposeQuadraticSegment(args):
                start = points[-1]
                for t in np.linspace(0.0, 1.0, steps + 1)[1:]:
                    a, b, c = (1 - t) ** 2, 2 * t * (1 - t), t * t
                    points.append(
                        tuple(
                            a * p + b * q + c * r
                            for p, q, r in zip(start, control, end, strict=True)
                        )
                    )
        elif command != "closePath":
            points.append(args[0])
    return np.array(points, dtype=float)


def ink(font, name, dx=0.0):
    """What is filled of a glyph by the non-zero rule, moved to the right."""
    return joined(filled([ring_points(c) + np.array([dx, 0.0]) for c in contours(font, name)]))


def gap(font, shaper, text):
    """Least distance between the ink of two letters as shaped."""
    buffer = hb.Buffer()
    buffer.add_str(text)
    buffer.guess_segment_properties()
    hb.shape(shaper, buffer)
    names = [font.getGlyphName(info.codepoint) for info in buffer.glyph_infos]
    return ink(font, names[0]).distance(ink(font, names[1], buffer.glyph_positions[0].x_advance))


def kern(shaper, text):
    """Sum of advances with kerning less that without."""
    total = []
    for on in (True, False):
        buffer = hb.Buffer()
        buffer.add_str(text)
        buffer.guess_segment_properties()
        hb.shape(shaper, buffer, {"kern": on})
        total.append(sum(p.x_advance for p in buffer.glyph_positions))
    return total[0] - total[1]


def test_building_again_gives_the_same_bytes(tmp_path):
    for path in [*FONTS.glob("*.py"), *FONTS.glob("*.toml")]:
        shutil.copy(path, tmp_path)
    subprocess.run([sys.executable, tmp_path / "build_face.py"], check=True)
    for face in FACES:
        assert (tmp_path / face.path.name).read_bytes() == face.path.read_bytes()


def test_every_listed_face_has_a_font_and_a_source():
    names: dict[str, object] = {}
    exec((FONTS / "__init__.py").read_text(encoding="utf-8"), names)
    assert names["DEFAULT_FACE"] == "Fairlead Plain"
    assert sorted(names["FACES"].values()) == sorted(path.name for path in FONTS.glob("*.ttf"))
    for name, file in names["FACES"].items():
        assert TTFont(FONTS / file)["name"].getDebugName(4) == name
        assert (FONTS / file).with_suffix(".toml").is_file()


@pytest.mark.parametrize("text", [ASCII, PUNCTUATION, LATIN], ids=["ascii", "signs", "latin"])
def test_it_covers_the_languages_of_western_and_central_europe(font, text):
    codes = font.getBestCmap()
    assert [c for c in text if ord(c) not in codes] == []


def test_stated_heights_are_those_of_the_letters(face, font):
    # OpenType, OS/2: sCapHeight is the top of H, sxHeight the top of x
    assert font["OS/2"].version >= 2
    assert font["glyf"]["H"].yMax == font["OS/2"].sCapHeight == face.cap
    assert font["glyf"]["x"].yMax == font["OS/2"].sxHeight == face.x
    assert (font["glyf"]["H"].yMin, font["glyf"]["x"].yMin) == (0, 0)


def test_flat_letters_stand_on_the_lines_and_round_ones_pass_them_a_little(face, font):
    glyf = font["glyf"]
    for name in "AEFHIKLMNTVWXYZ":
        assert (glyf[name].yMin, glyf[name].yMax) == (0, face.cap), name
    for name in "COQS":
        assert face.cap < glyf[name].yMax <= face.cap + 15, name
    for name in "vwxz":
        assert (glyf[name].yMin, glyf[name].yMax) == (0, face.x), name
    for name in "aceos":
        assert face.x < glyf[name].yMax <= face.x + 15 and -15 <= glyf[name].yMin < 0, name


@pytest.mark.parametrize("name", ["I", "L", "T", "H"])
def test_straight_letters_have_the_area_of_their_rectangles(face, font, name):
    strokes, overlaps = face.areas[name]

    assert [-contour_area(c) for c in contours(font, name)] == strokes
    assert area(ink(font, name)) == sum(strokes) - overlaps


def test_the_ring_of_O_has_the_area_of_its_centre_line_times_its_width(face, font):
    # A band of even width t about a closed curve of length s has area s t (Steiner 1840);
    # length of an ellipse by Ramanujan's second formula (1914), good to 1e-10 here.
    (a, b), stroke = face.round_axes, face.stroke
    h = ((a - b) / (a + b)) ** 2
    length = math.pi * (a + b) * (1 + 3 * h / (10 + math.sqrt(4 - 3 * h)))
    outer, inner = (contour_area(c) for c in contours(font, "O"))
    assert outer < 0 < inner
    assert -(outer + inner) == pytest.approx(length * stroke, rel=1e-3)
    # and the outer edge is wider than the ellipse by half a stroke: pi a b + s t/2 + pi (t/2)^2
    offset = math.pi * a * b + length * stroke / 2 + math.pi * (stroke / 2) ** 2
    assert -outer == pytest.approx(offset, rel=1e-3)


def test_every_contour_is_closed_has_area_and_runs_the_right_way(font):
    for name in font.getGlyphOrder():
        for contour in contours(font, name):
            assert contour[-1][0] == "closePath", name
            assert abs(contour_area(contour)) > 1_000, name
        inner = [c for c in contours(font, name) if contour_area(c) > 0]
        for contour in inner:  # only the inside of a ring runs counter-clockwise
            at = contours(font, name).index(contour)
            assert contour_area(contours(font, name)[at - 1]) < -contour_area(contour), name


def test_each_stroke_of_the_source_is_a_contour_of_its_own(face, font):
    glyphs = face.source["glyph"]
    for name, entry in glyphs.items():
        drawn = glyphs[entry["half_turn_of"]] if "half_turn_of" in entry else entry
        paths = [s["path"] for s in drawn["strokes"]]
        rings = sum(p.startswith("ring") for p in paths)
        assert len(contours(font, name)) == len(paths) + rings, name


def test_both_rails_of_a_stroke_have_as_many_points_and_lie_a_stroke_apart(face, font):
    contour = ring_points(contours(font, "S")[0])
    half = len(contour) // 2
    left, right = contour[:half], contour[half:][::-1]
    apart = np.hypot(*(left - right).T)
    assert len(left) == len(right)
    assert apart == pytest.approx(np.full(half, face.stroke), abs=2.0)  # points are whole units


def test_no_stroke_hides_a_hole_in_the_letter_it_belongs_to(font):
    # white islands are counters, and counters are large: the least, in the rings of percent,
    # registered, and accents, is over 1,000 square units
    for name in font.getGlyphOrder():
        for polygon in filled([ring_points(c) for c in contours(font, name)]):
            for hole in polygon.interiors:
                assert area(joined(filled([np.array(hole.coords)[:-1]]))) > 1_000, name


def test_overlaps_are_declared(font):
    glyf = font["glyf"]
    for name in font.getGlyphOrder():
        glyph = glyf[name]
        if glyph.isComposite():
            assert glyph.components[0].flags & OVERLAP_COMPOUND, name
        elif glyph.numberOfContours > 0:
            assert glyph.flags[0] & flagOverlapSimple, name


def test_kerning_draws_open_shapes_together_and_leaves_stems_alone(shaper):
    assert kern(shaper, "AV") < 0
    assert kern(shaper, "To") < 0
    assert kern(shaper, "HH") == kern(shaper, "nn") == 0


def test_accented_letters_kern_as_their_base_unless_the_accent_would_be_struck(shaper):
    assert kern(shaper, "ÄV") == kern(shaper, "AV")
    assert kern(shaper, "Tę") == kern(shaper, "Te")
    assert kern(shaper, "Tö") == 0


def test_letters_never_touch_their_neighbours_in_kerned_pairs(face, font, shaper):
    letter = {name: chr(code) for code, name in font.getBestCmap().items()}
    groups = face.source["kern"]
    for pair in groups["pairs"]:
        first, second = pair.split()
        for a in groups["first"][first].split():
            for b in groups["second"][second].split():
                assert gap(font, shaper, letter[a] + letter[b]) >= face.least_gap, (a, b)


@pytest.mark.parametrize("pair", ["Tï", "Vï", "fï", "fî", "îl", "ïï", "ÎÎ", "ďl", "ľk", "ťf", "Tö"])
def test_accents_do_not_strike_the_neighbouring_letter(face, font, shaper, pair):
    assert gap(font, shaper, pair) >= face.least_mark_gap


def test_nothing_reaches_beyond_the_line(font):
    # OpenType, OS/2: what lies beyond usWinAscent and usWinDescent may be cut off
    assert font["head"].yMax <= font["OS/2"].usWinAscent
    assert font["head"].yMin >= -font["OS/2"].usWinDescent


CONFUSABLE = [
    *(
        "Il",
        "I1",
        "l1",
        "O0",
        "0o",
        "ao",
        "ce",
        "eo",
        "B8",
        "S5",
        "Z2",
        "rn",
        "CG",
        "un",
        "ij",
        "VY",
    )
]


@pytest.mark.parametrize("pair", CONFUSABLE)
def test_letters_are_not_taken_for_each_other(font, pair):
    codes = font.getBestCmap()
    a, b = (ink(font, codes[ord(c)]) for c in pair)
    both = area(joined([a, b]))
    assert (outside_area(a, b) + outside_area(b, a)) / both > 0.15


def test_a_mark_without_a_letter_of_its_own_is_centred_over_the_letter(font, shaper):
    buffer = hb.Buffer()
    buffer.add_str("x\u0302")
    buffer.guess_segment_properties()
    hb.shape(shaper, buffer)
    letter, mark = buffer.glyph_positions
    shape = font["glyf"]["x"]
    assert mark.x_advance == 0
    middle = (shape.xMin + shape.xMax) / 2
    assert letter.x_advance + mark.x_offset == pytest.approx(middle, abs=1.0)


def test_stroke_and_x_height_suit_small_sewing(face, font):
    glyf = font["glyf"]
    thin, thick, low, high = face.proportions
    assert thin <= (glyf["dotlessi"].xMax - glyf["dotlessi"].xMin) / glyf["H"].yMax <= thick
    assert low <= glyf["x"].yMax / glyf["H"].yMax <= high


def test_it_may_be_bundled_and_changed(font):
    assert font["OS/2"].fsType == 0
    assert "Copyright 2026 The pathgen authors" in font["name"].getDebugName(0)
    assert "SIL Open Font License, Version 1.1" in font["name"].getDebugName(13)
    assert "SIL OPEN FONT LICENSE Version 1.1" in (FONTS / "OFL.txt").read_text(encoding="utf-8")


def holes(font, char):
    """Counters of a letter."""
    drawn = [ring_points(c) for c in contours(font, font.getBestCmap()[ord(char)])]
    return counters(filled(drawn))


def test_counters_stay_open(face, font):
    seen = [hole for char in SEWN for hole in holes(font, char)]

    assert len(seen) >= 20
    for hole in seen:
        assert 2.0 * widest_disc(hole, 0.5)[1] >= face.least_counter * face.cap


def test_the_counters_with_the_least_room_are_what_was_laid_out():
    """Fairlead's e: arch from 520 - 50 down to the bar at 272 + 50. Tholepin's e: arch from
    544 - 92 down to the bar at 228 + 40. Both wide enough for that height to be the circle."""
    for face, room in ((FAIRLEAD, 470 - 322), (THOLEPIN, 452 - 268)):
        (hole,) = holes(TTFont(face.path), "e")
        assert 2.0 * widest_disc(hole, 0.5)[1] == pytest.approx(room, abs=1.5)


def test_letters_keep_their_distance_in_every_pair(face, font, shaper):
    """All pairs of letters and figures, kerned, by the distance between their outlines."""
    names = font.getBestCmap()
    shapes = {char: ink(font, names[ord(char)]) for char in SEWN}
    for first in SEWN:
        after = font["hmtx"][names[ord(first)]][0]
        for second in SEWN:
            x = after + kern(shaper, first + second)
            apart = shapes[first].distance(moved(shapes[second], 1.0, 0.0, x, 0.0))
            assert apart >= face.least_gap, first + second


def test_a_small_letter_is_no_more_columns_than_it_must_be():
    """By hand: one stroke for c, l, o and s; two where a bow or a bar meets a stem."""
    strokes = {c: len(THOLEPIN.source["glyph"][c]["strokes"]) for c in "aceghklnosy"}

    assert [c for c, count in strokes.items() if count == 1] == ["c", "l", "o", "s"]
    assert [c for c, count in strokes.items() if count > 2] == ["k"]


def stroke_contours(monkeypatch, **entry):
    monkeypatch.syspath_prepend(str(FONTS))
    from strokes import Stroke, contours_of

    return contours_of(Stroke(width=100.0, **entry))


def test_a_corner_inside_a_stroke_is_refused(monkeypatch):
    with pytest.raises(ValueError, match=r"turn 90\.0 degrees"):
        stroke_contours(monkeypatch, path="0,0 100,0 100,100")


def test_a_bend_tighter_than_half_the_width_is_refused(monkeypatch):
    with pytest.raises(ValueError, match="turns back"):
        stroke_contours(monkeypatch, path="arc 0,0 40,40 0 180")


def test_curves_keep_to_the_true_offset_of_an_ellipse(monkeypatch):
    # points of an ellipse's parallel curve: p + d n, n from the gradient of x^2/a^2 + y^2/b^2
    outer, _ = stroke_contours(monkeypatch, path="ring 0,0 200,300")
    on = np.array([(v.x, v.y) for v in outer if v.on_curve])
    t = np.linspace(0.0, 2.0 * math.pi, 200_001)
    normal = np.column_stack([np.cos(t) / 200.0, np.sin(t) / 300.0])
    normal /= np.hypot(*normal.T)[:, None]
    true = np.column_stack([200.0 * np.cos(t), 300.0 * np.sin(t)]) + 50.0 * normal
    middles = np.array(
        [
            ((a.x + 2 * c.x + b.x) / 4, (a.y + 2 * c.y + b.y) / 4)
            for a, c, b in zip(outer[::2], outer[1::2], [*outer[2::2], outer[0]], strict=True)
        ]
    )
    for point in (*on, *middles):
        assert np.min(np.hypot(*(true - point).T)) < 0.5  # half a font unit
