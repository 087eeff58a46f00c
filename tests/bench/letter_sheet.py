"""A sheet of letters as their columns, to be looked at one by one.

    python tests/bench/letter_sheet.py FONT SHEET.svg [--text TEXT] [--across N]

FONT is a file, or a fontconfig pattern such as "DejaVu Serif:style=Book". Each column has a
colour of its own, with its rungs and a dot at its start; ink that no column covers shows grey.
``rsvg-convert SHEET.svg -o SHEET.png`` makes a picture of it.
"""

import argparse
from html import escape
from pathlib import Path

import numpy as np
from score_columns import installed

from pathgen.columns.split import split_glyph
from pathgen.geometry import Points
from pathgen.lettering.fontfile import Face, open_face
from pathgen.lettering.outlines import glyph_rings
from pathgen.model import Column
from pathgen.polygons import Polygon, rings_of

TEXT = (
    "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789"
    ".,:;!?'\"()[]{}/\\|-–_+=<>*#%&@§$€£¢~^°«»“”„…¿¡†"
    "ßæœøðþÆŒØÐÞÄÖÜäöüéèêëñçåÅŁłışğÿžŠ²½ªº"
)
COLOURS = ("#c0392b", "#2471a3", "#1e8449", "#b9770e", "#7d3c98", "#117a65", "#873600", "#34495e")

# Side of a cell and size of an em in it, in pixels.
CELL = 150
EM = 112


def sheet(face: Face, text: str, across: int) -> str:
    """The letters that the face has, as an SVG."""
    glyphs = [(c, face.hb_font.get_nominal_glyph(ord(c))) for c in text]
    cells = [_cell(face, letter, glyph) for letter, glyph in glyphs if glyph]
    rows = -(-len(cells) // across)
    placed = [
        f'<g transform="translate({CELL * (k % across)} {CELL * (k // across)})">{cell}</g>'
        for k, cell in enumerate(cells)
    ]
    size = f'width="{CELL * across}" height="{CELL * rows}"'
    return "\n".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" {size} font-family="DejaVu Sans">',
            f'<rect {size} fill="white"/>',
            *placed,
            "</svg>",
        ]
    )


def _cell(face: Face, letter: str, glyph: int) -> str:
    """One letter: its ink, its columns, their number."""
    em = float(face.facts.units_per_em)
    ink, columns = split_glyph(glyph_rings(face, glyph), em)
    points = np.concatenate([ring for piece in ink for ring in rings_of(piece)])
    centre = (points.min(axis=0) + points.max(axis=0)) / 2.0
    scale = min(EM / em, 0.92 * CELL / max(float(np.ptp(points, axis=0).max()), 1e-9))
    shift = np.array([CELL / 2.0, CELL / 2.0 + 4.0])

    def at(path: Points) -> Points:
        return (path - centre) * (scale, -scale) + shift

    label = f'<text x="3" y="12" font-size="11">{escape(letter)} {len(columns)}</text>'
    drawn = [_drawn(column, k, at) for k, column in enumerate(columns)]
    return "".join([_ink(ink, at), *drawn, label])


def _ink(ink: tuple[Polygon, ...], at) -> str:  # type: ignore[no-untyped-def]
    """The letter in grey."""
    rings = [_path(at(ring)) + "Z" for piece in ink for ring in rings_of(piece)]
    return f'<path d="{"".join(rings)}" fill="#bbb" fill-rule="evenodd"/>'


def _drawn(column: Column, number: int, at) -> str:  # type: ignore[no-untyped-def]
    """One column: its area, its rungs, its start."""
    colour = COLOURS[number % len(COLOURS)]
    left, right = at(column.left), at(column.right)
    rungs = "".join(_path(np.stack(pair)) for pair in zip(left, right, strict=True))
    area = _path(np.concatenate([left, right[::-1]])) + "Z"
    x, y = (left[0] + right[0]) / 2.0
    return (
        f'<path d="{area}" fill="{colour}" fill-opacity="0.35" stroke="{colour}"'
        f' stroke-width="0.5"/><path d="{rungs}" stroke="{colour}" stroke-width="0.6"/>'
        f'<circle cx="{x:.1f}" cy="{y:.1f}" r="2" fill="{colour}"/>'
    )


def _path(points: Points) -> str:
    """Points as path data."""
    return "M" + " ".join(f"{x:.2f},{y:.2f}" for x, y in points.tolist())


def main() -> None:
    """Write the sheet."""
    parser = argparse.ArgumentParser(description="Draw letters as their columns.")
    parser.add_argument("font")
    parser.add_argument("sheet", type=Path)
    parser.add_argument("--text", default=TEXT)
    parser.add_argument("--across", type=int, default=10)
    options = parser.parse_args()
    path = Path(options.font)
    face = open_face(path if path.is_file() else installed(options.font))
    options.sheet.write_text(sheet(face, options.text, options.across), encoding="utf-8")


if __name__ == "__main__":
    main()
