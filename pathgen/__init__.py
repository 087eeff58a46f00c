"""Plan small embroidered lettering: columns, needle points and exact counts from any font.

Names are loaded when first used, so that ``import pathgen`` costs nothing.
"""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathgen.columns.split import split
    from pathgen.errors import FontError, OutputError, PathgenError, SettingsError, TextError
    from pathgen.legibility import read
    from pathgen.lines import SewingField
    from pathgen.materials import Cloth, Needle, Thread
    from pathgen.model import Column, Count, Finding, Letter, Level, Plan
    from pathgen.needles import Arrive, Part, Side
    from pathgen.pipeline import plan, write_plan
    from pathgen.settings import Settings
    from pathgen.sewnlook import SewnLook
    from pathgen.shop.shelves import Shop
    from pathgen.shop.shopfile import shop_with
    from pathgen.verdicts import LetterReading, Reading, Verdict

__version__ = "0.1.0"

__all__ = [
    "Arrive",
    "Cloth",
    "Column",
    "Count",
    "Finding",
    "FontError",
    "Letter",
    "LetterReading",
    "Level",
    "Needle",
    "OutputError",
    "Part",
    "PathgenError",
    "Plan",
    "Reading",
    "Settings",
    "SettingsError",
    "SewingField",
    "SewnLook",
    "Shop",
    "Side",
    "TextError",
    "Thread",
    "Verdict",
    "plan",
    "read",
    "shop_with",
    "split",
    "write_plan",
]

_HOME = {
    **dict.fromkeys(("plan", "write_plan"), "pathgen.pipeline"),
    "read": "pathgen.legibility",
    "split": "pathgen.columns.split",
    **dict.fromkeys(
        ("FontError", "OutputError", "PathgenError", "SettingsError", "TextError"),
        "pathgen.errors",
    ),
    **dict.fromkeys(("Arrive", "Part", "Side"), "pathgen.needles"),
    **dict.fromkeys(("Cloth", "Needle", "Thread"), "pathgen.materials"),
    "Settings": "pathgen.settings",
    "SewingField": "pathgen.lines",
    "SewnLook": "pathgen.sewnlook",
    **dict.fromkeys(("LetterReading", "Reading", "Verdict"), "pathgen.verdicts"),
    "Shop": "pathgen.shop.shelves",
    "shop_with": "pathgen.shop.shopfile",
}


def __getattr__(name: str) -> object:
    """Load a public name from its home."""
    if name not in __all__:
        msg = f"module 'pathgen' has no attribute {name!r}"
        raise AttributeError(msg)
    from importlib import import_module

    return getattr(import_module(_HOME.get(name, "pathgen.model")), name)


def __dir__() -> list[str]:
    """List the public names."""
    return sorted([*__all__, "__version__"])
