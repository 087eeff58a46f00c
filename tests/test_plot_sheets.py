"""The plot on sheets of A4 or Letter, as an office printer takes them."""

import json

import pytest
from click.testing import CliRunner
from plan_specimen import specimen
from plot_cases import CASES, NS, case, sheets_of, text_boxes, windows

from pathgen.cli import main
from pathgen.errors import SettingsError
from pathgen.writers.plot_sheets import page_size
from pathgen.writers.plot_svg import plot_sheets

SIZES_MM = {"a4": (297.0, 210.0), "letter": (11 * 25.4, 8.5 * 25.4)}
"""ISO 216 A4 and ANSI/ASME Y14.1 size A, lying."""

FITTING = [name for name in CASES if name not in ("huge",)]
WORDS = ("head", "stretches", "dimensions", "rulers", "legend", "settings", "findings-key")


def place(tree):
    width, height = (float(v) for v in tree.get("viewBox").split()[2:])
    return width, height


@pytest.mark.parametrize("size", SIZES_MM)
@pytest.mark.parametrize("name", FITTING)
def test_every_sheet_has_the_asked_size_in_mm(name, size):
    for tree in sheets_of(case(name), size):
        width, height = SIZES_MM[size]
        assert float(tree.get("width").removesuffix("mm")) == pytest.approx(width, abs=0.001)
        assert float(tree.get("height").removesuffix("mm")) == pytest.approx(height, abs=0.001)


@pytest.mark.parametrize("name", FITTING)
def test_every_needle_point_is_seen_on_some_sheet(name):
    plan = case(name)
    seen = [w for tree in sheets_of(plan, "a4") if drawn(tree) for w in windows(tree)]

    for x, y in zip(plan.needles["x_mm"], plan.needles["y_mm"], strict=True):
        places = [w.place(x, y) for w in seen if w.shows(*w.place(x, y))]
        assert places
        assert all(0.0 < a < 297.0 and 0.0 < b < 210.0 for a, b in places)


def drawn(tree):
    return tree.find(".//s:g[@id='lettering']", NS) is not None


@pytest.mark.parametrize("name", FITTING)
def test_words_stay_on_the_sheet_and_off_one_another(name):
    for tree in sheets_of(case(name), "a4"):
        fixed = [box for group in (*WORDS, "caution") for box in text_boxes(tree, group)]
        movable = text_boxes(tree, "sewing-order") + text_boxes(tree, "findings")
        for index, box in enumerate(fixed):
            assert box[0] >= 0.0
            assert box[2] <= 297.0
            assert box[1] >= 0.0
            assert box[3] <= 210.0
            for other in fixed[:index] + movable:
                apart = (
                    box[2] <= other[0]
                    or other[2] <= box[0]
                    or box[3] <= other[1]
                    or other[3] <= box[1]
                )
                assert apart, (box, other)


def test_sheets_say_which_they_are_and_that_they_are_printed_at_full_size():
    trees = sheets_of(case("sixty letters"), "a4")
    said = [
        next(t.text for t in tree.iterfind(".//s:text", NS) if "print at" in (t.text or ""))
        for tree in trees
    ]

    assert len(trees) > 1
    for number, note in enumerate(said, start=1):
        assert note.startswith(f"Sheet {number} of {len(trees)}: part")
        assert note.endswith("print at 100 %")


def test_a_short_text_takes_one_sheet_without_a_note():
    (tree,) = sheets_of(specimen(("TITO",)), "a4")

    assert not any("Sheet" in (t.text or "") for t in tree.iterfind(".//s:text", NS))


def test_notes_stand_on_one_sheet_and_the_caution_on_all():
    for name in ("sixty letters", "three lines", "many findings"):
        trees = sheets_of(case(name), "a4")

        assert sum(tree.find(".//s:g[@id='notes']", NS) is not None for tree in trees) == 1
        assert all(tree.find(".//s:g[@id='caution']", NS) is not None for tree in trees)


def test_findings_without_room_are_counted():
    trees = sheets_of(case("many findings"), "a4")
    key = [t.text for tree in trees for t in tree.iterfind(".//s:g[@id='findings-key']/s:text", NS)]
    named = [text for text in key if ": kind " in text]

    assert 0 < len(named) < 30
    assert f"and {30 - len(named)} more kinds: see the plot of one page" in key


def test_all_numbers_of_the_sewing_order_are_there_once():
    plan = specimen(("TITO" * 15,), findings=())
    numbers = []
    for tree in sheets_of(plan, "a4"):
        groups = tree.findall(".//s:g[@id='sewing-order']/s:g", NS)
        numbers += [int(t.text) for t in groups[-1].iterfind("s:text", NS)]

    columns = sum(len(letter.columns) for letter in plan.letters)
    assert numbers == list(range(1, columns + 1))


def test_what_is_too_high_for_the_sheet_is_refused():
    """Three lines of 100 mm are higher than A4 lying, 210 mm."""
    with pytest.raises(SettingsError, match="does not fit that sheet at sewn size"):
        plot_sheets(specimen(("T", "I", "O"), height_mm=100.0), "a4")


def test_an_unknown_size_is_refused_with_those_there_are():
    with pytest.raises(SettingsError, match="page_size is 'a44'; choose a4 or letter; did you"):
        page_size("a44")


def test_command_writes_further_sheets_beside_the_first(tmp_path):
    args = ["plot", "Harbour Bakery of the Old Customs Quay", "--name", "sign", "--json"]
    result = CliRunner().invoke(main, [*args, "--page-size", "a4", "--out", str(tmp_path)])
    files = [path.rsplit("/", 1)[1] for path in json.loads(result.stdout)["files"]]

    assert files[:2] == ["sign.svg", "sign.sheet-2.svg"]
    assert sorted(files) == sorted(p.name for p in tmp_path.iterdir())
