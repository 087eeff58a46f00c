"""Checks on what was asked for: needle, speed, cloth and face; and all checks together."""

import math
import re
from dataclasses import replace
from pathlib import Path

import pytest
from shapes import plain_settings

from pathgen.lines import FaceFacts
from pathgen.materials import EYE_THREADS, EYE_THREADS_MOST
from pathgen.model import Level
from pathgen.pipeline import plan
from pathgen.review.fit import needle_fit, speed_fit
from pathgen.review.size import face_range, size_and_cloth
from pathgen.shop.recipes import settings_for


@pytest.mark.parametrize(
    ("thread", "needle", "levels"),
    [
        ("40", "75/11", []),
        ("40", "70/10", [Level.CHECK]),
        ("60", "65/9", []),
        ("60", "60/8", []),
        ("60", "75/11", []),
        ("60", "80/12", [Level.NOTE]),
        ("30", "75/11", [Level.CHECK]),
    ],
)
def test_needle_is_held_against_the_thread(thread, needle, levels):
    """Eye 1.4 threads wide at least (JIS B 9012 eyes): 40 wt goes with 75/11, 60 wt with 65/9."""
    found = list(needle_fit(settings_for(height_mm=5.0, thread=thread, needle=needle)))

    assert [f.level for f in found] == levels
    assert {f.code for f in found} <= {"needle-unfit"}


@pytest.mark.parametrize("threads", [EYE_THREADS, EYE_THREADS_MOST])
def test_eye_exactly_at_a_limit_is_silent(threads):
    by = plain_settings()
    needle = replace(by.needle, eye_mm=threads * by.thread.diameter_mm)

    assert list(needle_fit(replace(by, needle=needle))) == []


def test_running_faster_than_the_recipe_is_noted_at_its_speed_not():
    assert list(speed_fit(settings_for())) == []
    (found,) = speed_fit(settings_for(options={"speed_spm": 601.0}))

    assert (found.code, found.level, found.measured, found.limit) == (
        "over-speed", Level.NOTE, 601.0, 600.0,
    )  # fmt: skip


@pytest.mark.parametrize(("height", "codes"), [(5.0, []), (4.99, ["cloth-swallows"])])
def test_cloth_swallows_letters_below_its_least_height(height, codes):
    found = size_and_cloth(settings_for(height_mm=height, cloth="pique"))

    assert [f.code for f in found if f.code == "cloth-swallows"] == codes


@pytest.mark.parametrize(
    ("cloth", "height", "level"),
    [
        ("fleece", 7.2, Level.CHECK),  # 10 % under the least of 8 mm, as with a recipe
        ("fleece", 7.19, Level.STOP),
        ("towel", 5.0, Level.STOP),
        ("pique", 4.0, Level.CHECK),  # its pile is lower than two threads of 0.202 mm
        ("jersey", 2.0, Level.CHECK),  # no pile
    ],
)
def test_letters_far_too_small_for_a_deep_pile_are_stopped(cloth, height, level):
    found = size_and_cloth(settings_for(height_mm=height, cloth=cloth))

    assert [f.level for f in found if f.code == "cloth-swallows"] == [level]


FACE = FaceFacts(
    name="Net", source="net", units_per_em=1000, cap_height_fu=700.0, x_height_fu=500.0,
    least_mm=4.0, most_mm=8.0,
)  # fmt: skip


@pytest.mark.parametrize(
    ("height", "found"),
    [
        (4.0, []),
        (8.0, []),
        (3.7, [("below-face", Level.NOTE)]),
        (3.5, [("below-face", Level.CHECK)]),
        (8.1, [("above-face", Level.NOTE)]),
    ],
)
def test_a_face_is_held_to_the_heights_it_was_drawn_for(height, found):
    """10 % under the least needs no new settings (common practice, no published source)."""
    told = face_range(plain_settings(height_mm=height), FACE)

    assert [(f.code, f.level) for f in told] == found


@pytest.mark.parametrize(("thread", "codes"), [("60", []), ("40", ["below-face"])])
def test_a_finer_thread_lets_a_face_go_lower(thread, codes):
    """4 mm in 26.667 tex is 4 sqrt(16.667 / 26.667) = 3.162 mm in 16.667 tex."""
    face = replace(FACE, meant_tex=26.667)
    made = replace(plain_settings(height_mm=3.2), thread=settings_for(thread=thread).thread)

    assert [f.code for f in face_range(made, face)] == codes


def test_a_face_of_unknown_range_is_not_judged():
    unknown = replace(FACE, least_mm=0.0, most_mm=math.inf)

    assert list(face_range(plain_settings(height_mm=1.0), unknown)) == []
    assert list(face_range(plain_settings(height_mm=90.0), unknown)) == []


def test_bundled_faces_know_their_heights():
    faces = [plan("I", face=name).face for name in ("fairlead-plain", "tholepin")]

    assert [(f.least_mm, f.most_mm) for f in faces] == [(4.0, 8.0), (2.0, 4.0)]


@pytest.mark.parametrize(
    ("face", "height", "thread"),
    [("fairlead-plain", 5.0, "40"), ("fairlead-plain", 6.0, "40"), ("tholepin", 4.0, "60")],
)
def test_a_good_plan_is_not_flooded(face, height, thread):
    """A bundled face at its own size: nothing to stop, next to nothing to check, few kinds."""
    made = plan("Harbour Bakery", face=face, height_mm=height, thread=thread)

    assert [f.code for f in made.findings if f.level is not Level.NOTE] == []
    assert len({f.code for f in made.findings}) <= 5


def test_a_bad_plan_is_told_so():
    """40 wt at 2 mm is not to be tried (common practice, no published source)."""
    made = plan("Harbour Bakery", height_mm=2.0)
    stops = {f.code for f in made.findings if f.level is Level.STOP}

    assert "below-recipe" in stops
    assert "closing-counter" in stops
    assert {"closing-bay", "letters-touching", "narrow-column"} <= {f.code for f in made.findings}


def test_readme_explains_every_finding():
    """Each code that a check can give stands, as words, in the README's table."""
    root = Path(__file__).parents[1]
    table = (root / "README.md").read_text(encoding="utf-8").split("## What it warns of")[1]
    names = {
        name.strip()
        for row in re.findall(r"^\| ([a-z ,]+) \|", table, re.MULTILINE)
        for name in row.split(",")
    }
    codes = {
        code
        for file in (root / "pathgen" / "review").glob("*.py")
        for code in re.findall(
            r"(?:code=|_finding\()\"([a-z-]+)\"", file.read_text(encoding="utf-8")
        )
    }

    assert len(codes) >= 20
    assert {code.replace("-", " ") for code in codes} - names == set()
