"""The oldest libraries that pyproject.toml allows give the same plans, within 0.001 mm.

Asked for by ``PATHGEN_BUILDS=1``, as it makes a virtual environment from the package index.
"""

import math
import os

import pytest
from builds import TOLERANCE_MM, compared, environment, farthest_mm, oldest
from outside import font_file

# Besides the bundled faces; most of their letters are split by triangles full of ties.
FACES = [
    "DejaVuSans-Bold.ttf",
    "DejaVuSansMono-Bold.ttf",
    "DejaVuSerif-Bold.ttf",
    "LiberationSerif-Italic.ttf",
]
ROWS = [[1.0, 2.0, 3, 0, 1, 1, 1, 1, 0], [4.0, 6.0, 3, 0, 1, 1, 1, 1, 1]]


@pytest.mark.skipif(
    not os.environ.get("PATHGEN_BUILDS"), reason="set PATHGEN_BUILDS=1; it asks a package index"
)
def test_oldest_libraries_plan_the_same_within_a_thousandth_of_a_mm(tmp_path):
    python, said = environment(tmp_path)
    if python is None and ("from versions: none" in said or "onnection" in said):
        pytest.skip(f"no package index can be reached: {said.splitlines()[-1]}")
    assert python is not None, said

    old, new, apart = compared(python, [str(font_file(name)) for name in FACES])

    assert {name: old[name] for name in oldest()} == {
        name: number if number.count(".") == 2 else f"{number}.0"
        for name, number in oldest().items()
    }
    assert old["GEOS"] != new["GEOS"], "both have the same GEOS, so nothing is compared"
    assert len(apart) > len(FACES)
    assert max(apart.values()) <= TOLERANCE_MM, apart


def test_distance_of_two_plans_is_that_of_the_farthest_twins():
    """A triangle of 3, 4 and 5."""
    moved = [ROWS[0], [7.0, 10.0, *ROWS[1][2:]]]

    assert farthest_mm(ROWS, ROWS) == 0.0
    assert farthest_mm(ROWS, moved) == 5.0


@pytest.mark.parametrize("other", [ROWS[:1], [ROWS[0], [*ROWS[1][:-1], 0]], [ROWS[1], ROWS[0]]])
def test_plans_with_other_rows_are_endlessly_far_apart(other):
    assert farthest_mm(ROWS, other) == math.inf
