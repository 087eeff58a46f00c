"""The smallest height at which a text can still be read once sewn, and what would make it smaller.

Heights lie on a grid of a tenth of a mm. A height passes if some choice of settings within the
recipe's limits gives the wanted verdict. Bisection finds the step between a height that fails and
one that passes. The one that passes is planned whole, and every choice is tried at the one that
fails: that is the proof. Larger is easier, if not strictly so from one tenth to the next: where one
of the next smaller heights passes as well, it is taken.
"""

from collections.abc import Sequence
from typing import Any, NamedTuple

from pathgen.advice.trying import Trying, choices
from pathgen.model import Level, Plan
from pathgen.verdicts import LetterReading, Tried, Verdict

__all__ = ["Help", "Least", "Smallest", "smallest_height"]

STEPS_PER_MM = 10
LEAST_MM, MOST_MM = 1.0, 32.0
"""Heights that are searched."""

CLOSELY = 3
"""So many steps below one that fails are looked at as well: it must not be a lone failure."""


class Least(NamedTuple):
    """Least height for a verdict.

    Attributes
    ----------
    verdict : Verdict
        What is reached.
    passes : Tried or None
        Height and settings that do; None if no height does.
    changed : tuple of str
        Settings that are not the recipe's there.
    fails : Tried or None
        The best of all choices one step lower; None if no lower height may be planned.
    remarks : tuple of str
        What else stands in the way of sewing it so.
    """

    verdict: Verdict
    passes: Tried | None
    changed: tuple[str, ...]
    fails: Tried | None
    remarks: tuple[str, ...]

    @property
    def limited_by(self) -> tuple[LetterReading, ...]:
        """The different letters that fail one step lower, the worst first."""
        if self.fails is None:
            return ()
        under = [r for r in self.fails.reading.letters if r.verdict < self.verdict]
        worst = sorted(under or self.fails.reading.letters, key=lambda r: (r.verdict, r.likeness))
        return tuple({row.text: row for row in reversed(worst)}.values())[::-1]


class Help(NamedTuple):
    """What would help: what to change, and the least height at which the text then reads well."""

    change: str
    height_mm: float


class Smallest(NamedTuple):
    """Least heights of a text in one thread.

    Attributes
    ----------
    thread, cloth, face : str
        What it is for.
    well, still : Least
        For reading well, and for reading at all.
    helps : tuple of Help
        What would help, the most first.
    """

    thread: str
    cloth: str
    face: str
    well: Least
    still: Least
    helps: tuple[Help, ...]


def smallest_height(trying: Trying, others: Sequence[tuple[str, Trying]] = ()) -> Smallest:
    """Least heights at which a text reads well, and still reads.

    Parameters
    ----------
    trying : Trying
        Text, face, thread and cloth.
    others : sequence of (str, Trying)
        What could be changed, and the text with that change; told where it helps.

    Raises
    ------
    PathgenError
        If the text cannot be planned.
    """
    ready = trying.ready(LEAST_MM)
    well, still = (_least(trying, v) for v in (Verdict.READS_WELL, Verdict.BORDERLINE))
    now = well.passes.height_mm if well.passes else MOST_MM
    helps = []
    for change, other in others:
        height = _bisected(other, Verdict.READS_WELL, only_recipe=True)
        if height is not None and height < now:
            helps.append(Help(change, height))
    return Smallest(
        thread=ready.settings.thread.name,
        cloth=ready.settings.cloth.name,
        face=ready.face.facts.name,
        well=well,
        still=still,
        helps=tuple(sorted(helps, key=lambda row: row.height_mm)),
    )


def _least(trying: Trying, verdict: Verdict) -> Least:
    """Least height for a verdict, with its proof."""
    height = _bisected(trying, verdict, only_recipe=False)
    while height is not None and height < MOST_MM:
        changes = _passing(trying, height, verdict)
        if changes is not None:
            sure, made = trying.sure(height, **changes)
            if sure.reading.verdict >= verdict:
                lower = _failing(trying, height)
                return Least(verdict, sure, tuple(changes), lower, _remarks(made))
        height = _up(height, 1)
    return Least(verdict, None, (), None, ())


def _remarks(made: Plan) -> tuple[str, ...]:
    """What else stands in the way of sewing it so: gravest findings, and letters that touch."""
    grave = dict.fromkeys(f.code for f in made.findings if f.level is Level.STOP)
    touching = [f.limit - f.measured for f in made.findings if f.code == "letters-touching"]
    more = (f"{max(touching):.2f} mm more letter spacing keeps letters apart",) if touching else ()
    return (*(f"stop {code.replace('-', ' ')}" for code in grave), *more)


def _failing(trying: Trying, height_mm: float) -> Tried | None:
    """The best that is reached one step below a height."""
    lower = _up(height_mm, -1)
    if lower < LEAST_MM:
        return None
    tried = [trying.at(lower, **changes) for changes in choices(trying, lower)]
    return max(tried, key=lambda one: (one.reading.verdict, one.reading.likeness))


def _bisected(trying: Trying, verdict: Verdict, *, only_recipe: bool) -> float | None:
    """Lowest step that passes while those just below it fail; None if none passes."""

    def passes(step: int) -> bool:
        height = step / STEPS_PER_MM
        if only_recipe:
            return trying.at(height).reading.verdict >= verdict
        return _passing(trying, height, verdict) is not None

    low, high = round(LEAST_MM * STEPS_PER_MM) - 1, round(4.0 * STEPS_PER_MM)
    while not passes(high):
        low, high = high, 2 * high
        if high > round(MOST_MM * STEPS_PER_MM):
            return None
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if passes(middle) else (middle, high)
        if high - low == 1:
            least = max(low - CLOSELY, round(LEAST_MM * STEPS_PER_MM) - 1)
            lower = [step for step in range(low - 1, least, -1) if passes(step)]
            low, high = (lower[-1] - 1, lower[-1]) if lower else (low, high)
    return high / STEPS_PER_MM


def _passing(trying: Trying, height_mm: float, verdict: Verdict) -> dict[str, Any] | None:
    """The fewest changes of the recipe's settings that reach a verdict; None if none do."""
    for changes in choices(trying, height_mm):
        if trying.at(height_mm, **changes).reading.verdict >= verdict:
            return changes
    return None


def _up(height_mm: float, steps: int) -> float:
    return (round(height_mm * STEPS_PER_MM) + steps) / STEPS_PER_MM
