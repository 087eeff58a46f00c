"""Thread colours as a user writes them: a plain name or CSS hex.

Names and values are those of CSS Color Module Level 4, section 6.1, the plain ones of them. A
colour is what a thread is drawn in; no cone is meant.
"""

import re

from pathgen.errors import SettingsError, did_you_mean

__all__ = ["colour_hex"]

_HEX = re.compile(r"#(?:[0-9a-f]{3}|[0-9a-f]{6})")
_NAMES = {
    "black": "#000000",
    "white": "#ffffff",
    "ivory": "#fffff0",
    "beige": "#f5f5dc",
    "linen": "#faf0e6",
    "silver": "#c0c0c0",
    "grey": "#808080",
    "gray": "#808080",
    "red": "#ff0000",
    "crimson": "#dc143c",
    "maroon": "#800000",
    "salmon": "#fa8072",
    "coral": "#ff7f50",
    "orange": "#ffa500",
    "gold": "#ffd700",
    "yellow": "#ffff00",
    "khaki": "#f0e68c",
    "olive": "#808000",
    "lime": "#00ff00",
    "green": "#008000",
    "teal": "#008080",
    "turquoise": "#40e0d0",
    "aqua": "#00ffff",
    "blue": "#0000ff",
    "navy": "#000080",
    "indigo": "#4b0082",
    "violet": "#ee82ee",
    "purple": "#800080",
    "plum": "#dda0dd",
    "pink": "#ffc0cb",
    "tan": "#d2b48c",
    "brown": "#a52a2a",
    "chocolate": "#d2691e",
}


def colour_hex(colour: str, setting: str = "colour") -> str:
    """Colour as ``#rrggbb``; an error names the setting that it was given for.

    Raises
    ------
    SettingsError
        If it is neither a listed name nor CSS hex.

    Examples
    --------
    >>> colour_hex("Navy"), colour_hex("#FC0")
    ('#000080', '#ffcc00')
    """
    key = colour.strip().lower()
    if key in _NAMES:
        return _NAMES[key]
    if not _HEX.fullmatch(key):
        hint = did_you_mean(key, _NAMES)
        msg = f"{setting} is {colour!r}; write #rrggbb or a plain name such as navy{hint}"
        raise SettingsError(msg)
    return key if len(key) == 7 else "#" + "".join(2 * digit for digit in key[1:])
