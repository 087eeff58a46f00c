"""Score of the stroke splitter on the letters and digits of fonts.

    python tests/bench/score_columns.py [FONT ...]

Without fonts, five common faces that fc-match finds. A row a font:

- count: letters whose number of columns a person would have chosen, of 62;
- cover: share of the ink under columns, mean and least over the letters;
- spill: area of columns outside the ink, as a share of the ink, mean and most;
- |cos|: cosine between rung and centre line, mean over rungs; 0 is square. Where a wide end begins
  at one side of its stroke the centre line steps sideways, and the two rungs of the step count as
  slanted though they are square to the stroke;
- slant: the same, mean over the area that the rungs sew, which is what one sees;
- out: share of rungs that leave the ink by more than a twentieth of their length;
- cross: pairs of neighbouring rungs that cross;
- ms: processor milliseconds a glyph, median over the letters of the best of three runs, and beside
  it those of the triangulation alone.
"""

import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import shapely

sys.path.insert(0, str(Path(__file__).parents[1]))
sys.path.insert(0, str(Path(__file__).parents[2]))

from letter_table import COUNTS

from pathgen.columns.outline import traced
from pathgen.columns.split import split_glyph
from pathgen.geometry import Points, cross, tangents
from pathgen.lettering.fontfile import Face, open_face
from pathgen.lettering.outlines import glyph_rings
from pathgen.model import Column
from pathgen.polygons import Polygon, band, constrained_triangles, joined

FACES = (
    "DejaVu Sans:style=Book",
    "DejaVu Sans:style=Bold",
    "DejaVu Serif:style=Book",
    "Liberation Sans:style=Regular",
    "Liberation Serif:style=Regular",
)

# A rung has left the ink if more than this share of its length is outside.
OUT_SHARE = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class Score:
    """What one glyph's columns are worth."""

    columns: int
    cover: float
    spill: float
    cosines: list[float]
    sewn: list[float]
    rungs: int
    out: int
    crossings: int


def installed(pattern: str) -> Path:
    """File of an installed font, by fontconfig pattern."""
    done = subprocess.run(
        ["fc-match", "-f", "%{file}", pattern], capture_output=True, text=True, check=True
    )
    return Path(done.stdout)


def scored(ink: tuple[Polygon, ...], columns: tuple[Column, ...]) -> Score:
    """Score of one glyph."""
    whole = joined(ink)
    sewn = joined([_area(column) for column in columns])
    grown = shapely.buffer(whole, 1e-6 * whole.area**0.5)
    rungs = [shapely.linestrings(np.stack([c.left, c.right], axis=1)) for c in columns]
    lines = np.concatenate(rungs) if rungs else np.array([])
    outside = shapely.length(shapely.difference(lines, grown))
    return Score(
        columns=len(columns),
        cover=shapely.intersection(sewn, whole).area / whole.area,
        spill=shapely.difference(sewn, whole).area / whole.area,
        cosines=[cosine for column in columns for cosine in _cosines(column)],
        sewn=[area for column in columns for area in _sewn(column)],
        rungs=len(lines),
        out=int((outside > OUT_SHARE * shapely.length(lines)).sum()),
        crossings=sum(crossings(column.left, column.right) for column in columns),
    )


def _area(column: Column) -> shapely.Geometry:
    """Area of a column."""
    return band(column.left, column.right, closed=column.closed)


def _cosines(column: Column) -> list[float]:
    """Cosine between each rung that has a width and the centre line."""
    across, ahead = column.right - column.left, tangents(column.centre)
    wide = column.widths > 1e-9
    cosines = np.abs((across * ahead).sum(axis=1))[wide] / column.widths[wide]
    return cosines.tolist()


def _sewn(column: Column) -> list[float]:
    """Area that each rung with a width sews: half of what lies between it and its neighbours."""
    left, right = column.left, column.right
    across, back = right[1:] - left[:-1], left[1:] - right[:-1]
    between = np.abs(cross(across, back)) / 2.0
    halves = np.concatenate([[0.0], between]) + np.concatenate([between, [0.0]])
    areas: list[float] = (halves / 2.0)[column.widths > 1e-9].tolist()
    return areas


def mean_cosine(scores: Sequence[Score]) -> float:
    """Mean over rungs of their cosine with the centre line."""
    return statistics.mean(cosine for score in scores for cosine in score.cosines)


def slant(scores: Sequence[Score]) -> float:
    """The same, over the area that they sew."""
    cosines = np.array([cosine for score in scores for cosine in score.cosines])
    areas = np.array([area for score in scores for area in score.sewn])
    return float((cosines * areas).sum() / areas.sum())


def crossings(left: Points, right: Points) -> int:
    """How many neighbouring rungs cross, by GEOS' exact predicate."""
    rungs = shapely.linestrings(np.stack([left, right], axis=1))
    return int(shapely.crosses(rungs[:-1], rungs[1:]).sum())


def _best_ms(work: Callable[[], object]) -> float:
    """Processor milliseconds of the best of three runs."""
    best = float("inf")
    for _ in range(3):
        start = time.process_time()
        work()
        best = min(best, time.process_time() - start)
    return best * 1e3


def row(face: Face) -> str:
    """One font's line of the table, and the letters whose count is wrong."""
    scores, wrong, whole_ms, bare_ms = [], [], [], []
    for letter, counts in COUNTS.items():
        rings = glyph_rings(face, face.hb_font.get_nominal_glyph(ord(letter)))
        em = float(face.facts.units_per_em)
        ink, columns = split_glyph(rings, em)
        outlines = [outline.leaning for piece in ink if (outline := traced(piece, em))]
        whole_ms.append(_best_ms(lambda rings=rings, em=em: split_glyph(rings, em)))
        bare_ms.append(
            _best_ms(lambda outlines=outlines: [constrained_triangles(o) for o in outlines])
        )
        scores.append(scored(ink, columns))
        if len(columns) not in counts:
            wrong.append(f"{letter}:{len(columns)}")
    rungs = sum(score.rungs for score in scores)
    return (
        f"{face.facts.name[:24]:24} {len(COUNTS) - len(wrong):2d}/{len(COUNTS)}"
        f"  {statistics.mean(s.cover for s in scores):.4f} {min(s.cover for s in scores):.4f}"
        f"  {statistics.mean(s.spill for s in scores):.4f} {max(s.spill for s in scores):.4f}"
        f"  {mean_cosine(scores):.3f} {slant(scores):.3f}"
        f"  {100.0 * sum(s.out for s in scores) / rungs:5.2f} %"
        f" {sum(s.crossings for s in scores):5d}"
        f"  {statistics.median(whole_ms):5.2f} {statistics.median(bare_ms):5.2f}"
        f"  {' '.join(wrong)}"
    )


def main() -> None:
    """Print the table."""
    paths = [Path(arg) for arg in sys.argv[1:]] or [installed(face) for face in FACES]
    print(
        f"{'font':24} count  cover  least   spill  most    |cos| slant     out cross     ms   CDT"
        "  wrong"
    )
    for path in paths:
        print(row(open_face(path)))


if __name__ == "__main__":
    main()
