"""The options that decide a plan: one list for every command that plans a text.

Each is a setting of `pathgen.pipeline.plan` under its own name; what is not typed stays None and
comes from the recipe.
"""

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any, TypeVar

import click

from pathgen.cli.inputs import LENGTH, Word, as_typed, axis_places, one_of, text_lines
from pathgen.cli.waiting import told_when_long

if TYPE_CHECKING:
    from pathgen.model import Plan
    from pathgen.shop.shelves import Shop

__all__ = ["asked_shop", "plan_options", "planned"]

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
    click.option(
        "--shop", multiple=True, metavar="FILE.toml", help="Your own threads, cloths, recipes."
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
        "--join", "join_mm", type=LENGTH, help="Longest bare travel; beyond it, a trim. [1.5 mm]"
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

    Raises
    ------
    PathgenError
        If an input cannot be used; a setting is named by its option.
    """
    from pathgen.pipeline import plan

    own = ("face_index", "axis", "shop")
    settings = {name: value for name, value in asked.items() if name not in own}
    typed = as_typed(click.get_current_context().command.params)
    with typed, told_when_long("planning"):
        return plan(
            text_lines(tuple(text)),
            index=asked["face_index"],
            axes=axis_places(asked["axis"]),
            shop=asked_shop(asked["shop"]),
            **settings,
        )
