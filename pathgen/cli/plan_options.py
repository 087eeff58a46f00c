"""The options that decide a plan: one list for every command that plans a text.

Each is a setting of `pathgen.pipeline.plan` under its own name; what is not typed stays None and
comes from the recipe.
"""

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any, TypeVar

import click

from pathgen.cli.inputs import LENGTH, as_typed, axis_places, text_lines

if TYPE_CHECKING:
    from pathgen.model import Plan
    from pathgen.shop.shelves import Shop

__all__ = ["asked_shop", "plan_options", "planned"]

Command = TypeVar("Command", bound=Callable[..., Any])

_OPTIONS = (
    click.option("--face", help="Font file (TTF, OTF, TTC, WOFF, WOFF2) or bundled face."),
    click.option("--face-index", type=int, default=0, help="Which face of a collection, from 0."),
    click.option(
        "--axis", multiple=True, metavar="TAG=VALUE", help="Variable font, e.g. wght=700."
    ),
    click.option("--height", "height_mm", type=LENGTH, help="Height of capitals; 5mm if left out."),
    click.option("--x-height", "x_height_mm", type=LENGTH, help="Height of small x instead."),
    click.option("--thread", help="40 (the default), 60, or a count such as 27tex or 240den."),
    click.option("--colour", help="What the thread is drawn in, such as navy or #1f3a5f."),
    click.option("--needle", help="Needle size, such as 75/11; else the recipe's."),
    click.option("--cloth", help="What it is sewn on, or a cloth file; else 'backed twill'."),
    click.option("--spacing", "spacing_mm", type=LENGTH, help="Between points on one side."),
    click.option("--allowance", "pull_mm", type=LENGTH, help="Pull allowance, on each side."),
    click.option("--underlay", help="none, centre-run, edge-run or zigzag; else the recipe's."),
    click.option("--run", "run_mm", type=LENGTH, help="Longest stitch of underlay and travel."),
    click.option("--join", "join_mm", type=LENGTH, help="Longest bare travel; beyond it, a trim."),
    click.option("--least-column", "least_column_mm", type=LENGTH, help="Narrower are widened."),
    click.option("--least-stitch", "least_stitch_mm", type=LENGTH, help="Points keep this apart."),
    click.option("--longest-stitch", "longest_stitch_mm", type=LENGTH, help="Longer are split."),
    click.option(
        "--sewing", help="reading (the default), left-to-right, right-to-left, centre-out."
    ),
    click.option("--letter-spacing", "tracking_mm", type=LENGTH, help="Added between letters."),
    click.option("--line-spacing", "line_spacing_mm", type=LENGTH, help="Baseline to baseline."),
    click.option("--align", help="left (the default), centre or right."),
    click.option("--arc", "arc_mm", type=LENGTH, help="Radius of the baseline's circle."),
    click.option("--arc-side", help="above the circle (the default) or below, in its foot."),
    click.option("--ligatures/--no-ligatures", default=None, help="Off, as letters are counted."),
    click.option("--speed", "speed_spm", type=float, help="Stitches a minute; else the recipe's."),
    click.option(
        "--shop", multiple=True, metavar="FILE.toml", help="Your own threads, cloths, recipes."
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
    with as_typed(click.get_current_context().command.params):
        return plan(
            text_lines(tuple(text)),
            index=asked["face_index"],
            axes=axis_places(asked["axis"]),
            shop=asked_shop(asked["shop"]),
            **settings,
        )
