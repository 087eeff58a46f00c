"""Moves without stitching: what the machine makes of a long way."""

import numpy as np
import pytest

from pathgen import Arrive, plan
from pathgen.needles import jumps_made, needle_table
from pathgen.shop.time import CHANGE_S, TRIM_S, sew_together_s


def test_a_way_longer_than_the_longest_jump_takes_several():
    """5 and 12 mm in one jump each, 12.01 in two, 30 in three of 10: 7 in all."""
    path = needle_table(6)
    path["x_mm"] = np.cumsum([0.0, 5.0, 12.0, 1.0, 12.01, 30.0])
    path["arrive"] = [Arrive.JUMP, Arrive.TRIM, Arrive.TRIM, Arrive.SEW, Arrive.CHANGE, Arrive.TRIM]

    assert jumps_made(path, 12.0) == 1 + 1 + 2 + 3
    assert jumps_made(path[:1], 12.0) == 0
    assert jumps_made(needle_table(0), 12.0) == 0


def test_further_jumps_take_a_turn_of_the_machine_each():
    """Two lines 40 mm apart at 600 a minute: each jump more than the trim has takes 0.1 s."""
    asked = {"height_mm": 5.0, "line_spacing_mm": 40.0, "speed_spm": 600.0}
    made = plan(["I", "I"], **asked)
    once = plan(["I", "I"], **asked, longest_jump_mm=50.0)
    (row,) = np.flatnonzero(made.needles["arrive"] == Arrive.TRIM)
    y = made.needles["y_mm"]
    way = np.hypot(*(made.needles[k][row] - made.needles[k][row - 1] for k in ("x_mm", "y_mm")))

    assert abs(y[row] - y[row - 1]) > 24.0
    assert made.jumps == int(np.ceil(way / 12.0))
    assert once.jumps == made.whole.trims == 1
    assert made.sew_s - once.sew_s == pytest.approx(0.1 * (made.jumps - 1))
    assert (made.needles == once.needles).all()


def test_time_without_further_jumps_is_stitches_trims_and_changes():
    made = plan("I", height_mm=5.0, speed_spm=600.0)
    rows = [count for count in made.counts if count.scope == "line"]
    time = sew_together_s(rows, [made.settings], 2, 2)

    assert time == pytest.approx(0.1 * made.whole.stitches + 2 * CHANGE_S)
    assert sew_together_s(rows, [made.settings], 0, 0) == pytest.approx(0.1 * made.whole.stitches)
    assert TRIM_S > 0.0
