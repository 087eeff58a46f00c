"""``pathgen compare``: ways paired, told apart, and held side by side on a page and in a table."""

import csv
import io
import json
import re
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner
from lxml import etree
from plot_cases import NS

from pathgen.advice.compare import compared, paired
from pathgen.cli import main
from pathgen.errors import SettingsError
from pathgen.legibility import read
from pathgen.pipeline import plan
from pathgen.writers.compare_page import compare_page
from pathgen.writers.compare_rows import conclusion, outcome_rows, ways_csv, ways_data, ways_named

DTD_FILES = sorted(Path("/usr/share/xml/w3c-sgml-lib").glob("**/REC-SVG11-20110816/svg11.dtd"))


def run(*args):
    return CliRunner().invoke(main, ["compare", *map(str, args)])


@pytest.fixture(scope="module")
def threads():
    return compared("Quay", [{"thread": "40"}, {"thread": "60"}], height_mm=4.0)


def test_values_pair_up_by_place_and_single_ones_hold_for_all():
    ways = paired({"thread": ["40", "60", "60"], "height_mm": [5.0, 3.0, 2.0], "cloth": ["felt"]})

    assert ways == (
        {"thread": "40", "height_mm": 5.0, "cloth": "felt"},
        {"thread": "60", "height_mm": 3.0, "cloth": "felt"},
        {"thread": "60", "height_mm": 2.0, "cloth": "felt"},
    )


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"thread": ["40"]}, "ways are 1; allowed 2 to 4"),
        ({}, "ways are 1; allowed 2 to 4"),
        ({"thread": ["40"] * 5}, "ways are 5; allowed 2 to 4"),
        ({"thread": ["40", "60"], "height_mm": [5.0, 4.0, 3.0]}, "thread 2, height 3"),
    ],
)
def test_ways_that_do_not_pair_up_are_refused(asked, said):
    with pytest.raises(SettingsError, match=said):
        paired(asked)


def test_figures_are_those_of_the_plans_planned_alone(threads):
    for way, weight in zip(threads, ("40", "60"), strict=True):
        alone = plan("Quay", thread=weight, height_mm=4.0)
        assert way.plan.whole == alone.whole
        assert way.plan.sew_s == alone.sew_s
        assert way.reading == read(alone)
        assert np.array_equal(way.plan.needles, alone.needles)


def test_finer_thread_takes_more_stitches_and_the_fewer_are_marked(threads):
    """60 wt at tight spacing needs more stitches than 40 wt: common practice, no source."""
    rows = {row.name: row for row in outcome_rows(threads)}
    coarse, fine = (way.plan.whole.stitches for way in threads)

    assert fine > coarse
    assert rows["stitches"].values == (str(coarse), str(fine))
    assert rows["stitches"].best == (True, False)


def test_a_row_without_a_difference_marks_none():
    same = compared("I", [{"ligatures": False}, {"tracking_mm": 1.0}])

    assert not any(any(row.best) for row in outcome_rows(same))


def test_values_that_are_shown_alike_are_marked_alike():
    """Margins of 60 wt at these spacings differ in the fourth decimal; three are shown."""
    how = {"thread": "60", "height_mm": 3.0, "cloth": "pique"}
    ways = compared("since 1974", [{"spacing_mm": s} for s in (0.35, 0.4, 0.45)], **how)
    margins = {way.reading.worst.margin for way in ways}
    assert len(margins) > len({f"{margin:.3f}" for margin in margins})
    for row in outcome_rows(ways):
        best = {value for value, marked in zip(row.values, row.best, strict=True) if marked}
        rest = {value for value, marked in zip(row.values, row.best, strict=True) if not marked}
        assert not best & rest, row.name


def test_40_or_60_weight_at_3_mm_is_answered_as_the_trade_does():
    """40 wt at 3 mm is not to be tried, 60 wt is: common practice, no published source."""
    ways = compared("Harbour", [{"thread": "40"}, {"thread": "60"}], height_mm=3.0)
    said = conclusion(ways)

    assert said.startswith("60 wt comes out best: ")
    assert "40 wt comes after it: " in said
    assert "to stop" in said.split("40 wt")[1]


def test_ways_are_called_by_what_was_asked_for_and_differs():
    def named(*asked):
        return ways_named([plan("I", **ask) for ask in asked])

    assert named({"thread": "40"}, {"thread": "60"}) == ("40 wt", "60 wt")
    assert named({"thread": "40", "height_mm": 5.0}, {"thread": "60", "height_mm": 3.0}) == (
        "40 wt, 5 mm",
        "60 wt, 3 mm",
    )
    assert named({"cloth": "pique"}, {"cloth": "felt"}) == ("on pique", "on felt")
    assert named({"face": "tholepin"}, {}) == ("Tholepin", "Fairlead Plain")
    assert named({}, {}) == ("way (1)", "way (2)")


def test_table_has_one_row_a_way_and_the_json_says_the_same(threads):
    rows = list(csv.DictReader(io.StringIO(ways_csv(threads).decode("utf-8"), newline="")))
    data = ways_data(threads, [])

    assert [row["way"] for row in rows] == ["40 wt", "60 wt"]
    for row, way, plain in zip(rows, threads, data["ways"], strict=True):
        assert int(row["stitches"]) == plain["stitches"] == way.plan.whole.stitches
        assert float(row["sew_s"]) == plain["sew_s"] == pytest.approx(way.plan.sew_s, abs=5e-4)
        assert row["verdict"] == plain["verdict"] == way.reading.verdict.word
    assert json.loads(json.dumps(data, allow_nan=False)) == data


def test_a_short_text_is_drawn_larger_with_its_true_size_beside_it():
    """An A4 sheet has room for 273 mm: ten letters of 3 mm, about 17 mm long, need no row below."""
    ways = compared(["est. 1974"], paired({"thread": ("40", "60"), "height_mm": (3.0,)}))
    page = compare_page(ways)
    tree = etree.fromstring(page.encode())

    scale = int(re.search(r"drawn (\d+) times sewn size", page)[1])
    (x, y), (x2, y2) = (
        map(float, re.search(r"translate\(([\d.]+) ([\d.]+)\)", group.get("transform")).groups())
        for group in (tree.find(f".//s:g[@id='{tag}-true-size-lettering']", NS) for tag in "AB")
    )
    assert scale >= 7
    assert x > 20.0 * scale
    assert x2 > 20.0 * scale
    assert y2 - y > 3.0 * scale


@pytest.mark.skipif(not DTD_FILES, reason="w3c-sgml-lib is not installed")
def test_page_is_valid_svg_1_1_with_all_ways_enlarged_and_at_true_size(threads):
    tree = etree.fromstring(compare_page(threads).encode())
    dtd = etree.DTD(str(DTD_FILES[0]))
    ids = [e.get("id") for e in tree.iter() if e.get("id")]

    assert dtd.validate(tree), dtd.error_log.filter_from_errors()
    assert len(ids) == len(set(ids))
    for tag in "AB":
        scale = tree.find(f".//s:g[@id='{tag}-lettering']", NS).get("transform")
        assert "scale(" in scale
        true = tree.find(f".//s:g[@id='{tag}-true-size-lettering']", NS)
        assert "scale(" not in true.get("transform")
        drawn = [float(p.get("stroke-width")) for p in true.iterfind(".//s:path", NS)]
        assert drawn  # as thread: lines as wide as it shows, well under a millimetre
        assert all(0.05 < width < 1.0 for width in drawn)


def test_page_draws_all_ways_at_one_scale():
    ways = compared("Quay", [{"height_mm": 6.0}, {"height_mm": 4.0}], thread="40")
    tree = etree.fromstring(compare_page(ways).encode())
    scales = {
        tree.find(f".//s:g[@id='{tag}-lettering']", NS).get("transform").split("scale")[1]
        for tag in "AB"
    }

    assert len(scales) == 1


@pytest.mark.parametrize("ways", [2, 3, 4])
@pytest.mark.parametrize("text", ["I", "Harbour Bakery, Chandlery and Net Loft of the harbour"])
def test_words_of_the_page_stay_on_it(ways, text):
    made = compared(text, [{"thread": "60", "height_mm": 2.0 + n} for n in range(ways)])
    tree = etree.fromstring(compare_page(made).encode())
    width, height = (float(tree.get(side)[:-2]) for side in ("width", "height"))

    for word in tree.iterfind(".//s:text", NS):
        assert 0.0 < float(word.get("x")) < width
        assert 0.0 < float(word.get("y")) < height


def test_command_writes_both_files_and_prints_the_table(tmp_path):
    result = run("Quay", "--thread", 40, "--thread", 60, "--height", 4, "--out", tmp_path)

    assert result.exit_code == 0
    assert sorted(p.name for p in tmp_path.iterdir()) == ["quay.compare.csv", "quay.compare.svg"]
    for name in ("stitches", "time", "thread", "trims", "narrowest column", "crowding", "reads"):
        assert f"\n  {name}" in result.stdout
    assert "comes out best" in result.stdout
    assert "trained operator" in result.stdout


def test_json_is_all_that_is_printed(tmp_path):
    result = run("I", "--cloth", "felt", "--cloth", "twill", "--json", "--out", tmp_path)

    assert [way["way"] for way in json.loads(result.stdout)["ways"]] == ["on felt", "on twill"]


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (("Quay", "--thread", "40"), "ways are 1; allowed 2 to 4"),
        (("Quay", "--thread", "40", "--thread", "40"), "ways 1 and 2 are sewn the same;"),
        (
            ("Quay", "--height", "4", "--height", "5", "--height", "4mm", "--thread", "60"),
            "ways 1 and 3 are sewn the same; give an option another value in each",
        ),
        (("Quay", "--thread", "40", "--thread", "50"), "--thread is '50'"),
        (("Quay", "--height", "5", "--height", "400"), "--height is 400; allowed"),
        ((" ", "--thread", "40", "--thread", "60"), "text is empty"),
    ],
)
def test_bad_input_is_one_line_and_no_file(tmp_path, args, said):
    result = run(*args, "--out", tmp_path / "out")

    assert result.exit_code == 1
    assert result.stderr.count("\n") == 1
    assert said in result.stderr
    assert not (tmp_path / "out").exists()
