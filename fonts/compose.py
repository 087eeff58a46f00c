"""Accented letters and other glyphs that are made of drawn ones, as TrueType components."""

import unicodedata
from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from fontTools import agl

__all__ = ["Made", "Placed", "anchor", "composed", "glyph_name"]

COMPOSED = (
    range(0x00C0, 0x0180),
    range(0x0218, 0x021C),
    range(0x1E80, 0x1E86),
    range(0x1EF2, 0x1EF4),
)
"""Latin-1, Latin Extended-A, Romanian comma letters, Welsh W and Y."""

CEDILLA, COMMA_BELOW, CARON = 0x0327, 0x0326, 0x030C

COMMA_INSTEAD = "GKLNRgklnr"
"""Letters that Unicode decomposes with a cedilla but that Latvian writes with a comma."""

SIDE_CARON = "dlLt"
"""Tall letters whose caron is written as a short upright beside them (Czech, Slovak)."""

OVERSHOOT = 15
"""A letter whose top is this near to a line belongs to it, font units."""

DOTLESS = {"i": "dotlessi", "j": "uni0237"}


class Placed(NamedTuple):
    """A glyph moved into place."""

    glyph: str
    dx: int
    dy: int


class Made(NamedTuple):
    """A glyph made of others."""

    pieces: tuple[Placed, ...]
    advance: int


def glyph_name(code: int) -> str:
    """Name of a character's glyph after the Adobe Glyph List, else ``uniXXXX``."""
    return agl.UV2AGL.get(code, f"uni{code:04X}")


def composed(
    drawn: Mapping[str, Any], marks: Mapping[str, Any], data: Mapping[str, Any]
) -> dict[str, Made]:
    """Every glyph that is made of others, by name: rows, accented letters, lone accents."""
    out = {name: _row(pieces, drawn) for name, pieces in data["row"].items()}
    for code, base, mark in _decomposed():
        name = glyph_name(code)
        if name not in drawn and glyph_name(ord(base)) in drawn:
            out[name] = _accented(base, mark, drawn, marks, data)
    for name, entry in data["mark"].items():
        if "spacing" in entry:
            side = data["face"]["alone_side"]
            dx = side - marks[name].left
            advance = dx + marks[name].right + side
            out[glyph_name(entry["spacing"])] = Made((Placed(name, dx, 0),), advance)
    return out


def _row(pieces: list[str | int], drawn: Mapping[str, Any]) -> Made:
    """Glyphs side by side; a number between them moves what follows."""
    x, width = 0, 0
    placed = []
    for piece in pieces:
        if isinstance(piece, int):
            x += piece
        else:
            placed.append(Placed(piece, x, 0))
            x += drawn[piece].advance
            width = max(width, x)
    return Made(tuple(placed), width)


def _decomposed() -> Iterator[tuple[int, str, int]]:
    """Code, base letter and combining mark of each letter that Unicode takes apart."""
    for span in COMPOSED:
        for code in span:
            parts = unicodedata.decomposition(chr(code)).split()
            if len(parts) == 2 and not parts[0].startswith("<"):
                yield code, chr(int(parts[0], 16)), int(parts[1], 16)


def _accented(
    base: str,
    mark: int,
    drawn: Mapping[str, Any],
    marks: Mapping[str, Any],
    data: Mapping[str, Any],
) -> Made:
    """A letter with its mark set at the letter's anchor, wide enough for both."""
    name = _mark_name(base, mark, data["mark"])
    place = data["mark"][name]["place"]
    letter = glyph_name(ord(base))
    if place == "above":
        letter = DOTLESS.get(base, letter)
    shape, sign = drawn[letter], marks[name]
    dx, dy = anchor(shape, place, data["face"])
    if place != "above":
        advance = max(shape.advance, dx + sign.advance)
        return Made((Placed(letter, 0, 0), Placed(name, dx, dy)), advance)
    side = data["face"]["mark_side"]
    push = max(0, side - (dx + sign.left))
    advance = max(push + shape.advance, push + dx + sign.right + side)
    return Made((Placed(letter, push, 0), Placed(name, push + dx, dy)), advance)


def _mark_name(base: str, mark: int, entries: Mapping[str, Any]) -> str:
    """The mark as the letter's own languages write it."""
    if mark == CARON and base in SIDE_CARON:
        return "sidecaron"
    if mark == CEDILLA and base in COMMA_INSTEAD:
        mark = COMMA_BELOW
    if mark == COMMA_BELOW and base == "g":
        return "turnedcomma"
    return next(name for name, entry in entries.items() if entry.get("code") == mark)


def anchor(shape: Any, place: str, face: Mapping[str, Any]) -> tuple[int, int]:
    """Where a mark of this place goes on a letter: x, and rise over its place at x-height."""
    middle = (shape.left + shape.right) // 2
    if place == "above":
        return shape.anchors.get("top", middle), _top_line(shape.top, face) - face["x_height"]
    if place == "below":
        return shape.anchors.get("bottom", middle), 0
    return shape.anchors.get("side" if place == "beside" else "foot", shape.right), 0


def _top_line(top: int, face: Mapping[str, Any]) -> int:
    """Height that a letter belongs to, its overshoot taken off."""
    for line in (face["x_height"], face["cap_height"]):
        if abs(top - line) <= OVERSHOOT:
            return int(line)
    return top
