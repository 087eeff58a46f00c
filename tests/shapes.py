"""Hand-made columns and settings that many tests use; lengths in mm."""

from dataclasses import replace

import numpy as np

from pathgen.meetings import meetings
from pathgen.model import Column, Letter, LetterShape
from pathgen.polygons import Polygon, band, outlines_of
from pathgen.settings import Settings
from pathgen.shop.recipes import settings_for


def plain_settings(**changed) -> Settings:
    """5 mm, 40 wt, no allowance, no underlay, no least column: what is drawn is sewn."""
    options = {
        "spacing_mm": 0.4,
        "pull_mm": 0.0,
        "underlay": "none",
        "least_column_mm": 0.0,
        **changed,
    }
    height, thread = options.pop("height_mm", 5.0), options.pop("thread", None)
    return settings_for(height_mm=height, thread=thread, options=options)


def bar(length=10.0, width=1.0, rungs=11, x=0.0, y=0.0) -> Column:
    """Straight column from left to right, its centre line starting at (x, y)."""
    along = x + np.linspace(0.0, length, rungs)
    return Column(
        left=np.column_stack([along, np.full(rungs, y + width / 2.0)]),
        right=np.column_stack([along, np.full(rungs, y - width / 2.0)]),
    )


def stem(height=5.0, width=1.0, x=0.0, y=0.0) -> Column:
    """Straight column from the top down, its centre line ending at (x, y)."""
    down = y + np.linspace(height, 0.0, 11)
    return Column(
        left=np.column_stack([np.full(11, x + width / 2.0), down]),
        right=np.column_stack([np.full(11, x - width / 2.0), down]),
    )


def ring(radius=3.0, width=1.0, rungs=361) -> Column:
    """Closed column around the origin, counter-clockwise from the right."""
    turn = np.linspace(0.0, 2.0 * np.pi, rungs)
    way = np.column_stack([np.cos(turn), np.sin(turn)])
    return Column(
        left=(radius - width / 2.0) * way, right=(radius + width / 2.0) * way, closed=True
    )


def wedge(length=6.0, width=1.5) -> Column:
    """Column that tapers to a point at its last rung."""
    share = np.linspace(1.0, 0.0, 13)
    along = np.linspace(0.0, length, 13)
    return Column(
        left=np.column_stack([along, share * width / 2.0]),
        right=np.column_stack([along, -share * width / 2.0]),
    )


def letter(*columns: Column, line=1, index=1, text="I") -> Letter:
    """Letter whose ink is just what its columns cover."""
    covers = tuple(band(c.left, c.right, closed=c.closed) for c in columns)
    ink = tuple(c for c in covers if isinstance(c, Polygon))
    shape = LetterShape(
        ink=ink,
        columns=tuple(columns),
        ink_lines=outlines_of(ink),
        cover_lines=outlines_of(covers),
        bare_share=0.0,
        meetings=meetings(columns),
    )
    return Letter(line=line, index=index, text=text, shape=shape)


def reshaped(one: Letter, **changed) -> Letter:
    """The same letter with another ink, other columns or bare share."""
    return replace(one, shape=replace(one.shape, **changed))
