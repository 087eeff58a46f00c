"""What a split costs, beside what is known to be fast, on the same outlines in the same run.

    python tests/bench/split_speed.py [FONT ...]

Processor milliseconds a glyph, median over 62 letters of the best of three runs, a row a font:

- split: contours to ink and columns (`split_glyph`), nothing kept from before;
- CDT: constrained Delaunay triangles alone, of the outlines that the split triangulates;
- Voronoi: a plain medial axis by scipy: outline points every 0.1 mm at 5 mm capitals, their
  Voronoi diagram, the edges inside the ink. It has no widths, strokes, ends or rungs yet;
- resized: a glyph that is known, in another size: ink, columns and the lines that travel is weighed
  against, scaled, turned and moved (``letters._shape``);
- columns: of that, the columns alone;
- again: the same glyph in the same size, looked up.
"""

import itertools
import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import shapely
from scipy.spatial import Voronoi

sys.path.insert(0, str(Path(__file__).parents[1]))
sys.path.insert(0, str(Path(__file__).parents[2]))

from letter_table import COUNTS
from score_columns import FACES, installed

from pathgen.column import columns_placed
from pathgen.columns.outline import traced
from pathgen.columns.split import split_glyph
from pathgen.geometry import Points
from pathgen.lettering.fontfile import Face, open_face
from pathgen.lettering.outlines import glyph_rings
from pathgen.letters import _shape
from pathgen.polygons import Polygon, constrained_triangles, joined, rings_of

CAPITAL_MM = 5.0
STEP_MM = 0.1
COLUMNS = ("split", "CDT", "Voronoi", "resized", "columns", "again")


def best_ms(work: Callable[[], object], times: int = 1) -> float:
    """Processor milliseconds of the best of three runs of so many times each."""
    best = float("inf")
    for _ in range(3):
        start = time.process_time()
        for _ in range(times):
            work()
        best = min(best, (time.process_time() - start) / times)
    return best * 1e3


def medial_axis(ink: tuple[Polygon, ...], step: float) -> Points:
    """Ends of the Voronoi edges inside the ink, two an edge."""
    edge = shapely.segmentize(joined(ink), step)
    points = np.concatenate([ring for part in shapely.get_parts(edge) for ring in rings_of(part)])
    diagram = Voronoi(points)
    shapely.prepare(edge)
    inside = shapely.contains_xy(edge, diagram.vertices)
    ridges = np.asarray(diagram.ridge_vertices)
    ridges = ridges[(ridges >= 0).all(axis=1)]
    kept = ridges[inside[ridges].all(axis=1)]
    ends: Points = diagram.vertices[kept].reshape(-1, 2)
    return ends


def letter_times(
    face: Face, letter: str, step: float, sizes: "itertools.count[int]"
) -> list[float]:
    """Milliseconds of one letter, in the order of `COLUMNS`."""
    glyph = face.hb_font.get_nominal_glyph(ord(letter))
    rings, em = glyph_rings(face, glyph), float(face.facts.units_per_em)
    ink, columns = split_glyph(rings, em)
    outlines = [outline.leaning for piece in ink if (outline := traced(piece, em))]
    part = ((glyph, 0.0, 0.0),)
    _shape(face, part, 0.0, 1.0)
    return [
        best_ms(lambda: split_glyph(rings, em)),
        best_ms(lambda: [constrained_triangles(outline) for outline in outlines]),
        best_ms(lambda: medial_axis(ink, step)),
        best_ms(lambda: _shape(face, part, 0.0, 1.0 + next(sizes) * 1e-6), 10),
        best_ms(lambda: list(columns_placed(columns, 0.5, 0.0, 0.0, 0.0)), 10),
        best_ms(lambda: _shape(face, part, 0.0, 1.0), 100),
    ]


def row(face: Face) -> str:
    """One font's line."""
    capital = np.concatenate(glyph_rings(face, face.hb_font.get_nominal_glyph(ord("H"))))
    step = STEP_MM / CAPITAL_MM * float(np.ptp(capital[:, 1]))
    sizes = itertools.count(1)
    times = [letter_times(face, letter, step, sizes) for letter in COUNTS]
    medians = [statistics.median(each) for each in zip(*times, strict=True)]
    shown = "  ".join(f"{each:7.3f}" for each in medians)
    return f"{face.facts.name[:24]:24} {shown}  {medians[0] / medians[2]:8.2f}"


def main() -> None:
    """Print the table."""
    paths = [Path(arg) for arg in sys.argv[1:]] or [installed(face) for face in FACES]
    print(f"{'font':24} {'  '.join(f'{name:>7}' for name in COLUMNS)}  split/Voronoi")
    for path in paths:
        print(row(open_face(path)), flush=True)


if __name__ == "__main__":
    main()
