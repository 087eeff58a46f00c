"""``pathgen plot``: one text to one plot and its tables."""

from pathlib import Path
from typing import Any

import click

from pathgen.cli.inputs import LENGTH, as_typed, axis_places, text_lines

__all__ = ["plot"]


@click.command(short_help="Plan a text: plot, needle points and counts.")
@click.argument("text", nargs=-1, required=True)
@click.option("--face", help="Font file (TTF, OTF, TTC, WOFF, WOFF2) or bundled face.")
@click.option("--face-index", type=int, default=0, help="Which face of a collection, from 0.")
@click.option("--axis", multiple=True, metavar="TAG=VALUE", help="Variable font, e.g. wght=700.")
@click.option("--height", "height_mm", type=LENGTH, help="Height of capitals; 5mm if left out.")
@click.option("--x-height", "x_height_mm", type=LENGTH, help="Height of small x instead.")
@click.option("--thread", help="40 (the default), 60, or a count such as 27tex or 240den.")
@click.option("--needle", help="Needle size, such as 75/11; else the recipe's.")
@click.option("--cloth", help="What it is sewn on; 'backed twill' if left out.")
@click.option("--spacing", "spacing_mm", type=LENGTH, help="Between points on one side.")
@click.option("--allowance", "pull_mm", type=LENGTH, help="Pull allowance, on each side.")
@click.option("--underlay", help="none, centre-run, edge-run or zigzag; else the recipe's.")
@click.option("--run", "run_mm", type=LENGTH, help="Longest stitch of underlay and travel.")
@click.option("--join", "join_mm", type=LENGTH, help="Longest bare travel; beyond it, a trim.")
@click.option("--least-column", "least_column_mm", type=LENGTH, help="Narrower are widened.")
@click.option("--least-stitch", "least_stitch_mm", type=LENGTH, help="Points keep this apart.")
@click.option("--longest-stitch", "longest_stitch_mm", type=LENGTH, help="Longer are split.")
@click.option("--sewing", help="reading (the default), left-to-right, right-to-left, centre-out.")
@click.option("--letter-spacing", "tracking_mm", type=LENGTH, help="Added between letters.")
@click.option("--line-spacing", "line_spacing_mm", type=LENGTH, help="Baseline to baseline.")
@click.option("--align", help="left (the default), centre or right.")
@click.option("--arc", "arc_mm", type=LENGTH, help="Radius of the baseline's circle.")
@click.option("--arc-side", help="above the circle (the default) or below, in its foot.")
@click.option("--ligatures/--no-ligatures", default=None, help="Off, as letters are counted.")
@click.option("--speed", "speed_spm", type=float, help="Stitches a minute; 600 if left out.")
@click.option(
    "--out", type=click.Path(path_type=Path), default=Path("out"), help="Folder for the files."
)
@click.option("--name", help="Name of the files; else made from the text.")
@click.option("--json", "as_json", is_flag=True, help="Print the summary as JSON, nothing else.")
@click.option("--strict", is_flag=True, help="Exit code 3 if a finding says stop.")
def plot(
    text: tuple[str, ...],
    face_index: int,
    axis: tuple[str, ...],
    out: Path,
    name: str | None,
    as_json: bool,
    strict: bool,
    **asked: Any,
) -> None:
    """Plan TEXT and write NAME.svg, NAME.needles.csv and NAME.counts.csv.

    Several TEXTs, or \\n inside one, make several lines. Lengths are mm, or take cm, in or pt:
    5, 5mm, 0.2in. What you leave out comes from the recipe for height and thread.

    \b
    pathgen plot "Harbour Bakery" --height 5
    pathgen plot "Harbour Bakery" "est. 1974" --thread 60 --height 3 --align centre
    pathgen plot "Net Loft" --arc 40 --face MyFont.ttf --out plots
    """
    # \b above keeps click from wrapping the examples.
    from pathgen.model import Level
    from pathgen.pipeline import plan, write_plan
    from pathgen.writers.summary import summary_data, summary_lines

    with as_typed(click.get_current_context().command.params):
        made = plan(text_lines(text), index=face_index, axes=axis_places(axis), **asked)
        files = [str(path) for path in write_plan(made, out, name)]
    if as_json:
        import json

        click.echo(json.dumps(summary_data(made, files), ensure_ascii=False, indent=2))
    else:
        click.echo("\n".join(summary_lines(made, files)))
    if strict and any(finding.level is Level.STOP for finding in made.findings):
        raise click.exceptions.Exit(3)
