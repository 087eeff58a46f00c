"""``pathgen recipe``: the trade's eight cases, origins, what the cloth changes, what is out."""

import json

import pytest
from click.testing import CliRunner

from pathgen.cli import main
from pathgen.shop.clothfile import cloth_text
from pathgen.shop.reasons import reasons
from pathgen.shop.recipes import settings_for


def recipe(*args):
    return CliRunner().invoke(main, ["recipe", *map(str, args)])


def data(*args):
    result = recipe(*args, "--json")
    assert result.exit_code == 0, result.output
    return json.loads(result.stdout)


# Small lettering on stable twill, common practice, no published source: thread, height, spacing,
# allowance a side, underlay, needle; None where it is not to be tried.
TRADE = [
    ("40", 6.0, (0.50, 0.20, "centre-run", "75/11")),
    ("40", 5.0, (0.50, 0.20, "centre-run", "75/11")),
    ("40", 4.0, (0.60, 0.20, "none", "75/11")),
    ("40", 3.0, None),
    ("40", 2.0, None),
    ("60", 4.0, (0.35, 0.10, "centre-run", "65/9")),
    ("60", 3.0, (0.35, 0.10, "none", "65/9")),
    ("60", 2.0, (0.35, 0.10, "none", "65/9")),
]


@pytest.mark.parametrize(("thread", "height", "expected"), TRADE)
def test_the_eight_cases_of_the_trade(thread, height, expected):
    told = data("--height", height, "--thread", thread)
    values = {name: row["value"] for name, row in told["values"].items()}
    stops = [f["code"] for f in told["findings"] if f["level"] == "stop"]

    if expected is None:
        assert stops == ["below-recipe"]
    else:
        found = tuple(values[k] for k in ("spacing_mm", "pull_mm", "underlay", "needle"))
        assert found == expected
        assert told["findings"] == []
    assert values["speed_spm"] == 600.0


def test_every_value_says_where_it_is_from():
    told = data("--height", 4, "--thread", 60, "--cloth", "pique", "--allowance", "0.2")
    origins = {name: row["origin"] for name, row in told["values"].items()}

    assert all(origins.values())
    assert origins["height_mm"] == origins["thread"] == origins["cloth"] == "option"
    assert origins["pull_mm"] == "option"
    assert origins["spacing_mm"] == "recipe, cloth"
    assert origins["underlay"] == origins["needle"] == "recipe"
    assert told["values"]["spacing_mm"]["because"] == "0.35 mm (row of 4 mm) times 0.9 for pique"
    assert "JIS B 9012" in told["values"]["eye_mm"]["sources"][0]


def test_a_height_between_two_rows_is_interpolated_and_names_both():
    """40 wt at 4.5 mm: half way between 0.60 and 0.50 is 0.55."""
    told = data("--height", "4.5")["values"]

    assert told["spacing_mm"]["value"] == 0.55
    assert told["spacing_mm"]["because"] == "rows of 4 and 5 mm"


def test_out_of_range_is_said_and_the_last_row_held():
    low = data("--height", "1.5", "--thread", "60")
    high = data("--height", "20")

    assert low["values"]["spacing_mm"]["because"] == "out of range, row of 2 mm is held"
    assert [f["code"] for f in low["findings"]] == ["below-recipe"]
    assert high["values"]["spacing_mm"]["because"] == "over the tallest row, that of 8 mm is held"
    assert high["findings"] == []


def test_a_thread_without_a_recipe_names_the_one_it_takes():
    assert data("--thread", "27tex")["values"]["underlay"]["because"].startswith("as 40 wt, the")


@pytest.mark.parametrize(
    ("cloth", "spacing", "pull"),
    [("pique", 0.45, 0.25), ("fleece", 0.45, 0.25), ("jersey", 0.5, 0.25), ("felt", 0.5, 0.2),
     ("leather-like", 0.57, 0.15), ("backed twill", 0.5, 0.2)],
)  # fmt: skip
def test_cloth_changes_spacing_and_allowance(cloth, spacing, pull):
    """0.50 mm and 0.20 mm of the recipe for 40 wt at 5 mm, as the cloth's hints say."""
    values = data("--cloth", cloth)["values"]

    assert values["spacing_mm"]["value"] == pytest.approx(spacing, abs=0.0051)
    assert values["pull_mm"]["value"] == pull


def test_a_cloth_file_gives_its_samples_as_the_reason(tmp_path):
    from pathgen.materials import SewnThread

    path = tmp_path / "net.toml"
    sewn = SewnThread(tex=26.667, pull_mm=0.25, overhang_mm=0.09, samples=48)
    path.write_text(cloth_text("net", "pique", "2026-11-25", [("40", sewn)]), encoding="utf-8")
    over = data("--cloth", path)["values"]["pull_mm"]
    bare = data("--cloth", path, "--underlay", "none")["values"]["pull_mm"]

    # Centre run: 0.25 x 0.8 - 0.09; without: 0.25 - 0.09.
    assert (over["value"], over["origin"]) == (0.11, "cloth file")
    assert over["because"] == "pull 0.25 times 0.8 over underlay less overhang 0.09 mm"
    assert (bare["value"], bare["because"]) == (0.16, "pull 0.25 less overhang 0.09 mm")
    assert over["sources"] == ["48 samples of 2026-11-25"]


def test_words_show_value_origin_numbered_sources_and_the_caution():
    lines = recipe("--height", "4", "--thread", "60", "--cloth", "pique").stdout.splitlines()
    text = "\n".join(lines)

    assert lines[0] == "60 wt at 4 mm on pique"
    assert "recipe, cloth: 0.35 mm (row of 4 mm) times 0.9 for pique [" in text
    assert "check cloth swallows: 4 mm, limit 5" in text
    assert "no published source" in text
    assert "trained operator" in lines[-1]
    for number in range(1, 8):
        assert text.count(f"  [{number}] ") == 1


def test_a_slip_is_one_line_with_the_nearest_right_name():
    result = recipe("--cloth", "piqe")

    assert result.exit_code == 1
    assert result.stderr.count("\n") == 1
    assert "--cloth is 'piqe'; did you mean 'pique'?" in result.stderr


def test_what_was_asked_for_needs_no_reason():
    made = settings_for(options={"spacing_mm": 0.4})

    assert "spacing_mm" not in reasons(made)
    assert "pull_mm" in reasons(made)
