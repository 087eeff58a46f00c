"""Promises of the needle path, over faces, heights and all settings."""

import string

import numpy as np
import pytest
import shapely
from outside import font_file

from pathgen import Part, Side, plan
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
