"""Zigzag spacing along straight columns and in bends, and stitches of whole letters."""

import string
from functools import cache

import numpy as np
import pytest
from examples import many
from hypothesis import example, given, settings
from hypothesis import strategies as st
from outside import font_file
from shapes import bar, plain_settings, ring

from pathgen import Part, Side, plan
from pathgen.geometry import length, lengths, placed
from pathgen.model import Column, Letter, LetterShape
from pathgen.polygons import moved
from pathgen.stitching.route import route
from pathgen.stitching.zigzag import pitches, zigzag


@given(st.floats(2.0, 60.0), st.floats(0.15, 0.2))
def test_pitch_of_a_column_of_ten_or_more_is_within_five_percent_of_the_asked(total, spacing):
    """Rounding changes n pitches by half of one: 5 % at 10. On the centre line, by hand."""
    sewn = zigzag(bar(total, 1.0), plain_settings(spacing_mm=spacing, least_stitch_mm=0.05))
    left = sewn.xy_mm[sewn.side == Side.LEFT]

    assert np.diff(left[:, 0]) == pytest.approx(spacing, rel=0.0501)


@given(st.floats(0.5, 4.0), st.floats(0.2, 0.9), st.floats(0.3, 0.6))
def test_outer_side_of_a_bend_is_never_sparser_than_its_geometry(radius, share, spacing):
    """Outer spacing s (R + w/2) / R, s up to 5 % over the asked: chords are no longer than arcs."""
    width = max(0.4, share * 2.0 * radius * 0.8)
    column = ring(radius, width, rungs=721)
    sewn = zigzag(column, plain_settings(spacing_mm=spacing))
    outer = sewn.xy_mm[sewn.side == Side.RIGHT]
    count = pitches(length(column.centre), spacing)
    pitch = 2.0 * np.pi * radius / count

    assert len(outer) == count
    assert np.hypot(*outer.T) == pytest.approx(radius + width / 2.0, rel=1e-4)
    assert lengths(outer).max() <= pitch * (radius + width / 2.0) / radius + 1e-9


@pytest.mark.parametrize(("thread", "height"), [("60", 3.0), ("40", 4.0), ("40", 5.0), ("40", 6.0)])
def test_a_small_letter_has_some_hundred_stitches(thread, height):
    """Common practice, no published source: about 100. As an order of magnitude: 32 to 316."""
    made = plan(string.ascii_lowercase, thread=thread, height_mm=height)

    assert 10.0**1.5 < made.whole.stitches / 26 < 10.0**2.5


def turned(letter, turn):
    """Letter turned about the origin of the text."""
    where = (1.0, turn, 0.0, 0.0)
    shape = letter.shape
    at_mm = placed(np.array([letter.at_mm]), *where)[0]
    return Letter(
        line=letter.line,
        index=letter.index,
        text=letter.text,
        at_mm=(float(at_mm[0]), float(at_mm[1])),
        shape=LetterShape(
            ink=tuple(moved(part, *where) for part in shape.ink),
            columns=tuple(
                Column(left=placed(c.left, *where), right=placed(c.right, *where), closed=c.closed)
                for c in shape.columns
            ),
            ink_lines=shape.ink_lines.placed(*where),
            cover_lines=shape.cover_lines.placed(*where),
            bare_share=shape.bare_share,
            turn_rad=shape.turn_rad + turn,
            meetings=shape.meetings,
        ),
    )


@cache
def straight(name):
    return plan("Harbour 60", face=None if name is None else font_file(name), height_mm=5.0)


@example(None, 1.5)
@given(
    st.sampled_from([None, "DejaVuSans.ttf", "LiberationSerif-Regular.ttf"]), st.floats(-3.1, 3.1)
)
@settings(max_examples=many(12), deadline=None)
def test_turned_text_has_the_same_counts(name, turn):
    """Stitches by part, trims, and the length of thread: a turn changes none."""
    made = straight(name)
    there = route([turned(letter, turn) for letter in made.letters], made.settings)
    here = made.needles

    for field, kinds in (("part", len(Part)), ("arrive", 4), ("side", 3)):
        counts = [np.bincount(path[field], minlength=kinds).tolist() for path in (here, there)]
        assert counts[0] == counts[1]
    sewn = [length(np.column_stack([path["x_mm"], path["y_mm"]])) for path in (here, there)]
    assert sewn[0] == pytest.approx(sewn[1], rel=1e-6)
