"""What README.md shows is what the tool does."""

import re
import shlex
import string
from pathlib import Path

import pytest
from click import Context
from click.testing import CliRunner
from readme_figure import how_it_works
from readme_runs import rerun
from reference import placed
from refresh_readme import SEWN, SPECIMEN, SPECIMENS

from pathgen import plan
from pathgen.cli import main
from pathgen.lettering.bundled import bundled_faces

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def summary():
    """What README shows of its first command."""
    return re.search(r"```text\n(Harbour Bakery\n.*?)```", README, re.DOTALL)[1]


def run(*args):
    return CliRunner().invoke(main, [str(a) for a in args])


def test_summary_is_what_the_first_command_prints(tmp_path):
    command = re.search(r"pathgen (plot .*)$", README, re.MULTILINE)[1]
    assert command == 'plot "Harbour Bakery" --height 5'
    result = run("plot", "Harbour Bakery", "--height", "5", "--out", tmp_path)
    shown = summary()

    assert result.exit_code == 0
    assert shown == result.stdout.replace(str(tmp_path), "out")[: len(shown)]


def test_terminal_blocks_show_what_their_commands_print(tmp_path):
    """To print them anew: python tests/refresh_readme.py."""
    assert rerun(README, tmp_path) == README


def test_picture_has_the_counts_of_the_summary():
    """To draw it anew: python tests/refresh_readme.py."""
    stitches = re.search(r"stitches  ([0-9,]+):", summary())[1]
    picture = (ROOT / "out/readme-harbour-bakery.svg").read_text(encoding="utf-8")

    assert f">{stitches}</text>" in picture


def test_every_bundled_face_has_a_specimen():
    shown = re.findall(r"\(out/readme-specimen-(.*)\.svg\)", README)

    assert shown == [face for face, _, _ in SPECIMENS] == list(bundled_faces())


def test_the_specimen_text_has_every_small_letter_and_figure():
    assert set(string.ascii_lowercase + string.digits) <= set("".join(SPECIMEN).lower())


def test_the_lettering_as_thread_is_todays(tmp_path):
    """To draw it anew: python tests/refresh_readme.py."""
    assert f"pathgen {shlex.join(SEWN)}".replace("'", '"') in README
    run(*SEWN, "--name", "readme-net-loft", "--out", tmp_path)
    made = (tmp_path / "readme-net-loft.sewn.svg").read_text(encoding="utf-8")

    assert made == (ROOT / "out/readme-net-loft.sewn.svg").read_text(encoding="utf-8")


@pytest.mark.parametrize(("face", "thread", "height"), SPECIMENS)
def test_specimens_have_the_counts_of_todays_plan(face, thread, height):
    """To draw them anew: python tests/refresh_readme.py."""
    made = plan(SPECIMEN, face=face, thread=thread, height_mm=float(height))
    picture = (ROOT / f"out/readme-specimen-{face}.svg").read_text(encoding="utf-8")

    assert f">{made.whole.stitches:,}</text>" in picture
    assert made.face.name in picture


def test_every_option_that_readme_names_exists():
    commands = main.list_commands(Context(main))
    known = "".join(run(command, "--help").stdout for command in commands)
    for option in set(re.findall(r"(?<![\w-])--[a-z][a-z-]+", README)):
        assert option in known


def test_reference_is_what_the_commands_say():
    """To write it anew: python tests/refresh_readme.py."""
    assert placed(README) == README


def test_reference_names_every_command_option_and_exit_code():
    context = Context(main)
    told = README[README.index("## Reference") : README.index("## Limits")]
    for name in main.list_commands(context):
        assert f"### {name}\n" in told
        for param in main.get_command(context, name).params:
            if param.param_type_name == "option":
                assert param.opts[0] in told, (name, param.opts)
    for code in ("0 done", "1 an input", "2 wrong usage", "3 done, but --strict"):
        assert code in told


def test_figure_of_how_it_works_is_todays():
    """To draw it anew: python tests/refresh_readme.py."""
    drawn = (ROOT / "out/readme-how-it-works.svg").read_text(encoding="utf-8")
    assert drawn == how_it_works()
    assert "(out/readme-how-it-works.svg)" in README


def test_what_the_tutorial_says_of_its_order_is_so():
    """It fits, reads, and has nothing to stop or check; 40 wt would not read at 3 mm."""
    tutorial = README[README.index("## One order") : README.index("## What you get")]
    compared, planned = re.findall(
        r"```text\n\$ pathgen (?:compare|plot).*?```", tutorial, re.DOTALL
    )

    assert re.search(r"reads +will not read +reads well", compared)
    assert re.search(r"stop +[1-9]\d* +0\n", compared)
    assert re.search(r"reading +reads well", planned)
    assert re.search(r"findings +\d+ note\n", planned)
    assert "outside field" not in planned


def test_python_example_runs(capsys):
    code = re.search(r"```python\n(.*?)```", README, re.DOTALL)[1]
    exec(compile(code, "README.md", "exec"), {})

    assert "stitches" in capsys.readouterr().out


def test_the_two_commands_do_all_their_own_set_up():
    fences = re.findall(r"```sh\n(python3 -m venv .*?)\n```", README)

    assert len(fences) == 2
    assert all("pip install" in fence for fence in fences)
    assert "pathgen plot" in fences[0]
    assert fences[1].endswith("-m pytest -q")
