"""Kerning and mark placement, written as OpenType feature text."""

from collections.abc import Mapping
from typing import Any

from compose import Made, Placed, anchor

__all__ = ["feature_text"]

MORE_LETTERS = ("dotlessi", "uni0237", "ae", "oe", "AE", "OE")
"""Letters beside A to Z that combining marks are set on."""

MARKS_BELOW = ("uni0326", "uni0327", "uni0328")
"""Comma below, cedilla and ogonek."""


def feature_text(
    data: Mapping[str, Any],
    drawn: Mapping[str, Any],
    marks: Mapping[str, Any],
    placed: Mapping[str, Made],
) -> str:
    """Feature text of a face: languages, kerning by class, combining marks."""
    return "\n".join(
        [
            "languagesystem DFLT dflt;",
            "languagesystem latn dflt;",
            *_kerning(data["kern"], drawn, placed),
            *_mark_feature(data, drawn, marks),
        ]
    )


def _kerning(
    kern: Mapping[str, Any], drawn: Mapping[str, Any], placed: Mapping[str, Made]
) -> list[str]:
    """Class pairs; an accented letter kerns as its base does."""
    lines = []
    for side in ("first", "second"):
        for group, members in kern[side].items():
            names = members.split()
            names += [n for n, made in placed.items() if _kerns_as_base(made.pieces, names)]
            lines.append(f"@{side}_{group} = [{' '.join(names)}];")
    lines.append("feature kern {")
    for pair, value in kern["pairs"].items():
        first, second = pair.split()
        lines.append(f"  pos @first_{first} @second_{second} {value};")
    lines.append("} kern;")
    return lines


def _kerns_as_base(pieces: tuple[Placed, ...], names: list[str]) -> bool:
    """Whether a composed glyph kerns as its first piece.

    Small letters with a mark above them do not: the mark would run into the arm of a T.
    """
    base = pieces[0].glyph
    marked = len(pieces) > 1 and pieces[1].glyph not in MARKS_BELOW
    return base in names and not (base.islower() and marked)


def _mark_feature(
    data: Mapping[str, Any], drawn: Mapping[str, Any], marks: Mapping[str, Any]
) -> list[str]:
    """Combining marks on letters that Unicode has no code for together with them."""
    entries = data["mark"]
    lines = []
    for name, entry in entries.items():
        y = data["face"]["x_height"] if entry["place"] == "above" else 0
        lines.append(f"markClass {name} <anchor 0 {y}> @{entry['place']};")
    places = sorted({entry["place"] for entry in entries.values()})
    lines.append("feature mark {")
    for name, shape in drawn.items():
        if len(name) > 1 and name not in MORE_LETTERS:
            continue
        spots = []
        for place in places:
            x, y = anchor(shape, place, data["face"])
            rise = y + data["face"]["x_height"] if place == "above" else y
            spots.append(f"<anchor {x} {rise}> mark @{place}")
        lines.append(f"  pos base {name} {' '.join(spots)};")
    return [*lines, "} mark;"]
