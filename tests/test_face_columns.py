"""The columns of the bundled faces are the strokes that they were drawn with."""

import string
from dataclasses import dataclass

import numpy as np
import pytest
from drawn_faces import FACES, FONTS
from fontTools.ttLib import TTFont

from pathgen.columns.split import split_glyph
from pathgen.geometry import along, at_distances, length, unit
from pathgen.lettering.fontfile import open_face
from pathgen.lettering.outlines import glyph_rings

LETTERS = string.ascii_letters + string.digits

ASTRAY = 0.05
"""How far a column's centre line may lie from the drawn one, in stroke widths."""

END = 0.5
"""How near to an end it may do as it likes, in stroke widths."""


@pytest.fixture(scope="module", params=FACES, ids=[face.name for face in FACES])
def face(request):
    return request.param


@pytest.fixture(scope="module")
def opened(face):
    return open_face(face.path)


@pytest.fixture(scope="module")
def names(face):
    return TTFont(face.path).getBestCmap()


@pytest.fixture
def contours_of(monkeypatch):
    monkeypatch.syspath_prepend(str(FONTS))
    from strokes import Stroke, contours_of

    def drawn(stroke, width, *, cut=True):
        ends = {key: tuple(stroke.get(key, ())) for key in ("start", "end") if cut}
        return contours_of(Stroke(path=stroke["path"], width=width, **ends))

    return drawn


def columns_of(opened, char):
    rings = glyph_rings(opened, opened.hb_font.get_nominal_glyph(ord(char)))
    return split_glyph(rings, float(opened.facts.units_per_em))[1]


def flat(vertices, steps=16):
    """Points on a row of on-curve points and quadratic controls."""
    out = []
    for k, (x, y, on_curve) in enumerate(vertices):
        if on_curve:
            out.append((x, y))
            continue
        (ax, ay), (bx, by) = out[-1], vertices[(k + 1) % len(vertices)][:2]
        for t in np.arange(1, steps) / steps:
            p, q, r = (1 - t) ** 2, 2 * t * (1 - t), t * t
            out.append((p * ax + q * x + r * bx, p * ay + q * y + r * by))
    return np.array(out, dtype=float)


def within(points, first, last):
    """Polyline from one distance along it to another, on along its end pieces beyond its ends."""
    a, b = unit(points[0] - points[1]), unit(points[-1] - points[-2])
    longer = np.vstack([points[0] + 1000.0 * a, points, points[-1] + 1000.0 * b])
    where = along(longer) - 1000.0
    inner = where[(where > first) & (where < last)]
    return at_distances(longer, 1000.0 + np.concatenate([[first], inner, [last]]))


@dataclass(frozen=True)
class Drawn:
    """Centre line of a stroke, from the middle of one end to that of the other, and its ends as
    the edges that close the outline; a ring has none."""

    line: np.ndarray
    ends: tuple[np.ndarray, ...]
    width: float

    def placed(self, turn, shift):
        """Turned by 180 degrees where ``turn`` is -1, then moved."""
        ends = tuple(turn * end + shift for end in self.ends)
        return Drawn(turn * self.line + shift, ends, self.width)


def drawn_stroke(contours_of, stroke, width):
    outline, bare = contours_of(stroke, width), contours_of(stroke, 1e-6, cut=False)[0]
    if len(outline) == 2:
        line = flat(bare)
        return Drawn(np.vstack([line, line[:1]]), (), width)
    half = len(bare) // 2
    line = flat(bare[:half])
    left, right = (
        np.array([v[:2] for v in rail]) for rail in (outline[0][:half], outline[0][half:])
    )
    ends = np.array([left[0], right[-1]]), np.array([left[-1], right[0]])
    ahead, back = unit(line[1] - line[0]), unit(line[-1] - line[-2])
    first = (ends[0].mean(axis=0) - line[0]) @ ahead
    last = length(line) + (ends[1].mean(axis=0) - line[-1]) @ back
    return Drawn(within(line, first, last), ends, width)


def drawn_strokes(face, contours_of, name):
    """Strokes of a glyph where the built font has them."""
    entry = face.source["glyph"][name]
    turned = "half_turn_of" in entry
    source = face.source["glyph"][entry["half_turn_of"]] if turned else entry
    width = source.get("width", face.stroke)
    strokes = [(s, float(s.get("width", width))) for s in source["strokes"]]
    xs = [v[0] for s, w in strokes for c in contours_of(s, w) for v in c if v[2]]
    left = np.floor((-max(xs) if turned else min(xs)) + 0.5)
    shift = np.array([entry["sides"][0] - left, entry["height"] if turned else 0.0])
    return [drawn_stroke(contours_of, *pair).placed(-1 if turned else 1, shift) for pair in strokes]


def from_line(points, line):
    """Distance of each point to a polyline."""
    a, step = line[:-1], np.diff(line, axis=0)
    size = np.maximum((step * step).sum(axis=1), 1e-12)
    share = np.clip(((points[:, None] - a) * step).sum(axis=2) / size, 0.0, 1.0)
    away = points[:, None] - (a + share[:, :, None] * step)
    return np.hypot(away[..., 0], away[..., 1]).min(axis=1)


def astray(column, drawn):
    """Hausdorff distance of the two centre lines away from the ends, in stroke widths."""
    worst = 0.0
    for line, other in ((drawn.line, column.centre), (column.centre, drawn.line)):
        points = at_distances(line, np.linspace(0.0, length(line), 200))
        for end in drawn.ends:
            points = points[from_line(points, end) > END * drawn.width]
        if len(points):
            worst = max(worst, from_line(points, other).max())
    return worst / drawn.width


def test_every_letter_and_figure_has_as_many_columns_as_strokes(face, opened, names):
    glyphs = face.source["glyph"]
    for char in LETTERS:
        entry = glyphs[names[ord(char)]]
        strokes = glyphs[entry.get("half_turn_of", names[ord(char)])]["strokes"]
        assert len(columns_of(opened, char)) == len(strokes), char


def test_every_column_keeps_to_a_centre_line_as_drawn(face, opened, names, contours_of):
    for char in LETTERS:
        free = list(columns_of(opened, char))
        for drawn in drawn_strokes(face, contours_of, names[ord(char)]):
            off = [astray(column, drawn) for column in free]
            assert min(off) < ASTRAY, (char, min(off))
            free.pop(int(np.argmin(off)))


def test_a_stroke_elsewhere_would_be_told(face, opened, names, contours_of):
    """H, its bar moved up by a tenth of its width."""
    bar = drawn_strokes(face, contours_of, names[ord("H")])[1]
    moved = bar.placed(1, np.array([0.0, 0.1 * bar.width]))

    assert min(astray(c, moved) for c in columns_of(opened, "H")) > ASTRAY
