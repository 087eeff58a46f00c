"""What the summary says of the room there is: on paper, and in the sewing field."""

import json
from dataclasses import replace

import pytest
from click.testing import CliRunner
from plan_specimen import specimen

from pathgen.cli import main
from pathgen.lines import SewingField
from pathgen.review.field import outside_field
from pathgen.writers.field_words import field_data, field_said
from pathgen.writers.paper import on_paper
from pathgen.writers.setting_rows import setting_rows
from pathgen.writers.summary import summary_data, summary_rows


def fitted(**sides):
    """The specimen in a field, with the finding that belongs to it."""
    field = SewingField(name="cap front", origin="job file", **sides)
    plan = specimen(("ITO",))
    found = tuple(outside_field(plan.needles, field))
    return replace(plan, field=field, findings=(*found, *plan.findings))


def size_of(plan):
    x, y = plan.needles["x_mm"], plan.needles["y_mm"]
    return float(x.max() - x.min()), float(y.max() - y.min())


def test_the_room_to_spare_is_told_for_each_side():
    wide, high = size_of(specimen(("ITO",)))
    plan = fitted(width_mm=wide + 6.0, height_mm=high + 2.0)

    said = field_said(plan)

    assert said.startswith("fits cap front, ")
    assert said.endswith(": 3.0 mm to spare left and right, 1.0 mm above and below")
    assert ("field", said) in summary_rows(plan)
    assert summary_data(plan, [])["field"]["fits"] is True
    assert field_data(plan)["spare_mm"] == [6.0, 2.0]


@pytest.mark.parametrize(
    ("wider", "higher", "said"),
    [(-1.5, 3.0, "1.5 mm too wide"), (-1.5, -0.5, "1.5 mm too wide and 0.5 mm too high")],
)
def test_what_is_too_much_is_told_with_the_finding(wider, higher, said):
    wide, high = size_of(specimen(("ITO",)))
    plan = fitted(width_mm=wide + wider, height_mm=high + higher)

    assert field_said(plan).startswith("does not fit cap front, ")
    assert field_said(plan).endswith(f": {said}")
    assert "outside-field" in [finding.code for finding in plan.findings]
    assert summary_data(plan, [])["field"]["fits"] is False


def test_a_round_field_has_one_measure():
    """No corner of a box lies farther from its middle than half its diagonal."""
    wide, high = size_of(specimen(("ITO",)))
    across = (wide**2 + high**2) ** 0.5 + 4.0
    plan = fitted(width_mm=across, height_mm=across, is_round=True)

    spare = field_data(plan)["spare_mm"]

    assert len(spare) == 1
    assert spare[0] >= 4.0 - 0.001
    assert field_said(plan).endswith(f" mm across: {spare[0] / 2.0:.1f} mm to spare all round")


def test_without_a_field_nothing_is_said():
    plan = specimen(("ITO",))

    assert field_said(plan) == ""
    assert "field" not in dict(summary_rows(plan))
    assert "field" not in summary_data(plan, [])
    assert "field" not in [row.name for row in setting_rows(plan)]


def test_the_plot_names_the_field_and_its_size():
    plan = fitted(width_mm=90.0, height_mm=60.0)

    assert ("field", "cap front, 90 x 60 mm", "job file") in setting_rows(plan)


@pytest.mark.parametrize(
    ("width", "height", "said"),
    [
        ("297mm", "210mm", ""),  # A4 lying (ISO 216)
        ("279.4mm", "215.9mm", ""),  # Letter lying (8.5 by 11 in)
        ("420mm", "297mm", "420 x 297 mm; --page-size a4 or letter makes sheets of it"),
        ("210mm", "300mm", "210 x 300 mm; --page-size a4 or letter makes sheets of it"),
    ],
)
def test_pages_beyond_an_office_printer_are_told(tmp_path, width, height, said):
    file = tmp_path / "plot.svg"
    file.write_text(f'<?xml version="1.0"?>\n<svg height="{height}" width="{width}"></svg>')

    assert on_paper(file, specimen(("ITO",))) == said


def test_no_sheets_are_proposed_for_what_they_refuse(tmp_path):
    """Rows of 20 mm and more, 7 mm apart: seven of them are higher than A4 holds at sewn size."""
    heights = ",".join(f"{20 + n / 10:g}" for n in range(7))
    asked = ["panel", "I", "--heights", heights, "--threads", "40", "--out", str(tmp_path)]

    whole = CliRunner().invoke(main, asked)
    sheets = CliRunner().invoke(main, [*asked, "--page-size", "a4"])

    assert "too high for sheets" in whole.output
    assert "does not fit that sheet" in sheets.output


def test_a_large_plot_says_so_and_its_sheets_do_not(tmp_path):
    asked = ["panel", "Quay", "--heights", "6,5,4", "--out", str(tmp_path)]

    whole = CliRunner().invoke(main, asked)
    sheets = CliRunner().invoke(main, [*asked, "--page-size", "a4"])

    assert (whole.exit_code, sheets.exit_code) == (0, 0)
    assert "on paper" in whole.output
    assert "on paper" not in sheets.output


@pytest.mark.parametrize(
    ("typed", "limits_mm"),
    [
        ("75x30mm", [75.0, 30.0]),
        ("75 x 30", [75.0, 30.0]),
        ("7.5X3cm", [75.0, 30.0]),
        ("3inx20mm", [76.2, 20.0]),  # 1 in = 25.4 mm
        ("100", [100.0]),
    ],
)
def test_a_field_is_typed_as_its_sides_or_the_diameter_of_a_round_one(tmp_path, typed, limits_mm):
    asked = ["plot", "I", "--field", typed, "--json", "--out", str(tmp_path)]
    data = json.loads(CliRunner().invoke(main, asked).stdout)

    assert data["field"]["limits_mm"] == pytest.approx(limits_mm)


@pytest.mark.parametrize(
    "typed", ["75x", "x30", "75x30x2", "75,5x30", "75x30ml", "wide", "", "nan"]
)
def test_a_field_that_is_none_is_refused_by_its_option(tmp_path, typed):
    result = CliRunner().invoke(main, ["plot", "I", "--field", typed, "--out", str(tmp_path)])

    assert result.exit_code == 1
    assert result.output == (
        f"pathgen: --field is {typed!r}; write width and height, as 75x30mm, or one diameter\n"
    )


@pytest.mark.parametrize("typed", ["0.5x30", "2001"])
def test_a_field_beyond_what_a_job_may_ask_is_refused(tmp_path, typed):
    result = CliRunner().invoke(main, ["plot", "I", "--field", typed, "--out", str(tmp_path)])

    assert result.output == f"pathgen: --field is {typed!r}; allowed 1 to 2000 mm\n"


def test_the_field_of_an_option_goes_before_that_of_the_job(tmp_path):
    job = tmp_path / "apron.toml"
    job.write_text('[field]\nwidth_mm = 90\nheight_mm = 60\n[[line]]\ntext = "I"\n')
    asked = ["plot", str(job), "--out", str(tmp_path), "--json"]
    own, typed = (
        json.loads(CliRunner().invoke(main, [*asked, *more]).stdout)["field"]
        for more in ([], ["--field", "40x20"])
    )

    assert (own["limits_mm"], typed["limits_mm"]) == ([90.0, 60.0], [40.0, 20.0])


def test_names_that_do_not_fit_a_typed_field_are_told(tmp_path):
    """At 8 mm "I" is narrower than 12 mm, and "MMMM" is wider."""
    table = tmp_path / "crew.csv"
    table.write_text("name\nI\nMMMM\n")
    asked = ["names", str(table), "--height", "8", "--field", "12x12", "--json", "--counts-only"]
    result = CliRunner().invoke(main, [*asked, "--out", str(tmp_path / "out")])

    assert json.loads(result.stdout)["stops"] == [3]
