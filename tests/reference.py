"""README's reference: what every command is called with, written from the commands themselves."""

import click

from pathgen.cli import main
from pathgen.cli.command import EXIT_CODES, SECTIONS, section_of
from pathgen.writers.wording import all_of

WIDTH = 98
BEGIN, END = "<!-- reference: begin -->", "<!-- reference: end -->"
TOP = click.Context(main, info_name="pathgen")
PLAN_TITLES = [*SECTIONS][:3]


def shared(commands) -> set[str]:
    """Names of the options of a plan, as `pathgen plot` has them."""
    return {p.name for p in commands["plot"].params if section_of(p) in PLAN_TITLES}


def listing(context, params) -> str:
    """Options with what they do, as a help lists them."""
    formatter = click.HelpFormatter(width=WIDTH)
    records = [record for p in params if (record := p.get_help_record(context)) and any(record[1:])]
    if records:
        with formatter.indentation():
            formatter.write_dl(records)
    return formatter.getvalue().rstrip()


def told(command) -> str:
    """What a command does, without its examples."""
    paragraphs = (command.help or "").split("\n\n")
    kept = [" ".join(p.split()) for p in paragraphs if not p.lstrip().startswith("\b")]
    return "\n\n".join(kept)


def reference() -> str:
    """The whole reference, in Markdown."""
    commands = {name: main.get_command(TOP, name) for name in main.list_commands(TOP)}
    common = shared(commands)
    parts = []
    for name, command in commands.items():
        context = click.Context(command, info_name=name, parent=TOP)
        usage = " ".join(["pathgen", name, *command.collect_usage_pieces(context)])
        own = [p for p in command.params if p.name not in common or not plans(command, common)]
        own = [p for p in own if isinstance(p, click.Option)]
        block = listing(context, own)
        without = lacking(command, common)
        but = f", but for {all_of(without)}" if without else ""
        more = f"\n  and the options of a plan{but}" if plans(command, common) else ""
        parts.append(f"### {name}\n\n{told(command)}\n\n```text\n{usage}\n{block}{more}\n```")
        if command.exit_codes != EXIT_CODES:
            parts.append([*command.notes()][-1])
    plot = click.Context(commands["plot"], info_name="plot", parent=TOP)
    lines = ["### Options of a plan"]
    for title in PLAN_TITLES:
        params = [p for p in plot.command.params if p.name in common and section_of(p) == title]
        lines.append(f"{title}:\n\n```text\n{listing(plot, params)}\n```")
    *notes, codes = plot.command.notes()
    lines += [*notes, codes.replace("Exit codes:", "Exit codes of all other commands:")]
    return "\n\n".join([*parts, *lines])


def lacking(command, common) -> list[str]:
    """Options of a plan that a command lacks."""
    has = {p.name for p in command.params if not getattr(p, "hidden", False)}
    return [p.opts[0] for p in main.get_command(TOP, "plot").params if p.name in common - has]


def plans(command, common) -> bool:
    """Whether a command takes the options of a plan, but for a few."""
    return len(lacking(command, common)) <= 4


def placed(text: str) -> str:
    """A README with today's reference in its place."""
    start, end = text.index(BEGIN) + len(BEGIN), text.index(END)
    return f"{text[:start]}\n\n{reference()}\n\n{text[end:]}"
