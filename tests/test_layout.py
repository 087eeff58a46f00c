"""Outside checks: advances and heights measured with fontTools on DejaVu 2.37 and Liberation
1.07.4 (Debian's fonts-dejavu-core 2.37-6 and fonts-liberation); circle geometry by hand."""

import math
from pathlib import Path

import numpy as np
import pytest
from fontTools.feaLib.builder import addOpenTypeFeaturesFromString
from made_fonts import ADVANCE, CAPITAL, LETTERS, SMALL, made_font, saved
from outside import font_file
from shapes import plain_settings

from pathgen.errors import SettingsError, TextError
from pathgen.geometry import placed
from pathgen.lettering.fontfile import Face, open_face
from pathgen.lettering.layout import lay_out
from pathgen.lettering.outlines import glyph_rings
from pathgen.lettering.text import checked_lines
from pathgen.model import Glyph, Layout
from pathgen.settings import Settings

_SANS, _LIBERATION = "DejaVuSans.ttf", "LiberationSans-Regular.ttf"
# In the made font H and x are 700 units wide and H is 700 tall, so 7 mm make 0.01 mm a unit.
_EACH_MM = 7.0


def _settings(**changes: object) -> Settings:
    return plain_settings(**{"height_mm": 7.0, "line_spacing_mm": 10.0, **changes})


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Face:
    font = made_font({**LETTERS, "A": CAPITAL, "\u05d0": SMALL, "\u05d1": SMALL})
    return open_face(saved(font, tmp_path_factory.mktemp("fonts") / "made.ttf"))


def _laid(face: Face, text: str, **changes: object) -> Layout:
    return lay_out(checked_lines(text), face, _settings(**changes))


def _places(layout: Layout) -> list[tuple[float, float]]:
    return [(pytest.approx(g.x_mm), pytest.approx(g.y_mm)) for g in layout.glyphs]


def _middle(glyph: Glyph) -> complex:
    """Middle of the advance of a glyph of the made font, on its baseline."""
    half = 0.5 * _EACH_MM
    return complex(glyph.x_mm, glyph.y_mm) + half * complex(
        math.cos(glyph.turn_rad), math.sin(glyph.turn_rad)
    )


@pytest.mark.parametrize(
    "font",
    [_SANS, "DejaVuSans-Bold.ttf", "DejaVuSerif.ttf", _LIBERATION, "LiberationSerif-Regular.ttf"],
)
@pytest.mark.parametrize("height_mm", [2.0, 5.0, 25.4])
def test_capitals_come_out_exactly_as_tall_as_asked(font: str, height_mm: float) -> None:
    face = open_face(font_file(font))

    layout = _laid(face, "H", height_mm=height_mm)

    [g] = layout.glyphs
    rings = [
        placed(ring, layout.scales_mm_per_fu[0], g.turn_rad, g.x_mm, g.y_mm)
        for ring in glyph_rings(face, g.glyph_id)
    ]
    assert max(ring[:, 1].max() for ring in rings) == pytest.approx(height_mm, abs=1e-9)
    assert min(ring[:, 1].min() for ring in rings) == pytest.approx(0.0, abs=1e-9)


def test_stem_of_i_is_as_wide_as_the_font_says() -> None:
    """202 units of stem and 1493 of height: 0.67649 mm at 5 mm; Liberation 191 of 1409."""
    for font, stem_mm in ((_SANS, 0.67649), (_LIBERATION, 0.67779)):
        face = open_face(font_file(font))
        layout = _laid(face, "I", height_mm=5.0)
        [ring] = glyph_rings(face, layout.glyphs[0].glyph_id)

        assert np.ptp(ring[:, 0]) * layout.scales_mm_per_fu[0] == pytest.approx(stem_mm, abs=5e-6)


@pytest.mark.parametrize(
    ("font", "pair", "kern_mm"),
    [(_SANS, "AV", -0.43871), (_SANS, "LT", -0.94441), (_LIBERATION, "AV", -0.53939)],
)
def test_pen_moves_by_the_kerned_advance_in_mm(font: str, pair: str, kern_mm: float) -> None:
    face = open_face(font_file(font))
    own_fu = face.hb_font.get_glyph_h_advance(face.hb_font.get_nominal_glyph(ord(pair[0])))

    layout = _laid(face, pair, height_mm=5.0)

    assert layout.glyphs[0].x_mm == 0.0
    assert layout.glyphs[1].x_mm - own_fu * layout.scales_mm_per_fu[0] == pytest.approx(
        kern_mm, abs=5e-6
    )


def test_letters_stand_one_advance_apart(made: Face) -> None:
    layout = _laid(made, "H xH")

    assert layout.scales_mm_per_fu[0] == pytest.approx(0.01)
    assert _places(layout) == [(0.0, 0.0), (7.0, 0.0), (14.0, 0.0), (21.0, 0.0)]
    assert [g.letter for g in layout.glyphs] == [1, 2, 3, 4]


def test_tracking_widens_every_gap_but_not_the_ends(made: Face) -> None:
    assert _places(_laid(made, "HHH", tracking_mm=1.5)) == [(0, 0), (8.5, 0), (17, 0)]
    assert _places(_laid(made, "HH\nH", tracking_mm=2.0, align="right"))[2] == (9.0, -10.0)


def test_tracking_skips_letters_without_width(made: Face) -> None:
    invisible = "\u200eH\u200bH\u200b\u200bH"

    layout = _laid(made, invisible, tracking_mm=1.0)

    seen = [g.x_mm for g in layout.glyphs if g.letter in (2, 4, 7)]
    assert seen == pytest.approx([0.0, 8.0, 16.0])


def test_tracking_keeps_an_accent_on_its_base() -> None:
    face = open_face(font_file(_SANS))

    tight, loose = (_laid(face, "q\u0301a", tracking_mm=t).glyphs for t in (0.0, 3.0))

    assert loose[1].x_mm == tight[1].x_mm
    assert loose[2].x_mm == pytest.approx(tight[2].x_mm + 3.0)


@pytest.mark.parametrize("arc_mm", [None, 30.0])
def test_offsets_of_the_face_move_a_glyph_in_its_letter_s_own_direction(
    tmp_path: Path, arc_mm: float | None
) -> None:
    """The face moves every H by 30 units to the right and 50 up: 0.3 and 0.5 mm."""
    font = made_font()
    addOpenTypeFeaturesFromString(font, "feature kern { pos g0048 <30 50 0 0>; } kern;")
    face = open_face(saved(font, tmp_path / "offset.ttf"))

    moved = _laid(face, "xHx\nH", arc_mm=arc_mm).glyphs
    plain = _laid(face, "xxx\nx", arc_mm=arc_mm).glyphs

    for a, b, step in zip(moved, plain, (0, 1, 0, 1), strict=True):
        along = complex(math.cos(a.turn_rad), math.sin(a.turn_rad))
        shift = complex(a.x_mm - b.x_mm, a.y_mm - b.y_mm) / along
        assert shift == pytest.approx(step * complex(0.3, 0.5), abs=1e-9)


@pytest.mark.parametrize(
    ("align", "lefts"),
    [("left", [0.0, 0.0, 0.0]), ("centre", [0.0, 3.5, -3.5]), ("right", [0.0, 7.0, -7.0])],
)
def test_lines_are_aligned_to_the_first_and_stand_line_spacing_apart(
    made: Face, align: str, lefts: list[float]
) -> None:
    layout = _laid(made, "HH\nx\nHHH", align=align, line_spacing_mm=9.0)

    firsts = [g for g in layout.glyphs if g.letter == 1]
    assert [g.x_mm for g in firsts] == pytest.approx(lefts)
    assert [g.y_mm for g in firsts] == pytest.approx([0.0, -9.0, -18.0])
    assert [g.line for g in firsts] == [1, 2, 3]


def test_lines_are_aligned_to_a_blank_first_line_too(made: Face) -> None:
    assert _places(_laid(made, "\nHH", align="right"))[0] == (-14.0, -10.0)


def test_blank_lines_take_their_room(made: Face) -> None:
    layout = _laid(made, "\nH\n\nx")

    assert layout.lines == ((), ("H",), (), ("x",))
    assert _places(layout) == [(0.0, -10.0), (0.0, -30.0)]


@pytest.mark.parametrize("arc_mm", [None, 40.0])
def test_glyphs_come_in_reading_order_also_from_right_to_left(
    made: Face, arc_mm: float | None
) -> None:
    """Sewing order is reading order; only the places run from right to left."""
    layout = _laid(made, "\u05d0\u05d1 Hx\nHx \u05d0\u05d1", arc_mm=arc_mm)

    assert [(g.line, g.letter) for g in layout.glyphs] == [
        (line, letter) for line in (1, 2) for letter in (1, 2, 3, 4, 5)
    ]
    first = [g.x_mm for g in layout.glyphs[:5]]
    assert [sorted(first).index(x) for x in first] == [4, 3, 2, 0, 1]


@pytest.mark.parametrize("side", ["above", "below"])
@pytest.mark.parametrize("text", ["HxAHxAH", "Hx", "H"])
def test_every_letter_stands_on_the_circle_and_square_to_it(
    made: Face, side: str, text: str
) -> None:
    radius = 30.0

    glyphs = _laid(made, text, arc_mm=radius, arc_side=side).glyphs

    way = 1.0 if side == "above" else -1.0
    half = 0.5 * len(text) * _EACH_MM / radius
    # The first line's left end is the origin, half the arc away from the middle of the circle.
    centre = complex(radius * math.sin(half), -way * radius * math.cos(half))
    for g in glyphs:
        spoke = (_middle(g) - centre) * way
        up = complex(-math.sin(g.turn_rad), math.cos(g.turn_rad))
        assert abs(spoke) == pytest.approx(radius)
        assert (spoke / up).real == pytest.approx(radius)


@pytest.mark.parametrize("side", ["above", "below"])
def test_the_arc_spans_the_width_over_the_radius(made: Face, side: str) -> None:
    """Seven letters of 7 mm on 30 mm: between the outer letters' middles 42 / 30 rad."""
    glyphs = _laid(made, "HHHHHHH", arc_mm=30.0, arc_side=side).glyphs

    turns = [g.turn_rad for g in glyphs]
    way = -1.0 if side == "above" else 1.0
    assert turns[-1] - turns[0] == pytest.approx(way * 42.0 / 30.0)
    assert np.diff(turns) == pytest.approx([way * 7.0 / 30.0] * 6)


@pytest.mark.parametrize(("side", "extreme"), [("above", max), ("below", min)])
def test_the_middle_letter_is_upright_at_the_top_or_the_foot(
    made: Face, side: str, extreme: object
) -> None:
    glyphs = _laid(made, "HHHHH", arc_mm=30.0, arc_side=side).glyphs

    heights = [_middle(g).imag for g in glyphs]
    assert glyphs[2].turn_rad == pytest.approx(0.0)
    assert heights[2] == extreme(heights)  # type: ignore[operator]
    assert [g.turn_rad for g in glyphs] == pytest.approx([-g.turn_rad for g in glyphs[::-1]])


def test_a_wide_circle_is_nearly_a_straight_line(made: Face) -> None:
    """The arc rises by width^2 / (8 radius), 28^2 / 40,000 mm; a letter's end by 7^2 / 40,000."""
    straight = _laid(made, "HxHx").glyphs
    bent = _laid(made, "HxHx", arc_mm=5000.0).glyphs

    for a, b in zip(straight, bent, strict=True):
        assert math.dist((a.x_mm, a.y_mm), (b.x_mm, b.y_mm)) < (28.0**2 + 7.0**2) / 40_000.0 + 1e-4


@pytest.mark.parametrize(("side", "radii"), [("above", [40, 30, 20]), ("below", [40, 50, 60])])
@pytest.mark.parametrize(
    ("align", "angle"),
    [
        ("left", lambda r: -10.5 / 40 + 3.5 / r),
        ("centre", lambda r: 0.0),
        ("right", lambda r: 10.5 / 40 - 3.5 / r),
    ],
)
def test_lines_share_the_centre_of_the_circle(
    made: Face, side: str, radii: list[float], align: str, angle: object
) -> None:
    """The first line has three letters of 7 mm, hence ends at 10.5 / 40 rad."""
    layout = _laid(made, "HHH\nx\nx", arc_mm=40.0, arc_side=side, align=align)

    way = 1.0 if side == "above" else -1.0
    middle = layout.glyphs[1]
    centre = _middle(middle) - complex(0.0, way * 40.0)
    for g, radius in zip(layout.glyphs[3:], radii[1:], strict=True):
        assert abs(_middle(g) - centre) == pytest.approx(radius)
        assert -way * g.turn_rad == pytest.approx(angle(radius))  # type: ignore[operator]


@pytest.mark.parametrize(
    ("text", "changes", "message"),
    [
        ("H\nH", {"arc_mm": 10.0}, "arc_mm is 10; line 2 has no radius left; enlarge it"),
        (
            "HH",
            {"arc_mm": 7.0, "arc_side": "below"},
            "arc_mm is 7; line 1 has no radius left; enlarge it",
        ),
        (
            "H\nH",
            {"arc_mm": 10.5},
            "arc_mm is 10.5; line 2 is 7.0 mm long and goes more than once around; enlarge it",
        ),
        (
            "H" * 10,
            {"arc_mm": 11.0},
            "arc_mm is 11; line 1 is 70.0 mm long and goes more than once around; enlarge it",
        ),
        (
            "HHHHHHHHHH\nHHHHH",
            {"arc_mm": 12.0},
            "arc_mm is 12; line 2 is 35.0 mm long and goes more than once around; enlarge it",
        ),
    ],
)
def test_a_circle_that_is_too_small_is_refused(
    made: Face, text: str, changes: dict[str, object], message: str
) -> None:
    with pytest.raises(SettingsError) as caught:
        _laid(made, text, **changes)

    assert str(caught.value) == message


def test_hanging_letters_may_nearly_reach_the_centre(made: Face) -> None:
    assert len(_laid(made, "H", arc_mm=7.5, arc_side="below").glyphs) == 1


def test_a_line_just_around_the_circle_is_taken(made: Face) -> None:
    """Ten letters of 7 mm need a radius of 70 / (2 pi) = 11.1408 mm."""
    assert len(_laid(made, "H" * 10, arc_mm=11.141).glyphs) == 10


def test_a_missing_letter_names_its_line(made: Face) -> None:
    with pytest.raises(TextError, match=r"^face lacks 'Q' \(U\+0051\), letter 2 of line 3, 'HQ'"):
        _laid(made, "H\n\nHQ")


def test_the_same_text_is_laid_out_the_same(made: Face, tmp_path: Path) -> None:
    assert _laid(made, "Hx A", arc_mm=50.0) == _laid(made, "Hx A", arc_mm=50.0)


def test_made_letters_are_as_wide_as_these_tests_take_them_to_be() -> None:
    assert ADVANCE * 0.01 == _EACH_MM
