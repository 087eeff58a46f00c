"""A long line on the plot: cut between letters into stretches below one another."""

from itertools import pairwise

import pytest
from plan_specimen import specimen
from plot_cases import NS, text_boxes, tree_of, windows

from pathgen.writers.plot_choice import BEYOND_MM
from pathgen.writers.plot_cuts import cuts
from pathgen.writers.plot_page import drawing_bounds

LONG = "TITO" * 15


def ink_spans(plan):
    return [(p.bounds[0], p.bounds[2]) for letter in plan.letters for p in letter.ink]


@pytest.mark.parametrize("count", [2, 3, 5])
def test_cuts_go_between_letters(count):
    plan = specimen((LONG,))

    places = cuts(plan, drawing_bounds(plan), count)

    assert len(places) == count - 1
    assert list(places) == sorted(places)
    for place in places:
        assert not any(left < place < right for left, right in ink_spans(plan)), place


def test_where_letters_overlap_cuts_are_even():
    """Two lines, the second shifted by half a letter, leave no gap: a third of the way each."""
    plan = specimen(("OOOOOOOOO", "IIOOOOOOOO"), height_mm=5.0)
    bounds = drawing_bounds(plan)
    third = bounds.width / 3.0

    assert cuts(plan, bounds, 3) == pytest.approx((bounds.x0 + third, bounds.x0 + 2.0 * third))


def test_a_long_line_stands_in_stretches_on_a_smaller_sheet():
    """60 letters of 5 mm: before, one band on a sheet of 1189 mm."""
    tree = tree_of(specimen((LONG,)))
    width = float(tree.get("viewBox").split()[2])

    assert len(windows(tree)) > 1
    assert width <= 841


def test_short_lines_and_high_blocks_stay_in_one_piece():
    for lines in [("TITO",), ("TITO TITO TITO", "OTTO OTTO OTTO", "TOTI TOTI TOTI")]:
        tree = tree_of(specimen(lines))
        assert len(windows(tree)) == 1
        assert tree.find(".//s:g[@id='stretches']", NS) is None


def test_windows_do_not_overlap_and_each_has_its_name():
    tree = tree_of(specimen((LONG,)))
    seen = windows(tree)
    names = [t.text for t in tree.iterfind(".//s:g[@id='stretches']/s:text", NS)]

    assert names == [f"part {n} of {len(seen)}" for n in range(1, len(seen) + 1)]
    for upper, lower in pairwise(seen):
        assert upper.foot < lower.top


def test_every_place_is_shown_once_but_for_the_edges_that_repeat():
    plan = specimen((LONG,))
    seen = windows(tree_of(plan))
    twice = 0
    for x, y in zip(plan.needles["x_mm"], plan.needles["y_mm"], strict=True):
        shows = sum(window.shows(*window.place(x, y)) for window in seen)
        assert 1 <= shows <= 2
        twice += shows == 2
    edge = 2.0 * BEYOND_MM * (len(seen) - 1)
    share = edge / drawing_bounds(plan).width

    assert twice <= 3.0 * share * len(plan.needles)


def test_sewing_order_stands_at_its_column_in_its_stretch():
    """Each number is nearer to its column's begin, in that stretch, than to the window's edge."""
    plan = specimen((LONG,), findings=())
    tree = tree_of(plan)
    seen = windows(tree)
    labels = text_boxes(tree, "sewing-order")
    first = {}
    for row in plan.needles:
        first.setdefault((row["letter"], row["column"]), (row["x_mm"], row["y_mm"]))
    assert len(labels) == 2 * len(first)
    for (left, top, right, foot), spot in zip(labels, first.values(), strict=False):
        near = [window.place(*spot) for window in seen if window.shows(*window.place(*spot))]
        middle = ((left + right) / 2, (top + foot) / 2)
        assert min(abs(x - middle[0]) + abs(y - middle[1]) for x, y in near) < 30.0


def test_width_of_all_stretches_is_told_once():
    plan = specimen((LONG,))
    tree = tree_of(plan)
    told = [t.text for t in tree.iterfind(".//s:g[@id='dimensions']/s:text", NS)]
    wide = float(plan.needles["x_mm"].max() - plan.needles["x_mm"].min())

    assert [t for t in told if t.endswith("in all")] == [f"{wide:.1f} mm in all"]
