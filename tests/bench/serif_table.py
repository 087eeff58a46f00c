"""How many columns a person would draw a letter with, by the kind of face.

letter_table.py holds for plain sans. Here it is changed where the kind of face changes the
strokes of a letter; where practice differs, all counts in use are accepted:

- serif: a hairline or bracketed serif, a beak or a ball is the end of its stroke, not a stroke.
- slab: the slabs of a letter may all be ends, or all be bars of their own, but not some of
  them; so may the barbs, which stand at right angles on the ends of bars and arcs.
- mono: i, j, l, r, I and 1 are made as wide as the other letters by bars, which are strokes.
- italic serif: the letters of a running hand, where e, v, w or b may be one movement.
- script and blackletter have no forms that all faces share; they have no counts.

Letters that some faces draw in another form are in `FORMS`; unseen_faces.toml says which face has
which. A small g with two counters has two storeys in any case.
"""

from collections.abc import Sequence

from letter_table import COUNTS

__all__ = ["FORMS", "KINDS", "accepted"]

# Bowl and loop, and maybe link and ear, each drawn alone or run into its neighbour.
_TWO_STOREY_G = (2, 3, 4)

FORMS: dict[str, dict[str, tuple[int, ...]]] = {
    "two-storey g": {"g": _TWO_STOREY_G},  # needs saying only where the lower bowl is open
    "flat 3": {"3": (1, 2, 3)},  # bar, slant and bowl
    "barred J": {"J": (2,)},
    "stemless u": {"u": (1,)},  # a small U
    "ticked 7": {"7": (2, 3)},  # a tick as thick as the bar hangs from it
}
"""Counts of letters in another form, by the words of unseen_faces.toml."""

# Feet and tops that have a slab on both sides of a stroke, least and most: faces differ in whether
# the top of a stem is cut off, flagged on one side (which is its end) or slabbed. Letters left
# out have none.
_SLABS: dict[str, tuple[int, int]] = {
    "A": (2, 3),  # two feet; typewriters have a slab on the apex
    "F": (1, 1),
    "H": (4, 4),
    "I": (2, 2),
    "J": (1, 1),
    "K": (4, 4),
    "L": (1, 1),
    "M": (2, 4),  # the outer tops may be flags
    "N": (2, 3),  # the left top may be a flag, the lower right corner is bare
    "P": (1, 1),
    "R": (1, 2),  # a curled leg has no foot
    "T": (1, 1),
    "U": (2, 2),
    "V": (2, 2),
    "W": (2, 3),  # the middle apex may be slabbed
    "X": (4, 4),
    "Y": (3, 3),
    "b": (0, 1),
    "d": (0, 2),
    "f": (1, 1),
    "h": (2, 3),
    "i": (1, 2),
    "j": (0, 1),
    "k": (3, 4),
    "l": (1, 2),
    "m": (3, 4),
    "n": (2, 3),
    "p": (1, 2),
    "q": (1, 2),
    "r": (1, 2),
    "u": (0, 3),
    "v": (2, 2),
    "w": (2, 3),
    "x": (4, 4),
    "y": (2, 3),
    "4": (0, 1),
}

# Barbs, least and most.
_BARBS: dict[str, tuple[int, int]] = {
    "C": (1, 2),
    "E": (2, 3),
    "F": (1, 2),
    "G": (1, 2),
    "L": (1, 1),
    "S": (2, 2),
    "T": (2, 2),
    "Z": (2, 2),
    "c": (1, 1),
    "s": (2, 2),
    "z": (2, 2),
    "2": (1, 1),
    "5": (1, 1),
    "7": (1, 1),
}

# The arc of a pen-drawn G may turn up into its stem, whose serif is no bar.
_SERIF: dict[str, tuple[int, ...]] = {"G": (1, 2, 3)}

# Bars that fill the width of a mono face. A foot bar is as long as the letter is wide and is always
# a stroke; a flag is half as long and may be run into its stem.
_MONO: dict[str, tuple[int, ...]] = {
    "I": (3,),  # stem, two bars
    "J": (1, 2),  # with or without a bar at its top
    "f": (2, 3),  # with or without a foot
    "i": (3, 4),  # dot, stem, foot, maybe flag
    "j": (2, 3),  # dot, stem, maybe flag
    "l": (2, 3),  # flag and stem whose tail is bent, or a foot of its own
    "r": (2, 3, 4),  # sans, or with foot and flag
    "0": (1, 2),  # with or without a dot or dash inside
    "1": (2, 3),  # flag may be run into the stem; the foot is a stroke
}

# One movement of a running hand, or two.
_ITALIC: dict[str, tuple[int, ...]] = {
    "b": (1, 2),  # down the stem and round the bowl
    "e": (1, 2),  # up the eye and round, as a loop
    "k": (2, 3),  # stem; loop and leg in one
    "p": (2, 3),  # an entry stroke before the stem
    "v": (1, 2),
    "w": (2, 3, 4),
    "y": (1, 2, 3),
    "z": (1, 2, 3),  # bars shrink to curls
    "2": (1, 2),  # the foot is a wave
}


def _slabbed(base: dict[str, tuple[int, ...]]) -> dict[str, tuple[int, ...]]:
    """Counts with no slab as a stroke or with all, and with no barb or with all."""
    table = {}
    for letter, counts in base.items():
        slabs, barbs = _none_or_all(_SLABS, letter), _none_or_all(_BARBS, letter)
        table[letter] = tuple(sorted({c + s + b for c in counts for s in slabs for b in barbs}))
    return table


def _none_or_all(table: dict[str, tuple[int, int]], letter: str) -> set[int]:
    """Nought, or as many as the table says."""
    least, most = table.get(letter, (0, 0))
    return {0, *range(least, most + 1)}


KINDS: dict[str, dict[str, tuple[int, ...]] | None] = {
    "sans": COUNTS,
    "sans bold": COUNTS,
    "sans italic": COUNTS,
    "condensed": COUNTS,
    "rounded": COUNTS,
    "serif": COUNTS | _SERIF,
    "serif bold": COUNTS | _SERIF,
    "serif italic": COUNTS | _SERIF | _ITALIC,
    "slab": _slabbed(COUNTS),
    "mono": COUNTS | _MONO,
    # A typewriter's letters are all slabbed, and those of _MONO must be; the tail of its Q is a
    # wave that may hang from a link.
    "mono slab": _slabbed(COUNTS) | _MONO | {"Q": (2, 3)},
    "script": None,
    "blackletter": None,
}
"""Counts by letter for each kind of unseen_faces.toml; None where none can be told."""


def accepted(
    kind: str, letter: str, counters: int = 0, forms: Sequence[str] = ()
) -> tuple[int, ...] | None:
    """Counts accepted for a letter with so many counters, of a face with such forms."""
    table = KINDS[kind]
    if table is None:
        return None
    for form in forms:
        table = table | FORMS[form]
    return _TWO_STOREY_G if letter == "g" and counters > 1 else table[letter]
