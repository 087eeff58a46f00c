"""Counts by hand: widths of a wedge, trims apart from changes, findings at each scope."""

import numpy as np
import pytest
from shapes import bar, letter, plain_settings, wedge

from pathgen.column import Column
from pathgen.lines import AskedLine
from pathgen.model import Finding, Level
from pathgen.needles import Arrive
from pathgen.pipeline import plan_lines
from pathgen.shop.count import counted
from pathgen.stitching.route import route


def found(line, number, column):
    return Finding(
        code="narrow-column", level=Level.NOTE, at_mm=(0.0, 0.0), line=line, letter=number,
        column=column, measured=0.9, limit=1.0,
    )  # fmt: skip


def test_widths_of_a_wedge_are_half_of_it_on_the_way_to_its_point():
    """It runs evenly from 2 mm to nothing: half of its rungs are no wider than 1 mm."""
    settings = plain_settings()
    one = wedge(width=2.0)
    letters = [letter(one)]
    whole = counted(("V",), letters, route(letters, settings), (), settings)[-1]
    widths = np.hypot(*(one.left - one.right).T)

    assert whole.narrowest_column_mm == pytest.approx(1.0) == pytest.approx(np.median(widths))
    assert whole.width_least_mm == pytest.approx(0.0, abs=1e-9) == pytest.approx(widths.min())
    assert whole.width_most_mm == pytest.approx(2.0) == pytest.approx(widths.max())
    assert whole.width_mean_mm == pytest.approx(1.0)


def test_mean_width_is_that_along_the_stroke_however_its_rungs_lie():
    """1 mm wide for 3 mm, then evenly down to nothing over 1 mm: (3 + 0.5) / 4."""
    settings = plain_settings()
    at, half = np.array([0.0, 3.0, 3.5, 3.75, 3.9, 4.0]), np.array([0.5, 0.5, 0.25, 0.125, 0.05, 0])
    one = Column(left=np.column_stack([at, half]), right=np.column_stack([at, -half]))
    letters = [letter(one), letter(bar(x=20.0, length=4.0, width=2.0), index=2)]
    column, *_, whole = counted(("I",), letters, route(letters, settings), (), settings)

    assert column.width_mean_mm == pytest.approx(0.875)
    assert whole.width_mean_mm == pytest.approx((0.875 + 2.0) / 2.0)


def test_narrowest_column_of_a_line_is_that_of_the_narrowest_letter():
    settings = plain_settings()
    letters = [letter(bar(width=1.2), bar(width=0.9, y=4.0)), letter(bar(x=20.0), index=2)]
    made = counted(("II",), letters, route(letters, settings), (), settings)

    told = [*(1.2, 0.9, 1.0), *(0.9, 1.0), 0.9, 0.9, 0.9]

    assert [one.narrowest_column_mm for one in made] == pytest.approx(told)


def test_findings_are_counted_where_they_are():
    """Two in the first column, one in the second: column 2 and 1, letter, line and whole 3."""
    settings = plain_settings()
    letters = [letter(bar(), bar(y=4.0))]
    told = [found(1, 1, 1), found(1, 1, 1), found(1, 1, 2)]
    counts = counted(("E",), letters, route(letters, settings), told, settings)

    assert [(c.scope, c.findings) for c in counts] == [
        ("column", 2), ("column", 1), ("letter", 3), ("line", 3), ("thread", 3), ("whole", 3),
    ]  # fmt: skip


def test_findings_of_letters_and_lines_are_their_own():
    """Two in the first letter, one in the second line: the whole has 3."""
    settings = plain_settings()
    places = [(1, 1), (1, 2), (2, 1)]
    letters = [letter(bar(x=20.0 * n), line=line, index=index)
               for n, (line, index) in enumerate(places)]  # fmt: skip
    told = [found(1, 1, 1), found(1, 1, 1), found(2, 1, 1)]
    counts = counted(("HE", "L"), letters, route(letters, settings), told, settings)

    assert [(c.scope, c.findings) for c in counts if c.scope != "column"] == [
        ("letter", 2), ("letter", 0), ("letter", 1), ("line", 2), ("line", 1), ("thread", 3),
        ("whole", 3),
    ]  # fmt: skip


def test_a_change_of_thread_is_no_trim():
    """Two lines in two threads: one change; each line's letters stand near enough to be joined."""
    asked = [
        AskedLine(text="I", asked={"height_mm": 5.0, "thread": "40"}),
        AskedLine(text="I", asked={"height_mm": 5.0, "thread": "60"}),
    ]
    made = plan_lines(asked)
    arrive = made.needles["arrive"]

    assert (arrive == Arrive.CHANGE).sum() == 1
    assert made.whole.trims == (arrive == Arrive.TRIM).sum() == 0
