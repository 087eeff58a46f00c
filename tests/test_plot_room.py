"""Where labels have room: against every box looked at, and cells counted one by one."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pathgen.writers.plot_ground import Ground
from pathgen.writers.plot_near import Near

PLACES = st.floats(-60.0, 60.0)
BOXES = st.tuples(PLACES, PLACES, st.floats(0.0, 40.0), st.floats(0.0, 40.0))


def box_of(place):
    x, y, wide, high = place
    return x, y, x + wide, y + high


@given(st.lists(BOXES, max_size=20), PLACES, PLACES, st.floats(0.1, 25.0))
def test_all_boxes_within_reach_of_a_point_are_found(places, x, y, reach):
    near = Near(7.0, 10.0)
    boxes = [box_of(place) for place in places]
    for box in boxes:
        near.add(box)

    expected = {
        box
        for box in boxes
        if box[0] <= x + reach
        and box[2] >= x - reach
        and box[1] <= y + reach
        and box[3] >= y - reach
    }

    assert expected <= set(near.around(x, y, reach).boxes)


def test_a_line_is_found_at_both_of_its_ends():
    near = Near(5.0, 2.0)
    near.add((100.0, 100.0, 104.0, 102.0), (0.0, 0.0, 102.0, 101.0))

    assert list(near.around(1.0, 1.0, 2.0).lines) == [(0.0, 0.0, 102.0, 101.0)]
    assert list(near.around(101.0, 101.0, 2.0).boxes) == [(100.0, 100.0, 104.0, 102.0)]


POINTS = st.lists(st.tuples(st.floats(0.0, 12.0), st.floats(3.0, 12.0)), min_size=1, max_size=40)


@given(POINTS, st.tuples(st.integers(-192, 960), st.integers(0, 960)))
def test_cover_is_the_share_of_taken_cells_under_a_box(points, sixty_fourths):
    """Cells of 1 mm counted one by one; the box reaches 2.3 mm to each side and 1.6 up and down.

    In 128ths of a mm, which are exact, so that no side of a box falls on the edge of a cell.
    """
    xs, ys = np.array(points).T
    taken = {(int(np.floor(x)), int(np.floor(y))) for x, y in points}
    (x, y), half_w, half_h = (n / 64.0 for n in sixty_fourths), 295.0 / 128.0, 205.0 / 128.0
    across = range(int(np.floor(x - half_w)), int(np.ceil(x + half_w)))
    down = range(int(np.floor(y - half_h)), int(np.ceil(y + half_h)))
    cells = [(i, j) for i in across for j in down]
    expected = 5.0 * sum(cell in taken for cell in cells) / len(cells)

    args = (np.array([[value]]) for value in (x, y, half_w, half_h))
    found = Ground(xs, ys, 0.0, 1.0).covered(*args, 5.0)

    assert found == pytest.approx(expected, abs=1e-12)
