"""Units: everything inside is plain float mm; other units exist only at the edge.

1 in = 25.4 mm exactly (international inch); 1 pt = 1/72 in (CSS Values and Units, section 6.2).
"""

import math
import re

from pathgen.errors import SettingsError

__all__ = ["MM_PER_UNIT", "mm_per_font_unit", "parse_length_mm"]

MM_PER_UNIT = {"mm": 1.0, "cm": 10.0, "in": 25.4, "pt": 25.4 / 72.0}

_LENGTH = re.compile(r"\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?)\s*([a-z]*)\s*", re.IGNORECASE)


def mm_per_font_unit(height_mm: float, cap_height_fu: float) -> float:
    """Scale that makes a letter of ``cap_height_fu`` font units ``height_mm`` tall."""
    return height_mm / cap_height_fu


def parse_length_mm(text: str, name: str = "length") -> float:
    """Millimetres written as a number with an optional unit: mm (default), cm, in or pt.

    Raises
    ------
    SettingsError
        If the text is not a finite number followed by one of the four units.

    Examples
    --------
    >>> parse_length_mm("0.25in")
    6.35
    >>> parse_length_mm("4")
    4.0
    """
    match = _LENGTH.fullmatch(text)
    unit = match[2].lower() or "mm" if match else ""
    if match is None or unit not in MM_PER_UNIT or not math.isfinite(float(match[1])):
        point = text.strip().replace(",", ".")
        if "," in text and _LENGTH.fullmatch(point):
            msg = f"{name} is {text!r}; write a point for the comma: {point}"
        else:
            msg = f"{name} is {text!r}; write a number with mm, cm, in or pt, such as 5mm"
        raise SettingsError(msg)
    return float(match[1]) * MM_PER_UNIT[unit]


def parse_size_mm(text: str, name: str = "size") -> tuple[float, ...]:
    """Width and height in mm, or one length alone; a unit at the end holds for both.

    Raises
    ------
    SettingsError
        If they are not lengths.

    Examples
    --------
    >>> parse_size_mm("7.5x3cm")
    (75.0, 30.0)
    >>> parse_size_mm("100")
    (100.0,)
    """
    sides = re.split("[x×]", text.lower())
    unit = sides[-1].strip(" 0123456789.")
    sides = [side + unit if not side.strip(" 0123456789.") else side for side in sides]
    try:
        if len(sides) <= 2:
            return tuple(parse_length_mm(side) for side in sides)
    except SettingsError:
        pass
    msg = f"{name} is {text!r}; write width and height, as 75x30mm, or one diameter"
    raise SettingsError(msg)
