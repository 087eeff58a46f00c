"""``pathgen smallest``: the least height at which a text can be read once sewn."""

from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING, Any

import click

from pathgen.cli.command import Command
from pathgen.cli.inputs import as_typed
from pathgen.cli.plan_options import plan_options
from pathgen.cli.saying import say, say_json
from pathgen.cli.trying_options import kept_params, trying_of
from pathgen.cli.waiting import told_when_long

if TYPE_CHECKING:
    from pathgen.advice.smallest import Least, Smallest
    from pathgen.advice.trying import Trying

__all__ = ["smallest"]

_LETTERS_NAMED = 6


@click.command(cls=Command)
@click.argument("text", nargs=-1, required=True)
@plan_options
@click.option("--json", "as_json", is_flag=True, help="Print the answer as JSON, nothing else.")
def smallest(text: tuple[str, ...], as_json: bool, thread: tuple[str, ...], **asked: Any) -> None:
    """Find the least height of capitals at which TEXT reads well, and at which it still reads.

    Spacing, allowance and underlay are searched within what the recipe of the thread allows;
    what you give stays as it is. The height one tenth of a mm lower is shown to fail, with the
    letters that fail it, and what would help: another thread, capitals only, another face. Give
    --thread several times to see each.

    \b
    pathgen smallest "Harbour Bakery"
    pathgen smallest "Harbour Bakery" --thread 40 --thread 60 --cloth pique
    """
    # \b above keeps click from wrapping the examples.
    from pathgen.advice.smallest import smallest_height
    from pathgen.writers.summary import one_line
    from pathgen.writers.wording import CAUTION, lettering_as_written

    typed = as_typed(click.get_current_context().command.params)
    with typed, told_when_long("searching") as told:
        found = []
        for one in dict.fromkeys(thread or (None,)):
            trying = trying_of(
                text, asked, _teller(told, f"thread {one}" if one else ""), thread=one
            )
            found.append(smallest_height(trying, list(_others(text, asked, trying, told))))
    if as_json:
        data = [_data(one) for one in found]
        say_json({"answers": data, "caution": list(CAUTION)})
        return
    click.echo(one_line(lettering_as_written(trying.lines)))
    for answer in found:
        say([one_line(line) for line in _lines(answer)])
    click.echo(" ".join(CAUTION))


def _teller(told: Callable[[str], None], what: str) -> Callable[[float], None]:
    """Tells in what, and at which height, is searched."""
    within = f" {what}" if what else ""
    return lambda height_mm: told(f"searching{within} at {height_mm:.1f} mm")


def _others(
    text: Sequence[str], asked: dict[str, Any], trying: "Trying", told: Callable[[str], None]
) -> Iterator[tuple[str, "Trying"]]:
    """What could be changed, and the text with it."""
    from pathgen.advice.smallest import LEAST_MM
    from pathgen.lettering.bundled import bundled_faces
    from pathgen.shop.recipes import finer_threads

    ready, now = trying.ready(LEAST_MM), trying.asked.get("thread")
    for finer in finer_threads(ready.settings.thread, trying.asked.get("shop")):
        help_ = f"{finer.label} thread"
        yield help_, trying_of(text, asked, _teller(told, help_), thread=finer.key)
    capitals = [line.upper() for line in text]
    if capitals != list(text):
        help_ = "capitals only"
        yield help_, trying_of(capitals, asked, _teller(told, help_), thread=now)
    for face, path in bundled_faces().items():
        if str(path) != ready.face.facts.source:
            help_ = f"face {face}"
            yield help_, trying_of(text, asked, _teller(told, help_), thread=now, face=face)


def _lines(answer: "Smallest") -> Iterator[str]:
    """An answer in one thread."""
    yield f"  {answer.thread} on {answer.cloth}, {answer.face}"
    for said, least in (("reads well", answer.well), ("still reads", answer.still)):
        yield from _least_lines(said, least)
    helps = [f"{row.change}: from {row.height_mm:.1f} mm" for row in answer.helps]
    if helps:
        yield f"    to read well smaller  {'; '.join(helps)}"
    passed = answer.well.passes or answer.still.passes
    if passed is not None:
        yield f"    {passed.reading.origin}; every choice of settings fails one tenth lower"


def _least_lines(said: str, least: "Least") -> Iterator[str]:
    """Height, settings and the proof."""
    from pathgen.writers.wording import amount

    if least.passes is None:
        yield f"    {said}  at no height up to 32 mm"
        return
    one = least.passes
    changed = {"spacing_mm": "spacing", "pull_mm": "allowance", "underlay": "underlay"}
    own = ", ".join(changed[name] for name in least.changed)
    yield (
        f"    {said:<11} from {one.height_mm:.1f} mm  spacing {amount(one.spacing_mm)}, allowance"
        f" {amount(one.pull_mm)} a side, underlay {one.underlay.replace('-', ' ')}"
        f" ({f'{own} not as the recipe' if own else 'the recipe'})"
    )
    if least.remarks:
        yield f"      at {one.height_mm:.1f} mm also: {'; '.join(least.remarks)}"
    if least.fails is not None:
        letters = [f"{r.text} (like {r.looks_like})" for r in least.limited_by[:_LETTERS_NAMED]]
        yield (
            f"      not at {least.fails.height_mm:.1f} mm: likeness"
            f" {least.fails.reading.likeness:.3f}; first to fail {', '.join(letters)}"
        )


def _data(answer: "Smallest") -> dict[str, Any]:
    """An answer as plain data."""
    return {
        "cloth": answer.cloth,
        "face": answer.face,
        "helps": [{"change": row.change, "height_mm": row.height_mm} for row in answer.helps],
        "reads_well": _least_data(answer.well),
        "still_reads": _least_data(answer.still),
        "thread": answer.thread,
    }


def _least_data(least: "Least") -> dict[str, Any] | None:
    if least.passes is None:
        return None
    one, fails = least.passes, least.fails
    return {
        "changed": list(least.changed),
        "fails_at_mm": None if fails is None else fails.height_mm,
        "height_mm": one.height_mm,
        "likeness": round(one.reading.likeness, 3),
        "limited_by": [
            {"letter": r.text, "looks_like": r.looks_like, "margin": round(r.margin, 3)}
            for r in least.limited_by[:_LETTERS_NAMED]
        ],
        "pull_mm": one.pull_mm,
        "remarks": list(least.remarks),
        "spacing_mm": one.spacing_mm,
        "underlay": one.underlay,
        "verdict": one.reading.verdict.word,
    }


smallest.params = kept_params(smallest.params, ("text", "as_json"), ("thread",))
