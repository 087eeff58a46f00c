"""Where labels have room: against every box looked at, and cells counted one by one."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pathgen.writers.plot_ground import Ground
from pathgen.writers.plot_labels import Asked, Room
from pathgen.writers.plot_page import Bounds, Page, Stretch

SPOTS = st.lists(st.tuples(st.floats(20.0, 180.0), st.floats(20.0, 80.0)), min_size=1, max_size=8)


def box_of(centre, size):
    (x, y), (wide, high) = centre, size
    return x - wide / 2.0, y - high / 2.0, x + wide / 2.0, y + high / 2.0


def overlap(one, other):
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


@given(SPOTS, st.lists(st.tuples(st.floats(20.0, 180.0), st.floats(20.0, 80.0)), max_size=4))
def test_labels_keep_off_one_another_and_off_taken_boxes(spots, taken):
    """Eight boxes of 4 by 2 mm: far fewer than the places around a spot have room for."""
    page = Page(
        width=200.0,
        height=100.0,
        unit=1.0,
        scale=1,
        bounds=Bounds(x0=0.0, y0=0.0, x1=200.0, y1=100.0),
        stretches=(Stretch(x0=0.0, x1=200.0, left=0.0, top=0.0),),
        of_all=(0, 1),
        zone_top=0.0,
        zone_foot=100.0,
        strip_top=100.0,
        strip_foot=100.0,
        capital_mm=24.0,
    )
    room = Room(page, np.zeros(0), np.zeros(0))
    for spot in taken:
        room.take(spot, 1.5, 1.5)
    size = (4.0, 2.0)

    (places,) = room.places(Asked(np.array(spots), np.array([size] * len(spots))))

    boxes = [box_of(place, size) for place in places]
    for k, box in enumerate(boxes):
        assert not any(overlap(box, other) for other in boxes[:k])
        assert not any(overlap(box, box_of(spot, (1.5, 1.5))) for spot in taken)


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
