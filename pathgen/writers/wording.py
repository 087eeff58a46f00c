"""Words that the plot and the summary share: findings grouped, settings, figures, the caution.

Equal findings are told once: one line a code, with how many places and the letters
concerned, never one line a place. Nothing is left out; the needle positions of each stay in
the finding itself.
"""

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from pathgen.model import Finding, Level, Plan

__all__ = [
    "CAUTION",
    "FindingGroup",
    "SettingRow",
    "amount",
    "duration",
    "finding_groups",
    "grouped_thousands",
    "lettering_as_written",
    "level_counts",
    "setting_rows",
    "sewn_size_mm",
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
        return f"{amount(worst.measured, worst.unit)}, limit {amount(worst.limit, limit_unit)}"

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


class SettingRow(NamedTuple):
    """One setting as a reader sees it, with where the value came from."""

    name: str
    value: str
    origin: str


def setting_rows(plan: Plan) -> tuple[SettingRow, ...]:
    """Every setting that bears on this plan; those of lines and arcs only if there are any."""
    s = plan.settings
    rows = [
        ("height_mm", "capital height", amount(s.height_mm)),
        ("thread", "thread", f"{s.thread.label}, {amount(round(s.thread.tex, 1), 'tex')}"),
        ("needle", "needle", s.needle.label),
        ("cloth", "cloth", s.cloth.name),
        ("spacing_mm", "spacing, same side", amount(s.spacing_mm)),
        ("pull_mm", "pull allowance, each side", amount(s.pull_mm)),
        ("underlay", "underlay", s.underlay.replace("-", " ")),
        ("run_mm", "longest running stitch", amount(s.run_mm)),
        ("least_column_mm", "least column", amount(s.least_column_mm)),
        ("join_mm", "gaps joined up to", amount(s.join_mm)),
        ("least_stitch_mm", "points keep apart", amount(s.least_stitch_mm)),
        ("speed_spm", "speed", f"{amount(s.speed_spm, '')} stitches a minute"),
    ]
    if s.sewing != "reading":
        rows.append(("sewing", "letters sewn", s.sewing.replace("-", " ")))
    if s.tracking_mm:
        rows.append(("tracking_mm", "added between letters", amount(s.tracking_mm)))
    if s.ligatures:
        rows.append(("ligatures", "ligatures", "on"))
    if len(plan.lines) > 1:
        rows.append(("line_spacing_mm", "baseline to baseline", amount(s.line_spacing_mm)))
        rows.append(("align", "lines set", s.align))
    if s.arc_mm is not None:
        rows.append(("arc_mm", "arc radius", f"{amount(s.arc_mm)}, {s.arc_side}"))
    return tuple(
        SettingRow(name=name, value=value, origin=s.origins.get(field, "default"))
        for field, name, value in rows
    )


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


def grouped_thousands(count: int) -> str:
    """A count with commas, such as ``1,204``."""
    return f"{count:,}"


def duration(seconds: float) -> str:
    """Machine time to the second below a minute, else to a tenth of a minute."""
    return f"{seconds:.0f} s" if seconds < 59.5 else f"{seconds / 60.0:.1f} min"


def thread_length(length_mm: float) -> str:
    """Thread in metres to a tenth."""
    return f"{length_mm / 1000.0:.1f} m"


def sewn_size_mm(plan: Plan) -> tuple[float, float]:
    """Width and height between the outermost needle points; zeros for none."""
    if not len(plan.needles):
        return 0.0, 0.0
    return float(np.ptp(plan.needles["x_mm"])), float(np.ptp(plan.needles["y_mm"]))


def lettering_as_written(lines: Sequence[str]) -> str:
    """The lines in one, parted by a slash."""
    return " / ".join(lines)
