"""``pathgen faces``: what the bundled faces, or given fonts, measure."""

from pathlib import Path

import click

__all__ = ["faces"]


@click.command(short_help="List the bundled faces, or measure given fonts.")
@click.argument("fonts", nargs=-1)
def faces(fonts: tuple[str, ...]) -> None:
    """Name each face with its proportions: x-height in capitals and units per em."""
    from pathgen.lettering.bundled import bundled_faces, face_path
    from pathgen.lettering.fontfile import open_face

    known: dict[str, Path] = {name: face_path(name) for name in fonts} or bundled_faces()
    for name, path in known.items():
        facts = open_face(path).facts
        click.echo(
            f"{name}: {facts.name}; x-height {facts.x_height_fu / facts.cap_height_fu:.2f} of "
            f"the capitals; {facts.units_per_em} units per em"
        )
