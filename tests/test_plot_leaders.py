"""Lines from numbers and markers to their places: none crosses another, labels lie apart."""

import re
from itertools import combinations

import pytest
from outside import font_file
from plot_cases import NS, text_boxes, tree_of
from shapely import LineString

from pathgen import plan

CASES = {
    "one letter": lambda: plan("Q", height_mm=6.0),
    "three letters": lambda: plan("Bay", height_mm=4.0),
    "twelve letters": lambda: plan("Old Net Lofts"),
    "sixty letters": lambda: plan(
        "The Harbour Bakery, Net Loft and Chandlery of the Old Customs Quay"
    ),
    "arc": lambda: plan("Harbour Bakery", arc_mm=25.0),
    "three lines": lambda: plan(["The Harbour Bakery", "Net Loft", "Old Customs Quay"]),
    "right to left": lambda: plan("מאפיית הנמל", face=font_file("DejaVuSans.ttf"), height_mm=6.0),
}


def leaders(tree) -> list[LineString]:
    """Lines of the sewing order and of the findings, on paper."""
    out = []
    for group in ("sewing-order", "findings"):
        for path in tree.iterfind(f".//s:g[@id='{group}']//s:path", NS):
            for x0, y0, x1, y1 in re.findall(
                r"M(-?[\d.]+) (-?[\d.]+)L(-?[\d.]+) (-?[\d.]+)", path.get("d")
            ):
                out.append(LineString([(float(x0), float(y0)), (float(x1), float(y1))]))
    return out


@pytest.mark.parametrize("name", CASES)
def test_lines_to_labels_do_not_cross(name):
    lines = leaders(tree_of(CASES[name]()))

    crossed = [(a, b) for a, b in combinations(lines, 2) if a.crosses(b)]
    assert crossed == []


@pytest.mark.parametrize("name", CASES)
def test_numbers_and_markers_lie_apart(name):
    tree = tree_of(CASES[name]())
    # Each number of the sewing order is written twice, edge and face, at the same place.
    labels = [*set(text_boxes(tree, "sewing-order")), *text_boxes(tree, "findings")]

    for a, b in combinations(labels, 2):
        assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1], (a, b)
