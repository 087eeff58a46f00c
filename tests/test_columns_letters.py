"""The splitter on letters of five common faces, and on glyphs drawn stroke by stroke."""

import subprocess
from functools import cache
from pathlib import Path

import numpy as np
import pytest
import shapely
from column_shapes import ELL, EM, covered, cross_count, ring_points
from letter_table import COUNTS, LETTERS

from pathgen.columns.split import split, split_glyph
from pathgen.geometry import length, tangents
from pathgen.lettering.fontfile import open_face
from pathgen.lettering.outlines import glyph_rings
from pathgen.polygons import joined

FACES = {
    "DejaVu Sans:style=Book": "DejaVuSans.ttf",
    "DejaVu Sans:style=Bold": "DejaVuSans-Bold.ttf",
    "DejaVu Serif:style=Book": "DejaVuSerif.ttf",
    "Liberation Sans:style=Regular": "LiberationSans-Regular.ttf",
    "Liberation Serif:style=Regular": "LiberationSerif-Regular.ttf",
}


@cache
def face(pattern):
    """An installed face; fc-match answers with another one where it is missing."""
    done = subprocess.run(
        ["fc-match", "-f", "%{file}", pattern], capture_output=True, text=True, check=True
    )
    path = Path(done.stdout)
    assert path.name == FACES[pattern], f"{pattern} is not installed; fc-match gave {path}"
    return open_face(path)


def glyph(pattern, text):
    opened = face(pattern)
    em = float(opened.facts.units_per_em)
    rings = glyph_rings(opened, opened.hb_font.get_nominal_glyph(ord(text)))
    return (*split_glyph(rings, em), em)


@pytest.mark.parametrize("pattern", FACES)
def test_letters_have_the_columns_that_a_person_would_draw(pattern):
    wrong, covers, spills = [], [], []
    for text in LETTERS:
        ink, columns, _ = glyph(pattern, text)
        cover, spill = covered(columns, joined(ink))
        covers.append(cover)
        spills.append(spill)
        assert cross_count(columns) == 0, text
        if len(columns) not in COUNTS[text]:
            wrong.append(f"{text}:{len(columns)}")

    assert len(wrong) <= 1, wrong
    assert np.mean(covers) >= 0.995
    assert min(covers) >= 0.975
    assert np.mean(spills) <= 0.002


def test_stems_are_as_wide_as_the_font_draws_them():
    """I: DejaVu Sans 202 x 1493 font units, Liberation Sans 191 x 1409 (read from the outlines)."""
    for pattern, width, height in (
        ("DejaVu Sans:style=Book", 202.0, 1493.0),
        ("Liberation Sans:style=Regular", 191.0, 1409.0),
    ):
        _, (column,), _ = glyph(pattern, "I")
        assert column.widths == pytest.approx(width, abs=0.01)
        assert length(column.centre) == pytest.approx(height, abs=0.01)


@pytest.mark.parametrize("pattern", FACES)
def test_rungs_stand_square_and_in_the_ink(pattern):
    """At most .03; .04 where slabs begin at one side of a stroke and its centre line steps."""
    cosines, out, total = [], 0, 0
    for text in LETTERS:
        ink, columns, _ = glyph(pattern, text)
        grown = shapely.buffer(joined(ink), 1e-3)
        for column in columns:
            across, ahead = column.right - column.left, tangents(column.centre)
            wide = column.widths > 1e-9
            cosines += (np.abs((across * ahead).sum(axis=1))[wide] / column.widths[wide]).tolist()
            rungs = shapely.linestrings(np.stack([column.left, column.right], axis=1))
            outside = shapely.length(shapely.difference(rungs, grown))
            out += int((outside > 0.05 * shapely.length(rungs)).sum())
            total += len(rungs)

    assert np.mean(cosines) <= (0.04 if "DejaVu Serif" in pattern else 0.03)
    assert out <= 0.001 * total


def test_any_character_of_a_large_font_is_split():
    """Every 29th of DejaVu Sans' 5,900 characters: arrows, braille, chess men and all."""
    opened = face("DejaVu Sans:style=Book")
    em = float(opened.facts.units_per_em)
    characters = sorted(opened.hb_font.face.unicodes)[::29]

    covers = []
    for code in characters:
        ink, columns = split_glyph(glyph_rings(opened, opened.hb_font.get_nominal_glyph(code)), em)
        assert cross_count(columns) == 0, hex(code)
        if ink:
            covers.append(covered(columns, joined(ink))[0])

    assert len(covers) > 150
    assert np.mean(covers) > 0.98


def box(x0, y0, x1, y1):
    return np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)], dtype=float)


def test_overlapping_contours_that_are_strokes_are_the_columns():
    """A cross of two boxes: as one outline it has two whole bars, and so it has here; but a T
    keeps the stem that the designer drew up into the bar."""
    rings = [box(0, 7, 6, 8), box(2.5, 0, 3.5, 7.9)]

    ink, columns = split_glyph(rings, EM)

    assert len(ink) == 1
    assert [length(c.centre) for c in columns] == pytest.approx([6.0, 7.9], abs=1e-6)


def test_a_counter_belongs_to_the_contour_around_it():
    """A ring with a tail over its counter, like Q: the ring is closed, the tail whole."""
    rings = [ring_points(3.0), ring_points(2.0)[::-1], box(1.0, -3.5, 2.0, -0.5)]

    _, columns = split_glyph(rings, EM)

    assert [c.closed for c in columns] == [True, False]
    assert length(columns[1].centre) == pytest.approx(3.0, abs=1e-6)


def test_overlapping_contours_that_are_no_strokes_are_split_together():
    ell = np.array(ELL.exterior.coords)[:-1]
    rings = [ell, box(0, 0, 1, 4)]

    ink, columns = split_glyph(rings, EM)

    assert columns[0].left.shape == split(ink[0], EM)[0].left.shape
    assert len(columns) == 2


def test_contours_apart_are_split_piece_by_piece_and_dust_is_left_out():
    rings = [box(0, 0, 1, 6), box(0, 7, 1, 8), box(3.0, 0, 3.04, 0.04)]

    ink, columns = split_glyph(rings, EM)

    assert len(ink) == len(columns) == 2


def test_contours_that_are_serifs_go_with_their_stem():
    """An I of three contours, as variable serif faces have it."""
    rings = [box(0, 0, 1, 7.3), box(-1.2, 0, 2.2, 0.5), box(-1.2, 6.8, 2.2, 7.3)]

    _, columns = split_glyph(rings, EM)

    assert len(columns) == 1
