"""The plot as two renderers show it: rsvg (Debian librsvg2-bin) and Chromium."""

import re
import shutil

import numpy as np
import pytest
from lxml import etree
from plan_specimen import specimen
from plot_cases import NS
from renderers import by_chromium, by_rsvg, only, size_px

from pathgen.writers.plot_svg import plot_svg

RENDERERS = [
    pytest.param(
        by_rsvg,
        marks=pytest.mark.skipif(not shutil.which("rsvg-convert"), reason="no rsvg-convert"),
    ),
    pytest.param(
        by_chromium, marks=pytest.mark.skipif(not shutil.which("chromium"), reason="no chromium")
    ),
]


@pytest.mark.parametrize("render", RENDERERS)
def test_every_needle_point_is_seen_as_a_dark_spot(render, tmp_path):
    image = pytest.importorskip("PIL.Image")
    plan = specimen(("TO",), findings=())
    svg, png = tmp_path / "plot.svg", tmp_path / "plot.png"
    # Only the dots are left standing, so that no line or figure can pass for one.
    tree = only(plot_svg(plan), "needle-points")
    lettering = tree.find(".//s:g[@id='lettering']", NS)
    svg.write_bytes(etree.tostring(tree))
    wide, high = size_px(tree)

    render(svg, png, wide, high)

    grey = np.asarray(image.open(png).convert("L")).astype(int)
    scale = grey.shape[1] / float(tree.get("viewBox").split()[2])
    x0, y0, k = map(float, re.findall(r"-?[\d.]+", lettering.get("transform")))
    dark = 0
    for x, y in zip(plan.needles["x_mm"], plan.needles["y_mm"], strict=True):
        col, row = round((x0 + x * k) * scale), round((y0 - y * k) * scale)
        spot = grey[row - 4 : row + 5, col - 4 : col + 5]
        assert spot.min() < 140, (x, y)
        dark += 1
    assert dark == len(plan.needles)
    # Most of the page stays light: the dots are dots.
    assert (grey < 140).mean() < 0.02
