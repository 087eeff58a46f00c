"""A user's own threads, needles, cloths and recipes over the bundled ones."""

import re
import tomllib
from decimal import Decimal
from pathlib import Path

import pytest

import pathgen
from pathgen.errors import SettingsError
from pathgen.shop import shopfile
from pathgen.shop.recipes import settings_for
from pathgen.shop.schema import checked
from pathgen.shop.shopfile import SHOP_FIELDS, shop_with
from pathgen.shop.stocking import bundled

OWN = """
[threads."harbour 50"]
count = "Nm 80/2"
fibre = "viscose"

[needles.110]
number = 18
eye_mm = 0.44

[cloths."grey pique"]
like = "pique"
thickness_mm = 1.1
origin = "three swatches"

[cloths.fleece]
holes_limit = 4

[[recipes.60]]
height_mm = 3.0
spacing_mm = 0.32
pull_mm = 0.12
underlay = "none"
needle = 60
speed_spm = 550

[defaults]
cloth = "grey pique"
"""


def own(folder, text=OWN, name="mine.toml"):
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize("name", ["threads", "needles", "cloths", "recipes"])
def test_bundled_files_keep_to_the_schema_that_users_are_held_to(name):
    text = Path(shopfile.__file__).with_name(f"{name}.toml").read_text(encoding="utf-8")

    assert checked(text, SHOP_FIELDS, "shop file", name) == tomllib.loads(text, parse_float=Decimal)


def test_new_entries_are_added_and_the_bundled_stay(tmp_path):
    shop = shop_with([own(tmp_path)])

    assert shop.thread("harbour 50").tex == pytest.approx(25.0)
    assert shop.thread("harbour 50").density_g_cm3 == 1.49
    assert shop.needle(110).number == 18
    assert shop.thread("40") == bundled().thread("40")
    assert shop.cloth("pique") == bundled().cloth("pique")
    assert bundled().thread("harbour 50") is None


def test_entry_of_a_known_name_changes_only_what_it_says(tmp_path):
    fleece, was = shop_with([own(tmp_path)]).cloth("fleece"), bundled().cloth("fleece")

    assert (fleece.holes_limit, was.holes_limit) == (4.0, 8.0)
    assert (fleece.pile_mm, fleece.remark) == (was.pile_mm, was.remark)
    assert fleece.origin_of("holes_limit") == "mine.toml"
    assert fleece.origin_of("pile_mm") == was.origin_of("pile_mm")


def test_like_takes_the_rest_from_another_and_keeps_both_origins(tmp_path):
    cloth = shop_with([own(tmp_path)]).cloth("grey pique")

    assert cloth.thickness_mm == 1.1
    assert cloth.pile_mm == bundled().cloth("pique").pile_mm
    assert cloth.origin_of("thickness_mm") == "mine.toml: three swatches"
    assert not cloth.steady


def test_thread_without_a_least_column_has_that_of_the_nearest_by_thickness(tmp_path):
    """Nm 80/2 is 25 tex; viscose 0.1887 mm beside 0.2018 mm of 40 wt: 1.0 becomes 0.94."""
    assert shop_with([own(tmp_path)]).thread("harbour 50").least_column_mm == 0.94


def test_own_recipe_row_stands_in_the_place_of_the_bundled_one(tmp_path):
    shop = shop_with([own(tmp_path)])
    made = settings_for(height_mm=3.0, thread="60", cloth="felt", shop=shop)

    assert (made.spacing_mm, made.pull_mm, made.needle.label) == (0.32, 0.12, "60/8")
    assert made.speed_spm == 550.0
    assert made.origins["spacing_mm"] == "shop file"
    assert settings_for(height_mm=2.5, thread="60", shop=shop).origins["pull_mm"] == (
        "shop file, cloth"
    )
    assert settings_for(height_mm=4.0, thread="40", cloth="felt", shop=shop).origins["pull_mm"] == (
        "recipe"
    )
    assert len(shop.rows("60")) == len(bundled().rows("60"))


def test_later_file_stands_over_the_earlier(tmp_path):
    first = own(tmp_path)
    second = own(tmp_path, "[cloths.fleece]\nholes_limit = 3\n", "second.toml")

    assert shop_with([first, second]).cloth("fleece").holes_limit == 3.0
    assert shop_with([second, first]).cloth("fleece").holes_limit == 4.0


def test_a_plan_takes_the_shop(tmp_path):
    shop = pathgen.shop_with([own(tmp_path)])
    made = pathgen.plan("Quay", thread="harbour 50", shop=shop)

    assert made.settings.thread.label == "harbour 50"
    assert made.settings.cloth.name == "grey pique"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[cloths.pique]\nthicknes_mm = 1\n",
         "line 2: unknown field cloths.pique.thicknes_mm; did you mean 'thickness_mm'?"),
        ("\n[cloths.pique]\nthickness_mm = -1\n", "line 3: cloths.pique.thickness_mm is -1"),
        ("[cloths.net]\nlike = 'piqe'\n",
         "line 2: cloths.net.like is 'piqe'; did you mean 'pique'?"),
        ("[cloths.net]\npile_mm = 1\n", "line 1: cloths.net lacks stability and thickness_mm"),
        ("[cloths.net]\nstability = 'firmm'\n", "did you mean 'firm'?"),
        ("[threads.50]\nlabel = '50'\n", "line 1: threads.50 has neither tex nor count"),
        ("[threads.50]\ncount = '50 wt'\n", "line 2: threads.50.count is '50 wt'; write it such"),
        ("[threads.50]\ntex = 20\nfibre = 'hemp'\n", "line 3: threads.50.fibre is 'hemp'"),
        ("[threads.40]\npacking = 0\n", "line 2: threads.40.packing is 0; allowed more than 0"),
        ("[threads.40]\ntex = nan\n", "line 2: threads.40.tex is NaN"),
        ("[needles.seven]\nnumber = 7\n", "needles.seven is not a metric size"),
        ("[thread.40]\ntex = 20\n", "unknown field thread; did you mean 'threads'?"),
        ("[[recipes.50]]\nheight_mm = 4\nspacing_mm = 0.4\npull_mm = 0.1\nunderlay = 'none'\n"
         "needle = 75\n", "recipes.50 is for a thread that is not listed"),
        ("[[recipes.60]]\nheight_mm = 4\nspacing_mm = 0.4\npull_mm = 0.1\nunderlay = 'none'\n"
         "needle = 76\n", "line 6: recipes.60 asks for needle 76; choose one of 60, 65"),
        ("[[recipes.60]]\nheight_mm = 4\n", "recipes.60[1].spacing_mm is missing"),
        ("[defaults]\ncloth = 'tin'\n", "line 2: defaults.cloth is 'tin', which is not listed"),
        ("cloths = 3\n", "line 1: cloths is 3; write a table"),
        ("[cloths.pique\n", "is not TOML"),
    ],
)  # fmt: skip
def test_a_fault_names_file_line_value_and_rule(tmp_path, text, said):
    path = own(tmp_path, text)
    with pytest.raises(SettingsError) as caught:
        shop_with([path])

    assert str(caught.value).startswith(f"shop file {path}")
    assert said in str(caught.value)
    assert "\n" not in str(caught.value)


def test_a_file_that_is_not_there_is_one_line(tmp_path):
    with pytest.raises(SettingsError, match=r"shop file .* cannot be read: no such file"):
        shop_with([tmp_path / "gone.toml"])


@pytest.mark.parametrize(
    ("name", "near"), [("piqe", "pique"), ("twil", "twill"), ("feltpatch", "felt patch")]
)
def test_a_misspelt_cloth_is_told_the_nearest(name, near):
    with pytest.raises(SettingsError, match=f"cloth is '{name}'; did you mean '{near}'"):
        settings_for(cloth=name)


def test_the_shop_file_of_the_readme_is_right(tmp_path):
    readme = (Path(__file__).parents[1] / "README.md").read_text(encoding="utf-8")
    (block,) = [b for b in re.findall(r"```toml\n(.*?)```", readme, re.DOTALL) if "[threads." in b]
    shop = shop_with([own(tmp_path, block)])

    assert shop.thread("harbour 50").tex == pytest.approx(25.0)
    assert shop.cloth("grey pique").pull_more_mm == 0.08
