"""The plot as two renderers show it: rsvg (Debian librsvg2-bin) and Chromium."""

import math
import re
import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest
from lxml import etree
from plan_specimen import specimen
from plot_cases import NS

from pathgen.writers.plot_svg import plot_svg


def by_rsvg(svg: Path, png: Path, width: int, _height: int) -> None:
    subprocess.run(["rsvg-convert", "-w", str(width), str(svg), "-o", str(png)], check=True)


def by_chromium(svg: Path, png: Path, width: int, height: int) -> None:
    page = svg.with_suffix(".html")
    page.write_text(f'<body style="margin:0"><img src="{svg.name}" width="{width}">')
    options = [
        "--headless",
        "--no-sandbox",
        "--disable-gpu",
        "--disable-background-networking",
        "--disable-sync",
        "--no-first-run",
        f"--user-data-dir={svg.parent / 'profile'}",
        f"--window-size={width},{height}",
        f"--screenshot={png}",
    ]
    subprocess.run(
        ["chromium", *options, page.as_uri()],
        check=True,
        capture_output=True,
        timeout=120,
    )


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
    text = plot_svg(plan)
    tree = etree.fromstring(text.encode("utf-8"))
    # Only the dots are left standing, so that no line or figure can pass for one.
    lettering = tree.find(".//s:g[@id='lettering']", NS)
    for part in list(tree):
        if part is not lettering and part.get("id") != "page":
            tree.remove(part)
    for part in list(lettering):
        if part.get("id") != "needle-points":
            lettering.remove(part)
    svg.write_bytes(etree.tostring(tree))
    px_per_mm = 10
    wide, high = (math.ceil(float(v) * px_per_mm) for v in tree.get("viewBox").split()[2:])

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
