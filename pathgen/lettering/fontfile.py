"""Open a font file and measure it.

HarfBuzz finds glyphs, shapes the text and draws the outlines; variable fonts at any place of
their axes.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import uharfbuzz as hb

from pathgen.errors import FontError
from pathgen.lettering.curves import drawn
from pathgen.lettering.fontbytes import font_bytes
from pathgen.model import FaceFacts

__all__ = ["Face", "open_face"]

# Tops that stand for the capital height: H, or its twins in Greek and Cyrillic.
_CAPITALS = "HΗН"
_SMALL = "xχх"
# Distance between chord and curve when a top is measured, in ems.
_MEASURE_EM = 1.0 / 20_000.0
# Longest face name that is kept, in characters.
_MOST_NAME = 80


@dataclass(frozen=True, slots=True, eq=False)
class Face:
    """An open face at one place of its axes.

    Attributes
    ----------
    facts : FaceFacts
        What is known of it.
    hb_font : uharfbuzz.Font
        Shapes and draws, in font units.
    """

    facts: FaceFacts
    hb_font: hb.Font


def open_face(path: Path, *, index: int = 0, axes: Mapping[str, float] | None = None) -> Face:
    """Open a font file.

    Parameters
    ----------
    path : Path
        TTF, OTF, TTC, WOFF or WOFF2.
    index : int
        Which face of a collection, from 0.
    axes : mapping of str to float, optional
        Places on the axes of a variable font, such as ``{"wght": 700}``; others stay at
        their default.

    Raises
    ------
    FontError
        If the file cannot be read, is not a font, lacks outlines or a capital to measure,
        or has no such index or axis.
    """
    places = dict(axes or {})
    face = hb.Face(hb.Blob(font_bytes(path, index)), index)
    _check_usable(path, face)
    _check_axes(path, face, places)
    font = hb.Font(face)
    if places:
        font.set_variations(places)
    facts = FaceFacts(
        name=_name(path, face, places),
        source=str(path),
        units_per_em=face.upem,
        cap_height_fu=_cap_height_fu(path, font),
        x_height_fu=_top_fu(font, _SMALL) or 0.0,
        index=index,
        axes=tuple(places.items()),
    )
    return Face(facts, font)


def _check_usable(path: Path, face: hb.Face) -> None:
    """Refuse a face of which HarfBuzz had to skip a table that everything rests on."""
    if not face.glyph_count:
        msg = f"font {path} is malformed: it has no glyphs"
        raise FontError(msg)
    if not len(face.unicodes):
        msg = f"font {path} has no character map; letters cannot be found in it"
        raise FontError(msg)


def _check_axes(path: Path, face: hb.Face, places: Mapping[str, float]) -> None:
    """Refuse an axis that the face does not have, or a place outside its range."""
    if not places:
        return
    try:
        known = {axis.tag: axis for axis in face.axis_infos}
    except UnicodeDecodeError as error:
        msg = f"font {path} is malformed: an axis has a tag that is not text"
        raise FontError(msg) from error
    for tag, value in places.items():
        if tag not in known:
            has = ", ".join(known) if known else "none; it is not a variable font"
            msg = f"font {path} has no axis {tag!r}; its axes: {has}"
            raise FontError(msg)
        least, most = known[tag].min_value, known[tag].max_value
        if not least <= value <= most:
            msg = f"axis {tag} is {value:g}; allowed {least:g} to {most:g} in {path}"
            raise FontError(msg)


def _name(path: Path, face: hb.Face, places: Mapping[str, float]) -> str:
    """Full name on one line, with the places on its axes; else the file's own."""
    full = face.get_name(hb.OTNameIdPredefined.FULL_NAME) or ""
    plain = "".join(char if char.isprintable() else " " for char in full)
    name = " ".join(plain.split())[:_MOST_NAME] or path.stem
    at = ", ".join(f"{tag} {value:g}" for tag, value in places.items())
    return f"{name} ({at})" if at else name


def _top_fu(font: hb.Font, twins: str) -> float | None:
    """Top of the outline of the first of these letters that the face draws.

    The outline itself is measured: the box that a TrueType glyph states may be off.
    """
    for char in twins:
        glyph = font.get_nominal_glyph(ord(char))
        rings = drawn(font, glyph, _MEASURE_EM * font.face.upem) if glyph else ()
        if rings:
            return max(float(ring[:, 1].max()) for ring in rings)
    return None


def _cap_height_fu(path: Path, font: hb.Font) -> float:
    """Top of H, measured; else the height that the font states.

    Stated heights can be missing (DejaVu Sans) or off (Source Sans 3: 660 for 656).
    """
    top = _top_fu(font, _CAPITALS)
    if top is None:
        top = float(font.get_metric_position(hb.OTMetricsTag.CAP_HEIGHT) or 0.0)
    if top <= 0.0:
        msg = f"font {path} has no capital H and states no capital height; cannot size it"
        raise FontError(msg)
    return top
