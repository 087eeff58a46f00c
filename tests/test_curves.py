"""Closed forms: arc lengths by the integral of the speed, areas by Green's theorem; FontBuilder
writes the curves into fonts and HarfBuzz reads them back."""

import math
import signal
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
import shapely
from made_fonts import LETTERS, curve, made_font, saved

from pathgen.geometry import Points, length, signed_area
from pathgen.lettering.curves import drawn
from pathgen.lettering.fontfile import Face, open_face

_EM = 1000
_TOLERANCE = 0.5  # font units: 1/2000 em
_KAPPA = 4.0 * (math.sqrt(2.0) - 1.0) / 3.0  # a quarter circle by one cubic
_ROUNDING = 1.0  # font files keep whole units: this much at every point

# Control points in ems, length of the curve, area between curve and chord.
_CLOSED_FORMS = {
    "parabola y = x^2": ([(0, 0), (0.5, 0), (1, 1)], math.sqrt(5) / 2 + math.asinh(2) / 4, 1 / 6),
    "arch": ([(0, 0), (1, 2), (2, 0)], math.sqrt(5) + math.asinh(2) / 2, 4 / 3),
    "semicubical y^2 = x^3": (
        [(0, 0), (0, 0), (1 / 3, 0), (1, 1)],
        (13 * math.sqrt(13) - 8) / 27,
        1 / 10,
    ),
    "cubic arch": ([(0, 0), (0, 1), (1, 1), (1, 0)], 2.0, 0.6),
    "quarter circle": (
        [(1, 0), (1, _KAPPA), (_KAPPA, 1), (0, 1)],
        1.571016698,
        0.6 * _KAPPA - 0.15 * _KAPPA**2,
    ),
}


def _face(folder: Path, controls: list[list[tuple[float, float]]]) -> tuple[Face, list[int]]:
    """Font with one curve a glyph, and the glyphs' numbers."""
    chars = {chr(0x4E00 + i): curve(control) for i, control in enumerate(controls)}
    font = made_font({**LETTERS, **chars}, em=_EM, cubic=len(controls[0]) == 4)
    face = open_face(saved(font, folder / "curves.font.ttf"))
    return face, [face.hb_font.get_nominal_glyph(ord(char)) for char in chars]


@pytest.mark.parametrize(
    ("control", "true_length", "true_area"), _CLOSED_FORMS.values(), ids=_CLOSED_FORMS.keys()
)
def test_length_and_area_of_a_curve_are_those_of_the_closed_form(
    control: list[tuple[float, float]], true_length: float, true_area: float, tmp_path: Path
) -> None:
    whole = [(round(_EM * x), round(_EM * y)) for x, y in control]
    face, [glyph] = _face(tmp_path, [whole])

    [ring] = drawn(face.hb_font, glyph, _TOLERANCE)

    reach = _TOLERANCE + _ROUNDING
    assert abs(signed_area(ring)) == pytest.approx(
        true_area * _EM**2, abs=reach * true_length * _EM
    )
    assert length(ring) == pytest.approx(true_length * _EM, abs=2 * _ROUNDING, rel=1e-3)


def _on_curve(control: list[tuple[float, float]], count: int) -> Points:
    """Points of a Bezier curve by de Casteljau's construction."""
    t = np.linspace(0.0, 1.0, count)[:, None]
    level = [np.array(p, dtype=float) for p in control]
    while len(level) > 1:
        level = [(1.0 - t) * a + t * b for a, b in pairwise(level)]
    return np.asarray(level[0])


@pytest.mark.parametrize("degree", [2, 3])
@pytest.mark.parametrize("tolerance", [0.5, 5.0])
def test_no_chord_strays_farther_than_the_tolerance(
    degree: int, tolerance: float, tmp_path: Path
) -> None:
    """And some stray by half of it, so no more points are spent than needed."""
    rng = np.random.default_rng(1921)
    controls = [
        [(int(x), int(y)) for x, y in rng.integers(-_EM, 2 * _EM, (degree + 1, 2))]
        for _ in range(40)
    ]
    face, glyphs = _face(tmp_path, controls)

    worst = []
    for control, glyph in zip(controls, glyphs, strict=True):
        [ring] = drawn(face.hb_font, glyph, tolerance)
        polyline = shapely.linestrings(np.concatenate([ring, ring[:1]]))
        points = shapely.points(_on_curve(control, 400))
        worst.append(float(shapely.distance(polyline, points).max()))

    assert max(worst) <= tolerance
    assert max(worst) > 0.5 * tolerance


def test_points_of_a_straight_outline_are_the_font_s_own(tmp_path: Path) -> None:
    face = open_face(saved(made_font(), tmp_path / "plain.ttf"))

    [ring] = drawn(face.hb_font, face.hb_font.get_nominal_glyph(ord("H")), _TOLERANCE)

    assert ring.tolist() == [[100, 0], [100, 700], [600, 700], [600, 0]]


def test_contours_without_area_and_repeated_points_are_left_out(tmp_path: Path) -> None:
    def draw(pen: object) -> None:
        for points in (
            [(0, 0), (0, 0), (0, 9), (9, 9), (9, 9), (0, 0)],
            [(5, 5), (5, 5), (5, 5)],
            [(0, 0), (9, 9), (0, 0), (9, 9)],
            [(7, 7)],
        ):
            pen.moveTo(points[0])  # type: ignore[attr-defined]
            for point in points[1:]:
                pen.lineTo(point)  # type: ignore[attr-defined]
            pen.closePath()  # type: ignore[attr-defined]

    face = open_face(saved(made_font({**LETTERS, "o": draw}), tmp_path / "odd.ttf"))

    rings = drawn(face.hb_font, face.hb_font.get_nominal_glyph(ord("o")), _TOLERANCE)

    assert [ring.tolist() for ring in rings] == [[[0, 0], [0, 9], [9, 9]]]


def test_a_glyph_without_ink_or_out_of_range_has_no_rings(tmp_path: Path) -> None:
    face = open_face(saved(made_font(), tmp_path / "plain.ttf"))

    assert drawn(face.hb_font, face.hb_font.get_nominal_glyph(ord(" ")), _TOLERANCE) == ()
    assert drawn(face.hb_font, 60_000, _TOLERANCE) == ()


def test_an_interrupt_in_the_midst_of_a_glyph_is_heard_after_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    """Raised in a callback, HarfBuzz's wrapper would print it and draw on without the curve."""
    face, [glyph] = _face(tmp_path, [_CLOSED_FORMS["arch"][0]])
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    length_of = math.hypot

    def interrupted(*sides: float) -> float:
        signal.raise_signal(signal.SIGINT)
        return length_of(*sides)

    try:
        with monkeypatch.context() as patch, pytest.raises(KeyboardInterrupt):
            patch.setattr(math, "hypot", interrupted)
            drawn(face.hb_font, glyph, _TOLERANCE)
        assert len(drawn(face.hb_font, glyph, _TOLERANCE)) == 1
    finally:
        signal.signal(signal.SIGINT, before)
    assert capfd.readouterr() == ("", "")
