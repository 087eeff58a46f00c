"""What our own layers cost beside the libraries they stand on, as ratios of CPU time in one run.

python tests/bench/beside_libraries.py
"""

import csv
import io
import statistics
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import shapely
import uharfbuzz as hb
from fontTools.ttLib import TTFont
from shapely.geometry import Polygon

sys.path.insert(0, str(Path(__file__).parents[1]))

from outside import font_file

from pathgen import plan
from pathgen.columns.split import split_glyph
from pathgen.lettering.fontfile import open_face
from pathgen.lettering.outlines import glyph_rings
from pathgen.lettering.shaping import shape_line
from pathgen.needles import Arrive, Part, Side, stitch_lengths_mm
from pathgen.polygons import constrained_triangles, filled
from pathgen.writers.tables_csv import needles_csv

TEXT = "Harbour Bakery since 1974"
ROUNDS = 15


def ratio(ours: Callable[[], object], theirs: Callable[[], object], times: int = 1) -> float:
    """Median of paired ratios of CPU time, each side done so many times a round."""
    ours(), theirs()
    found = []
    for _ in range(ROUNDS):
        spent = []
        for work in (ours, theirs):
            start = time.process_time_ns()
            for _ in range(times):
                work()
            spent.append(time.process_time_ns() - start)
        found.append(spent[0] / max(1, spent[1]))
    return statistics.median(found)


def ratios() -> Iterator[tuple[str, str, float]]:
    """What is measured, beside what, and the ratio; above 1 ours takes longer."""
    path = font_file("DejaVuSans.ttf")
    face = open_face(path)
    yield (
        "open and measure a font",
        "fontTools opens it",
        ratio(lambda: open_face(path), lambda: TTFont(path).getBestCmap()),
    )

    def bare() -> None:
        buffer = hb.Buffer()
        buffer.add_str(TEXT)
        buffer.guess_segment_properties()
        hb.shape(face.hb_font, buffer)

    yield "shape a line", "HarfBuzz alone", ratio(lambda: shape_line(face, TEXT, 1), bare, 200)
    rings = [glyph_rings(face, face.hb_font.get_nominal_glyph(ord(c))) for c in "HOBage&8"]
    solid = [Polygon(r[0]) for r in rings]
    yield (
        "fill eight outlines",
        "shapely joins them",
        ratio(lambda: [filled(r) for r in rings], lambda: shapely.union_all(solid), 5),
    )
    inks = [filled(r)[0] for r in rings]
    yield (
        "split eight glyphs",
        "their constrained triangles",
        ratio(
            lambda: [split_glyph(r, 2048.0) for r in rings],
            lambda: [constrained_triangles(ink) for ink in inks],
        ),
    )
    made = plan([TEXT] * 8)
    yield (
        "write the needle table",
        "Python's csv module",
        ratio(lambda: needles_csv(made), lambda: _by_csv(made)),
    )


def _by_csv(made) -> str:
    """The same table by the csv module, a row a tuple."""
    table, text = made.needles, io.StringIO(newline="")
    words = [[m.word for m in kind] for kind in (Part, Arrive, Side)]
    writer = csv.writer(text)
    for n, (row, length) in enumerate(zip(table, stitch_lengths_mm(table), strict=True), 1):
        writer.writerow(
            (
                n,
                f"{row['x_mm']:.3f}",
                f"{row['y_mm']:.3f}",
                words[0][row["part"]],
                words[1][row["arrive"]],
                row["thread"],
                row["line"],
                row["letter"],
                row["column"],
                words[2][row["side"]],
                f"{length:.3f}",
            )
        )
    return text.getvalue()


if __name__ == "__main__":
    for what, beside, found in ratios():
        print(f"{what:28s} beside {beside:30s} {found:8.2f}")
