"""Threads, needles, recipes, counts and time against handbook figures."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapes import bar, letter, plain_settings

from pathgen.errors import SettingsError
from pathgen.needles import Arrive, Part, stitch_lengths_mm
from pathgen.settings import Thread
from pathgen.shop.count import counted
from pathgen.shop.recipes import least_height_mm, recipe_at, settings_for
from pathgen.shop.stock import cloth_named, needle_named, thread_named
from pathgen.shop.time import sew_s
from pathgen.stitching.route import route


@pytest.mark.parametrize(
    ("name", "tex"),
    [("27tex", 27.0), ("270dtex", 27.0), ("243 den", 27.0), ("240den", 26.6667), ("40", 26.667)],
)
def test_counts_convert_to_tex(name, tex):
    """Den = 9 tex, dtex = 10 tex (ISO 1144)."""
    assert thread_named(name).tex == pytest.approx(tex, abs=1e-3)


@pytest.mark.parametrize(("name", "least"), [("40", 1.0), ("60", 0.5), ("13.3335tex", 0.45)])
def test_least_column_of_a_thread_given_by_count_follows_its_thickness(name, least):
    """13.3335 tex is 0.8 times 16.667: sqrt(0.8) times as thick, so 0.5 becomes 0.447."""
    assert thread_named(name).least_column_mm == least


@pytest.mark.parametrize(
    ("tex", "density", "packing", "diameter"),
    [
        (26.667, 1.39, 0.60, 0.2018),
        (26.667, 1.49, 0.70, 0.1804),
        (25.0, 1.39, 0.65, 0.1877),
        (16.667, 1.39, 0.60, 0.1595),
        (40.0, 1.39, 0.9069, 0.2010),
        (26.667, 1.52, 0.60, 0.1929),
    ],
)
def test_diameter_of_a_round_thread(tex, density, packing, diameter):
    """4 tex / 1000 = pi rho phi d^2; densities from Morton and Hearle, table 5.1."""
    thread = Thread(label="", tex=tex, least_column_mm=0.0, density_g_cm3=density, packing=packing)
    assert thread.diameter_mm == pytest.approx(diameter, abs=1e-4)


@pytest.mark.parametrize(("ne", "diameter"), [(16, 0.2273), (20, 0.2033), (36, 0.1516)])
def test_cotton_diameter_is_peirces(ne, diameter):
    """Peirce: 0.037424 sqrt(tex) mm, specific volume 1.1 cm3/g; tex = 590.54 / Ne."""
    thread = Thread(
        label="", tex=590.54125 / ne, least_column_mm=0.0, density_g_cm3=1.52, packing=1 / 1.672
    )
    assert thread.diameter_mm == pytest.approx(diameter, abs=2e-4)


@given(st.floats(5.0, 120.0))
def test_four_times_the_tex_is_twice_the_diameter(tex):
    thin = Thread(label="", tex=tex, least_column_mm=0.0)
    thick = Thread(label="", tex=4.0 * tex, least_column_mm=0.0)
    assert thick.diameter_mm == pytest.approx(2.0 * thin.diameter_mm, rel=1e-12)


@pytest.mark.parametrize(("number", "size"), [(8, 60), (9, 65), (11, 75), (14, 90), (16, 100)])
def test_needle_numberings_pair(number, size):
    """Size = 60 + 5 (n - 8), rule of the needle trade below 19; blade = size / 100 (DIN 5325)."""
    assert size == 60 + 5 * (number - 8)
    for name in (f"{size}/{number}", f"{size}", f"{number}"):
        needle = needle_named(name)
        assert (needle.size, needle.number) == (size, number)
        assert needle.blade_mm == pytest.approx(size / 100.0)


@pytest.mark.parametrize("name", ["75/9", "76", "", "abc", "75/11/2", "/11", "1e3"])
def test_needle_that_does_not_exist_is_refused(name):
    with pytest.raises(SettingsError, match="needle is"):
        needle_named(name)


@pytest.mark.parametrize("name", ["50", "4tex", "121tex", "tex", "", "-27tex"])
def test_thread_that_is_not_known_is_refused(name):
    with pytest.raises(SettingsError, match="thread is"):
        thread_named(name)


def test_cloth_error_lists_the_cloths():
    with pytest.raises(SettingsError, match="cloth is 'tin'; choose one of backed twill, twill"):
        cloth_named("tin")


@pytest.mark.parametrize(
    ("thread", "height", "spacing", "pull", "underlay", "needle"),
    [
        ("40", 6.0, 0.50, 0.20, "centre-run", 75),
        ("40", 5.0, 0.50, 0.20, "centre-run", 75),
        ("40", 4.0, 0.60, 0.20, "none", 75),
        ("60", 4.0, 0.35, 0.10, "centre-run", 65),
        ("60", 3.0, 0.35, 0.10, "none", 65),
        ("60", 2.0, 0.35, 0.10, "none", 65),
    ],
)
def test_recipe_of_a_trade_case(thread, height, spacing, pull, underlay, needle):
    """Small lettering on stable twill: common practice, no published source."""
    row = recipe_at(thread_named(thread), height)

    assert (row.spacing_mm, row.pull_mm, row.underlay, row.needle) == (
        spacing,
        pull,
        underlay,
        needle,
    )
    assert row.speed_spm == 600.0


def test_between_two_heights_the_recipe_is_interpolated_and_takes_the_lower_underlay():
    row = recipe_at(thread_named("40"), 4.5)

    assert (row.spacing_mm, row.pull_mm, row.underlay, row.needle) == (0.55, 0.20, "none", 75)


def test_beyond_its_heights_a_recipe_holds_its_last_row():
    for name, beyond, last in (("40", 50.0, 8.0), ("60", 1.0, 2.0)):
        thread = thread_named(name)
        assert replace(recipe_at(thread, beyond), height_mm=last) == recipe_at(thread, last)
    assert least_height_mm(thread_named("40")) == 4.0
    assert least_height_mm(thread_named("60")) == 2.0


def test_every_setting_says_where_it_came_from():
    made = settings_for(height_mm=4.0, thread="60", options={"pull_mm": 0.15})

    assert made.pull_mm == 0.15
    assert made.origins["pull_mm"] == "option"
    assert made.origins["height_mm"] == "option"
    assert made.origins["spacing_mm"] == "recipe"
    assert made.origins["needle"] == "recipe"
    assert made.origins["cloth"] == "default"
    assert made.origins["speed_spm"] == "recipe"
    assert made.origins["least_column_mm"] == "thread"
    assert set(made.origins) == {f for f in made.__dataclass_fields__ if f != "origins"}


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("spacing_mm", 0.0),
        ("spacing_mm", -1.0),
        ("spacing_mm", math.nan),
        ("spacing_mm", math.inf),
        ("pull_mm", -0.1),
        ("run_mm", 0.0),
        ("arc_mm", 0.0),
        ("tracking_mm", 1e9),
        ("line_spacing_mm", 0.0),
        ("speed_spm", 0.0),
        ("join_mm", 13.0),
        ("underlay", "lots"),
        ("align", "middle"),
        ("arc_side", "beside"),
    ],
)
def test_absurd_setting_is_refused_by_name_value_and_rule(name, value):
    with pytest.raises(SettingsError, match=f"^{name} is .*; (allowed|choose) "):
        settings_for(options={name: value})


def test_time_is_stitches_at_the_speed_and_six_seconds_a_trim():
    """5000 stitches at 800 a minute and 12 trims of 6 s: 6.25 + 1.2 = 7.45 minutes.

    The arithmetic is exact; 6 s a trim is common practice, no published source.
    """
    settings = plain_settings(speed_spm=800.0)
    path = route([letter(bar())], settings)
    whole = counted(("I",), [letter(bar())], path, (), settings)[-1]
    whole = whole._replace(by_part=(0, 0, 0, 5000, 0), trims=12)
    assert sew_s(whole, settings) == pytest.approx(7.45 * 60.0)


def test_counts_of_a_bar_by_hand():
    """10 by 1 at 0.4: 51 zigzag, 3 tie-in, 3 tie-off; thread is length + 0.8 mm a stitch."""
    settings = plain_settings(spacing_mm=0.4)
    letters = [letter(bar())]
    path = route(letters, settings)
    column, one, line, thread, whole = counted(("I",), letters, path, (), settings)

    assert column.by_part == one.by_part == line.by_part == thread.by_part == whole.by_part
    assert whole.by_part == (3, 0, 0, 51, 3)
    assert whole.stitches == len(path) == 57
    assert whole.trims == 0
    # tie-in 0.6 + 0.45, to the corner hypot(0.45, 0.5), zigzag 50 sqrt(1.04), back to the
    # tie-off hypot(0.6, 0.5), 0.6 + 0.45
    by_hand = 2.1 + math.hypot(0.45, 0.5) + 50 * math.sqrt(1.04) + math.hypot(0.6, 0.5)
    assert whole.sewn_mm == pytest.approx(by_hand, abs=1e-9)
    assert whole.thread_mm == pytest.approx(by_hand + 56 * 0.8, abs=1e-9)
    assert (whole.narrowest_column_mm, whole.width_mean_mm, whole.width_most_mm) == (1.0, 1.0, 1.0)


def test_stitch_lengths_are_none_after_a_trim():
    path = route([letter(bar(), bar(x=20.0))], plain_settings())
    lengths = stitch_lengths_mm(path)

    (cut,) = np.flatnonzero(path["arrive"] == Arrive.TRIM)
    assert lengths[0] == lengths[cut] == 0.0
    assert (np.delete(lengths, [0, cut]) > 0.0).all()
    assert path["part"][cut] == Part.TIE_IN
