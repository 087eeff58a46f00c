"""Faces measured: what each covers, its proportions, and from which height on it can be sewn."""

import string
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import numpy as np

from pathgen.columns.split import split_glyph
from pathgen.geometry import length
from pathgen.lettering.bundled import face_path
from pathgen.lettering.coverage import Coverage, covered, specimen_lines
from pathgen.lettering.fontfile import Face, open_face
from pathgen.lettering.outlines import glyph_rings
from pathgen.model import Column, FaceFacts
from pathgen.polygons import Polygon, counters, widest_disc
from pathgen.shop.fitness import LeastHeight, least_heights

__all__ = ["FaceMeasures", "measured"]

# Letters whose longest column is the stem, the first that a face has.
_STEM_LETTERS = "Il"
# Letters whose counters close first.
_COUNTER_LETTERS = "aeo"
# The widest circle in a counter is found to this share of the capital height.
_TOLERANCE_CAPITALS = 0.001


@dataclass(frozen=True, slots=True, kw_only=True)
class FaceMeasures:
    """What a face measures.

    Attributes
    ----------
    facts : FaceFacts
        Name, file and heights in font units.
    coverage : tuple of Coverage
        Letters that it has, block by block.
    specimen : tuple of str
        Rows of the letters, figures and signs that it has, for a specimen.
    stem_capitals : float or None
        Usual width of the stem of I (else of l), in capital heights; None if it has neither.
    column_capitals : float or None
        Width that half of the columns of A to Z and a to z do not exceed, in capital heights;
        None if it has none of these letters.
    counter_capitals : float or None
        Widest circle in the smallest counter of a, e and o, in capital heights; None if there
        is no counter.
    least : tuple of LeastHeight
        Least sensible height in each listed thread; empty where ``column_capitals`` is None.
    """

    facts: FaceFacts
    coverage: tuple[Coverage, ...]
    specimen: tuple[str, ...]
    stem_capitals: float | None
    column_capitals: float | None
    counter_capitals: float | None
    least: tuple[LeastHeight, ...]


def measured(name: str | Path | None = None) -> FaceMeasures:
    """Measure a face.

    Parameters
    ----------
    name : str or Path, optional
        A bundled face's name, or a font file; the default bundled face if left out.

    Raises
    ------
    FontError
        If there is no such face, or the file cannot be used.

    Examples
    --------
    >>> [block.found for block in measured("tholepin").coverage][0]
    52
    """
    face = open_face(face_path(name))
    capital_fu = face.facts.cap_height_fu
    columns = [c for letter in string.ascii_letters for c in _split(face, letter)[1]]
    stem_fu = _stem_fu(face)
    column_fu = float(np.median([c.usual_width for c in columns])) if columns else None
    counter_fu = _counter_fu(face)
    column, counter = _in_capitals(column_fu, capital_fu), _in_capitals(counter_fu, capital_fu)
    return FaceMeasures(
        facts=face.facts,
        coverage=covered(face),
        specimen=specimen_lines(face),
        stem_capitals=_in_capitals(stem_fu, capital_fu),
        column_capitals=column,
        counter_capitals=counter,
        least=() if column is None else least_heights(column, counter),
    )


def _in_capitals(length_fu: float | None, capital_fu: float) -> float | None:
    return None if length_fu is None else length_fu / capital_fu


@lru_cache(maxsize=128)
def _split(face: Face, letter: str) -> tuple[tuple[Polygon, ...], tuple[Column, ...]]:
    """Ink and columns of a letter in font units; none if the face lacks it."""
    glyph = face.hb_font.get_nominal_glyph(ord(letter))
    if not glyph:
        return (), ()
    return split_glyph(glyph_rings(face, glyph), float(face.facts.units_per_em))


def _stem_fu(face: Face) -> float | None:
    """Usual width of the longest column of the first stem letter that the face draws."""
    for letter in _STEM_LETTERS:
        _, columns = _split(face, letter)
        if columns:
            return max(columns, key=lambda column: length(column.centre)).usual_width
    return None


def _counter_fu(face: Face) -> float | None:
    """Diameter of the widest circle in the smallest counter."""
    tolerance_fu = _TOLERANCE_CAPITALS * face.facts.cap_height_fu
    holes = [hole for letter in _COUNTER_LETTERS for hole in counters(_split(face, letter)[0])]
    return min((2.0 * widest_disc(hole, tolerance_fu)[1] for hole in holes), default=None)
