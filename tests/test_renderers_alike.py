"""A browser and another renderer draw plots alike; a point or column out of place is noticed."""

import re

import pytest
from renderers import by_chromium, by_rsvg, ink, only, share_alike

from pathgen import plan
from pathgen.writers.plot_svg import plot_svg

pytest.importorskip("PIL.Image")

LAYERS = ["needle-points", "zigzag", "columns", "outline"]
# Share of the ink that has to lie within a pixel, 0.1 mm of paper.
ALIKE = 0.999
MOVED_MM = 0.5


@pytest.fixture(scope="module")
def svg():
    return plot_svg(plan("Quay", height_mm=5.0))


def with_one_moved(tree):
    """The last path of a layer moved, or of one that holds all stitches its first point."""
    last = [path for path in tree.iter("{*}path") if path.get("d")][-1]
    first = re.match(r"M(-?[\d.]+) ", last.get("d"))
    if tree.find(".//*[@id='needle-points']") is None and tree.find(".//*[@id='zigzag']") is None:
        last.set("transform", f"translate({MOVED_MM} 0)")
    else:
        last.set("d", f"M{float(first[1]) + MOVED_MM:.3f} {last.get('d')[first.end() :]}")
    return tree


@pytest.mark.parametrize("layer", LAYERS)
def test_two_renderers_show_the_same_ink_and_one_thing_moved_is_noticed(layer, svg, tmp_path):
    tree = only(svg, layer)

    ours = ink(tree, by_rsvg, tmp_path)

    assert share_alike(ours, ink(tree, by_chromium, tmp_path)) >= ALIKE
    assert share_alike(ours, ink(with_one_moved(tree), by_chromium, tmp_path)) < ALIKE
