"""Plans stay what they were, to a thousandth of a mm, on any build of numpy and GEOS."""

import math
from collections import Counter

import pytest
from drawn_faces import FAIRLEAD
from golden_plans import PLANS, differences, kept_rows, needle_rows


def zigzag_rows(name):
    """Zigzag penetrations of each column of each letter, as kept."""
    head, *rows = kept_rows(name)
    part, letter, column = (head.index(title) for title in ("part", "letter", "column"))
    return Counter((int(r[letter]), int(r[column])) for r in rows if r[part] == "zigzag")


def penetrations(length_fu, height_mm=5.0):
    """Nearest whole number of pitches of 0.5 mm, each two stitches, and the closing one."""
    return 2 * math.floor(length_fu * height_mm / FAIRLEAD.cap / 0.5 + 0.5) + 1


@pytest.mark.parametrize("name", PLANS)
def test_a_plan_is_as_it_was_kept(name):
    """To keep plans anew: python tests/golden_plans.py --store."""
    assert differences(kept_rows(name), needle_rows(name)) == []


def test_kept_counts_of_bars_are_those_counted_by_hand():
    """Strokes as drawn, font units, of 700 to 5 mm; one pitch is 70 units.

    I: stem 700, 10 pitches, 21. L: stem 700, 21; arm 350, 5 pitches, 11. T: bar 540, 7.7, so 8,
    17; stem 620, 8.9, so 9, 19. H: stems 21, but the one that the needle leaves half-way for the
    bar has two parts of 5 pitches, 11 each; bar 400, 5.7, so 6, 13.
    """
    assert zigzag_rows("bars") == {
        (1, 1): 21,
        (2, 1): 21,
        (2, 2): 11,
        (3, 1): 17,
        (3, 2): 19,
        (4, 1): 22,
        (4, 2): 13,
        (4, 3): 21,
    }
    assert [penetrations(fu) for fu in (700, 350, 540, 620, 400)] == [21, 11, 17, 19, 13]


def test_kept_count_of_the_ring_is_that_of_its_ellipse():
    """Half axes 290 and 310 (Ramanujan's second formula): 1,885.5 units, 16.16 mm of 0.5: 32."""
    a, b = FAIRLEAD.round_axes
    h = ((a - b) / (a + b)) ** 2
    around = math.pi * (a + b) * (1.0 + 3.0 * h / (10.0 + math.sqrt(4.0 - 3.0 * h)))

    assert around == pytest.approx(1885.5, abs=0.1)
    assert zigzag_rows("ring")[1, 1] == penetrations(around, 6.0) == 65


@pytest.mark.parametrize("row", [1, 50, 190])
@pytest.mark.parametrize("field", [1, 2])
def test_one_point_moved_by_a_tenth_of_a_mm_is_noticed(row, field):
    kept, moved = kept_rows("bars"), kept_rows("bars")
    moved[row][field] = f"{float(moved[row][field]) + 0.1:.3f}"

    assert len(differences(kept, moved)) == 1
    assert moved[0][field] in differences(kept, moved)[0]


def test_a_point_moved_by_a_thousandth_is_not_and_by_two_is():
    kept = kept_rows("bars")
    for step, noticed in ((0.001, 0), (0.002, 1)):
        moved = kept_rows("bars")
        moved[9][1] = f"{float(moved[9][1]) + step:.3f}"

        assert len(differences(kept, moved)) == noticed


def test_a_row_that_is_missing_or_of_another_part_is_noticed():
    kept, other = kept_rows("bars"), kept_rows("bars")
    other[5][3] = "travel"

    assert differences(kept, kept[:-1]) == ["189 rows for 190"]
    assert len(differences(kept, other)) == 1
