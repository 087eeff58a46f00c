"""The options that decide a plan: one list for every command that plans a text.

Each is a setting of `pathgen.pipeline.plan` under its own name; what is not typed stays None and
comes from the recipe.
"""

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from pathgen.cli.inputs import LENGTH, Word, as_typed, axis_places, named_file, one_of, text_lines
from pathgen.cli.waiting import told_when_long
from pathgen.errors import SettingsError, TextError

if TYPE_CHECKING:
    from pathgen.model import Plan
    from pathgen.orders.job import Job
    from pathgen.shop.shelves import Shop

__all__ = [
    "asked_job",
    "asked_line",
    "asked_settings",
    "asked_shop",
    "hide",
    "job_file",
    "plan_options",
    "planned",
    "refuse_fill",
    "shop_option",
]

Command = TypeVar("Command", bound=Callable[..., Any])


def _faces() -> list[str]:
    from pathgen.lettering.bundled import bundled_faces

    return list(bundled_faces())


def _threads() -> list[str]:
    from pathgen.shop.stocking import bundled

    return [thread.key for thread in bundled().threads]


def _cloths() -> list[str]:
    from pathgen.shop.stocking import bundled

    return [cloth.name.replace(" ", "-") for cloth in bundled().cloths]


shop_option = click.option(
    "--shop", multiple=True, metavar="FILE.toml", help="Your own threads, cloths, recipes."
)

_OPTIONS = (
    click.option(
        "--face",
        type=Word(_faces, "FACE"),
        help="Bundled face, or font file: TTF, OTF, TTC, WOFF, WOFF2. [fairlead-plain]",
    ),
    click.option(
        "--face-index", type=int, default=0, metavar="N", help="Which face of a collection. [0]"
    ),
    click.option(
        "--axis", multiple=True, metavar="TAG=VALUE", help="Variable font's axis, e.g. wght=700."
    ),
    click.option("--height", "height_mm", type=LENGTH, help="Height of capitals as sewn. [5 mm]"),
    click.option("--x-height", "x_height_mm", type=LENGTH, help="Height of the small x instead."),
    click.option(
        "--letter-spacing", "tracking_mm", type=LENGTH, help="Added between letters. [0 mm]"
    ),
    click.option(
        "--line-spacing", "line_spacing_mm", type=LENGTH, help="Baseline to baseline. [by height]"
    ),
    click.option("--align", type=one_of("align"), help="How lines are set. [left]"),
    click.option("--arc", "arc_mm", type=LENGTH, help="Radius of the baseline's circle. [none]"),
    click.option(
        "--arc-side",
        type=one_of("arc_side"),
        help="Letters stand on the circle, or hang in its foot. [above]",
    ),
    click.option(
        "--ligatures/--no-ligatures",
        default=None,
        help="Join letters as the font would. [no: letters are counted singly]",
    ),
    click.option(
        "--thread",
        type=Word(_threads, "WEIGHT"),
        help="40, 60, or a count such as 27tex, 270dtex, 240den. [40]",
    ),
    click.option(
        "--colour", metavar="COLOUR", help="What the thread is drawn in: navy, #1f3a5f. [by part]"
    ),
    click.option("--needle", metavar="SIZE", help="Needle size, such as 75/11. [recipe]"),
    click.option(
        "--cloth",
        type=Word(_cloths, "CLOTH"),
        help="What it is sewn on, or a cloth file. [backed twill]",
    ),
    shop_option,
    click.option(
        "--fill", multiple=True, metavar="NAME=VALUE", help="Fill {NAME} in the texts of a job."
    ),
    click.option(
        "--spacing",
        "spacing_mm",
        type=LENGTH,
        help="Between needle points on one side of a column. [recipe]",
    ),
    click.option(
        "--allowance", "pull_mm", type=LENGTH, help="Pull allowance, on each side. [recipe]"
    ),
    click.option("--underlay", type=one_of("underlay"), help="What lies below. [recipe]"),
    click.option(
        "--run", "run_mm", type=LENGTH, help="Longest stitch of underlay and travel. [1.5 mm]"
    ),
    click.option(
        "--join", "join_mm", type=LENGTH, help="Longest bare travel; beyond it, a trim. [2 mm]"
    ),
    click.option(
        "--on-top",
        "on_top_mm",
        type=LENGTH,
        help="Longest travel on top of sewn columns; beyond it, a trim. [2 mm]",
    ),
    click.option(
        "--least-column",
        "least_column_mm",
        type=LENGTH,
        help="Narrower columns are widened to this, allowance included. [by thread]",
    ),
    click.option(
        "--least-stitch",
        "least_stitch_mm",
        type=LENGTH,
        help="Needle points of a column keep this apart. [0.3 mm]",
    ),
    click.option(
        "--longest-stitch", "longest_stitch_mm", type=LENGTH, help="Longer are split. [7 mm]"
    ),
    click.option(
        "--longest-jump",
        "longest_jump_mm",
        type=LENGTH,
        help="Farthest move of the machine at once. [12 mm]",
    ),
    click.option("--sewing", type=one_of("sewing"), help="Order of the letters. [reading]"),
    click.option(
        "--speed", "speed_spm", type=float, metavar="N", help="Stitches a minute. [recipe]"
    ),
)


def plan_options(command: Command) -> Command:
    """A command with the options of a plan, in the order in which help lists them."""
    for option in reversed(_OPTIONS):
        command = option(command)
    return command


def hide(command: click.Command, *names: str) -> None:
    """Leave options of a plan out of a command's help that it would refuse."""
    for param in command.params:
        if isinstance(param, click.Option) and param.name in names:
            param.hidden = True


def asked_shop(files: Sequence[str]) -> "Shop | None":
    """The bundled shop with the user's files over it; None if there are none.

    Raises
    ------
    SettingsError
        If a file cannot be used.
    """
    if not files:
        return None
    from pathgen.shop.shopfile import shop_with

    return shop_with(files)


def planned(text: Sequence[str], asked: dict[str, Any]) -> "Plan":
    """Plan of the text arguments with the values of all options of `plan_options`.

    A single argument that is a TOML file is a job; options go before what it says.

    Raises
    ------
    PathgenError
        If an input cannot be used; a setting is named by its option.
    """
    typed = as_typed(click.get_current_context().command.params)
    with typed, told_when_long("planning"):
        if job_file(text) is not None:
            return _planned_job(Path(text[0]), asked)
        from pathgen.pipeline import plan

        refuse_fill(asked)
        return plan(
            text_lines(tuple(text)),
            index=asked["face_index"],
            axes=axis_places(asked["axis"]),
            shop=asked_shop(asked["shop"]),
            field=asked.get("field"),
            **asked_settings(asked),
        )


def refuse_fill(asked: Mapping[str, Any]) -> None:
    """Say that there is nothing to fill.

    Raises
    ------
    SettingsError
        If ``--fill`` was given.
    """
    if asked["fill"]:
        msg = f"--fill is {asked['fill'][0]!r}; it fills the texts of a job file, for one plan"
        raise SettingsError(msg)


def job_file(text: Sequence[str]) -> Path | None:
    """The job file that the text arguments stand for; None if they are a text."""
    return named_file(text, ".toml", "job file")


def asked_job(path: Path, asked: Mapping[str, Any]) -> "Job":
    """Job of a file, with the values of all options of `plan_options` before its own."""
    from pathgen.orders.job import read_job

    return _with_options(read_job(path), asked)


def asked_line(title: str, columns: Sequence[str], asked: Mapping[str, Any]) -> "Job":
    """Job of one line, filled from the first named column of a table."""
    from pathgen.lines import AskedLine
    from pathgen.orders.job import Job

    column = next(name for name in columns if name)
    line = AskedLine(text=f"{{{column}}}")
    return _with_options(Job(source="", title=title, lines=(line,)), asked)


def _with_options(job: "Job", asked: Mapping[str, Any]) -> "Job":
    """A job with the values of all options before its own."""
    settings = {name: value for name, value in asked_settings(asked).items() if name != "face"}
    return job.with_options(
        {**settings, "shop": asked_shop(asked["shop"])},
        face=asked["face"],
        index=asked["face_index"],
        axes=axis_places(asked["axis"]),
        field=asked.get("field"),
    )


def _planned_job(path: Path, asked: Mapping[str, Any]) -> "Plan":
    """Plan of a job whose fields are filled by options."""
    from pathgen.orders.job import plan_job

    job = asked_job(path, asked)
    pairs = [pair.partition("=") for pair in asked["fill"]]
    if job.fields and not pairs:
        names = " and ".join(f"{{{name}}}" for name in job.fields)
        fill = " ".join(f"--fill {name}=..." for name in job.fields)
        msg = f"job file {path} asks for {names}: give {fill}, or a table by pathgen names"
        raise TextError(msg)
    for name, equals, _ in pairs:
        if not name or not equals:
            msg = f"--fill is {name!r}; write a name and a value, such as first=Ada"
            raise SettingsError(msg)
    return plan_job(job, {name: value for name, _, value in pairs})


def asked_settings(asked: Mapping[str, Any]) -> dict[str, Any]:
    """Those options that are settings under the same name."""
    own = ("face_index", "axis", "shop", "fill", "field")
    return {name: value for name, value in asked.items() if name not in own}
