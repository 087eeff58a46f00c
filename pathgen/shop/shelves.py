"""What a shop knows, as one value: threads, needles, cloths, recipes and defaults.

Every function that asks the shop takes such a value; the bundled one is the default, and a
user's own files make another (`shopfile`).
"""

from dataclasses import dataclass

from pathgen.materials import Cloth, Needle, Thread

__all__ = ["Defaults", "Recipe", "Shop", "plain_name"]


def plain_name(name: str) -> str:
    """A name as it is looked up: lower case, single spaces, hyphens as spaces.

    Examples
    --------
    >>> plain_name(" Leather-like ")
    'leather like'
    """
    return " ".join(name.lower().replace("-", " ").split())


@dataclass(frozen=True, slots=True, kw_only=True)
class Recipe:
    """What a thread is sewn with at one height.

    Attributes
    ----------
    thread : str
        Name of the thread.
    height_mm, spacing_mm, pull_mm, speed_spm : float
        As in `Settings`.
    underlay : str
        As in `Settings`.
    needle : int
        Metric size.
    origin : str
        Where the row is from.
    file : str
        The user's shop file that it is in; empty for a bundled row.
    """

    thread: str
    height_mm: float
    spacing_mm: float
    pull_mm: float
    underlay: str
    needle: int
    speed_spm: float = 600.0
    origin: str = ""
    file: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Defaults:
    """What is taken where nothing is asked for; fields as in `Settings`."""

    thread: str = ""
    cloth: str = ""
    height_mm: float = 5.0
    line_spacing_heights: float = 1.7


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """What a shop knows; hashable, and may be sent to another process.

    Attributes
    ----------
    threads, needles, cloths, recipes : tuple
        In the order in which they are listed.
    fibres : tuple of (str, float)
        Density of each fibre in g/cm3.
    defaults : Defaults
        What is taken where nothing is asked for.
    """

    threads: tuple[Thread, ...] = ()
    needles: tuple[Needle, ...] = ()
    cloths: tuple[Cloth, ...] = ()
    recipes: tuple[Recipe, ...] = ()
    fibres: tuple[tuple[str, float], ...] = ()
    defaults: Defaults = Defaults()

    def thread(self, name: str) -> Thread | None:
        """Thread of that name; None if there is none."""
        key = plain_name(name).removesuffix("wt").strip()
        known = {plain_name(t.key).replace(" wt", ""): t for t in self.threads}
        return known.get(key, known.get(key.replace(" wt", "")))

    def needle(self, size: int) -> Needle | None:
        """Needle of that metric size; None if there is none."""
        return next((n for n in self.needles if n.size == size), None)

    def cloth(self, name: str) -> Cloth | None:
        """Cloth of that name, or also called so; None if there is none."""
        key = plain_name(name)
        known = {plain_name(also): c for c in self.cloths for also in c.also}
        return (known | {plain_name(c.name): c for c in self.cloths}).get(key)

    def rows(self, thread: str) -> tuple[Recipe, ...]:
        """Recipe rows of a thread, lowest height first."""
        rows = (row for row in self.recipes if row.thread == thread)
        return tuple(sorted(rows, key=lambda row: row.height_mm))

    def recipe_threads(self) -> tuple[Thread, ...]:
        """Threads that have a recipe of their own, as listed."""
        having = {row.thread for row in self.recipes}
        return tuple(t for t in self.threads if t.key in having)

    def recipe_thread(self, thread: Thread) -> Thread:
        """Thread whose recipe a thread takes: its own, else that of the nearest in tex."""
        having = self.recipe_threads()
        own = [t for t in having if t.key == thread.key]
        return own[0] if own else min(having, key=lambda t: abs(t.tex - thread.tex))
