"""The smallest height that reads, with its proof, and the settings that read best."""

import json

import pytest
from click.testing import CliRunner
from lxml import etree
from outside import font_file, svg_dtd

from pathgen import Verdict, plan, read
from pathgen.advice.smallest import smallest_height
from pathgen.advice.trying import Trying, choices
from pathgen.advice.tuning import tuned
from pathgen.cli import main
from pathgen.shop.recipes import settings_for, settings_range

TEXT = "Harbour Net"


def settings_of(one):
    return {"spacing_mm": one.spacing_mm, "pull_mm": one.pull_mm, "underlay": one.underlay}


@pytest.mark.parametrize(("thread", "face"), [("40", None), ("60", "tholepin")])
def test_the_height_found_reads_and_no_choice_reads_one_tenth_lower(thread, face):
    """Both are planned anew, whole, outside the search."""
    trying = Trying([TEXT], face=face, asked={"thread": thread})
    found = smallest_height(trying)

    for least in (found.well, found.still):
        one = least.passes
        made = plan(TEXT, face=face, thread=thread, height_mm=one.height_mm, **settings_of(one))
        assert read(made).verdict >= least.verdict
        lower = round(one.height_mm - 0.1, 1)
        assert least.fails.height_mm == lower
        for changes in choices(trying, lower):
            made = plan(TEXT, face=face, thread=thread, height_mm=lower, **changes)
            assert read(made).verdict < least.verdict


def test_heights_found_are_in_the_trades_order():
    """60 wt reads smaller than 40 wt, and what still reads is no larger than what reads well;
    common practice sews 40 wt down to 4 mm and 60 wt down to 2 mm."""
    heavy = smallest_height(Trying([TEXT], asked={"thread": "40"}))
    fine = smallest_height(Trying([TEXT], asked={"thread": "60"}))

    assert heavy.still.passes.height_mm < heavy.well.passes.height_mm
    assert fine.still.passes.height_mm < fine.well.passes.height_mm
    assert fine.well.passes.height_mm < heavy.still.passes.height_mm
    assert 3.0 < heavy.well.passes.height_mm <= 4.0
    assert fine.still.passes.height_mm <= 2.0


def test_letters_that_limit_are_named_the_worst_first():
    limited = smallest_height(Trying(["ocean"])).still.limited_by

    assert limited
    assert [r.verdict for r in limited] == sorted(r.verdict for r in limited)
    assert len({r.text for r in limited}) == len(limited)


def test_what_helps_is_told_only_where_it_helps():
    others = [
        ("finer", Trying([TEXT], asked={"thread": "60"})),
        ("heavier", Trying([TEXT], asked={"thread": "30"})),
    ]
    found = smallest_height(Trying([TEXT], asked={"thread": "40"}), others)

    assert [row.change for row in found.helps] == ["finer"]
    assert found.helps[0].height_mm < found.well.passes.height_mm


def test_what_is_asked_for_is_not_searched():
    trying = Trying([TEXT], asked={"spacing_mm": 0.5, "underlay": "centre-run"})
    tried = list(choices(trying, 4.0))

    assert tried[0] == {}
    assert all(set(changes) <= {"pull_mm"} for changes in tried)


def test_choices_stay_within_what_the_recipe_allows():
    """Rows of 40 wt: spacing 0.40 to 0.60, allowance 0.20; a tenth more or less, half of it."""
    assert settings_range(settings_for(thread="40")) == ((0.36, 0.66), (0.1, 0.2))


def test_letters_that_join_their_neighbours_are_judged_in_company():
    """Arabic letters take the forms that their neighbours ask for (Unicode, chapter 9)."""
    trying = Trying(["سلام"], face=font_file("DejaVuSans.ttf"))

    assert (
        trying.at(8.0).reading.letters
        == read(plan("سلام", face=font_file("DejaVuSans.ttf"), height_mm=8.0)).letters
    )


def test_single_letters_tell_what_the_whole_text_tells():
    trying = Trying(["anna oak"])
    alone, whole = trying.at(4.0), trying.sure(4.0)[0]

    assert [r.text for r in alone.reading.letters] == list("annaoak")
    assert alone.reading.likeness == pytest.approx(whole.reading.likeness, abs=0.01)
    assert alone.reading.verdict is whole.reading.verdict
    assert alone.stitches == pytest.approx(whole.stitches, rel=0.15)


def test_each_height_and_each_setting_is_told_before_it_is_tried():
    heights, steps = [], []
    trying = Trying(["ocean"], tell=heights.append)
    trying.at(4.0)
    trying.at(4.0)  # known by now
    trying.at(3.5)
    found = tuned(trying, 5.0, lambda done, count: steps.append((done, count)))

    assert heights[:2] == [4.0, 3.5]
    assert set(heights[2:]) == {5.0}
    assert steps == [(n, len(found.tried)) for n in range(len(found.tried))]


def test_best_settings_are_at_least_as_good_as_the_recipes():
    found = tuned(Trying(["ocean"]), 3.6)

    assert found.best.reading.verdict >= found.recipe.reading.verdict
    assert found.best.reading.likeness >= found.recipe.reading.likeness - 0.004


def test_front_rises_and_nothing_beats_it():
    found = tuned(Trying(["ocean"]), 5.0)
    pairs = [(one.stitches, one.reading.likeness) for one in found.front]

    assert pairs == sorted(pairs)
    assert [likeness for _, likeness in pairs] == sorted(likeness for _, likeness in pairs)
    for stitches, likeness in pairs:
        assert not any(
            t.stitches <= stitches and t.reading.likeness > likeness for t in found.tried
        )


def test_commands_answer_in_words_and_as_data(tmp_path):
    words = CliRunner().invoke(main, ["smallest", "Net", "--thread", "60"])
    data = json.loads(
        CliRunner().invoke(main, ["smallest", "Net", "--thread", "60", "--json"]).stdout
    )
    answer = data["answers"][0]

    assert words.exit_code == 0, words.output
    assert f"from {answer['reads_well']['height_mm']:.1f} mm" in words.stdout
    assert answer["reads_well"]["fails_at_mm"] < answer["reads_well"]["height_mm"]
    assert "eye protection" in words.stdout


def test_settings_command_writes_a_valid_plot(tmp_path):
    args = ["settings", "Net", "--height", "4", "--out", str(tmp_path)]
    result = CliRunner().invoke(main, args)
    root = etree.fromstring((tmp_path / "net.settings.svg").read_bytes())
    dtd = etree.DTD(str(svg_dtd()))

    assert result.exit_code == 0, result.output
    assert "recipe" in result.stdout
    assert dtd.validate(root), dtd.error_log


def test_one_choice_alone_is_plotted_too(tmp_path):
    given = ["--spacing", "0.5", "--allowance", "0.2", "--underlay", "none"]
    args = ["settings", "Net", "--height", "4", *given, "--out", str(tmp_path), "--json"]
    data = json.loads(CliRunner().invoke(main, args).stdout)

    assert data["tried"] == 1
    assert data["best"] == data["recipe"]
    assert "NaN" not in (tmp_path / "net.settings.svg").read_text().replace("nan", "NaN")


def test_bad_input_is_one_line(tmp_path):
    for args in (["smallest", "Net", "--thread", "zz"], ["settings", " ", "--height", "4"]):
        result = CliRunner().invoke(main, args)
        assert result.exit_code == 1
        assert result.stderr.count("\n") == 1


def test_no_height_is_told_where_none_is_enough():
    """A hairline as spacing: the ground between threads 2 mm apart is never covered."""
    found = smallest_height(Trying(["ox"], asked={"spacing_mm": 2.0}))

    assert found.well.passes is None or found.well.passes.height_mm > 4.0
    assert Verdict.READS_WELL is found.well.verdict
