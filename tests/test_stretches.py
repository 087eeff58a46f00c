"""Letters sewn once and placed: the same as the whole table looked at in one go."""

import subprocess
import sys
from itertools import combinations

import numpy as np
import pytest
from examples import many
from hypothesis import given, settings
from hypothesis import strategies as st
from outside import font_file

from pathgen import plan
from pathgen.geometry import boxes_near, spans
from pathgen.needles import Part, places_mm
from pathgen.review.bulk import thread_heaps
from pathgen.review.checks import reviewed
from pathgen.review.cover import ground_in_columns
from pathgen.review.holes import holes_in, holes_of
from pathgen.review.short import short_stitches
from pathgen.review.stitches import long_stitches
from pathgen.review.travel import exposed_travel
from pathgen.review.underlay import underlay_showing
from pathgen.sewing import joined, sewing_of
from pathgen.stitching.route import sew
from pathgen.writers.tables_csv import needles_csv

# Letters that are joined, cut, overlap, stand in lines and on arcs.
CASES = {
    "joined": ("Harbour illicit", {"height_mm": 5.0}),
    "cut": ("Net Loft", {"height_mm": 6.0, "join_mm": 0.3, "on_top_mm": 0.3}),
    "overlapping": ("Wavy gjQ", {"height_mm": 4.0, "tracking_mm": -0.7}),
    "close lines": ("gjpy\nÄÖÜ\nmm", {"height_mm": 3.0, "line_spacing_mm": 1.0}),
    "on an arc": ("Quay 1974", {"height_mm": 5.0, "arc_mm": 15.0, "arc_side": "below"}),
    "from the middle": ("Bakery", {"height_mm": 4.0, "sewing": "centre-out"}),
    "edge runs": ("Söhne & Co", {"height_mm": 8.0, "underlay": "edge-run", "pull_mm": 0.0}),
    "dense": ("mmm www", {"height_mm": 2.0, "thread": "60", "spacing_mm": 0.2}),
}


@pytest.fixture(params=CASES)
def made(request):
    text, asked = CASES[request.param]
    return plan(text, face=font_file("DejaVuSans.ttf"), **asked)


def described(findings):
    """Findings as numbers that may differ in their last bits, in a fixed order."""
    return sorted(
        (f.code, f.level, f.line, f.letter, f.column, *np.round([*f.at_mm, f.measured], 6) + 0.0)
        for f in findings
    )


def test_what_is_found_letter_by_letter_is_what_is_found_in_the_whole_table(made):
    needles, by = made.needles, made.settings
    xy = places_mm(needles)
    whole = [
        *underlay_showing(made.letters, needles, xy, by),
        *thread_heaps(needles, xy, by),
        *long_stitches(needles, by),
        *short_stitches(needles, xy, by),
        *ground_in_columns(needles, xy, by),
        *exposed_travel(needles, made.letters, by),
    ]
    codes = {"underlay-shows", "thread-bulk", "long-stitch", "short-stitch", "sparse-bend"}
    codes |= {"bare-travel", "travel-on-top"}

    assert described(whole) == described(f for f in made.findings if f.code in codes)


def test_neighbours_are_counted_across_letters_as_in_the_whole_table(made):
    sewing = sew(made.letters, made.settings)
    parted, whole = holes_in(sewing, made.settings), holes_of(made.needles, made.settings)

    assert parted.heap.tolist() == whole.heap.tolist()
    assert parted.crowding.per_mm2 == pytest.approx(whole.crowding.per_mm2)
    assert parted.crowding.nearest_mm == pytest.approx(whole.crowding.nearest_mm, abs=1e-9)
    assert parted.beside_mm == pytest.approx(whole.beside_mm, abs=1e-9)


def test_any_table_is_taken_apart_and_put_together_again(made):
    sewing = sewing_of(made.needles, made.letters, made.settings)
    again = joined(sewing.letters, sewing.stretches).needles

    assert places_mm(again) == pytest.approx(places_mm(made.needles), abs=1e-9)
    for name in ("part", "arrive", "thread", "line", "letter", "column", "side"):
        assert again[name].tolist() == made.needles[name].tolist(), name
    assert described(reviewed(made.letters, made.needles, made.settings)) == described(
        f for f in made.findings if f.code not in ("below-face", "above-face")
    )


def test_a_plan_does_not_depend_on_those_before_it():
    """In a fresh process, and after other texts with the same letters."""
    text = "Net Loft & Quay"
    script = (
        "import sys; from pathgen import plan; from pathgen.writers.tables_csv import needles_csv;"
        f"sys.stdout.buffer.write(needles_csv(plan({text!r})))"
    )
    fresh = subprocess.run([sys.executable, "-c", script], capture_output=True, check=True).stdout
    for other in ("tefL Noauy", "Quay", "Loft Net", "& & &"):
        plan(other)

    assert needles_csv(plan(text)) == fresh


def test_the_same_letters_are_the_same_wherever_they_stand():
    """Two words with the same neighbours, to a billionth of a mm."""
    made = plan("Quay Quay Quay Quay", height_mm=5.0)
    first, second = (made.needles[made.needles["letter"] // 5 == k] for k in (1, 2))
    way = second["x_mm"] - first["x_mm"]

    assert (first["part"] == Part.ZIGZAG).sum() > 100
    assert np.ptp(way) < 1e-9
    assert second["y_mm"].tolist() == first["y_mm"].tolist()


BOXES = st.lists(
    st.tuples(*[st.integers(-20, 20)] * 2, *[st.integers(0, 9)] * 2), min_size=1, max_size=12
)


@given(BOXES, st.integers(0, 4), st.sampled_from([1, 6]))
@settings(max_examples=many(100), deadline=None)
def test_near_boxes_are_those_of_all_pairs(found, reach, times):
    """Held against each other one by one, x and y apart; a few boxes, or many."""
    moved = [(x + 7 * n, y, w, h) for n in range(times) for x, y, w, h in found]
    boxes = [(x, y, x + w, y + h) for x, y, w, h in moved]
    expected = {
        (i, j)
        for i, j in combinations(range(len(boxes)), 2)
        if all(
            boxes[i][k] <= boxes[j][k + 2] + reach and boxes[j][k] <= boxes[i][k + 2] + reach
            for k in (0, 1)
        )
    }
    pairs = boxes_near(boxes, float(reach))

    assert len(pairs) == len(expected)
    assert {tuple(sorted(pair)) for pair in pairs} == expected


@given(st.lists(st.tuples(st.integers(0, 20), st.integers(0, 5)), max_size=8))
def test_spans_are_told_number_by_number(found):
    first = np.array([start for start, _ in found], dtype=np.int64)
    last = first + np.array([size for _, size in found], dtype=np.int64)
    which, number = spans(first, last)

    ends = enumerate(zip(first, last, strict=True))
    expected = [(k, n) for k, (a, b) in ends for n in range(a, b)]
    assert list(zip(which.tolist(), number.tolist(), strict=True)) == expected
