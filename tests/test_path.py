"""Promises of the needle path, over faces, heights and all settings."""

import string

import numpy as np
import pytest
import shapely
from examples import many
from hypothesis import given, settings
from hypothesis import strategies as st
from outside import font_file

from pathgen import Arrive, Part, Side, plan
from pathgen.stitching.easing import least_apart_mm

FACES = [None, "DejaVuSans.ttf", "DejaVuSans-Bold.ttf", "LiberationSerif-Regular.ttf"]
ROUND = "OSCoec"


def face(name):
    return None if name is None else font_file(name)


def columns_of(made):
    """Letter, column, and the rows of the needle table that belong to it."""
    path = made.needles
    for letter in made.letters:
        here = (path["line"] == letter.line) & (path["letter"] == letter.index)
        for number, column in enumerate(letter.columns, 1):
            yield letter, column, path[here & (path["column"] == number)]


def xy(rows):
    return np.column_stack([rows["x_mm"], rows["y_mm"]])


@pytest.mark.parametrize("name", FACES)
@pytest.mark.parametrize(("thread", "height"), [("60", 3.0), ("60", 4.0), ("40", 5.0), ("40", 6.0)])
def test_round_letters_keep_the_least_stitch_between_all_points_of_a_column(name, thread, height):
    """O, S, C, e at 3 to 6 mm: the short stitches inside bends."""
    made = plan(ROUND, face=face(name), thread=thread, height_mm=height)
    for letter, _, rows in columns_of(made):
        least = least_apart_mm(made.settings)
        points = xy(rows[rows["part"] == Part.ZIGZAG])
        gap = np.hypot(*(points[:, None] - points[None]).transpose(2, 0, 1))
        np.fill_diagonal(gap, np.inf)
        assert gap.min() >= least - 1e-9, letter.text


@pytest.mark.parametrize("name", FACES)
def test_every_zigzag_point_lies_on_its_rail_plus_allowance_or_steps_back_from_it(name):
    """Outside the outline by the allowance, never by more, within 0.03 mm at 10 mm capitals: what
    the splitter's rails may spill where they bridge a joint; 0.042 mm in a k with serifs."""
    made = plan(string.ascii_letters + string.digits, face=face(name), height_mm=10.0)
    pull = made.settings.pull_mm
    for letter, column, rows in columns_of(made):
        widening = made.settings.widening_mm(column.usual_width)
        points = xy(rows[(rows["part"] == Part.ZIGZAG) & (rows["side"] != Side.CENTRE)])
        away = shapely.distance(shapely.points(points), shapely.union_all(list(letter.ink)))
        spill = 0.042 if (name, letter.text) == ("LiberationSerif-Regular.ttf", "k") else 0.03
        assert away.max() <= pull + widening + spill, letter.text


@pytest.mark.parametrize("name", FACES)
@pytest.mark.parametrize("height", [3.0, 5.0, 12.0])
def test_ties_and_hidden_runs_lie_inside_the_cover_after_allowance(name, height):
    made = plan(string.ascii_letters + string.digits, face=face(name), height_mm=height)
    for letter, column, rows in columns_of(made):
        index = [column is other for other in letter.columns].index(True)
        cover = letter.covers[index].buffer(made.settings.pull_mm + 0.01)
        ties = rows[np.isin(rows["part"], (Part.TIE_IN, Part.TIE_OFF))]
        assert shapely.contains_xy(cover, xy(ties)).all(), letter.text


@given(
    st.text(alphabet=string.ascii_letters + string.digits + " &.-'äőé", min_size=1, max_size=4),
    st.sampled_from(FACES),
    st.fixed_dictionaries(
        {
            "height_mm": st.floats(1.5, 20.0),
            "thread": st.sampled_from(["40", "60", "27tex", "200den"]),
            "spacing_mm": st.floats(0.2, 1.0),
            "pull_mm": st.floats(0.0, 0.4),
            "underlay": st.sampled_from(["none", "centre-run", "edge-run", "zigzag"]),
            "run_mm": st.floats(0.5, 4.0),
            "join_mm": st.floats(0.0, 6.0),
            "least_stitch_mm": st.floats(0.1, 0.5),
            "longest_stitch_mm": st.floats(3.0, 12.0),
            "sewing": st.sampled_from(["reading", "right-to-left", "centre-out"]),
            "tracking_mm": st.floats(-0.5, 5.0),
            "align": st.sampled_from(["left", "centre", "right"]),
        }
    ),
)
@settings(max_examples=many(100))
def test_path_holds_together_whatever_the_settings(text, name, asked):
    if not text.strip():
        text += "o"
    made = plan([text, "o"], face=face(name), **asked)
    path = made.needles
    step = np.hypot(*np.diff(xy(path), axis=0).T)
    sewn = path["arrive"][1:] == Arrive.SEW
    starts = np.flatnonzero(path["arrive"] != Arrive.SEW)

    assert len(path) == made.whole.stitches == sum(made.whole.by_part)
    assert np.isfinite(xy(path)).all()
    assert (step[sewn] > 0.0).all()
    assert step[sewn].max() <= asked["longest_stitch_mm"] + 1e-9
    assert path["arrive"][0] == Arrive.JUMP
    assert (path["arrive"][starts[1:]] == Arrive.TRIM).all()
    for start, end in zip(starts, [*starts[1:], len(path)], strict=True):
        assert (path["part"][start : start + 3] == Part.TIE_IN).all()
        assert (path["part"][end - 3 : end] == Part.TIE_OFF).all()
