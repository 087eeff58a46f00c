"""Where every needle point lies, and how counts add up: any face, height and settings."""

import string

import numpy as np
import pytest
import shapely
from examples import many
from hypothesis import example, given, settings
from hypothesis import strategies as st
from outside import font_file

from pathgen import Arrive, Part, Side, plan
from pathgen.arrivals import arrivals
from pathgen.geometry import along
from pathgen.stitching.easing import least_apart_mm

FACES = [
    None,
    "tholepin",
    "DejaVuSans.ttf",
    "DejaVuSans-Bold.ttf",
    "DejaVuSerif.ttf",
    "LiberationSans-Italic.ttf",
    "LiberationSerif-Regular.ttf",
]
LETTERS = string.ascii_letters + string.digits + "&.-'äőé@"
# Rails run straight between rungs: so much of them may lie outside a bend's inner side.
SPILL_MM = 0.01
# Or three heights, if that is more; no room for a second line within.
TIGHT_ARC_MM = 5.0

PLANS = (
    st.text(alphabet=LETTERS + " ", min_size=1, max_size=4),
    st.sampled_from(FACES),
    st.fixed_dictionaries(
        {
            "height_mm": st.floats(1.5, 20.0),
            "thread": st.sampled_from(["40", "60", "27tex", "200den"]),
            "cloth": st.sampled_from([None, "pique"]),
            "spacing_mm": st.floats(0.2, 1.0),
            "pull_mm": st.floats(0.0, 0.4),
            "underlay": st.sampled_from(["none", "centre-run", "edge-run", "zigzag"]),
            "run_mm": st.floats(0.5, 4.0),
            "join_mm": st.floats(0.0, 6.0),
            "on_top_mm": st.floats(0.0, 8.0),
            "least_column_mm": st.floats(0.3, 1.5),
            "least_stitch_mm": st.floats(0.1, 0.5),
            "longest_stitch_mm": st.floats(3.0, 12.0),
            "longest_jump_mm": st.floats(3.0, 20.0),
            "sewing": st.sampled_from(["reading", "left-to-right", "right-to-left", "centre-out"]),
            "tracking_mm": st.floats(-0.5, 5.0),
            "line_spacing_mm": st.floats(5.0, 40.0),
            "align": st.sampled_from(["left", "centre", "right"]),
            "arc_mm": st.sampled_from([None, TIGHT_ARC_MM, 60.0]),
        }
    ),
)


def made_of(text, name, asked):
    face = font_file(name) if name is not None and name.endswith("ttf") else name
    text = text if text.strip() else "o"
    arc_mm = asked.get("arc_mm")
    if arc_mm is not None:
        asked = {**asked, "arc_mm": max(arc_mm, 3.0 * asked["height_mm"])}
    return plan(text if arc_mm == TIGHT_ARC_MM else [text, "o"], face=face, **asked)


def xy(rows):
    return np.column_stack([rows["x_mm"], rows["y_mm"]])


def columns_of(made):
    """Letter, column, how far its points lie outside its rails, and its rows."""
    path = made.needles
    for letter in made.letters:
        here = (path["line"] == letter.line) & (path["letter"] == letter.index)
        for number, column in enumerate(letter.columns, 1):
            growth = made.settings.pull_mm + max(
                0.0,
                (made.settings.least_column_mm - column.usual_width) / 2.0 - made.settings.pull_mm,
            )
            yield letter, column, growth, path[here & (path["column"] == number)]


def it_holds_together(made):
    path = made.needles
    step = np.hypot(*np.diff(xy(path), axis=0).T)
    sewn = path["arrive"][1:] == Arrive.SEW
    starts = np.flatnonzero(path["arrive"] != Arrive.SEW)

    assert len(path) == made.whole.stitches == sum(made.whole.by_part)
    assert np.isfinite(xy(path)).all()
    assert (step[sewn] > 0.0).all()
    assert step[sewn].max() <= made.settings.longest_stitch_mm + 1e-9
    assert path["arrive"][0] == Arrive.JUMP
    assert (path["arrive"][starts[1:]] == Arrive.TRIM).all()
    for start, end in zip(starts, [*starts[1:], len(path)], strict=True):
        assert (path["part"][start : start + 3] == Part.TIE_IN).all()
        assert (path["part"][end - 3 : end] == Part.TIE_OFF).all()


def counts_by_part_add_up_at_every_scope(made):
    by_scope = {
        scope: np.sum([c.by_part for c in made.counts if c.scope == scope], axis=0).tolist()
        for scope in ("column", "letter", "line", "thread", "whole")
    }

    assert sum(by_scope["whole"]) == len(made.needles)
    assert all(counts == by_scope["whole"] for counts in by_scope.values())
    assert by_scope["whole"] == np.bincount(made.needles["part"], minlength=5).tolist()
    trims = (made.needles["arrive"] == Arrive.TRIM).sum()
    assert made.whole.trims == trims <= made.jumps


def rungs_at(column, stops, growth):
    """Both ends of the rungs at the given distances along the centre line, moved outwards."""
    where = along(column.centre)
    left, right = (
        np.column_stack([np.interp(stops, where, rail[:, k]) for k in (0, 1)])
        for rail in (column.left, column.right)
    )
    middle, reach = (left + right) / 2.0, (left - right) / 2.0
    half = np.hypot(*reach.T)
    wide = half > 1e-6
    out = np.divide(reach, half[:, None], out=np.zeros_like(reach), where=wide[:, None])
    grown = (half + growth)[:, None] * out
    return middle + grown, middle - grown, wide


def even_zigzag(column, growth, spacing):
    """Points left and right in turn, as the definition of spacing has them, by hand."""
    total = along(column.centre)[-1]
    count = max(1, int(np.floor(total / spacing + 0.5 + 1e-9)))
    count += total / spacing > 1.05 * count + 1e-9
    stops = np.linspace(0.0, total, 2 * count + 1)[: 2 * count + (not column.closed)]
    left, right, wide = rungs_at(column, stops, growth)
    points = np.where((np.arange(len(stops)) % 2 == 0)[:, None], left, right)
    return points, np.stack([left, right], axis=1), wide


def in_two_parts(rows, rungs, tip):
    """Whether a column's zigzag, given all its rows, is parted by a run, or else ends at a door.

    That is on neither its first rung nor its last; a short run may have no point of its own.
    """
    zigzag = np.flatnonzero(rows["part"] == Part.ZIGZAG)
    if (rows["part"][zigzag[0] : zigzag[-1]] == Part.TRAVEL).any():
        return True
    end = shapely.Point(xy(rows[zigzag[-1:]])[0])
    return min(shapely.LineString(rung).distance(end) for rung in rungs[[0, -1]]) > tip


# A bow sewn in two parts whose run between them is too short for a needle point of its own.
SHORT_RUN = {
    "height_mm": 5.0,
    "thread": "40",
    "spacing_mm": 0.25,
    "pull_mm": 0.0,
    "underlay": "none",
    "run_mm": 1.0,
    "join_mm": 0.0,
    "on_top_mm": 0.0,
    "least_column_mm": 0.5,
    "least_stitch_mm": 0.5,
    "longest_stitch_mm": 3.0,
    "line_spacing_mm": 5.0,
}


def every_zigzag_point_lies_on_its_rail_plus_allowance_or_steps_back_inside(made):
    """Points are laid out here by numpy's own interpolation. Those with the least stitch of room
    are sewn just there, but where the needle is in that hole already, or three quarters of a
    least stitch from it, or where they step back from a hole of another column, by at most twice
    what the two keep; the others on their rungs between the moved rails, and no more than there
    are.
    """
    least = least_apart_mm(made.settings)
    holes = shapely.multipoints(xy(made.needles))
    for letter, column, growth, sewn_rows in columns_of(made):
        rows = sewn_rows[(sewn_rows["part"] == Part.ZIGZAG) & (sewn_rows["side"] != Side.CENTRE)]
        sewn = shapely.multipoints(xy(rows))
        points, rungs, wide = even_zigzag(column, growth, made.settings.spacing_mm)
        gap = np.hypot(*(points[:, None] - points[None]).transpose(2, 0, 1))
        np.fill_diagonal(gap, np.inf)
        # A rung without width has no direction: any within the growth will do.
        tip = 1.01 * growth + 1e-5
        gap[:, ~wide] -= tip
        # The point that closes a ring, or the seam of a column sewn in two parts, steps back
        # along a stitch.
        end = 1e-6 if wide[[0, -1]].all() else tip
        more = int(column.closed or in_two_parts(sewn_rows, rungs, end))
        roomy = shapely.points(points[wide & (gap.min(axis=1) >= least)])
        missing = roomy[shapely.distance(roomy, sewn) > 1e-6]
        beside = 2.0 * made.settings.close_mm
        same_hole = max(0.05, 0.75 * made.settings.least_stitch_mm, beside)
        assert shapely.distance(missing, holes).max(initial=0.0) < same_hole, letter.text
        assert len(rows) <= len(points) + more
        tips = shapely.multipoints(rungs[~wide, 0]).buffer(tip)
        lines = shapely.union(shapely.multilinestrings(shapely.linestrings(rungs[wide])), tips)
        away = shapely.distance(shapely.points(xy(rows)), lines)
        assert (away > 1e-6).sum() <= more, letter.text


def nothing_lies_outside_the_outline_by_more_than_the_allowance_but_listed_travel(made):
    """Ties, underlay and travel too; travel that does is measured, and told over 0.3 mm."""
    ink = shapely.union_all([part for letter in made.letters for part in letter.ink])
    told = {(f.line, f.letter, f.column) for f in made.findings if f.code == "bare-travel"}
    for letter, column, growth, rows in columns_of(made):
        away = shapely.distance(shapely.points(xy(rows)), ink)
        outside = away > growth + SPILL_MM
        assert (rows["part"][outside] == Part.TRAVEL).all(), letter.text
        if away[outside].max(initial=0.0) > 0.3 + growth:
            number = [column is other for other in letter.columns].index(True) + 1
            assert (letter.line, letter.index, number) in told


DENSE = {"spacing_mm": 0.2, "least_stitch_mm": 0.1}
# Points far apart, and stitches too long for wide slabs: runs lose points, and get others.
LIGHT = {"spacing_mm": 1.0, "least_stitch_mm": 0.5, "underlay": "zigzag", "longest_stitch_mm": 3.0}
SHORT = {"spacing_mm": 0.4, "least_stitch_mm": 0.5, "underlay": "centre-run", "run_mm": 1.0}
EDGES = {"spacing_mm": 0.5, "least_stitch_mm": 0.5, "underlay": "edge-run"}


@pytest.mark.parametrize("height_mm", [2.0, 4.0, 10.0, 20.0])
@pytest.mark.parametrize("asked", [DENSE, LIGHT, SHORT, EDGES])
@pytest.mark.parametrize("name", FACES)
def test_no_letter_of_any_face_spills_over_its_outline_at_any_height(name, asked, height_mm):
    """Sewn without allowance: as near to the outline as needle points come."""
    face = font_file(name) if name is not None and name.endswith("ttf") else name
    asked = {**asked, "height_mm": height_mm, "pull_mm": 0.0, "least_column_mm": 0.3}
    nothing_lies_outside_the_outline_by_more_than_the_allowance_but_listed_travel(
        plan(list(LETTERS), face=face, thread="40", **asked)
    )


# What was sewn too far once. Lines overlap, and so do the letters on them; covers overlap where
# columns meet.
TIGHT = {
    "height_mm": 11.0,
    "thread": "40",
    "spacing_mm": 1.0,
    "underlay": "none",
    "run_mm": 1.0,
    "join_mm": 1.0,
    "on_top_mm": 2.0,
    "least_column_mm": 1.0,
    "least_stitch_mm": 0.5,
    "sewing": "right-to-left",
    "line_spacing_mm": 6.0,
    "align": "centre",
}
CLOSE = {**TIGHT, "height_mm": 1.5, "join_mm": 0.0, "on_top_mm": 0.0, "pull_mm": 0.0}
FAR = [
    ("h-", "DejaVuSans.ttf", {**TIGHT, "pull_mm": 0.0}),
    ("h-", "DejaVuSans.ttf", {**TIGHT, "pull_mm": 0.125, "line_spacing_mm": 5.5}),
    (
        "5",
        "DejaVuSerif.ttf",
        {**TIGHT, "height_mm": 13.0, "underlay": "zigzag", "on_top_mm": 1.25, "pull_mm": 0.0},
    ),
    ("m", None, CLOSE),
    ("17", None, CLOSE),
    ("k0", "tholepin", {**CLOSE, "least_column_mm": 1.5}),
]
# The first point of a run, out of a heap along the stitch from the tie across the ring's counter.
ACROSS = {
    "height_mm": 1.5,
    "thread": "40",
    "spacing_mm": 0.25,
    "pull_mm": 0.0,
    "underlay": "edge-run",
    "run_mm": 1.0,
    "join_mm": 0.0,
    "on_top_mm": 0.0,
    "least_column_mm": 0.3125,
    "least_stitch_mm": 0.5,
    "longest_stitch_mm": 3.0,
    "line_spacing_mm": 5.0,
}
# A column that is cut leaves another heap, and with it another run that comes out too far.
AGAIN = {
    **ACROSS,
    "spacing_mm": 1.0,
    "underlay": "zigzag",
    "join_mm": 1.0,
    "least_column_mm": 0.375,
    "least_stitch_mm": 0.125,
}
# Letters on each other: the points of a run make a heap with those of the other letter.
ON_EACH_OTHER = {
    **AGAIN,
    "spacing_mm": 0.75,
    "underlay": "none",
    "join_mm": 0.0,
    "least_column_mm": 0.53125,
    "least_stitch_mm": 0.4375,
    "tracking_mm": -0.375,
}
# Two strokes that share a corner: the second is begun with the needle in its first hole, and its
# first stitch runs along the end of the first one.
SHARED = {
    **ACROSS,
    "height_mm": 9.0,
    "spacing_mm": 1.0,
    "underlay": "none",
    "join_mm": 1.0,
    "on_top_mm": 1.0,
    "least_column_mm": 1.0,
}
# The end of the hook is wider than the longest stitch: straight over it, pieces lie on bare cloth.
WIDE = {**SHARED, "height_mm": 20.0, "least_column_mm": 0.3125, "least_stitch_mm": 0.125}
# The run to the second letter turns nearer to its beginning than the least stitch.
TURNED = {**SHARED, "height_mm": 2.0, "run_mm": 2.0, "least_column_mm": 0.375}
# A run of one point, too near to the first of the zigzag.
ONE_POINT = {
    **ACROSS,
    "underlay": "centre-run",
    "run_mm": 3.0,
    "join_mm": 4.0,
    "on_top_mm": 1.0,
    "least_column_mm": 0.5,
}


def runs_over_bare_cloth_and_sewn_columns_keep_to_their_limits_as_measured(made):
    """By the geometry library's own difference of thread and ink, or what is sewn later; on top of
    columns of the letters that a run leaves and comes to.
    """
    ink = shapely.union_all([part for letter in made.letters for part in letter.ink])
    places = [tuple(place) for place in made.needles[["line", "letter", "column"]].tolist()]
    covers = {
        (letter.line, letter.index, number): cover
        for letter in made.letters
        for number, cover in enumerate(letter.covers, 1)
    }
    # Outlines are weighed with fewer points, to within 1/1000 em: thread along the very edge of the
    # ink or of a cover lies neither on it nor beside it.
    edge = 0.002 * made.settings.height_mm
    for travel in arrivals(made.needles, made.letters, made.settings, 0.0):
        begun = places.index(travel.place)
        before, ends = set(places[:begun]), {places[begun - 1][:2], travel.place[:2]}
        later = shapely.union_all([covers[place] for place in covers if place not in before])
        later = later.buffer(edge)
        # Columns may have grown onto a third letter, and travel between them lies there too.
        inner = [k.ink for k in made.letters if (k.line, k.index) in ends]
        inner = shapely.union_all([part for parts in inner for part in parts]).buffer(-edge)
        assert travel.bare <= made.settings.join_mm + 1e-6
        assert travel.on_top <= made.settings.on_top_mm + 1e-6
        thread = shapely.linestrings(travel.legs)
        on_top = shapely.length(
            shapely.difference(shapely.intersection(thread, inner), later)
        ).sum()
        assert on_top <= made.settings.on_top_mm + 0.05
        bare = shapely.length(shapely.difference(thread, ink.buffer(edge))).sum()
        assert bare - travel.grown_mm <= made.settings.join_mm + 0.05


def no_two_zigzag_points_of_a_column_are_nearer_than_the_least_stitch(made):
    least = least_apart_mm(made.settings)
    for letter, _, _, rows in columns_of(made):
        points = xy(rows[(rows["part"] == Part.ZIGZAG) & (rows["side"] != Side.CENTRE)])
        gap = np.hypot(*(points[:, None] - points[None]).transpose(2, 0, 1))
        np.fill_diagonal(gap, np.inf)
        assert gap.min() >= least - 1e-6, letter.text


PROMISES = (
    it_holds_together,
    counts_by_part_add_up_at_every_scope,
    every_zigzag_point_lies_on_its_rail_plus_allowance_or_steps_back_inside,
    runs_over_bare_cloth_and_sewn_columns_keep_to_their_limits_as_measured,
    no_two_zigzag_points_of_a_column_are_nearer_than_the_least_stitch,
    nothing_lies_outside_the_outline_by_more_than_the_allowance_but_listed_travel,
)


@example("P", "DejaVuSerif.ttf", SHORT_RUN)
@example(*FAR[0])
@example(*FAR[1])
@example(*FAR[2])
@example(*FAR[3])
@example(*FAR[4])
@example(*FAR[5])
@example("0", "LiberationSerif-Regular.ttf", ACROSS)
@example("ä", "LiberationSerif-Regular.ttf", AGAIN)
@example("1k", None, ON_EACH_OTHER)
@example("0v", None, SHARED)
@example("RI", "DejaVuSans.ttf", TURNED)
@example("0", None, ONE_POINT)
@example("J", "DejaVuSerif.ttf", WIDE)
@example("1", "DejaVuSerif.ttf", {**WIDE, "height_mm": 13.5, "spacing_mm": 0.3125})
@example("8", "LiberationSans-Italic.ttf", {**WIDE, "underlay": "zigzag"})
@given(*PLANS)
@settings(max_examples=many(60), deadline=None)
def test_any_plan_keeps_every_promise(text, name, asked):
    made = made_of(text, name, asked)
    for promise in PROMISES:
        promise(made)
