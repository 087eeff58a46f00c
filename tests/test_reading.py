"""The reading verdict: the trade's eight cases, and what single letters are told."""

import string
from dataclasses import replace

import numpy as np
import pytest
from outside import font_file

from pathgen import Verdict, plan, read
from pathgen.legibility import _alphabet
from pathgen.lettering.bundled import face_path
from pathgen.lettering.kept import kept_face
from pathgen.review.reading import read_letters

ALL = string.ascii_uppercase + string.ascii_lowercase + string.digits
FACES = ("fairlead-plain", "tholepin", "DejaVuSans.ttf", "LiberationSans-Regular.ttf")
# Common practice on backed twill, no published source: 40 wt reads well down to 4 mm, 60 wt down
# to 3; 60 wt at 2 mm just reads; 40 wt at 3 and 2 mm is not to be tried.
CASES = {
    ("40", 6.0): Verdict.READS_WELL,
    ("40", 5.0): Verdict.READS_WELL,
    ("40", 4.0): Verdict.READS_WELL,
    ("60", 4.0): Verdict.READS_WELL,
    ("60", 3.0): Verdict.READS_WELL,
    ("60", 2.0): Verdict.BORDERLINE,
    ("40", 3.0): Verdict.WILL_NOT_READ,
    ("40", 2.0): Verdict.WILL_NOT_READ,
}


def face_of(name):
    return font_file(name) if name.endswith(".ttf") else name


@pytest.mark.parametrize("face", FACES)
def test_the_trades_eight_cases_come_out_as_the_trade_says(face):
    found = {
        (thread, height): read(
            plan(ALL, face=face_of(face), thread=thread, height_mm=height)
        ).verdict
        for thread, height in CASES
    }
    assert found == CASES


@pytest.mark.parametrize(
    ("face", "thread", "height"), [("tholepin", "60", 2.0), ("fairlead-plain", "40", 4.0)]
)
def test_each_bundled_face_can_be_read_at_the_size_it_is_made_for(face, thread, height):
    reading = read(plan(ALL, face=face, thread=thread, height_mm=height))

    assert len(reading.letters) == 62
    assert min(row.verdict for row in reading.letters) >= Verdict.BORDERLINE


@pytest.mark.parametrize(
    ("face", "thread", "height"), [("tholepin", "60", 2.0), ("fairlead-plain", "40", 4.0)]
)
@pytest.mark.parametrize("ordinary", ["DejaVuSans.ttf", "LiberationSans-Regular.ttf"])
def test_bundled_faces_read_better_than_ordinary_ones_with_fewer_stitches(
    face, thread, height, ordinary
):
    """At the size that each is made for, by the recipe; tests/bench/face_table.py has the table."""
    lines = [string.ascii_uppercase, string.ascii_lowercase, string.digits]
    ours, other = (
        plan(lines, face=name, thread=thread, height_mm=height)
        for name in (face, font_file(ordinary))
    )
    well = [
        sum(row.verdict is Verdict.READS_WELL for row in read(made).letters)
        for made in (ours, other)
    ]

    assert well[0] > well[1]
    assert read(ours).likeness > read(other).likeness
    assert ours.whole.stitches < other.whole.stitches
    assert ours.whole.trims <= other.whole.trims


def test_larger_letters_are_never_told_to_read_worse():
    likeness = [
        read(plan("gate", height_mm=h, spacing_mm=0.4, pull_mm=0.2)).likeness
        for h in (2.0, 3.0, 4.0, 6.0, 9.0)
    ]

    assert likeness == sorted(likeness)


def test_a_letter_tells_the_same_wherever_it_stands():
    rows = read(plan(["o", "H o", "o"], height_mm=4.0, join_mm=0.0)).letters
    told = [(row.likeness, row.margin) for row in rows if row.text == "o"]

    assert len(told) == 3
    for row in told[1:]:
        assert row == pytest.approx(told[0], abs=5e-3)  # begun here or there


def test_letters_on_an_arc_are_set_upright_before_they_are_judged():
    straight = read(plan("Harbour", height_mm=5.0))
    bent = read(plan("Harbour", height_mm=5.0, arc_mm=25.0))

    assert bent.verdict is straight.verdict
    for a, b in zip(straight.letters, bent.letters, strict=True):
        assert b.likeness == pytest.approx(a.likeness, abs=0.02)
        assert b.margin == pytest.approx(a.margin, abs=0.03)


def test_the_worst_pair_is_named():
    """In both faces a one-storey a is an o with a stem: the nearest pair of all small letters."""
    reading = read(plan("ocean", height_mm=2.0, thread="60"))

    assert (reading.worst.text, reading.worst.looks_like) == ("o", "a")
    assert reading.worst.margin == min(row.margin for row in reading.letters)


def test_a_letter_drawn_like_another_alphabets_is_not_confused_with_it():
    """Cyrillic A and Latin A have one outline in DejaVu Sans."""
    reading = read(plan("АНА", face=font_file("DejaVuSans.ttf"), height_mm=6.0))

    assert reading.verdict is Verdict.READS_WELL
    assert "Cyrillic" in reading.compared_with
    assert all(row.looks_like not in "AHАН" for row in reading.letters)


def test_marked_letters_and_signs_are_held_against_the_base_letters_and_the_texts_own():
    reading = read(plan("é&e", height_mm=5.0, face=font_file("DejaVuSans.ttf")))

    assert reading.compared_with == ("Latin", "the text's own")
    assert reading.letters[0].looks_like == "e"
    assert read(plan("e", height_mm=5.0)).compared_with == ("Latin",)


def test_lines_that_differ_are_told_by_their_own_settings_and_the_worst_counts():
    from pathgen.lines import AskedLine
    from pathgen.pipeline import plan_lines

    made = plan_lines(
        [
            AskedLine(text="Quay", asked={"height_mm": 6.0}),
            AskedLine(text="Quay", asked={"height_mm": 2.0}),
        ]
    )
    reading = read(made)
    alone = [read(plan("Quay", height_mm=height)) for height in (6.0, 2.0)]

    assert [r.verdict for r in alone] == [Verdict.READS_WELL, Verdict.WILL_NOT_READ]
    assert reading.verdict is Verdict.WILL_NOT_READ
    assert reading.letters[:4] == alone[0].letters
    assert [r.margin for r in reading.letters[4:]] == pytest.approx(
        [r.margin for r in alone[1].letters]
    )


def test_limits_decide_at_exactly_their_value():
    made = plan("a", height_mm=5.0)
    row = read(made).letters[0]

    def verdict(**changes):
        limits = replace(made.settings.sewn_look.limits, **changes)
        look = replace(made.settings.sewn_look, limits=limits)
        settings = replace(made.settings, sewn_look=look)
        drawings = _alphabet(kept_face(face_path(None)), ())
        return read_letters(made.letters, made.needles, settings, drawings, ()).letters[0].verdict

    assert verdict(well_likeness=row.likeness) is Verdict.READS_WELL
    assert verdict(well_likeness=np.nextafter(row.likeness, 1.0)) is Verdict.BORDERLINE
    at_margin = {"well_margin": 1.0, "well_kept": 100.0}
    assert verdict(**at_margin, least_margin=row.margin) is not Verdict.WILL_NOT_READ
    assert verdict(**at_margin, least_margin=np.nextafter(row.margin, 1.0)) is Verdict.WILL_NOT_READ


def test_one_letter_in_ten_is_let_off_and_one_of_four_is_not():
    """i and l of DejaVu Sans differ by a gap of a fifth of a stroke: the closest pair it has."""
    face = font_file("DejaVuSans.ttf")
    short, long = (read(plan(text, face=face, height_mm=4.0)) for text in ("dish", "harbour dish"))
    borderline = [
        [r.text for r in x.letters if r.verdict < Verdict.READS_WELL] for x in (short, long)
    ]

    assert borderline == [["i"], ["i"]]
    assert short.verdict is Verdict.BORDERLINE
    assert long.verdict is Verdict.READS_WELL


def test_a_text_without_columns_reads_as_nothing():
    reading = read(plan("é", height_mm=5.0))

    assert len(reading.letters) == 1
    assert "fitted, not measured" in reading.origin
