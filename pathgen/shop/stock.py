"""Threads, needles and cloths by the names a shop uses for them.

A thread may also be given by its count in any system (`yarncount`), and a cloth by its file.
Errors list what there is and name the nearest.
"""

from dataclasses import replace

from pathgen.errors import SettingsError, did_you_mean
from pathgen.materials import Cloth, Needle, Thread
from pathgen.shop.shelves import Shop
from pathgen.shop.stocking import bundled
from pathgen.yarncount import tex_of

__all__ = ["cloth_named", "needle_named", "thread_named"]

_TEX_RANGE = (5.0, 120.0)


def thread_named(name: str, shop: Shop | None = None) -> Thread:
    """Thread for a weight such as ``40`` or ``60 wt``, or a count such as ``27tex``.

    A thread given by count has the least column of the nearest listed one, by its thickness.

    Raises
    ------
    SettingsError
        If it is neither a listed weight nor a count between 5 and 120 tex.
    """
    shop = shop or bundled()
    listed = shop.thread(name)
    if listed is not None:
        return listed
    tex = tex_of(name)
    if tex is None:
        names = [thread.key for thread in shop.threads]
        hint = did_you_mean(name, names)
        msg = (
            f"thread is {name!r}{hint}; choose a weight ({', '.join(names)}) or give a count "
            f"such as 27tex, 240den or Nm60/2"
        )
        raise SettingsError(msg)
    if not _TEX_RANGE[0] <= tex <= _TEX_RANGE[1]:
        msg = (
            f"thread is {name!r}, {tex:.4g} tex; allowed {_TEX_RANGE[0]:g} to {_TEX_RANGE[1]:g} tex"
        )
        raise SettingsError(msg)
    thread = Thread(label=f"{tex:.4g} tex", tex=tex, least_column_mm=0.0)
    near = shop.recipe_thread(thread)
    least = round(near.least_column_mm * thread.diameter_mm / near.diameter_mm, 2)
    said = ("least_column_mm", f"that of {near.label}, times its thickness beside it (ours)")
    return replace(thread, least_column_mm=least, origins=(("tex", "as given"), said))


def needle_named(name: str, shop: Shop | None = None) -> Needle:
    """Needle for a size such as ``75/11``, ``75`` or ``11``.

    Raises
    ------
    SettingsError
        If the size is not listed, or its two numbers do not belong together.
    """
    needles = (shop or bundled()).needles
    found = [int(part) for part in name.split("/") if part.strip().isdecimal()][:3]
    if len(found) == 1 and "/" not in name:
        by_size = [n for n in needles if n.size == found[0]]
        by_number = [n for n in needles if n.number == found[0]]
        for needle in by_size + by_number:
            return needle
    if len(found) == 2:
        for needle in needles:
            if [needle.size, needle.number] == found:
                return needle
    msg = f"needle is {name!r}; choose one of {', '.join(n.label for n in needles)}"
    raise SettingsError(msg)


def cloth_named(name: str, shop: Shop | None = None) -> Cloth:
    """Cloth by its name, or by a cloth file, whose name ends in ``.toml``.

    Raises
    ------
    SettingsError
        If it is not listed, or the file cannot be used.
    """
    shop = shop or bundled()
    if name.lower().endswith(".toml"):
        from pathgen.shop.clothfile import cloth_from  # only such plans need the schema

        return cloth_from(name, shop)
    cloth = shop.cloth(name)
    if cloth is None:
        names = [cloth.name for cloth in shop.cloths]
        every = [*names, *(also for cloth in shop.cloths for also in cloth.also)]
        msg = f"cloth is {name!r}{did_you_mean(name, every)}; choose one of {', '.join(names)}"
        raise SettingsError(msg)
    return cloth
