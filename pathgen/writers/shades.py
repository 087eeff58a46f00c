"""Shades of a colour."""

from functools import lru_cache

__all__ = ["is_dark", "mixed"]


@lru_cache(maxsize=4096)
def mixed(colour: str, other: str, share: float) -> str:
    """A colour with a share of another in it; both as ``#rrggbb``.

    Examples
    --------
    >>> mixed("#000000", "#ffffff", 0.2)
    '#333333'
    """
    pairs = zip(_parts(colour), _parts(other), strict=True)
    return "#" + "".join(f"{round(a + (b - a) * share):02x}" for a, b in pairs)


def is_dark(colour: str) -> bool:
    """Whether light words stand out on it better than dark ones (weights of ITU-R BT.601)."""
    red, green, blue = _parts(colour)
    return 0.299 * red + 0.587 * green + 0.114 * blue < 128.0


def _parts(colour: str) -> list[int]:
    return [int(colour[i : i + 2], 16) for i in (1, 3, 5)]
