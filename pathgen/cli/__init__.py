"""The command line: options in, one pipeline call, lines and an exit code out.

Commands are loaded when they run, so that help and completion come at once. Exit codes: 0 done;
1 an input could not be used; 2 wrong usage; 3 done, but ``--strict`` met a finding of level
stop; 130 an interrupt ended it.
"""

import codecs
import errno
import gc
import io
import signal
import sys
from collections.abc import Sequence
from importlib import import_module
from typing import TYPE_CHECKING, Any

import click

from pathgen import __version__
from pathgen.errors import PathgenError, SettingsError, did_you_mean, one_of

if TYPE_CHECKING:
    from click.shell_completion import CompletionItem

__all__ = ["STOPPED", "main", "start"]

STOPPED = 130
"""Exit code of what an interrupt has ended, as shells have it."""

_COMMANDS = {
    "plot": "Plan a text: plot, needle points and counts.",
    "recipe": "Print the recipe for a height, a thread and a cloth.",
    "smallest": "Find the least height that can be read.",
    "settings": "Find the settings that read best at a height.",
    "compare": "Compare ways to sew a text: page and table.",
    "faces": "List the bundled faces, or measure given fonts.",
    "names": "Plan a job for every row of a table of names.",
    "panel": "Plan a panel of samples: several heights and threads.",
    "price": "Price a text at several quantities, with the working.",
    "trial": "Plan a panel of bars, rings and letters to measure.",
    "learn": "Make a cloth file of measured panels and logs.",
    "log": "Note a sewn text and whether it was read.",
}
"""What each does; `pathgen.cli.NAME` holds it under its name."""


_NO_ROOM = (errno.ENOSPC, errno.EDQUOT, errno.EIO)
"""A disk or quota that is full, or gone; results that are written say it themselves."""


class _LazyGroup(click.Group):
    """Commands by name; the module of one is imported when it is asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Names in the order of the work."""
        return list(_COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Command of that name; its module holds it under the same name."""
        if cmd_name not in _COMMANDS:
            return None
        command: click.Command = getattr(import_module(f"pathgen.cli.{cmd_name}"), cmd_name)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Names and what they do, no command loaded."""
        with formatter.section("Commands"):
            formatter.write_dl(list(_COMMANDS.items()))

    def shell_complete(self, ctx: click.Context, incomplete: str) -> list["CompletionItem"]:
        """Options and names that go on as the typed word begins, no command loaded."""
        from click.shell_completion import CompletionItem

        begun = [name for name in _COMMANDS if name.startswith(incomplete)]
        items = [CompletionItem(name, help=_COMMANDS[name]) for name in begun]
        return [*items, *click.Command.shell_complete(self, ctx, incomplete)]

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Command of the first word; a word that is none gets the nearest one named."""
        name = args[0]
        if name in _COMMANDS or name.startswith("-") or ctx.resilient_parsing:
            return super().resolve_command(ctx, args)
        near = did_you_mean(name, _COMMANDS) or f"; choose {one_of(_COMMANDS)}"
        ctx.fail(f"no command {name!r}{near}")

    def invoke(self, ctx: click.Context) -> Any:
        """Run a command; an interrupt ends it with one line."""
        try:
            return super().invoke(ctx)
        except KeyboardInterrupt:
            click.echo("pathgen: stopped", err=True)
            sys.exit(STOPPED)

    def main(self, args: Sequence[str] | None = None, *more: Any, **kwargs: Any) -> Any:
        """Show our own errors as one line; let bugs through."""
        try:
            _check_readable(sys.argv[1:] if args is None else args)
            return super().main(args, *more, **kwargs)
        except PathgenError as error:
            click.echo(f"pathgen: {error}", err=True)
            sys.exit(1)
        except OSError as error:
            if error.errno not in _NO_ROOM:
                raise
            reason = (error.strerror or "").lower()
            click.echo(f"pathgen: the answer could not be printed: {reason}", err=True)
            # What still waits to be printed would be tried again at the end, and told again.
            sys.stdout = None
            sys.exit(1)


def _check_readable(args: Sequence[str]) -> None:
    """Refuse bytes that are no signs: neither texts nor names with them could be written down."""
    for typed in args:
        if any("\udc80" <= sign <= "\udcff" for sign in typed):
            msg = (
                f"{typed!r} has a byte that is no sign in {sys.getfilesystemencoding()}; type it in"
                " a terminal that writes UTF-8, or give the file another name"
            )
            raise SettingsError(msg)


@click.group(cls=_LazyGroup, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="pathgen")
def main() -> None:
    """Plan small embroidered lettering, for review before digitizing.

    Letters of any font are split into stroke columns and filled with needle points; you get an
    annotated plot, every needle point in a table, and exact counts.
    """


# Objects made before the collector of reference cycles looks for some. One run makes many that
# live to its end, and Python's 700 would have it look hundreds of times in vain.
_COLLECT_EVERY = 100_000

# After so long a callback is surely over.
_AGAIN_S = 0.02


def hear_again() -> None:
    """Have an interrupt come again that fell into a place where Python drops what is raised.

    Such are callbacks when an object is let go, which imports have; the next one comes after them.
    """
    told = sys.unraisablehook

    def hook(dropped: "sys.UnraisableHookArgs", /) -> None:
        if not issubclass(dropped.exc_type, KeyboardInterrupt):
            told(dropped)
            return
        import _thread
        from threading import Timer

        Timer(_AGAIN_S, _thread.interrupt_main).start()

    sys.unraisablehook = hook


def start() -> None:
    """Run the command line in a process of its own."""
    gc.set_threshold(_COLLECT_EVERY)
    if signal.getsignal(signal.SIGINT) is signal.SIG_DFL:  # set in `pathgen.__main__`
        signal.signal(signal.SIGINT, signal.default_int_handler)
    hear_again()
    codecs.register_error("escaped", _escaped)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="escaped")
    try:
        main()
    finally:
        # All that is left goes with the process: no need to look through it for cycles first,
        # which would take a sixth of a plot's time.
        gc.freeze()


def _escaped(error: UnicodeError) -> tuple[str, int]:
    r"""Signs that the output's encoding lacks as ``\u0142``, which is right in JSON too."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    units = error.object[error.start : error.end].encode("utf-16-be", "surrogatepass").hex()
    escapes = (f"\\u{units[at : at + 4]}" for at in range(0, len(units), 4))
    return "".join(escapes), error.end
