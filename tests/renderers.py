"""One drawing as two renderers show it: librsvg (cairo) and Chromium (Blink, Skia)."""

import math
import subprocess
from pathlib import Path

import numpy as np
from lxml import etree
from outside import chromium, program
from plot_cases import NS

PX_PER_MM = 10
# Ink is what is darker than this, and a trace of ink is anything darker than white: both renderers
# soften edges and thin lines, each in its own way.
DARK, TRACE = 225, 250


def by_rsvg(svg: Path, png: Path, width: int, _height: int) -> None:
    """Rasterised by librsvg."""
    convert = program("rsvg-convert")
    subprocess.run([convert, "-w", str(width), str(svg), "-o", str(png)], check=True)


def by_chromium(svg: Path, png: Path, width: int, height: int) -> None:
    """Rasterised by a browser, as a picture in a page."""
    page = svg.with_suffix(".html")
    page.write_text(f'<body style="margin:0"><img src="{svg.name}" width="{width}">')
    browser = chromium(svg.parent, width, height)
    subprocess.run(
        [*browser, f"--screenshot={png}", page.as_uri()],
        check=True,
        capture_output=True,
        timeout=120,
    )


def only(svg: str, layer: str):
    """Tree of a plot in which nothing is left but the page and one layer of the lettering."""
    tree = etree.fromstring(svg.encode("utf-8"))
    lettering = tree.find(".//s:g[@id='lettering']", NS)
    for part in list(tree):
        if part is not lettering and part.get("id") != "page":
            tree.remove(part)
    for part in list(lettering):
        if part.get("id") != layer:
            lettering.remove(part)
    return tree


def size_px(tree) -> tuple[int, int]:
    """Width and height of a plot's picture."""
    wide, high = (math.ceil(float(v) * PX_PER_MM) for v in tree.get("viewBox").split()[2:])
    return wide, high


def ink(tree, render, folder: Path):
    """Which pixels of a plot are ink, as a renderer shows it, and which are next to a trace."""
    from PIL import Image

    svg, png = folder / f"{render.__name__}.svg", folder / f"{render.__name__}.png"
    svg.write_bytes(etree.tostring(tree))
    wide, high = size_px(tree)
    render(svg, png, wide, high)
    grey = np.full((high + 2, wide + 2), 255, dtype=np.uint8)
    grey[1:-1, 1:-1] = np.asarray(Image.open(png).convert("L"))[:high, :wide]
    near = grey < TRACE
    for axis in (0, 1):
        near |= np.roll(near, 1, axis) | np.roll(near, -1, axis)
    return grey < DARK, near


def share_alike(one, other) -> float:
    """Share of either picture's ink that lies within a pixel of the other's, the less."""
    return min((a & b).sum() / a.sum() for a, b in ((one[0], other[1]), (other[0], one[1])))
