"""Cloth files: what sewn samples have shown, read, used and written."""

import math

import pytest

import pathgen
from pathgen.errors import SettingsError
from pathgen.materials import SewnThread, VerdictLimits
from pathgen.shop.clothfile import cloth_from, cloth_text
from pathgen.shop.recipes import settings_for
from pathgen.shop.stocking import bundled

SAMPLES = SewnThread(
    tex=26.667, pull_mm=0.25, pull_error_mm=0.012, overhang_mm=0.09, along_mm=0.22, samples=48
)
LIMITS = VerdictLimits(well_margin=0.03, reads_margin=0.005, samples=310)


def written(folder, **changed):
    said = {
        "name": "harbour pique",
        "like": "pique",
        "date": "2026-11-25",
        "sewn": [("40", SAMPLES)],
        "verdict": LIMITS,
        **changed,
    }
    path = folder / "harbour.toml"
    path.write_text(cloth_text(**said), encoding="utf-8")
    return path


def test_what_is_written_is_read_back(tmp_path):
    cloth = cloth_from(written(tmp_path, note='film "on" top'))

    assert (cloth.name, cloth.date) == ("harbour pique", "2026-11-25")
    (sewn,) = cloth.sewn
    for field in ("tex", "pull_mm", "pull_error_mm", "overhang_mm", "along_mm", "samples"):
        assert getattr(sewn, field) == getattr(SAMPLES, field)
    assert math.isnan(sewn.across_mm)
    assert (cloth.verdict.well_margin, cloth.verdict.samples) == (0.03, 310)
    assert cloth.pile_mm == bundled().cloth("pique").pile_mm


def test_allowance_is_pull_less_overhang_and_says_cloth_file(tmp_path):
    """0.25 - 0.09 = 0.16: columns come out as wide as drawn."""
    plain = {"underlay": "none"}
    made = settings_for(height_mm=5.0, cloth=str(written(tmp_path)), options=plain)

    assert made.pull_mm == 0.16
    assert made.origins["pull_mm"] == "cloth file"
    assert made.origins["spacing_mm"] == "recipe, cloth"
    assert made.cloth.verdict.reads_margin == 0.005


def test_samples_of_one_thread_are_not_used_for_another(tmp_path):
    """26.667 tex holds to within 8 %: for 25 tex (6.7 %) and not for 60 wt."""
    path = str(written(tmp_path))

    assert settings_for(thread="25tex", cloth=path).origins["pull_mm"] == "cloth file"
    assert settings_for(thread="60", height_mm=4.0, cloth=path).origins["pull_mm"] == (
        "recipe, cloth"
    )


def test_what_the_user_asks_for_stands_over_the_cloth_file(tmp_path):
    made = settings_for(cloth=str(written(tmp_path)), options={"pull_mm": 0.3})

    assert (made.pull_mm, made.origins["pull_mm"]) == (0.3, "option")


def test_a_plan_takes_a_cloth_file(tmp_path):
    """Over underlay 0.8 of the pull is left (fitted): 0.20 - 0.09 = 0.11."""
    made = pathgen.plan("Quay", cloth=str(written(tmp_path)))

    assert made.settings.cloth.name == "harbour pique"
    assert made.settings.pull_mm == 0.11


def test_an_allowance_is_never_under_nothing():
    assert SewnThread(tex=20.0, pull_mm=0.05, overhang_mm=0.09).allowance_over(1.0) == 0.0


GOOD = """format = "pathgen cloth 1"
date = 2026-11-25
name = "net"

[cloth]
like = "pique"
"""


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("pathgen cloth 1", "pathgen cloth 2", "line 1: format is 'pathgen cloth 2'; choose"),
        ("date = 2026-11-25", 'date = "2026-11-25"', "line 2: date is '2026-11-25'; write a day"),
        ("date = 2026-11-25", "date = 2026-11-25T10:00:00", "line 2: date is"),
        ("date = 2026-11-25\n", "", "date is missing: the day of the samples"),
        ("pique", "piqe", "line 6: cloth.like is 'piqe'; did you mean 'pique'?"),
        ('like = "pique"', "pile_mm = 1", "line 5: cloth lacks stability"),
        ('like = "pique"', 'like = "pique"\n[[sewn]]\ntex = 26.7\n', "sewn[1].pull_mm is missing"),
        ('like = "pique"', 'like = "pique"\n[[sewn]]\ntex = 26.7\npul_mm = 0.1\n',
         "line 9: unknown field sewn[1].pul_mm; did you mean 'pull_mm'?"),
        ('like = "pique"', 'like = "pique"\n[verdict]\nwell_margin = 0.01\nreads_margin = 0.02\n',
         "line 9: verdict.reads_margin is 0.02; allowed up to well_margin"),
    ],
)  # fmt: skip
def test_a_fault_names_file_line_value_and_rule(tmp_path, old, new, said):
    path = tmp_path / "net.toml"
    path.write_text(GOOD.replace(old, new), encoding="utf-8")
    with pytest.raises(SettingsError) as caught:
        cloth_from(path)

    assert str(caught.value).startswith(f"cloth file {path}")
    assert said in str(caught.value)


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"date": "25.11.2026"}, "date is '25.11.2026'; write a day"),
        ({"name": "a\nb"}, "write it on one line"),
    ],
)
def test_what_would_not_read_back_is_not_written(changed, said):
    given = {"name": "net", "like": "pique", "date": "2026-11-25", "sewn": [], **changed}
    with pytest.raises(SettingsError, match=said):
        cloth_text(**given)
