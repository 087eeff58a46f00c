"""The lettering as thread, judged by the DTD, two renderers, and the bands that are judged."""

from functools import cache

import numpy as np
import pytest
import shapely
from click.testing import CliRunner
from lxml import etree
from outside import svg_dtd
from PIL import Image
from test_plot_rendered import RENDERERS

from pathgen import plan, read
from pathgen.bands import sewn_bands
from pathgen.cli import main
from pathgen.lines import AskedLine
from pathgen.pipeline import plan_lines
from pathgen.writers.sewn_page import sewn_page
from pathgen.writers.sewn_thread import LIGHT_DEG, _shades
from pathgen.writers.shades import is_dark, mixed

NS = "{http://www.w3.org/2000/svg}"


@cache
def quay():
    return plan("Quay", height_mm=5.0, colour="red", join_mm=0.0)


def test_page_is_valid_against_the_dtd_of_svg_1_1():
    root = etree.fromstring(sewn_page(quay(), read(quay())).encode())
    dtd = etree.DTD(str(svg_dtd()))

    assert dtd.validate(root), dtd.error_log


@pytest.mark.parametrize("render", RENDERERS)
def test_what_is_drawn_is_what_is_judged(render, tmp_path):
    """Area of the red pixels at 10 px a mm against shapely's union of the bands; the rounded
    corners of the drawn thread take a little off."""
    made = quay()
    svg, png = tmp_path / "sewn.svg", tmp_path / "sewn.png"
    svg.write_text(sewn_page(made, cloth_colour="#ffffff"))
    root = etree.fromstring(svg.read_bytes())
    wide, high = (float(root.get(side).removesuffix("mm")) for side in ("width", "height"))
    render(svg, png, round(wide * 10), round(high * 10))
    pixels = np.asarray(Image.open(png).convert("RGB"), dtype=int)
    red = pixels[:, :, 0] - pixels[:, :, 1] > 60
    scale = max(
        int(t.text.split()[1]) for t in root.iter(f"{NS}text") if t.text.startswith("Drawn ")
    )
    corners = sewn_bands(made.needles, made.settings).corners_mm
    sewn = shapely.union_all([shapely.Polygon(c) for c in corners]).area

    assert red.sum() / 100.0 == pytest.approx(sewn * (1 + scale**2), rel=0.06)


def test_same_plan_gives_the_same_bytes_and_few_of_them():
    made = quay()

    assert sewn_page(made) == sewn_page(made)
    assert len(sewn_page(made)) < 160 * len(made.needles) + 4000


def test_thread_across_the_light_is_lighter_than_along_it():
    turns = np.radians([LIGHT_DEG, LIGHT_DEG + 45.0, LIGHT_DEG + 90.0, LIGHT_DEG + 180.0])
    along, between, across, back = _shades(np.cos(turns), np.sin(turns)).tolist()

    assert along == back < between < across


def test_each_line_has_the_colour_of_its_thread():
    made = plan_lines(
        [
            AskedLine(text="il", asked={"colour": "red"}),
            AskedLine(text="il", asked={"colour": "#0000ff"}),
        ]
    )
    strokes = [
        p.get("stroke") for p in etree.fromstring(sewn_page(made).encode()).iter(f"{NS}path")
    ]

    assert mixed("#ff0000", "#000000", 0.42) in strokes
    assert mixed("#0000ff", "#000000", 0.42) in strokes


def test_shades_are_weighted_means_of_two_colours():
    assert mixed("#000000", "#ffffff", 0.5) == "#808080"
    assert mixed("#204060", "#ffffff", 0.0) == "#204060"
    assert is_dark("#000080")
    assert not is_dark("#ffd700")


def test_page_tells_the_verdict_and_the_caution():
    made = plan("Quay", height_mm=2.0)
    text = " ".join(etree.fromstring(sewn_page(made, read(made)).encode()).itertext())

    assert "Will not read" in text
    assert "fitted, not measured" in text
    assert "eye protection" in text


def test_command_writes_the_page_beside_the_plot(tmp_path):
    args = ["plot", "Quay", "--sewn", "--cloth-colour", "navy", "--out", str(tmp_path)]
    result = CliRunner().invoke(main, args)

    assert result.exit_code == 0, result.output
    assert 'fill="#000080"' in (tmp_path / "quay.sewn.svg").read_text()


def test_unknown_cloth_colour_is_refused_and_nothing_is_written(tmp_path):
    out = tmp_path / "out"
    args = ["plot", "Quay", "--sewn", "--cloth-colour", "navi", "--out", str(out)]
    result = CliRunner().invoke(main, args)

    assert result.exit_code == 1
    assert "--cloth-colour is 'navi'" in result.stderr
    assert not out.exists()
