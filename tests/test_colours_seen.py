"""Colours as people see them who lack a kind of cone, and as a black-and-white printer prints.

Simulation: Machado, Oliveira and Fernandes, "A Physiologically-based Model for Simulation of Color
Vision Deficiency", IEEE Trans. Visualization and Computer Graphics 15(6), 2009, table 1, severity
1.0, on linear sRGB (written down from memory; white staying white is checked). Difference: CIE
1976 L*a*b* (ISO/CIE 11664-4), D65 white.
"""

import re
from itertools import combinations, pairwise

import numpy as np
import pytest

from pathgen.needles import Part
from pathgen.writers.plot_crowding import CROWDING_STEPS
from pathgen.writers.plot_style import LEVEL_LOOK, PART_LOOK
from pathgen.writers.review_page import _piece

SEEN = {
    "all cones": np.eye(3),
    "no long cones": np.array(
        [
            [0.152286, 1.052583, -0.204868],
            [0.114503, 0.786281, 0.099216],
            [-0.003882, -0.048116, 1.051998],
        ]
    ),
    "no middle cones": np.array(
        [
            [0.367322, 0.860646, -0.227968],
            [0.280085, 0.672501, 0.047413],
            [-0.011820, 0.042940, 0.968881],
        ]
    ),
    "no short cones": np.array(
        [
            [1.255528, -0.076749, -0.178779],
            [-0.078411, 0.930809, 0.147602],
            [0.004733, 0.691367, 0.303900],
        ]
    ),
}
TO_XYZ = np.array(  # IEC 61966-2-1
    [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
)

JUST_SEEN = 2.3
"""Difference that is just seen (Mahy, Van Eycken and Oosterlinck, Color Research & Application
19(2), 1994)."""

WELL_APART = 4.0 * JUST_SEEN


def lab(colour: str, cones: str) -> np.ndarray:
    """L*, a*, b* of ``#rrggbb`` as seen."""
    share = np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)]) / 255.0
    linear = np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)
    xyz = TO_XYZ @ np.clip(SEEN[cones] @ linear, 0.0, 1.0) / TO_XYZ.sum(axis=1)
    f = np.where(xyz > 216 / 24389, np.cbrt(xyz), (24389 / 27 * xyz + 16) / 116)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


def page_colours(scheme: str) -> dict[str, str]:
    """Colours of the parts on the review page."""
    light, dark = _piece("page.css").split("@media screen", 1)
    found = dict(re.findall(r"--([\w-]+): (#\w{6})", light if scheme == "light" else dark))
    return {part.word: found[part.word] for part in Part}


PALETTES = {
    "plot": {part.word: look.colour for part, look in PART_LOOK.items()},
    "review page, dark": page_colours("dark"),
}


def test_the_scale_of_differences_is_right():
    """White and black are 100 apart in lightness; for those who see all, red is no grey."""
    assert lab("#ffffff", "all cones") == pytest.approx([100.0, 0.0, 0.0], abs=0.05)
    assert lab("#000000", "all cones") == pytest.approx([0.0, 0.0, 0.0], abs=0.05)
    for cones in SEEN:
        assert lab("#ffffff", cones) == pytest.approx([100.0, 0.0, 0.0], abs=0.05)
    # sRGB red: L* 53.24, a* 80.09, b* 67.20 (values of common colour tables).
    assert lab("#ff0000", "all cones") == pytest.approx([53.24, 80.09, 67.20], abs=0.3)


@pytest.mark.parametrize("cones", SEEN)
@pytest.mark.parametrize("palette", PALETTES)
def test_colours_of_the_parts_are_told_apart(palette, cones):
    seen = {part: lab(colour, cones) for part, colour in PALETTES[palette].items()}

    for a, b in combinations(seen, 2):
        apart = float(np.linalg.norm(seen[a] - seen[b]))
        assert apart >= WELL_APART, (a, b, apart)


@pytest.mark.parametrize("cones", SEEN)
def test_levels_of_findings_are_told_apart(cones):
    seen = [lab(look.fill, cones) for look in LEVEL_LOOK.values()]

    assert all(np.linalg.norm(a - b) >= WELL_APART for a, b in combinations(seen, 2))


def test_graver_crowding_is_darker_in_print():
    lightness = [lab(step.colour, "all cones")[0] for step in CROWDING_STEPS]

    assert lightness == sorted(lightness, reverse=True)
    assert all(a - b >= WELL_APART for a, b in pairwise(lightness))


def test_parts_are_told_apart_without_any_colour():
    """By dash, by shape of the dot, by an open or full dot: a printer's grey is enough."""
    looks = {(p.dash_mm, p.cap, p.core_mm > 0.0) for p in PART_LOOK.values()}

    assert len(looks) == len(PART_LOOK)
