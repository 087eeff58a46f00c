"""The whole way from text to plan, on real faces."""

import os
import string
import subprocess
import sys
from functools import cache

import numpy as np
import pytest
import shapely
from outside import font_file

from pathgen import Arrive, Part, TextError, plan
from pathgen.pipeline import write_plan

LETTERS = string.ascii_letters + string.digits
FACES = [None, "DejaVuSans.ttf", "DejaVuSerif.ttf"]


@cache
def face(name):
    return None if name is None else str(font_file(name))


@pytest.mark.parametrize("name", FACES)
@pytest.mark.parametrize("letter", LETTERS)
def test_every_letter_and_digit_becomes_a_whole_plan(name, letter):
    made = plan(letter, face=face(name))

    assert len(made.letters) == 1
    assert made.letters[0].columns
    assert made.letters[0].shape.bare_share < 0.05
    assert made.whole.stitches == len(made.needles)


@pytest.mark.parametrize("scope", ["column", "letter", "line", "thread"])
def test_counts_agree_to_the_last_stitch_at_every_scope(scope):
    made = plan(["Harbour Bakery", "est. 1974"], height_mm=5.0)
    rows = [c for c in made.counts if c.scope == scope]

    assert len(rows) > 0
    assert np.sum([c.by_part for c in rows], axis=0).tolist() == list(made.whole.by_part)
    assert sum(c.stitches for c in rows) == len(made.needles)
    assert sum(c.trims for c in rows) == (made.needles["arrive"] == Arrive.TRIM).sum()
    assert sum(c.sewn_mm for c in rows) == pytest.approx(made.whole.sewn_mm, abs=1e-9)
    assert sum(c.thread_mm for c in rows) == pytest.approx(made.whole.thread_mm, abs=1e-9)


@pytest.mark.parametrize("name", FACES)
def test_capitals_of_5_mm_take_about_a_hundred_stitches(name):
    """About 40 to 150 a small letter, 100 usual: common practice, no published source."""
    made = plan(string.ascii_uppercase, face=face(name), height_mm=5.0)
    stitches = [c.stitches for c in made.counts if c.scope == "letter"]

    assert min(stitches) >= 20
    assert max(stitches) <= 180
    assert 40 <= np.mean(stitches) <= 150


def test_needle_thread_of_a_thousand_stitches_is_near_the_trade_figure():
    """About 5 m of needle thread a thousand stitches, normal lettering, within a factor of 2.5.

    Common practice (a craft question-and-answer page), stitches longer than those of small
    letters; so a bound from both sides, no more.
    """
    made = plan("Harbour Bakery", height_mm=10.0)

    assert 2.0 <= made.whole.thread_mm / made.whole.stitches <= 12.5


def test_zigzag_of_a_text_on_an_arc_has_the_same_counts_as_straight():
    """Turning a letter turns its needle points."""
    straight = plan("Net Loft", height_mm=5.0)
    around = plan("Net Loft", height_mm=5.0, arc_mm=40.0)

    assert around.whole.by_part[Part.ZIGZAG] == straight.whole.by_part[Part.ZIGZAG]
    assert around.whole.by_part[Part.UNDERLAY] == pytest.approx(
        straight.whole.by_part[Part.UNDERLAY], abs=4
    )


def test_columns_do_not_depend_on_size():
    small, large = plan("Quay", height_mm=2.0), plan("Quay", height_mm=20.0)

    for a, b in zip(small.letters, large.letters, strict=True):
        for c, d in zip(a.columns, b.columns, strict=True):
            assert 10.0 * c.left == pytest.approx(d.left, abs=1e-9)
            assert 10.0 * c.right == pytest.approx(d.right, abs=1e-9)


def test_capital_is_as_high_as_asked():
    made = plan("H", height_mm=7.3)
    x0, y0, _, y1 = shapely.union_all(list(made.letters[0].ink)).bounds

    assert (y0, y1) == pytest.approx((0.0, 7.3), abs=1e-9)
    assert x0 > 0.0


def test_spaces_have_no_letter_but_keep_their_place():
    made = plan("a b")

    assert [(letter.index, letter.text) for letter in made.letters] == [(1, "a"), (3, "b")]


def test_text_of_spaces_around_signs_without_ink_is_refused():
    with pytest.raises(TextError):
        plan("  \u00a0 ")


def test_plan_is_locked():
    made = plan("I")

    with pytest.raises(ValueError, match="read-only"):
        made.needles["x_mm"][0] = 1.0
    with pytest.raises(ValueError, match="read-only"):
        made.letters[0].columns[0].left[0, 0] = 1.0
    with pytest.raises(AttributeError):
        made.sew_s = 0.0


def test_same_input_gives_the_same_bytes_in_any_process(tmp_path):
    """Whatever the hash seed and the locale."""
    code = (
        "import sys; from pathlib import Path; from pathgen.pipeline import plan, write_plan; "
        "write_plan(plan('Harbour Bakery & Söhne'), Path(sys.argv[1]))"
    )
    for seed, place in (("1", "C"), ("2", "C.UTF-8")):
        env = {**os.environ, "PYTHONHASHSEED": seed, "LC_ALL": place}
        subprocess.run([sys.executable, "-c", code, str(tmp_path / seed)], check=True, env=env)
    first = {p.name: p.read_bytes() for p in (tmp_path / "1").iterdir()}
    second = {p.name: p.read_bytes() for p in (tmp_path / "2").iterdir()}

    assert len(first) == 3
    assert first == second


def test_files_are_named_after_the_text(tmp_path):
    files = write_plan(plan("Net Loft"), tmp_path)

    assert [p.name for p in files] == [
        "net-loft.svg",
        "net-loft.needles.csv",
        "net-loft.counts.csv",
    ]
