"""Words that the plot and the summary share: findings grouped, settings, figures, the caution.

Equal findings are told once: one line a code, with how many places and the letters
concerned, never one line a place. Nothing is left out; the needle positions of each stay in
the finding itself.
"""

import math
from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from pathgen.model import Finding, Level, Plan

__all__ = [
    "CAUTION",
    "FindingGroup",
    "all_of",
    "amount",
    "crowding_said",
    "duration",
    "figure",
    "finding_groups",
    "grouped_thousands",
    "heights_named",
    "lettering_as_written",
    "lettering_of",
    "level_counts",
    "lines_named",
    "measured_words",
    "most_crowded",
    "narrowest_mm",
    "numbers_named",
    "overlaps",
    "plural",
    "sewn_size_mm",
    "speeds_named",
    "thread_length",
]

CAUTION = (
    "An estimate until it has been sewn.",
    "Needles can break where stitches crowd: wear eye protection and check for broken needle"
    " parts, above all in children's wear.",
    "The machine's manual, local rules and the trained operator come first.",
)
"""Said on every plot and summary, one thought a sentence."""

SHORT_UNIT = 4
"""Longest unit, in characters, that is said twice in one line."""

MOST_LETTERS_NAMED = 12
"""Letters named in a finding's line; further ones are only counted."""


class FindingGroup(NamedTuple):
    """Findings of one code and level.

    Attributes
    ----------
    number : int
        Place in the list, from 1; what the plot's markers show.
    level : Level
        Level of all of them.
    members : tuple of Finding
        As they came.
    letters : tuple of str
        The letters concerned, as written, each once, in order of appearance.
    """

    number: int
    level: Level
    members: tuple[Finding, ...]
    letters: tuple[str, ...]

    @property
    def worst(self) -> Finding:
        """The member farthest from its limit."""
        return max(self.members, key=lambda f: abs(f.measured - f.limit))

    @property
    def name(self) -> str:
        """The code as words, such as ``narrow column``."""
        return self.worst.code.replace("-", " ")

    @property
    def figures(self) -> str:
        """What was measured and the limit, of the worst member."""
        worst = self.worst
        if not (math.isfinite(worst.measured) and math.isfinite(worst.limit)):
            return ""
        limit_unit = worst.unit if len(worst.unit) <= SHORT_UNIT else ""
        apart = " apart" if overlaps(worst) else ""
        return f"{measured_words(worst)}, limit {figure(worst.limit, limit_unit)}{apart}"

    @property
    def places(self) -> str:
        """How many places, and in which letters."""
        return self.places_named(MOST_LETTERS_NAMED)

    def places_named(self, most: int) -> str:
        """How many places, and in which letters, at most so many of them."""
        count = len(self.members)
        said = f"{count} places," if count > 1 else ""
        if not self.letters:
            return said.rstrip(",")
        named = " ".join(self.letters[:most])
        more = len(self.letters) - most
        return f"{said + ' ' if said else ''}in {named}" + (f" and {more} more" if more > 0 else "")


def overlaps(finding: Finding) -> bool:
    """Whether what should be a gap is none: the sides lie over one another."""
    return finding.unit == "mm" and round(finding.measured, 3) < 0.0


def measured_words(finding: Finding) -> str:
    """What was measured, an overlap as such and not as a negative gap."""
    if overlaps(finding):
        return f"{figure(-finding.measured)} overlap"
    return figure(finding.measured, finding.unit)


@lru_cache(maxsize=1)  # asked for again and again while one plan is written
def finding_groups(plan: Plan) -> tuple[FindingGroup, ...]:
    """Findings gathered by level and code, gravest first, else in order of appearance."""
    gathered: dict[tuple[Level, str], list[Finding]] = {}
    for finding in plan.findings:
        gathered.setdefault((finding.level, finding.code), []).append(finding)
    written = {(letter.line, letter.index): letter.text for letter in plan.letters}
    in_order = sorted(gathered.items(), key=lambda item: -item[0][0])
    groups = []
    for number, ((level, _), members) in enumerate(in_order, start=1):
        where = ((f.line, f.letter) for f in members)
        letters = tuple(dict.fromkeys(written[at] for at in where if at in written))
        groups.append(
            FindingGroup(number=number, level=level, members=tuple(members), letters=letters)
        )
    return tuple(groups)


def level_counts(plan: Plan) -> dict[str, int]:
    """How many findings of each level, gravest first, every level named."""
    levels = [finding.level for finding in plan.findings]
    return {level.word: levels.count(level) for level in sorted(Level, reverse=True)}


def lines_named(lines: Sequence[int]) -> str:
    """Lines by number; see `numbers_named`."""
    return numbers_named("line", lines)


def numbers_named(noun: str, lines: Sequence[int]) -> str:
    """Things by their numbers, three or more in a row as a range.

    Examples
    --------
    >>> numbers_named("line", [1, 3]), numbers_named("row", [1, 3, 4, 5])
    ('lines 1, 3', 'rows 1, 3–5')
    """
    runs: list[list[int]] = []
    for line in lines:
        if runs and line == runs[-1][-1] + 1:
            runs[-1].append(line)
        else:
            runs.append([line])
    said: list[str] = []
    for run in runs:
        said += [f"{run[0]}–{run[-1]}"] if len(run) > 2 else map(str, run)
    return f"{noun}{'s' if len(lines) > 1 else ''} {', '.join(said)}"


def all_of(words: Iterable[str]) -> str:
    """Each word once, in order, such as ``75/11 and 65/9``.

    Examples
    --------
    >>> all_of(["6", "3", "6", "4 mm"])
    '6, 3 and 4 mm'
    """
    once = list(dict.fromkeys(words))
    return " and ".join([", ".join(once[:-1]), once[-1]] if len(once) > 1 else once)


def heights_named(plan: Plan) -> str:
    """Capital heights of the lines, such as ``5 mm`` or ``6 and 3 mm``."""
    rows = (line for line in plan.by_line if not line.is_label)
    heights = all_of(amount(line.settings.height_mm, "") for line in rows)
    return f"{heights} mm"


def speeds_named(plan: Plan) -> str:
    """Speeds of the lines, such as ``600`` or ``800 and 600``."""
    return all_of(amount(line.settings.speed_spm, "") for line in plan.by_line)


def plural(count: int, noun: str) -> str:
    """A count with its noun, such as ``2 trims``."""
    return f"{grouped_thousands(count)} {noun}" + ("" if count == 1 else "s")


@lru_cache(maxsize=1024)
def amount(value: float, unit: str = "mm") -> str:
    """A quantity with its unit, at most three decimals and no trailing zeros.

    Examples
    --------
    >>> amount(0.5)
    '0.5 mm'
    >>> amount(-0.0001)
    '0 mm'
    """
    text = f"{round(value, 3) + 0.0:.3f}".rstrip("0").rstrip(".")
    return f"{text} {unit}".rstrip()


def figure(value: float, unit: str = "mm") -> str:
    """A quantity that was measured: three digits that count, so hundredths from 1 on.

    Examples
    --------
    >>> figure(0.2975), figure(1.2623), figure(27.122, "per mm2")
    ('0.297 mm', '1.26 mm', '27.1 per mm2')
    """
    decimals = 3 if abs(value) < 1.0 else 2 if abs(value) < 10.0 else 1
    return amount(round(value, decimals), unit)


def narrowest_mm(plan: Plan) -> float:
    """Usual width of the narrowest column, allowance included; NaN where there is none."""
    return min(
        (
            column.usual_width + 2.0 * plan.by_line[letter.line - 1].settings.pull_mm
            for letter in plan.letters
            for column in letter.shape.columns
        ),
        default=math.nan,
    )


@lru_cache(maxsize=1)
def crowding_said(plan: Plan) -> str:
    """Most penetrations per mm2 and the limit there; empty where that is not known."""
    crowding, row = plan.crowding, most_crowded(plan)
    if crowding is None or row is None:
        return ""
    return f"{crowding.per_mm2[row]:.1f} of {crowding.limit_per_mm2[row]:.1f}/mm2"


def most_crowded(plan: Plan) -> int | None:
    """Row of the needle table where most of what is borne is reached; None if not known."""
    crowding = plan.crowding
    if crowding is None or not len(crowding.per_mm2):
        return None
    return int(np.argmax(crowding.per_mm2 / crowding.limit_per_mm2))


def grouped_thousands(count: int) -> str:
    """A count with commas, such as ``1,204``."""
    return f"{count:,}"


def duration(seconds: float) -> str:
    """Machine time to the second below a minute, else to a tenth of a minute.

    From an hour and a half on it is told in hours and minutes, as in a quote.

    Examples
    --------
    >>> duration(59.4), duration(59.6), duration(5399.0), duration(5400.0), duration(7195.0)
    ('59 s', '1.0 min', '90.0 min', '1 h 30 min', '2 h 00 min')
    """
    if seconds < 59.5:
        return f"{seconds:.0f} s"
    if seconds < 5400.0:
        return f"{seconds / 60.0:.1f} min"
    whole = math.floor(seconds / 60.0 + 0.5)
    return f"{whole // 60} h {whole % 60:02d} min"


def thread_length(length_mm: float) -> str:
    """Thread in metres to a tenth."""
    return f"{length_mm / 1000.0:.1f} m"


def sewn_size_mm(plan: Plan) -> tuple[float, float]:
    """Width and height between the outermost needle points; zeros for none."""
    if not len(plan.needles):
        return 0.0, 0.0
    x, y = plan.needles["x_mm"], plan.needles["y_mm"]
    return float(x.max() - x.min()), float(y.max() - y.min())


def lettering_of(plan: Plan) -> str:
    """The lettering that was asked for, in one line; labels of a panel's rows are none."""
    return lettering_as_written([line.text for line in plan.by_line if not line.is_label])


def lettering_as_written(lines: Sequence[str]) -> str:
    """The lines in one, parted by a slash; one that comes more than twice is told once."""
    if len(lines) > 2 and len(set(lines)) == 1:
        return f"{lines[0]} ({len(lines)} times)"
    return " / ".join(lines)
