"""The figure of README's "How it works": one letter as outline, as columns, as needle points.

It is drawn from a plan with the pens and colours of the plot.
"""

import numpy as np

from pathgen import Part, plan
from pathgen.needles import Arrive
from pathgen.polygons import rings_of
from pathgen.writers.plot_style import (
    COLUMN_TINTS,
    EDGE,
    INK,
    INK_FILL,
    PAPER,
    PART_LOOK,
    QUIET,
    TEXT,
)
from pathgen.writers.plot_svg_pen import (
    document,
    group,
    path,
    rectangle,
    sheet,
    short,
    words,
)

LETTER, SCALE = "R", 9.0
PANEL_MM, HIGH_MM, FOOT_MM = 58.0, 72.0, 56.0
SAID = (
    ("1  the outline", "as the font draws it"),
    ("2  columns", "one for each stroke; rungs across"),
    ("3  needle points", "underlay, zigzag, travel, in order"),
)


def how_it_works() -> str:
    """The figure as an SVG document."""
    made = plan(LETTER, height_mm=5.0)
    letter = made.letters[0]
    out = sheet(
        3 * PANEL_MM,
        HIGH_MM,
        "How pathgen works",
        "A letter as outline, as stroke columns with their rungs, and as needle points.",
    )
    out.add(rectangle(0.0, 0.0, 3 * PANEL_MM, HIGH_MM, fill=PAPER))
    xs = np.concatenate([shape.bounds[::2] for shape in letter.ink])
    middle = (xs.min() + xs.max()) / 2.0
    for number, draw in enumerate((outline, columns, needles)):
        left = (number + 0.5) * PANEL_MM

        def on_paper(points, left=left):
            spots = np.asarray(points, float).reshape(-1, 2)
            return [
                f"{short(left + (x - middle) * SCALE)} {short(FOOT_MM - y * SCALE)}"
                for x, y in spots
            ]

        panel = group(f"panel-{number + 1}", SAID[number][0], stroke_linejoin="round")
        draw(panel, made, letter, on_paper)
        look = {"text_anchor": "middle"}
        panel.add(words(SAID[number][0], left, 63.5, 3.4, font_weight="bold", fill=TEXT, **look))
        panel.add(words(SAID[number][1], left, 68.0, 2.7, fill=QUIET, **look))
        out.add(panel)
    return document(out)


def ring(points, on_paper) -> str:
    """A closed subpath."""
    return "M" + " ".join(on_paper(points)) + "Z"


def outline(panel, _made, letter, on_paper):
    """The filled outline, overlapping strokes one by one as the face has them."""
    for shape in letter.ink:
        data = "".join(ring(points, on_paper) for points in rings_of(shape))
        look = {"fill": INK_FILL, "stroke": INK, "stroke_width": 0.3}
        panel.add(path(data, fill_rule="evenodd", **look))


def columns(panel, _made, letter, on_paper):
    """Each column in its tint, with its rungs."""
    for number, column in enumerate(letter.columns):
        data = ring(np.concatenate([column.left, column.right[::-1]]), on_paper)
        tint = COLUMN_TINTS[number % len(COLUMN_TINTS)]
        panel.add(path(data, fill=tint, stroke=TEXT, stroke_width=0.3))
        pairs = zip(column.left, column.right, strict=True)
        rungs = "".join("M" + "L".join(on_paper([a, b])) for a, b in pairs)
        panel.add(path(rungs, fill="none", stroke=EDGE, stroke_width=0.2))


def needles(panel, made, letter, on_paper):
    """The path part by part, over the outline, and every needle point."""
    outline(panel, made, letter, on_paper)
    table = made.needles
    spots = on_paper(np.column_stack([table["x_mm"], table["y_mm"]]))
    for part in (Part.UNDERLAY, Part.TRAVEL, Part.TIE_IN, Part.TIE_OFF, Part.ZIGZAG):
        look = PART_LOOK[part]
        rows = [
            row
            for row in range(1, len(table))
            if table["part"][row] == part and table["arrive"][row] == Arrive.SEW
        ]
        dashes = {"stroke_dasharray": " ".join(map(str, look.dash_mm))} if look.dash_mm else {}
        data = "".join(f"M{spots[row - 1]}L{spots[row]}" for row in rows)
        line = {"fill": "none", "stroke": look.colour, "stroke_width": look.line_mm}
        panel.add(path(data, stroke_linecap="round", **line, **dashes))
        own = [spot for spot, of in zip(spots, table["part"], strict=True) if of == part]
        dots = {"stroke": look.colour, "stroke_width": look.dot_mm, "stroke_linecap": look.cap}
        panel.add(path("".join(f"M{spot}h0" for spot in own), fill="none", **dots))
