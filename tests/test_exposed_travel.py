"""Travel on top of sewn columns, by hand."""

from itertools import pairwise

import numpy as np
import pytest
import shapely
from outside import font_file
from shapes import bar, letter, plain_settings, stem

from pathgen import plan
from pathgen.arrivals import arrivals
from pathgen.needles import Arrive, Part, needle_table, places_mm
from pathgen.review.travel import exposed_travel
from pathgen.stitching.route import route

# A bar from 0 to 10, and a stem across its left end.
BAR, STEM = 1, 2
LETTER = letter(bar(10.0, 1.0), stem(x=0.0, y=-2.5))


def path(*rows):
    """Rows of x, y, part and column."""
    table = needle_table(len(rows))
    for name, *values in zip(("x_mm", "y_mm", "part", "column"), *rows, strict=True):
        table[name] = values
    table["line"] = table["letter"] = 1
    return table


def found(*rows):
    return list(exposed_travel(path(*rows), [LETTER], plain_settings()))


def test_a_run_back_over_a_sewn_bar_is_told_with_its_length():
    """From 10 to 0 along the bar's middle: 10 mm, but 0.5 where the stem will cover it."""
    (only,) = found(
        (10.0, 0.0, Part.ZIGZAG, BAR),
        (5.0, 0.0, Part.TRAVEL, STEM),
        (0.0, 0.0, Part.ZIGZAG, STEM),
    )

    assert (only.code, only.column, only.limit) == ("travel-on-top", STEM, 1.0)
    assert only.measured == pytest.approx(9.5)


def test_the_same_run_under_a_bar_that_is_sewn_next_is_silent():
    assert (
        found(
            (0.0, 0.0, Part.ZIGZAG, STEM),
            (5.0, 0.0, Part.TRAVEL, BAR),
            (10.0, 0.0, Part.ZIGZAG, BAR),
        )
        == []
    )


def test_a_run_around_the_outside_is_bare_and_not_on_top():
    """Away from the bar slantwise, sqrt 2, along it 6 mm, and 1.5 mm to the stem."""
    (only,) = found(
        (9.0, 0.5, Part.ZIGZAG, BAR),
        (8.0, 1.5, Part.TRAVEL, STEM),
        (2.0, 1.5, Part.TRAVEL, STEM),
        (0.5, 1.5, Part.ZIGZAG, STEM),
    )

    assert only.code == "bare-travel"
    assert only.measured == pytest.approx(2.0**0.5 + 6.0 + 1.5)


def test_one_millimetre_on_top_is_not_told():
    assert found((1.49, 0.0, Part.ZIGZAG, BAR), (0.0, 0.0, Part.ZIGZAG, STEM)) == []


# Two stems 1 mm wide, 2 mm of cloth between them; sewn 0.2 mm wider on each side, 1.6 mm.
STEMS = [letter(stem(x=0.0)), letter(stem(x=3.0), index=2)]


@pytest.mark.parametrize(
    ("left", "right"),
    [
        ((0.7, Part.ZIGZAG), (2.3, Part.ZIGZAG)),
        ((-0.7, Part.ZIGZAG), (3.7, Part.ZIGZAG)),
        ((0.0, Part.UNDERLAY), (3.0, Part.UNDERLAY)),
        ((0.7, Part.ZIGZAG), (3.0, Part.UNDERLAY)),
    ],
)
def test_bare_cloth_begins_where_the_sewn_column_ends_whichever_side_it_is_left_on(left, right):
    """From rail to rail, across both stems, from middle to middle, from a rail to a middle: each
    time it is 2.0 - 2 * 0.2 mm of cloth that shows."""
    table = path((left[0], 2.5, left[1], 1), (right[0], 2.5, right[1], 1))
    table["letter"] = [1, 2]
    (only,) = exposed_travel(table, STEMS, plain_settings(pull_mm=0.2))

    assert only.code == "bare-travel"
    assert only.measured == pytest.approx(1.6)


def test_travel_between_columns_sewn_much_wider_than_drawn_is_cut_where_it_is_too_long():
    """Strokes of 0.29 mm widened to 1.5, so that their rails lie 0.6 mm outside the ink: 1.48 mm
    from one to the next were taken for 0.26, and the limit of 1 mm for kept."""
    made = plan(
        "10", height_mm=2.0, thread="40", spacing_mm=1.0, pull_mm=0.0, underlay="none", run_mm=1.0,
        join_mm=1.0, on_top_mm=2.0, least_column_mm=1.5, least_stitch_mm=0.5, tracking_mm=2.0,
    )  # fmt: skip
    second = made.needles["letter"] == 2

    assert made.needles["arrive"][second][0] == Arrive.TRIM
    for travel in arrivals(made.needles, made.letters, made.settings, 0.0):
        assert travel.bare <= 1.0


def test_thread_is_cut_where_a_sewn_letter_stands_between_two():
    """Stems at 0, 0.8, 1.6 and 2.4 mm, the second and third read the other way about: 1 to 2 goes
    over 3, which is sewn later, and 2 to 3 back; from 3 to 4 the second is in the way."""
    at = {1: 0.0, 2: 1.6, 3: 0.8, 4: 2.4}
    letters = [letter(stem(x=x, width=0.3), index=index) for index, x in at.items()]
    path = route(letters, plain_settings(join_mm=6.0))

    assert path["letter"][path["arrive"] != Arrive.SEW].tolist() == [1, 4]


def passed_over(made):
    """Letters left, passed over and come to, wherever a run between two crosses the ink of a
    third sewn before, by the needle table alone."""
    inks = {(a.line, a.index): shapely.union_all(a.ink) for a in made.letters}
    table, xy = made.needles, places_mm(made.needles)
    of = list(zip(table["line"].tolist(), table["letter"].tolist(), strict=True))
    settled = np.flatnonzero(table["part"] != Part.TRAVEL)
    for row, (left, come) in enumerate(pairwise(of), 1):
        if left == come or table["arrive"][row] != Arrive.SEW:
            continue
        run = shapely.LineString(xy[row - 1 : settled[np.searchsorted(settled, row)] + 1])
        third = set(of[:row]) - {left, come}
        yield from [(left, one, come) for one in sorted(third) if inks[one].intersects(run)]


MIXED = [
    "Net \u05dc\u05d9 Loft",
    "i\u05dc\u05d5\u05dci",
    "\u05d0i1l\u05d1",
    "\u05e7\u05e4\u05d4 Bar \u05d1\u05d9\u05ea",
    "Loft \u0645\u0646 Net",
    "\u062e\u0628\u0632 Bay \u0644\u0628",
    "x 12 \u05dc\u05d5 34 y",
]


@pytest.mark.parametrize("text", MIXED)
@pytest.mark.parametrize("arc_mm", [None, 12.0])
def test_no_run_of_mixed_text_passes_over_a_letter_sewn_before(text, arc_mm):
    """Hebrew, Arabic and numbers between Latin words: each was run over when longer runs were
    allowed, the second with the usual ones too."""
    face = font_file("DejaVuSans.ttf")
    made = plan(text, face=face, height_mm=3.0, join_mm=10.0, on_top_mm=10.0, arc_mm=arc_mm)

    assert len(set(made.needles["letter"].tolist())) == len(made.letters)
    assert list(passed_over(made)) == []


@pytest.mark.parametrize("arc_side", ["above", "below"])
def test_letters_almost_all_around_a_circle_are_sewn_in_the_order_asked(arc_side):
    """38.8 mm around a circle of 44 mm: beyond a half circle a letter more to the right along the
    line stands more to the left on the cloth."""
    asked = {"arc_mm": 7.0, "arc_side": arc_side, "tracking_mm": 0.8, "height_mm": 3.0}
    reading, right_to_left = (
        list(dict.fromkeys(plan("HARBOURBAK", sewing=sewing, **asked).needles["letter"]))
        for sewing in ("reading", "right-to-left")
    )

    assert reading == right_to_left[::-1] == list(range(1, 11))


def test_travel_with_a_point_beyond_the_thread_of_both_columns_is_told():
    """Strokes of some 0.3 mm widened to 1.25 mm reach far, but not to the middle of the gap."""
    wide = {"least_column_mm": 1.25, "pull_mm": 0.0, "underlay": "none", "run_mm": 2.0}
    near = {"join_mm": 1.0, "on_top_mm": 1.0, "spacing_mm": 0.22, "least_stitch_mm": 0.5}
    face = font_file("DejaVuSans-Bold.ttf")
    made = plan("9&", face=face, height_mm=1.5, thread="40", tracking_mm=1.5, **wide, **near)
    rows = made.needles
    begun = int(np.argmax(rows["letter"] == 2))
    columns = (made.letters[0].columns[rows["column"][begun - 1] - 1], made.letters[1].columns[0])
    grown = [(1.25 - np.median(column.widths)) / 2.0 for column in columns]
    ink = shapely.union_all([part for letter in made.letters for part in letter.ink])
    run = rows[begun:][rows["part"][begun:] == Part.TRAVEL]
    far = shapely.distance(shapely.points(run["x_mm"], run["y_mm"]), ink).max()

    assert far > 0.3 + max(grown)
    (told,) = (finding for finding in made.findings if finding.code == "bare-travel")
    assert (told.letter, told.column) == (2, rows["column"][begun])
    assert told.measured == pytest.approx(2.0 * far - sum(grown), abs=0.02)
