"""``pathgen faces``: what the bundled faces, or given fonts, measure."""

from collections.abc import Iterator
from math import isfinite
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from pathgen.measure import FaceMeasures
    from pathgen.shop.fitness import LeastHeight

__all__ = ["faces"]

# Capital height at which the stem is shown, mm.
_SHOWN_MM = 5.0


@click.command(short_help="List the bundled faces, or measure given fonts.")
@click.argument("fonts", nargs=-1)
def faces(fonts: tuple[str, ...]) -> None:
    """Measure each bundled face, or each of FONTS: letters, heights, stem, least height.

    A thread sews capitals from the height where its recipe begins, where the usual column with
    its allowance is at least nine tenths of the thread's narrowest (narrower ones are widened,
    and letters fatten), and where the counters of a, e and o keep two threads. The first bundled
    face is the default.

    \b
    pathgen faces
    pathgen faces MyFont.ttf tholepin
    """
    # \b above keeps click from wrapping the examples.
    from pathgen.lettering.bundled import bundled_faces
    from pathgen.measure import measured

    blocks = ["\n".join(_lines(name, measured(name))) for name in fonts or bundled_faces()]
    click.echo("\n\n".join(blocks))


def _lines(name: str, face: "FaceMeasures") -> Iterator[str]:
    """One block: the face's name, then a line for each kind of measure."""
    facts = face.facts
    em = facts.units_per_em
    letters = ", ".join(f"{c.block} {c.found} of {c.letters}" for c in face.coverage)
    share = facts.x_height_fu / facts.cap_height_fu
    yield f"{name}: {facts.name}"
    yield f"  letters  {letters}"
    yield (
        f"  heights  H {facts.cap_height_fu / em:.3f} em, x {facts.x_height_fu / em:.3f} em; "
        f"x-height {share:.2f} of the capitals"
    )
    if face.stem_capitals is not None:
        stem_mm = _SHOWN_MM * face.stem_capitals
        yield f"  stem     {stem_mm:.2f} mm at {_SHOWN_MM:g} mm capitals"
    for least in face.least:
        yield f"  {least.thread.label:<7}  {_from(least)}"


def _from(least: "LeastHeight") -> str:
    """Least height in one thread and the three that make it."""
    return (
        f"from {_height(least.height_mm)}: columns wide enough from {_height(least.column_mm)}, "
        f"counters open from {_height(least.counter_mm)}, recipe from {_height(least.recipe_mm)}"
    )


def _height(height_mm: float) -> str:
    """A height, or that there is none."""
    return f"{height_mm:.1f} mm" if isfinite(height_mm) else "no height"
