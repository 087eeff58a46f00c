"""The summary, on a terminal and as data."""

import json
import math
from dataclasses import replace

import pytest
from plan_specimen import specimen

from pathgen.lines import AskedLine
from pathgen.model import Finding, Level
from pathgen.pipeline import plan, plan_lines
from pathgen.writers.summary import MOST_FINDINGS_SHOWN, summary_data, summary_lines, summary_rows
from pathgen.writers.wording import amount, duration, finding_groups


def told(plan, files=()):
    return "\n".join(summary_lines(plan, files))


def test_summary_tells_the_weightiest_figures():
    plan = specimen(("TITO OTTO",))

    text = told(plan, ["out/tito-otto.svg", "out/tito-otto.needles.csv"])

    assert text.startswith("TITO OTTO\n")
    assert f"{plan.whole.stitches}: " in text
    assert f"trims     {plan.whole.trims}\n" in text
    assert "8 in 12 columns" in text  # four T of two columns, one I, three O
    assert "capitals 5 mm" in text
    assert "out/tito-otto.svg\n" in text


def test_parts_are_told_most_stitches_first():
    line = next(line for line in summary_lines(specimen(("TOTO",)), ()) if "stitches  " in line)

    counts = [int(word.rstrip(",")) for word in line.split(":")[1].split() if word[0].isdigit()]

    assert counts == sorted(counts, reverse=True)
    assert len(counts) == 5


def test_size_is_that_between_outermost_needle_points():
    """An I of 5 mm: 0.8 mm wide, with 0.2 mm allowance on each side 1.2 mm."""
    plan = specimen(("I",), findings=())

    assert "1.2 x 5.0 mm" in told(plan)
    assert summary_data(plan, ())["width_mm"] == pytest.approx(1.2)


def test_last_line_is_the_caution():
    last = summary_lines(specimen(), ["a.svg"])[-1]

    for word in ("estimate", "eye protection", "broken needle parts", "manual", "operator"):
        assert word in last
    assert "\n" not in last


def test_gravest_finding_comes_first_and_equal_ones_are_told_once():
    lines = summary_lines(specimen(("TITO",)), ())

    found = [line.split()[0] for line in lines if line.startswith("    ")]

    assert found == ["stop", "check", "note"]
    assert any("4 places, in T I O" in line for line in lines)


def test_further_kinds_of_findings_are_named_not_hidden():
    findings = [
        Finding(code=f"kind-{k}", level=Level.CHECK, at_mm=(0, 0), measured=1.0, limit=2.0)
        for k in range(MOST_FINDINGS_SHOWN + 3)
    ]

    text = told(specimen(findings=findings))

    assert "and, on the plot: kind 3, kind 4, kind 5" in text
    assert f"{MOST_FINDINGS_SHOWN + 3} check" in text


def test_data_has_the_worst_three_and_the_most_crowded_place():
    made = plan("Harbour Bakery", height_mm=2.0)
    data = summary_data(made, [])
    row = int((made.crowding.per_mm2 / made.crowding.limit_per_mm2).argmax())

    assert [f["level"] for f in data["worst"]] == ["stop", "stop", "check"]
    assert data["worst"][0]["code"] == "below-recipe"
    assert data["crowding"]["most_per_mm2"] == round(float(made.crowding.per_mm2[row]), 3)
    assert data["crowding"]["at_mm"] == [
        round(float(made.needles[k][row]), 3) for k in ("x_mm", "y_mm")
    ]


def test_narrowest_column_is_told_with_its_allowance():
    """Stems of Fairlead Plain are 0.1 of the em, 0.7 em the capitals: 0.714 + 2 x 0.2 at 5 mm."""
    data = summary_data(plan("I", height_mm=5.0), [])

    assert data["narrowest_mm"] == pytest.approx(5.0 / 7.0 + 0.4, abs=0.02)


def test_no_finding_is_said():
    assert "findings  none" in told(specimen(findings=()))


def test_text_cannot_steer_the_terminal():
    plan = replace(specimen(), lines=("A\x1b[31mB",))

    assert "\x1b" not in told(plan)


def test_crowding_is_told_with_the_needle_of_the_line_where_it_is_worst():
    """75/11 makes larger holes than 65/9, and twill bears fewer of them: 8 in the blade's disc."""
    lines = [
        AskedLine(text="I", asked={"height_mm": 6.0, "thread": "40"}),
        AskedLine(text="mening", asked={"height_mm": 2.0, "thread": "60"}),
    ]
    said = dict(summary_rows(plan_lines(lines)))["crowding"]

    assert said.endswith("needle 65/9")
    assert f" of {8 / (math.pi * 0.65**2 / 4):.1f}/mm2" in said


def test_data_is_plain_json_with_sorted_keys():
    data = summary_data(specimen(("TITO", "OT")), ["b.csv", "a.svg"])

    text = json.dumps(data, allow_nan=False)

    assert text == json.dumps(data, allow_nan=False, sort_keys=True)
    assert json.loads(text) == data
    assert data["files"] == ["b.csv", "a.svg"]


def test_data_counts_agree_with_the_plan():
    plan = specimen(("TITO",))

    data = summary_data(plan, ())

    assert data["stitches"] == len(plan.needles) == sum(data["stitches_by_part"].values())
    assert sum(data["finding_counts"].values()) == len(data["findings"]) == len(plan.findings)


def test_every_setting_tells_where_it_came_from():
    data = summary_data(specimen(), ())["settings"]

    assert data["height_mm"] == {"origin": "option", "value": 5.0}
    assert data["spacing_mm"] == {"origin": "recipe", "value": 0.5}
    assert data["run_mm"]["origin"] == "default"


def test_what_is_no_number_is_null_in_the_data():
    finding = Finding(code="odd", level=Level.NOTE, at_mm=(0, 0), measured=math.nan, limit=1.0)

    data = summary_data(specimen(findings=[finding]), ())

    assert data["findings"][0]["measured"] is None


def test_a_gap_that_is_less_than_none_is_told_as_an_overlap():
    """0.2 mm wanted apart; one pair of letters lies 0.31 mm over the other."""
    finding = Finding(
        code="letters-touching", level=Level.NOTE, at_mm=(0.0, 0.0), line=1, letter=1,
        measured=-0.31, limit=0.2, advice="add letter spacing",
    )  # fmt: skip

    text = told(specimen(("TO",), findings=(finding,)))

    assert "letters touching: 0.31 mm overlap, limit 0.2 mm apart; in T; add letter spacing" in text


def test_group_shows_its_worst_member():
    findings = [
        Finding(code="narrow", level=Level.CHECK, at_mm=(0, 0), measured=m, limit=0.8)
        for m in (0.7, 0.4, 0.6)
    ]

    (group,) = finding_groups(specimen(findings=findings))

    assert group.worst.measured == 0.4
    assert group.figures == "0.4 mm, limit 0.8 mm"


@pytest.mark.parametrize(
    ("seconds", "words"), [(0.0, "0 s"), (59.4, "59 s"), (59.6, "1.0 min"), (150.0, "2.5 min")]
)
def test_duration(seconds, words):
    assert duration(seconds) == words


def test_amount_has_no_trailing_zeros():
    assert [amount(v) for v in (5.0, 0.25, 10.0, -0.0)] == ["5 mm", "0.25 mm", "10 mm", "0 mm"]
