"""``pathgen recipe``: what a height, a thread and a cloth are sewn with, and why."""

from typing import Any

import click

from pathgen.cli.command import Command
from pathgen.cli.inputs import as_typed
from pathgen.cli.plan_options import asked_shop, plan_options
from pathgen.cli.saying import say, say_json

__all__ = ["recipe"]

_OF_PLANS = {
    *("height_mm", "thread", "needle", "cloth", "shop"),
    *("spacing_mm", "pull_mm", "underlay", "least_column_mm", "speed_spm"),
}


@click.command(cls=Command)
@plan_options
@click.option("--json", "as_json", is_flag=True, help="Print it as JSON, nothing else.")
def recipe(as_json: bool, **asked: Any) -> None:
    """Print what letters of a height are sewn with, each value with where it is from.

    Recipes are common practice for small lettering on stable twill; what is between two rows is
    interpolated, what is out of their range is said, and the cloth changes spacing and allowance.

    \b
    pathgen recipe --height 4 --thread 60 --cloth pique
    pathgen recipe --height 5 --thread 27tex --needle 70/10
    """
    # \b above keeps click from wrapping the examples.
    from pathgen.review.checks import asked_for
    from pathgen.shop.reasons import reasons
    from pathgen.shop.recipes import settings_for
    from pathgen.writers.recipe_sheet import sheet_data, sheet_lines

    by_name = ("height_mm", "thread", "needle", "cloth")
    with as_typed(click.get_current_context().command.params):
        shop = asked_shop(asked.pop("shop"))
        names = {name: asked.pop(name) for name in by_name}
        settings = settings_for(**names, options=asked, shop=shop)
    why = reasons(settings, shop)
    found = sorted(asked_for(settings), key=lambda finding: -finding.level)
    if as_json:
        say_json(sheet_data(settings, why, found))
    else:
        say(sheet_lines(settings, why, found))


recipe.params = [p for p in recipe.params if p.name in _OF_PLANS | {"as_json"}]
