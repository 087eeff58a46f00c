"""Job files: what they say is planned, and what they get wrong is told where it stands."""

import json
import re
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner
from outside import font_file

from pathgen import Level, SettingsError, TextError
from pathgen.cli import main
from pathgen.lettering.text import MOST_LINES
from pathgen.lines import SewingField
from pathgen.orders.filling import fields_in, filled
from pathgen.orders.job import plan_job, read_job

README = (Path(__file__).parents[1] / "README.md").read_text(encoding="utf-8")
APRON = re.search(r"```toml\n(title.*?)```", README, re.DOTALL)[1]
ROW = {"First": "Ada", "last": "Lowe"}


def run(*args):
    return CliRunner().invoke(main, [str(a) for a in args])


@pytest.fixture
def job(tmp_path):
    """A job file with some of its text changed."""

    def made(*changes, text=APRON, name="apron.toml"):
        for old, new in changes:
            assert old in text
            text = text.replace(old, new)
        (tmp_path / name).write_text(text, encoding="utf-8")
        return tmp_path / name

    return made


def test_the_job_of_the_readme_is_planned_as_it_says(job):
    made = plan_job(read_job(job()), ROW)

    assert made.lines == ("Harbour Bakery", "bread & hotcakes", "Ada Lowe")
    assert [line.settings.height_mm for line in made.by_line] == [6.0, 3.0, 5.0]
    faces = [line.face.name for line in made.by_line]
    assert faces == ["Fairlead Plain", "Tholepin", "Fairlead Plain"]
    assert [thread.name for thread in made.threads] == ["40 wt, navy", "60 wt, crimson"]
    assert [line.thread for line in made.by_line] == [1, 2, 1]
    assert {line.settings.align for line in made.by_line} == {"centre"}
    assert not [f for f in made.findings if f.code == "outside-field"]


def test_the_command_of_the_readme_draws_it(job, tmp_path):
    (command,) = re.findall(r"pathgen (plot apron\.toml .*)", README)
    args = [str(job()) if word == "apron.toml" else word for word in command.split()]
    result = run(*args, "--json", "--out", tmp_path / "out")
    data = json.loads(result.stdout)

    assert result.exit_code == 0
    assert data["changes"] == 1
    assert [Path(f).suffix for f in data["files"]] == [".svg", ".csv", ".csv"]


def test_the_readme_lists_every_field():
    from pathgen.orders.job_schema import JOB_FIELDS

    table = README[README.index("| field | holds |") : README.index("## Faces")]
    names = {*JOB_FIELDS["line"].fields, *JOB_FIELDS["field"].fields, "title", "cloth", "shop"}

    assert {name for name in names if f"`{name}`" not in table} == set()


def test_options_go_before_the_job_and_each_value_tells_who_asked(job, tmp_path):
    args = ["--fill", "first=Ada", "--fill", "last=Lowe", "--thread", "60", "--json"]
    result = run("plot", job(), *args, "--out", tmp_path)
    data = json.loads(result.stdout)
    lines = [line["settings"] for line in data["line_settings"]]

    assert [s["thread"]["value"]["label"] for s in lines] == ["60 wt"] * 3
    assert {s["thread"]["origin"] for s in lines} == {"option"}
    assert {s["height_mm"]["origin"] for s in lines} == {"job file"}
    assert {s["spacing_mm"]["origin"] for s in lines} == {"recipe"}
    assert {s["run_mm"]["origin"] for s in lines} == {"default"}


def test_a_height_that_is_typed_takes_the_place_of_an_x_height(job):
    made = read_job(job(("height_mm = 3", "x_height_mm = 2")))

    assert "height_mm" not in made.lines[1].asked
    assert made.with_options({"height_mm": 4.0}).lines[1].asked["height_mm"] == 4.0
    assert "x_height_mm" not in made.with_options({"height_mm": 4.0}).lines[1].asked


def test_a_face_that_is_typed_takes_the_place_of_the_jobs_and_its_axes(job):
    made = read_job(job())

    axes = made.with_options({}, axes={"wght": 700.0}).lines
    faces = made.with_options({}, face="tholepin", axes={"wght": 700.0}).lines

    assert {line.axes["wght"] for line in axes} == {700.0}
    assert [line.face for line in axes] == [line.face for line in made.lines]
    assert {(line.face, line.axes["wght"]) for line in faces} == {("tholepin", 700.0)}
    assert made.with_options({}, face="tholepin").lines[0].axes == {}


def test_files_that_a_job_names_are_beside_it(job, tmp_path, monkeypatch):
    monkeypatch.chdir("/")
    (tmp_path / "sewn.ttf").write_bytes(font_file("DejaVuSans.ttf").read_bytes())
    (tmp_path / "ours.toml").write_text('[cloths."sail"]\nlike = "twill"\norigin = "ours"\n')
    path = job(
        ('cloth = "backed twill"', 'cloth = "sail"\nshop = ["ours.toml"]'),
        ('face = "tholepin"', 'face = "sewn.ttf"'),
    )
    made = read_job(path)

    assert plan_job(made, ROW).by_line[1].face.name.startswith("DejaVu Sans")
    assert plan_job(made, ROW).settings.cloth.name == "sail"
    assert {file.name for file in made.files} == {"apron.toml", "sewn.ttf", "ours.toml"}


WRONG = {
    "unknown field": (("height_mm = 5", "heigt_mm = 5"), 29, "did you mean 'height_mm'?"),
    "unknown table": (("[layout]", "[layuot]"), 9, "did you mean 'layout'?"),
    "setting out of range": (("height_mm = 3", "height_mm = 300"), 25, "height_mm is 300; allowed"),
    "default out of range": (("thread = 40", "thread = 40\npull_mm = 9"), 14, "pull_mm is 9; all"),
    "layout out of range": (('"centre"', '"middle"'), 10, "align is 'middle'; choose left, c"),
    "no number": (("height_mm = 3", "height_mm = '3'"), 25, "line[2].height_mm is '3'; write a"),
    "no such thread": (("thread = 60", "thread = 50"), 23, "thread is '50'; choose a weight"),
    "no such colour": (('"crimson"', '"crimsn"'), 24, "did you mean 'crimson'?"),
    "no such face": (('"tholepin"', '"tholpin"'), 22, "did you mean 'tholepin'?"),
    "no such cloth": (('"backed twill"', '"backed twil"'), 2, "did you mean 'backed twill'?"),
    "no text": (('text = "Harbour Bakery"\n', ""), 16, "line[1].text is missing"),
    "empty text": (('"Harbour Bakery"', '" "'), 17, "line[1].text is ' '; write the text in quo"),
    "open brace": (("{last}", "{last"), 28, "a brace at sign 9 stands alone"),
    "field without name": (("{last}", "{}"), 28, "write a field's name between the braces"),
    "half a field": (("height_mm = 60\n", ""), 4, "field needs width_mm and height_mm, or diam"),
    "field of nothing": (
        ("width_mm = 100", "width_mm = 0"),
        6,
        "field.width_mm is 0; allowed 1 to",
    ),
    "missing font": (('"tholepin"', '"gone.ttf"'), 22, "gone.ttf does not exist"),
}


@pytest.mark.parametrize("case", WRONG)
def test_a_mistake_is_told_with_file_line_and_rule(case, job):
    change, line, message = WRONG[case]
    path = job(change)
    with pytest.raises(SettingsError) as caught:
        read_job(path)
    told = str(caught.value)

    assert told.startswith(f"job file {path}, line {line}: ")
    assert message in told
    assert "\n" not in told


def test_more_lines_than_a_plan_may_have_are_refused(job):
    text = '[[line]]\ntext = "Quay"\n' * (MOST_LINES + 1)
    with pytest.raises(SettingsError, match=rf"has {MOST_LINES + 1} lines; allowed 1 to"):
        read_job(job(text=text))


def test_a_file_that_is_no_toml_is_refused_in_one_line(job, tmp_path):
    result = run("plot", job(text="[[line"), "--out", tmp_path / "out")

    assert result.exit_code == 1
    assert re.fullmatch(r"pathgen: job file .*apron\.toml is not TOML: .*\n", result.stderr)
    assert not (tmp_path / "out").exists()


def test_a_field_that_is_not_filled_is_named_with_the_nearest(job, tmp_path):
    result = run("plot", job(), "--fill", "frst=Ada", "--out", tmp_path / "out")

    assert result.exit_code == 1
    assert "asks for {first}, which is not given; did you mean 'frst'?" in result.stderr


def test_fill_needs_a_job_and_a_name(job, tmp_path):
    assert "it fills the texts of a job" in run("plot", "a", "--fill", "a=b").stderr
    assert "write a name and a value" in run("plot", job(), "--fill", "ab").stderr


def test_a_line_that_stays_empty_is_left_out(job):
    path = job(('text = "{first} {last}"', 'text = "{first}"'))

    assert plan_job(read_job(path), {"first": " "}).lines == ("Harbour Bakery", "bread & hotcakes")


def test_nothing_to_sew_is_refused(job):
    path = job(text='[[line]]\ntext = "{first}"\n')

    with pytest.raises(TextError, match="text is empty"):
        plan_job(read_job(path), {"first": ""})


@pytest.mark.parametrize(
    ("field", "measured", "limit"),
    [("width_mm = 68\nheight_mm = 40", "width", 68.0), ("diameter_mm = 68", "across", 68.0)],
)
def test_lettering_that_does_not_fit_is_stopped(job, field, measured, limit):
    """Centred by its box: the farthest needle point from the middle, doubled."""
    made = plan_job(read_job(job(("width_mm = 100\nheight_mm = 60", field))), ROW)
    (found,) = [f for f in made.findings if f.code == "outside-field"]
    x, y = made.needles["x_mm"], made.needles["y_mm"]
    width = x.max() - x.min()
    across = 2.0 * max(
        ((x - (x.max() + x.min()) / 2) ** 2 + (y - (y.max() + y.min()) / 2) ** 2) ** 0.5
    )

    assert found.level is Level.STOP
    assert made.findings[0] is found
    assert made.whole.findings == len(made.findings)
    assert found.limit == limit
    assert found.measured == pytest.approx({"width": width, "across": across}[measured])


def test_lettering_exactly_as_large_as_the_field_fits(job):
    made = read_job(job())
    needles = plan_job(made, ROW).needles
    sides = [float(needles[k].max() - needles[k].min()) for k in ("x_mm", "y_mm")]
    field = SewingField(name="tight", width_mm=sides[0], height_mm=sides[1])

    assert "outside-field" not in [
        f.code for f in plan_job(replace(made, field=field), ROW).findings
    ]


@pytest.mark.parametrize(
    ("text", "names", "full"),
    [
        ("{First}  {last}", ("first", "last"), "Ada  Lowe"),
        ("{{first}}", (), "{first}"),
        ("{ FIRST }{first}", ("first",), "AdaAda"),
        ("{first.__class__}", ("first.__class__",), None),
    ],
)
def test_fields_are_plain_names_whatever_their_case(text, names, full):
    assert fields_in(text) == names
    if full is None:
        with pytest.raises(TextError, match="asks for"):
            filled(text, {"first": "Ada"})
    else:
        assert filled(text, {"first": "Ada", "last": "Lowe"}) == full
