"""``pathgen faces``: what the bundled faces, or given fonts, measure."""

from collections.abc import Iterator, Sequence
from math import isfinite
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from pathgen.cli.command import Command
from pathgen.cli.inputs import LENGTH, as_typed, out_option
from pathgen.cli.saying import say_json
from pathgen.cli.waiting import told_when_long

if TYPE_CHECKING:
    from pathgen.measure import FaceMeasures
    from pathgen.shop.fitness import LeastHeight

__all__ = ["faces"]

# Capital height at which the stem is shown, mm.
_SHOWN_MM = 5.0


@click.command(cls=Command)
@click.argument("fonts", nargs=-1)
@click.option("--specimen", is_flag=True, help="Plot all letters, figures and signs too.")
@click.option("--height", "height_mm", type=LENGTH, help="Capitals of the specimen. [5 mm]")
@click.option("--thread", metavar="WEIGHT", help="Thread of the specimen: 40, 60 or a count. [40]")
@out_option
@click.option("--json", "as_json", is_flag=True, help="Print the measures as JSON, nothing else.")
def faces(
    fonts: tuple[str, ...],
    specimen: bool,
    height_mm: float | None,
    thread: str | None,
    out: Path,
    as_json: bool,
) -> None:
    """Measure each bundled face, or each of FONTS: letters, heights, stem, least height.

    A thread sews capitals from the height where its recipe begins, where the usual column with
    its allowance is at least nine tenths of the thread's narrowest (narrower ones are widened,
    and letters fatten), and where the counters of a, e and o keep two threads. The first bundled
    face is the default.

    \b
    pathgen faces
    pathgen faces MyFont.ttf tholepin
    pathgen faces tholepin --specimen --height 3 --thread 60
    """
    # \b above keeps click from wrapping the examples.
    from pathgen.lettering.bundled import bundled_faces
    from pathgen.measure import measured

    with told_when_long("measuring"):
        measures = [(name, measured(name)) for name in fonts or bundled_faces()]
    files: Sequence[Path | None] = [None] * len(measures)
    if specimen:
        files = _specimens(measures, height_mm, thread, out)
    if as_json:
        faces = [_data(*pair, file) for pair, file in zip(measures, files, strict=True)]
        say_json({"faces": faces})
        return
    blocks = [
        [*_lines(*pair), *([f"  specimen {file}"] if file else [])]
        for pair, file in zip(measures, files, strict=True)
    ]
    click.echo("\n\n".join("\n".join(block) for block in blocks))


def _data(name: str, face: "FaceMeasures", file: Path | None) -> dict[str, Any]:
    """A face's measures as plain data; shares are of the em or of the capitals."""
    facts = face.facts
    return {
        "capitals_em": round(facts.cap_height_fu / facts.units_per_em, 4),
        "coverage": {c.block: {"found": c.found, "letters": c.letters} for c in face.coverage},
        "face": facts.name,
        "file": None if file is None else str(file),
        "given": name,
        "least": [
            {
                "column_mm": _finite(least.column_mm),
                "counter_mm": _finite(least.counter_mm),
                "height_mm": _finite(least.height_mm),
                "recipe_mm": _finite(least.recipe_mm),
                "thread": least.thread.label,
            }
            for least in face.least
        ],
        "stem_of_capitals": face.stem_capitals and round(face.stem_capitals, 4),
        "x_of_capitals": round(facts.x_height_fu / facts.cap_height_fu, 4),
    }


def _finite(height_mm: float) -> float | None:
    """A height to a thousandth; None if there is none."""
    return round(height_mm, 3) if isfinite(height_mm) else None


def _specimens(
    measures: Sequence[tuple[str, "FaceMeasures"]],
    height_mm: float | None,
    thread: str | None,
    out: Path,
) -> list[Path]:
    """Plots of what the faces have, written together or not at all; where each is."""
    from pathgen.pipeline import plan, plan_files
    from pathgen.writers.files import checked_name, safe_name, write_together

    contents: dict[str, bytes] = {}
    files = []
    for name, face in measures:
        stem = checked_name(f"{safe_name(Path(name).stem)}-specimen")
        typed = as_typed(click.get_current_context().command.params)
        with told_when_long("planning"), typed:
            made = plan(face.specimen, face=name, height_mm=height_mm, thread=thread)
        plots = plan_files(made, stem, tables=False)
        contents |= plots
        files += [out / plot for plot in plots]
    write_together(out, contents)
    return files


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
