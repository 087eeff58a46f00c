"""Facts from outside the project, each with what we make of it: checked, and listed in OUTSIDE.md.

A fact is a function that works out our figure, told apart by ``@fact``. To list them anew after a
change:

    python tests/facts.py
"""

import math
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

TABLE = Path(__file__).parent / "OUTSIDE.md"
MEMORY = "from memory"

_HEAD = """# What is checked against something outside the project

Made by `python tests/facts.py`; `tests/test_outside.py` checks every row, and that this file is
what a run makes. *Tolerance* is how far ours may lie off; 0 means exactly the same. Sources that
nobody could look up for this are marked "from memory". Many more tests name their sources beside
them; these are the ones that come down to a figure.
"""


@dataclass(frozen=True)
class Fact:
    """Something known outside, and our own figure for it."""

    area: str
    what: str
    value: float | str
    tolerance: float
    source: str
    ours: Callable[[], float | str]

    def agrees(self, found: float | str) -> bool:
        """Whether our figure is within the tolerance."""
        if isinstance(self.value, str) or isinstance(found, str):
            return found == self.value
        return math.isclose(found, self.value, rel_tol=0.0, abs_tol=self.tolerance)


FACTS: list[Fact] = []


def fact(area: str, what: str, value: float | str, tolerance: float, source: str):
    """Note the function below as our own figure for something known."""

    def noted(ours: Callable[[], float | str]) -> Callable[[], float | str]:
        FACTS.append(Fact(area, what, value, tolerance, source, ours))
        return ours

    return noted


def load() -> list[Fact]:
    """All facts, in the order of their files."""
    import facts_files  # noqa: F401
    import facts_shapes  # noqa: F401
    import facts_trade  # noqa: F401

    return FACTS


def shown(value: float | str, tolerance: float) -> str:
    """A figure to the digits that its tolerance asks for, so that no machine shows others."""
    if isinstance(value, str):
        return value
    if tolerance <= 0.0:
        return f"{value:.10g}"
    decimals = max(0, 1 - math.floor(math.log10(tolerance)))
    text = f"{round(value, decimals) + 0.0:.{decimals}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def table(facts: list[Fact]) -> str:
    """The facts as a Markdown page, area by area."""
    lines = [_HEAD.rstrip()]
    for area in dict.fromkeys(one.area for one in facts):
        rows = [one for one in facts if one.area == area]
        lines += ["", f"## {area}", "", "| what | known | ours | tolerance | source |"]
        lines += ["| --- | ---: | ---: | ---: | --- |"]
        for one in rows:
            known = one.value if isinstance(one.value, str) else f"{one.value:.10g}"
            ours = shown(one.ours(), one.tolerance)
            lines.append(f"| {one.what} | {known} | {ours} | {one.tolerance:g} | {one.source} |")
    return "\n".join(lines) + f"\n\n{len(facts)} rows.\n"


if __name__ == "__main__":
    sys.modules["facts"] = sys.modules["__main__"]
    TABLE.write_text(table(load()), encoding="utf-8")
