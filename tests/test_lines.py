"""Lines that each have a face, a height, a thread and settings of their own."""

import math

import numpy as np
import pytest

from pathgen import Arrive, Part, SettingsError, plan
from pathgen.pipeline import AskedLine, plan_lines
from pathgen.shop.colours import colour_hex

BAKERY = AskedLine(text="Harbour Bakery", asked={"height_mm": 6.0, "colour": "navy"})
SINCE = AskedLine(text="est. 1974", face="tholepin", asked={"height_mm": 3.0, "thread": "60"})
QUAY = AskedLine(text="Old Quay", asked={"height_mm": 4.0, "colour": "navy"})


def alone(line):
    return plan(line.text, face=line.face, **line.asked)


def rows(made, scope):
    return [count for count in made.counts if count.scope == scope]


@pytest.fixture(scope="module")
def made():
    return plan_lines([BAKERY, SINCE, QUAY])


def test_each_line_is_sewn_as_it_would_be_alone(made):
    for number, (line, count) in enumerate(
        zip([BAKERY, SINCE, QUAY], rows(made, "line"), strict=True), 1
    ):
        one = alone(line)
        mine = made.needles[made.needles["line"] == number]

        assert count.by_part == one.whole.by_part
        assert count.thread_mm == pytest.approx(one.whole.thread_mm, abs=1e-9)
        assert np.ptp(mine["x_mm"]) == pytest.approx(np.ptp(one.needles["x_mm"]), abs=1e-9)
        assert np.ptp(mine["y_mm"]) == pytest.approx(np.ptp(one.needles["y_mm"]), abs=1e-9)


def test_lines_of_one_thread_are_sewn_before_the_thread_is_changed(made):
    order = [line for line, _ in _stretches(made.needles["line"])]

    assert order == [1, 3, 2]
    assert [line.thread for line in made.by_line] == [1, 2, 1]
    assert made.changes == 1
    assert [thread.name for thread in made.threads] == ["40 wt, navy", "60 wt"]


def test_thread_is_fast_before_and_after_it_is_changed(made):
    (change,) = np.flatnonzero(made.needles["arrive"] == Arrive.CHANGE)
    part, thread = made.needles["part"], made.needles["thread"]

    assert (part[change - 3 : change] == Part.TIE_OFF).all()
    assert (part[change : change + 3] == Part.TIE_IN).all()
    assert set(thread[:change]) == {1}
    assert set(thread[change:]) == {2}


def test_between_lines_of_one_thread_it_is_cut(made):
    first_of_quay = np.flatnonzero(made.needles["line"] == 3)[0]

    assert made.needles["arrive"][first_of_quay] == Arrive.TRIM
    assert made.needles["arrive"][0] == Arrive.JUMP
    assert (made.needles["arrive"] == Arrive.JUMP).sum() == 1


def test_counts_of_threads_are_those_of_their_lines(made):
    one, two, three = rows(made, "line")
    first, second = rows(made, "thread")

    assert (first.thread, first.text) == (1, "40 wt, navy")
    assert (second.thread, second.text) == (2, "60 wt")
    assert first.stitches == one.stitches + three.stitches
    assert second.by_part == two.by_part
    assert second.width_mean_mm == pytest.approx(two.width_mean_mm)
    assert first.findings == one.findings + three.findings
    assert first.stitches + second.stitches == made.whole.stitches == len(made.needles)
    assert [count.thread for count in rows(made, "line")] == [1, 2, 1]


def test_time_is_that_of_the_lines_and_ten_seconds_a_change():
    """Ten seconds a change: common practice, no published source; a trim is 6. The change goes
    far: each further jump of at most 12 mm that it takes is a turn of the slower machine."""
    fast = AskedLine(text="Net", asked={"speed_spm": 800.0})
    slow = AskedLine(text="Loft", asked={"speed_spm": 400.0, "thread": "60"})
    both = plan_lines([fast, slow])
    one, two = (alone(line) for line in (fast, slow))

    at = int(np.flatnonzero(both.needles["arrive"] == Arrive.CHANGE)[0])
    way = both.needles[["x_mm", "y_mm"]][at - 1 : at + 1]
    far_mm = math.hypot(*(way[name][1] - way[name][0] for name in ("x_mm", "y_mm")))
    turns_s = (math.ceil(far_mm / 12.0) - 1) * 60 / 400

    assert far_mm > 12.0
    assert both.sew_s == pytest.approx(one.sew_s + two.sew_s + 10.0 + turns_s)
    assert both.sew_s == pytest.approx(
        one.whole.stitches / 800 * 60
        + two.whole.stitches / 400 * 60
        + 6.0 * (one.whole.trims + two.whole.trims)
        + 10.0
        + turns_s
    )


def test_lines_of_one_setting_are_the_same_plan_as_a_text_of_several_lines():
    asked = {"height_mm": 5.0, "align": "centre"}
    lines = plan_lines([AskedLine(text=t, asked=asked) for t in ("Harbour Bakery", "est. 1974")])
    text = plan(["Harbour Bakery", "est. 1974"], **asked)

    assert (lines.needles == text.needles).all()
    assert lines.counts == text.counts
    assert lines.findings == text.findings
    assert not lines.is_mixed
    assert lines.changes == 0


def test_a_line_takes_its_height_and_the_gap_of_the_line_above():
    """1.7 heights from line to line: 0.7 below a line of 5 mm are 3.5 mm, and 3 mm of capitals."""
    tall = AskedLine(text="H", asked={"height_mm": 5.0})
    small = AskedLine(text="H", asked={"height_mm": 3.0, "thread": "60"})
    made = plan_lines([tall, small, small])

    assert [line.down_mm for line in made.by_line] == pytest.approx([0.0, 6.5, 6.5 + 5.1])
    feet = [min(p.bounds[1] for p in letter.ink) for letter in made.letters]
    assert feet == pytest.approx([0.0, -6.5, -11.6], abs=0.01)


def test_an_asked_line_spacing_is_kept_between_lines_of_different_height():
    asked = {"line_spacing_mm": 9.0}
    made = plan_lines(
        [AskedLine(text="H", asked={"height_mm": h, **asked}) for h in (5.0, 4.0, 6.0)]
    )

    assert [line.down_mm for line in made.by_line] == [0.0, 9.0, 18.0]


@pytest.mark.parametrize("side", ["above", "below"])
def test_a_straight_line_under_a_curved_one_is_centred_under_its_feet(side):
    """Chord and height of an arc: 2 r sin(w / 2r) and r (1 - cos(w / 2r))."""
    top = AskedLine(text="HHHHHHHHHHHH", asked={"arc_mm": 40.0, "arc_side": side})
    foot = AskedLine(text="HH", asked={"align": "centre", "height_mm": 3.0})
    made = plan_lines([top, foot])
    boxes = {n: _box(made, n) for n in (1, 2)}
    wide = plan("HHHHHHHHHHHH").letters
    width = max(p.bounds[2] for p in wide[-1].ink) + min(p.bounds[0] for p in wide[0].ink)
    half = width / 80.0
    sag = 40.0 * (1.0 - np.cos(half)) if side == "below" else 0.0

    assert sum(boxes[1][::2]) / 2 == pytest.approx(sum(boxes[2][::2]) / 2, abs=0.05)
    assert sum(boxes[1][::2]) / 2 == pytest.approx(40.0 * np.sin(half), abs=0.05)
    assert made.by_line[1].down_mm == pytest.approx(6.5 + sag, abs=0.05)
    assert boxes[2][1] == pytest.approx(-made.by_line[1].down_mm, abs=0.05)
    assert boxes[2][3] < boxes[1][1]


def test_what_concerns_the_whole_is_found_once_and_what_one_line_in_that_line():
    fleece = {"cloth": "fleece"}
    made = plan_lines(
        [
            AskedLine(text="Net", asked={"height_mm": 5.0, **fleece}),
            AskedLine(text="Loft", asked={"height_mm": 3.0, **fleece}),
        ]
    )
    told = [(f.code, f.line) for f in made.findings if not f.letter]

    assert told.count(("below-recipe", 2)) == 1
    assert [line for code, line in told if code == "unsteady-cloth"] == [0]


@pytest.mark.parametrize(
    ("colour", "value"), [("navy", "#000080"), (" White ", "#ffffff"), ("#FC0", "#ffcc00")]
)
def test_colours_are_names_or_hex(colour, value):
    """Values of CSS Color Module Level 4, section 6.1."""
    assert colour_hex(colour) == value


@pytest.mark.parametrize("colour", ["nvy", "#12345", "url(x)", ""])
def test_other_colours_are_refused_with_the_nearest_name(colour):
    with pytest.raises(SettingsError, match=r"^colour is .*; write #rrggbb or a plain name") as got:
        colour_hex(colour)

    assert ("did you mean 'navy'" in str(got.value)) == (colour == "nvy")


def _stretches(values):
    starts = [0, *(np.flatnonzero(np.diff(values.astype(int))) + 1)]
    return [(int(values[start]), start) for start in starts]


def _box(made, line):
    boxes = np.array([p.bounds for k in made.letters if k.line == line for p in k.ink])
    return [*boxes[:, :2].min(axis=0), *boxes[:, 2:].max(axis=0)]
