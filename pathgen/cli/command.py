"""What every command shares: help in sections, the note on lengths, exit codes, near names.

Help is written to be read once from top to bottom: what the command does, examples, options in
the order of the work, what a length may look like, what the exit code says.
"""

from collections.abc import Iterator

import click

from pathgen.cli.inputs import LENGTH
from pathgen.units import MM_PER_UNIT

__all__ = ["SECTIONS", "Command", "section_of"]

SECTIONS = {
    "Lettering": "face face-index axis height x-height letter-spacing line-spacing align arc"
    " arc-side ligatures fill",
    "Thread and cloth": "thread colour needle cloth shop",
    "Stitches": "spacing allowance underlay run join on-top least-column least-stitch"
    " longest-stitch longest-jump sewing speed",
    "Room": "field",
    "Files and output": "out name page-size page sewn cloth-colour json strict help",
}
"""Options by what they are about, in the order of the help; all others stand first."""

_OWN = "Options"

LENGTHS = (
    "LENGTH is a number in mm, or one with its unit: 5, 5mm, 0.5cm, 0.2in, 14pt"
    " (1 in = 25.4 mm, 1 pt = 1/72 in)."
)

EXIT_CODES = (
    "Exit codes: 0 done; 1 an input could not be used, one line says what and why, and nothing"
    " was written; 2 wrong usage"
)
STRICT_CODE = "; 3 done, but --strict met a finding that says stop"


LINES_DIFFER = ", or write a job file, in which each line has its own"


class Command(click.Command):
    """A command whose help has its options in sections, and notes below them."""

    exit_codes = EXIT_CODES
    """What they say; a command whose own differ has its own words."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Refuse what would be taken otherwise than it is meant, before anything is done."""
        options = args[: args.index("--")] if "--" in args else args
        for param in self.params:
            if isinstance(param, click.Option) and not param.multiple and not param.is_flag:
                places = [i for i, typed in enumerate(options) if _names(typed, param)]
                if len(places) > 1:
                    lines = LINES_DIFFER if section_of(param) in (*SECTIONS,)[:3] else ""
                    ctx.fail(f"{param.opts[0]} is given {len(places)} times; give it once{lines}")
                self._check_unit(ctx, param, args, places)
        return super().parse_args(ctx, args)

    def _check_unit(
        self, ctx: click.Context, param: click.Option, args: list[str], places: list[int]
    ) -> None:
        """Refuse a unit that a space parts from its number: it would be taken for a text."""
        for place in places:
            after = args[place + 1 : place + 3]
            if param.type is LENGTH and len(after) == 2 and after[1].lower() in MM_PER_UNIT:
                number, unit = after
                ctx.fail(f"{args[place]} {number} {unit}: write {number}{unit}, without a space")

    def format_options(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Options section by section; each section in the order in which it lists its own."""
        titles = (_OWN, *SECTIONS)
        rows: dict[str, list[tuple[int, tuple[str, str]]]] = {title: [] for title in titles}
        for param in self.get_params(ctx):
            record = param.get_help_record(ctx)
            if record is not None and any(record[1:]):  # an argument is told in the text
                title, place = _section(param)
                rows[title].append((place, record))
        for title, found in rows.items():
            if found:
                with formatter.section(title):
                    formatter.write_dl([record for _, record in sorted(found, key=_place)])

    def format_epilog(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """What a length may look like, if there are any, and the exit codes."""
        super().format_epilog(ctx, formatter)
        for note in self.notes():
            formatter.write_paragraph()
            formatter.write_text(note)

    def notes(self) -> Iterator[str]:
        """Notes that this command's options call for."""
        if any(param.type is LENGTH for param in self.params):
            yield LENGTHS
        strict = any("--strict" in param.opts for param in self.params)
        yield self.exit_codes + (STRICT_CODE if strict else "") + "."


def _place(row: tuple[int, tuple[str, str]]) -> int:
    return row[0]


def _names(typed: str, param: click.Option) -> bool:
    """Whether a typed word is this option, with or without ``=`` and its value."""
    return typed.split("=", 1)[0] in (*param.opts, *param.secondary_opts)


def section_of(param: click.Parameter) -> str:
    """Title of the section that an option stands in."""
    return _section(param)[0]


def _section(param: click.Parameter) -> tuple[str, int]:
    """Title of an option's section, and its place there."""
    own = [name.lstrip("-") for name in param.opts]
    for title, names in SECTIONS.items():
        for place, name in enumerate(names.split()):
            if name in own:
                return title, place
    return _OWN, 0
