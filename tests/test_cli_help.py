"""Help, near names, shell completion, colour and the sign of life of the command line."""

import os
import pty
import subprocess
import sys
import time
from contextlib import chdir

import click
import pytest
from click.testing import CliRunner

from pathgen.cli import main, waiting
from pathgen.cli.command import SECTIONS, Command
from pathgen.cli.inputs import LENGTH
from pathgen.errors import did_you_mean

CONTEXT = click.Context(main)
COMMANDS = {name: main.get_command(CONTEXT, name) for name in main.list_commands(CONTEXT)}


def run(*args, **kwargs):
    return CliRunner().invoke(main, [str(a) for a in args], **kwargs)


@pytest.mark.parametrize("name", COMMANDS)
def test_every_help_has_an_example_its_options_and_the_exit_codes(name):
    said = run(name, "--help").stdout

    assert f"  pathgen {name}" in said
    assert "Exit codes: 0 done; 1 " in said
    assert isinstance(COMMANDS[name], Command)
    for param in COMMANDS[name].params:
        if isinstance(param, click.Option) and not param.hidden:
            assert param.help, param.name
            assert param.opts[-1] in said


@pytest.mark.parametrize(
    ("name", "options"),
    [("panel", "--height --x-height --thread --fill"), ("trial", "--fill"), ("names", "--fill")],
)
def test_help_lists_no_option_that_the_command_refuses(name, options):
    listed = run(name, "--help").stdout.split()

    assert not set(options.split()) & set(listed)
    for option in options.split():
        assert run(name, "Quay", option, "4").exit_code != 0


def test_a_run_ends_without_a_search_through_all_that_it_made():
    code = (
        "import gc, sys; sys.argv = ['pathgen', '--version']; from pathgen.cli import start\n"
        "try: start()\nfinally: print(len(gc.get_objects()) < gc.get_freeze_count())"
    )
    ended = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)

    assert ended.stdout.splitlines()[-1] == "True"


def test_help_and_completion_of_commands_load_none_of_them():
    code = (
        "import sys; from pathgen.cli import main; import click;"
        "main.get_help(click.Context(main)); main.shell_complete(click.Context(main), 'p');"
        "print([name for name in sys.modules if name.startswith('pathgen.cli.')])"
    )
    loaded = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)

    assert loaded.stdout == "[]\n"


@pytest.mark.parametrize("name", COMMANDS)
def test_every_option_that_takes_a_length_says_so_and_help_says_what_one_is(name):
    said = run(name, "--help").stdout
    lengths = [p for p in COMMANDS[name].params if p.type is LENGTH and not p.hidden]

    for param in lengths:
        assert f"{param.opts[0]} LENGTH" in said
    assert ("5, 5mm, 0.5cm, 0.2in, 14pt" in said) == bool(lengths)


@pytest.mark.parametrize("name", COMMANDS)
def test_every_quantity_in_mm_is_typed_as_a_length(name):
    """So that each takes mm, cm, in and pt."""
    for param in COMMANDS[name].params:
        assert (str(param.name).endswith("_mm")) <= (param.type is LENGTH), param.name


def test_sections_name_options_that_some_command_has():
    have = {o for c in COMMANDS.values() for p in c.params for o in p.opts} | {"--help"}
    named = {f"--{name}" for names in SECTIONS.values() for name in names.split()}

    assert named <= have


@pytest.mark.parametrize(
    ("args", "hint"),
    [
        (("plto", "a"), "did you mean 'plot'?"),
        (("zzz", "a"), "choose plot, recipe, "),
        (("plot", "a", "--hieght", "5"), "--height"),
        (("plot", "a", "--align", "center"), "did you mean 'centre'?"),
        (("plot", "a", "--underlay", "center-run"), "did you mean 'centre-run'?"),
        (("plot", "a", "--face", "fairlead"), "did you mean 'fairlead-plain'?"),
        (("plot", "a", "--cloth", "fleese"), "did you mean 'fleece'?"),
        (("plot", "a", "--colour", "navi"), "did you mean 'navy'?"),
    ],
)
def test_a_slip_of_the_keys_gets_the_right_name(tmp_path, args, hint):
    result = run(*args, "--out", tmp_path / "out")

    assert result.exit_code in (1, 2)
    assert hint in result.stderr
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    ("args", "code", "said"),
    [
        (("--height", "5", "mm"), 2, "--height 5 mm: write 5mm, without a space"),
        (("--thread", "40", "--thread", "60"), 2, "--thread is given 2 times; give it once, or"),
        (("--out", "a", "--out=b"), 2, "--out is given 2 times; give it once\n"),
    ],
)
def test_what_would_be_taken_otherwise_than_meant_is_refused(tmp_path, args, code, said):
    with chdir(tmp_path):
        result = run("plot", "Quay", *args)

    assert result.exit_code == code
    assert said in result.stderr
    assert list(tmp_path.iterdir()) == []


def test_a_job_file_that_is_missing_is_not_sewn_as_a_text(tmp_path):
    result = run("plot", str(tmp_path / "bakery.toml"), "--out", tmp_path / "out")

    assert result.exit_code == 1
    assert "bakery.toml does not exist" in result.stderr
    assert not (tmp_path / "out").exists()


def test_a_text_after_two_dashes_may_look_like_an_option(tmp_path):
    result = run("plot", "--out", tmp_path, "--", "--height", "--height")

    assert result.exit_code == 0
    assert result.stdout.startswith("--height / --height\n")


def test_nothing_near_is_not_guessed():
    assert did_you_mean("zzz", ("left", "right")) == ""


@pytest.mark.parametrize(
    ("typed", "offered"),
    [
        ("", "plot"),
        ("plot a --und", "--underlay"),
        ("plot a --underlay ", "edge-run"),
        ("plot a --face th", "tholepin"),
        ("plot a --cloth backed", "backed-twill"),
        ("plot a --thread ", "60"),
    ],
)
def test_the_shell_is_offered_commands_options_and_words(typed, offered):
    words = f"pathgen {typed}"
    ask = {
        "_PATHGEN_COMPLETE": "bash_complete",
        "COMP_WORDS": words,
        "COMP_CWORD": str(len(words.split(" ")) - 1),
    }
    said = run(env=ask, prog_name="pathgen").stdout.split("\n")

    assert f"plain,{offered}" in said


def on_a_terminal(args, **more) -> str:
    """What the tool writes to a terminal."""
    ours, theirs = pty.openpty()
    env = {k: v for k, v in os.environ.items() if k != "NO_COLOR"} | {"TERM": "xterm"} | more
    command = [sys.executable, "-m", "pathgen", *map(str, args)]
    with subprocess.Popen(command, stdout=theirs, stderr=theirs, env=env):
        os.close(theirs)
        said = b""
        while True:
            try:
                piece = os.read(ours, 4096)
            except OSError:
                break
            if not piece:
                break
            said += piece
    os.close(ours)
    return said.decode()


def test_colour_is_for_terminals_and_not_where_it_is_unwanted(tmp_path):
    """no-color.org: any value of NO_COLOR that is not empty."""
    args = ["plot", "il", "--height", "3", "--out", tmp_path]

    assert "\x1b[31m" in on_a_terminal(args)
    assert "\x1b" not in on_a_terminal(args, NO_COLOR="1")
    assert "\x1b" not in run(*args).stdout


def test_what_takes_long_is_told_on_a_terminal_and_wiped(monkeypatch, capsys):
    monkeypatch.setattr(waiting, "PATIENCE_S", 0.02)
    monkeypatch.setattr(waiting, "EVERY_S", 0.01)
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True, raising=False)

    with waiting.told_when_long("planning"):
        time.sleep(0.1)
    said = capsys.readouterr().err

    assert "\rplanning, 0 s so far" in said
    assert said.endswith("\r" + " " * len("planning, 0 s so far") + "\r")


def test_what_is_done_now_takes_the_place_of_what_was_and_is_wiped(monkeypatch, capsys):
    monkeypatch.setattr(waiting, "PATIENCE_S", 0.0)
    monkeypatch.setattr(waiting, "EVERY_S", 0.01)
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True, raising=False)

    with waiting.told_when_long("searching") as told:
        told("searching 40 at 3.5 mm")
        time.sleep(0.05)
        told("done")
        time.sleep(0.05)
    said = capsys.readouterr().err
    longest = "searching 40 at 3.5 mm, 0 s so far"

    assert f"\r{longest}" in said
    assert f"\r{'done, 0 s so far':<{len(longest)}}" in said
    assert said.endswith("\r" + " " * len(longest) + "\r")


def test_what_is_told_already_is_not_told_twice(monkeypatch, capsys):
    monkeypatch.setattr(waiting, "PATIENCE_S", 0.0)
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True, raising=False)

    with waiting.told_when_long("planning"), waiting.told_when_long("drawing"):
        time.sleep(0.05)
    said = capsys.readouterr().err

    assert "planning" in said
    assert "drawing" not in said
    assert waiting._telling == []


def test_what_is_quick_or_piped_is_not_told(monkeypatch, capsys):
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True, raising=False)
    with waiting.told_when_long("planning"):
        pass
    monkeypatch.setattr(sys.stderr, "isatty", lambda: False, raising=False)
    monkeypatch.setattr(waiting, "PATIENCE_S", 0.0)
    with waiting.told_when_long("planning"):
        time.sleep(0.02)

    assert capsys.readouterr().err == ""


def test_help_of_price_says_that_bad_rows_of_a_table_are_left_out():
    said = " ".join(run("price", "--help").stdout.split())

    codes = said[said.index("Exit codes:") :]
    assert (
        "rows of a table could not be planned: each is listed, and the others are priced" in codes
    )


def test_help_of_names_says_that_good_rows_are_done_beside_bad_ones():
    said = " ".join(run("names", "--help").stdout.split())

    codes = said[said.index("Exit codes:") :]
    assert "rows could not be planned: each is listed, and the others are done" in codes
    assert "130 stopped: what is done stays" in codes
    assert "3 done, but --strict" in codes
