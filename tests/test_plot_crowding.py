"""The map of crowding and the dimensions of narrow places, read back from the plot."""

import itertools
import math
import re
from dataclasses import replace

import numpy as np
import pytest
from plan_specimen import specimen
from plot_cases import NS, tree_of

from pathgen.model import Finding, Level
from pathgen.needles import Crowding
from pathgen.pipeline import plan
from pathgen.writers.plot_crowding import CROWDING_STEPS
from pathgen.writers.plot_narrow import narrow_places


def crowded(*shares):
    """A plan whose first penetrations are so crowded, all others not at all."""
    made = specimen()
    share = np.zeros(len(made.needles))
    share[: len(shares)] = shares
    crowding = Crowding(
        per_mm2=20.0 * share,
        nearest_mm=np.full(len(share), np.inf),
        limit_per_mm2=np.full(len(share), 20.0),
        blade_mm=np.full(len(share), 0.75),
    )
    return replace(made, crowding=crowding)


def shaded(made):
    """Colour to points of the map, as (x, y) texts."""
    out = {}
    for shade in tree_of(made).iterfind(".//s:g[@id='crowding']/s:g", NS):
        assert shade.get("stroke-width") == "0.75"
        assert shade.get("stroke-linecap") == "round"
        data = shade.find("s:path", NS).get("d")
        out[shade.get("stroke")] = re.findall(r"M(\S+) (\S+)h0", data)
    return out


def test_each_step_of_crowding_has_its_own_shade_and_discs_of_the_blade():
    made = crowded(0.49, 0.5, 0.74, 0.75, 1.0, 1.01)
    light, middle, dark = (step.colour for step in CROWDING_STEPS)
    found = shaded(made)

    assert {colour: len(spots) for colour, spots in found.items()} == {light: 2, middle: 2, dark: 1}
    row = made.needles[5]
    at = [row["x_mm"], -row["y_mm"]]
    assert [float(v) for v in found[dark][0]] == pytest.approx(at, abs=1e-3)


def test_shades_grow_darker_in_black_and_white():
    """Luminance (Rec. 709) of each shade, laid on white with its opacity."""

    def grey(step):
        parts = [int(step.colour[i : i + 2], 16) / 255.0 for i in (1, 3, 5)]
        lum = 0.2126 * parts[0] + 0.7152 * parts[1] + 0.0722 * parts[2]
        return 1.0 - float(step.opacity) * (1.0 - lum)

    greys = [grey(step) for step in CROWDING_STEPS]
    assert all(a - b > 0.08 for a, b in itertools.pairwise(greys))


def test_the_map_is_a_layer_of_its_own_below_the_thread():
    tree = tree_of(crowded(1.0))
    ids = [g.get("id") for g in tree.find(".//s:g[@id='lettering']", NS)]

    assert ids.index("columns") < ids.index("crowding") < ids.index("zigzag")
    title = tree.find(".//s:g[@id='crowding']/s:title", NS).text
    assert title.endswith("at most 20.0 of 20.0/mm2")


def test_a_plan_that_does_not_know_its_crowding_has_an_empty_layer():
    assert shaded(specimen()) == {}


def figures(made):
    return [t.text for t in tree_of(made).findall(".//s:g[@id='narrow-places']/s:g[2]/s:text", NS)]


def test_the_narrowest_column_is_dimensioned_where_no_finding_says_narrow():
    """A stem of Fairlead Plain at 8 mm: 100 of 700 units, 1.143, and 0.2 on each side."""
    (place,) = narrow_places(plan("I", height_mm=8.0))

    assert place.width_mm == pytest.approx(8.0 / 7.0 + 0.4, abs=0.03)
    assert math.dist(place.left, place.right) == pytest.approx(place.width_mm)


def test_narrow_columns_that_are_to_be_checked_are_dimensioned_one_a_letter():
    made = plan("ito", height_mm=5.0)
    found = [
        Finding(
            code="narrow-column", level=level, at_mm=(0.0, 0.0), line=1, letter=letter, column=1,
            measured=0.5, limit=1.0,
        )
        for letter, level in ((1, Level.CHECK), (2, Level.CHECK), (3, Level.NOTE))
    ]  # fmt: skip
    made = replace(made, findings=tuple(found))

    assert {p.letter for p in narrow_places(made)} == {1, 2}
    assert figures(made) == [f"{p.width_mm:.2f}" for p in narrow_places(made)]


def test_a_dimension_is_as_long_as_the_column_is_wide_at_the_drawing_s_scale():
    made = plan("I", height_mm=5.0)
    (place,) = narrow_places(made)
    tree = tree_of(made)
    transform = tree.find(".//s:g[@id='lettering']", NS).get("transform")
    scale = float(re.search(r"scale\((\d+)\)", transform)[1])
    data = tree.find(".//s:g[@id='narrow-places']/s:path", NS).get("d")
    (x0, y0, x1, y1), *_ = re.findall(r"M(\S+) (\S+?)L(\S+) (\S+?)(?=M|$)", data)

    long = math.dist((float(x0), float(y0)), (float(x1), float(y1)))
    assert long == pytest.approx(scale * place.width_mm, abs=0.01)
