"""Try settings on a text: how it then reads, by height, spacing, allowance and underlay.

Letters are judged one by one, so only the different ones of a text are planned, once each, and a
search of a hundred tries takes seconds. The few plans that an answer rests on are made whole.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import product
from typing import Any

from pathgen.legibility import read
from pathgen.lettering.text import checked_lines, is_blank
from pathgen.lines import AskedLine
from pathgen.model import Plan
from pathgen.pipeline import plan_ready
from pathgen.ready import ReadyLine, ready_line
from pathgen.review.reading import reading_of
from pathgen.settings import Settings
from pathgen.shop.recipes import settings_range
from pathgen.verdicts import Reading, Tried

__all__ = ["Trying", "choices"]

# Letters of these scripts look the same in any company; others may join their neighbours.
_ALONE = ("LATIN", "GREEK", "CYRILLIC", "DIGIT")


class Trying:
    """A text with its face, thread and cloth, on which settings are tried.

    Parameters
    ----------
    lines : sequence of str
        The text.
    face, index, axes, asked
        As in `AskedLine`; ``asked`` without a height.
    tell : function of a height, optional
        Told in mm at which height is being tried, before each try.
    """

    def __init__(
        self,
        lines: Sequence[str],
        *,
        face: Any = None,
        index: int = 0,
        axes: Mapping[str, float] | None = None,
        asked: Mapping[str, Any] | None = None,
        tell: Callable[[float], None] | None = None,
    ) -> None:
        self.lines = tuple(lines)
        self.clusters = [c for line in checked_lines(lines) for c in line if not is_blank(c)]
        self.face, self.index, self.axes = face, index, dict(axes or {})
        self.asked = dict(asked or {})
        self._tell = tell or (lambda _: None)
        self._letters = _stand_alone(self.clusters)
        self._known: dict[tuple[Any, ...], Tried] = {}

    def ready(self, height_mm: float, **changes: Any) -> ReadyLine:
        """Face and settings for a height, with some settings changed from the recipe's."""
        asked = {**self.asked, "height_mm": height_mm, **changes}
        return ready_line(
            AskedLine(text="", face=self.face, index=self.index, axes=self.axes, asked=asked)
        )

    def at(self, height_mm: float, **changes: Any) -> Tried:
        """How the text reads at a height, by its different letters; stitches are estimated."""
        key = (height_mm, *sorted(changes.items()))
        if key not in self._known:
            self._tell(height_mm)
            ready = self.ready(height_mm, **changes)
            if self._letters is None:
                made = self.whole(height_mm, **changes)
                reading = read(made)
            else:
                made = plan_ready([(self._letters, ready)])
                of_one = read(made)
                row_of = {row.text: row for row in of_one.letters}
                rows = [row_of[cluster] for cluster in self.clusters]
                reading = reading_of(rows, ready.settings, of_one.compared_with)
            counts = {c.text: c.stitches for c in made.counts if c.scope == "letter"}
            stitches = sum(counts.get(cluster, 0) for cluster in self.clusters)
            self._known[key] = _tried(ready.settings, reading, stitches)
        return self._known[key]

    def whole(self, height_mm: float, **changes: Any) -> Plan:
        """The whole text planned."""
        ready = self.ready(height_mm, **changes)
        return plan_ready([(line, ready) for line in self.lines])

    def sure(self, height_mm: float, **changes: Any) -> tuple[Tried, Plan]:
        """How the whole text reads, planned as it will be sewn, and that plan."""
        made = self.whole(height_mm, **changes)
        return _tried(made.settings, read(made), made.whole.stitches), made


def _tried(settings: Settings, reading: Reading, stitches: int) -> Tried:
    return Tried(
        height_mm=settings.height_mm,
        spacing_mm=settings.spacing_mm,
        pull_mm=settings.pull_mm,
        underlay=settings.underlay,
        stitches=stitches,
        reading=reading,
    )


def _stand_alone(clusters: Sequence[str]) -> str | None:
    """The different letters in one line; None if a letter may look otherwise in company."""
    import unicodedata

    signs = [sign for cluster in clusters for sign in cluster if sign.isalpha()]
    if any(not unicodedata.name(sign, "").startswith(_ALONE) for sign in signs):
        return None
    return "".join(dict.fromkeys(clusters))


def choices(trying: Trying, height_mm: float) -> Iterator[dict[str, Any]]:
    """Changes of settings that may be tried at a height: none first, then ever more of them.

    Spacing, allowance and underlay stay within what the recipe of the thread allows
    (`settings_range`); what the user asked for stays as it is.
    """
    settings = trying.ready(height_mm).settings
    spacings, pulls = settings_range(settings, trying.asked.get("shop"))
    options: dict[str, Sequence[Any]] = {
        "spacing_mm": (settings.spacing_mm, *spacings),
        "pull_mm": (settings.pull_mm, *pulls),
        "underlay": (settings.underlay, "none"),
    }
    kept = {
        name: list(dict.fromkeys(values if name not in trying.asked else values[:1]))
        for name, values in options.items()
    }
    usual = {name: values[0] for name, values in kept.items()}
    every = [dict(zip(kept, values, strict=True)) for values in product(*kept.values())]
    changed = [{k: v for k, v in one.items() if v != usual[k]} for one in every]
    yield from sorted(changed, key=len)
