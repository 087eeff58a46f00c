"""Facts of the files: SVG as other programs read it, CSV after its grammar."""

import io
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
from facts import fact
from lxml import etree
from outside import svg_dtd
from renderers import by_chromium, by_rsvg, ink, only, share_alike
from rfc4180 import rows_of
from svgelements import SVG
from svgelements import Path as SvgPath

from pathgen import plan
from pathgen.writers.plot_svg import plot_svg
from pathgen.writers.tables_csv import COUNT_HEADER, NEEDLE_HEADER, counts_csv, needles_csv

_READER = "svgelements, an SVG reader that is not ours"
_DTD = "SVG 1.1 DTD of 16 August 2011 (W3C)"
_RFC = "RFC 4180, section 2"


@cache
def _made():
    return plan(["Quay", '=1+1, "so"'], height_mm=5.0)


@cache
def _svg() -> str:
    return plot_svg(_made())


@cache
def _tree():
    return etree.fromstring(_svg().encode())


@cache
def _dots() -> dict[str, int]:
    """Needle points of each part, as another reader finds them."""
    found: dict[str, int] = {}
    for element in SVG.parse(io.StringIO(_svg()), reify=False).elements():
        if isinstance(element, SvgPath) and str(element.id).startswith("dots-"):
            starts = [s for s in element.segments(transformed=False) if type(s).__name__ == "Move"]
            found[element.id[5:]] = len(starts)
    return found


@fact("SVG", "errors that the DTD finds in a plot", 0, 0, _DTD)
def _() -> float:
    dtd = etree.DTD(str(svg_dtd()))
    dtd.validate(_tree())
    return len(dtd.error_log.filter_from_errors())


@fact("SVG", "needle points in a plot, over those of the plan", 1, 0, _READER)
def _() -> float:
    return sum(_dots().values()) / len(_made().needles)


for _part, _name in enumerate(("tie-in", "underlay", "travel", "zigzag", "tie-off")):

    @fact("SVG", f"{_name} points in a plot, less those of the counts", 0, 0, _READER)
    def _(part: int = _part, name: str = _name) -> float:
        return _dots().get(name, 0) - _made().whole.by_part[part]


@fact(
    "SVG",
    "pixels to the millimetre of its page",
    96.0 / 25.4,
    5e-6,
    "CSS Values and Units: 1 in is 96 px",
)
def _() -> float:
    read = SVG.parse(io.StringIO(_svg()))
    return float(read.width) / float(_tree().get("viewBox").split()[2])


@fact("SVG", "namespace of its root", "http://www.w3.org/2000/svg", 0, "SVG 1.1, appendix F.3")
def _() -> str:
    return etree.QName(_tree()).namespace


@fact(
    "SVG", "scripts, handlers and links to elsewhere", 0, 0, "every element and attribute, by lxml"
)
def _() -> float:
    return sum(map(_acts, _tree().iter()))


def _acts(element) -> bool:
    tag = etree.QName(element).localname if isinstance(element.tag, str) else "comment"
    links = [v for k, v in element.attrib.items() if k.endswith("href") and not v.startswith("#")]
    return tag in ("script", "foreignObject", "image", "a") or bool(
        links or [k for k in element.attrib if k.startswith("on")]
    )


for _layer in ("needle-points", "zigzag", "columns", "outline"):

    @fact(
        "SVG",
        f"share of the {_layer} that two renderers draw within 0.1 mm of paper",
        1.0,
        0.001,
        "librsvg and Chromium, pixel by pixel",
    )
    def _(layer: str = _layer) -> float:
        with TemporaryDirectory() as folder:
            tree = only(_svg(), layer)
            drawn = [ink(tree, render, Path(folder)) for render in (by_rsvg, by_chromium)]
        return share_alike(*drawn)


@fact("CSV", "rows of the needle table less stitches", 0, 0, _RFC + ", read after its grammar")
def _() -> float:
    return len(rows_of(needles_csv(_made()))) - 1 - _made().whole.stitches


for _name, _columns, _rows in (
    ("needle table", NEEDLE_HEADER, needles_csv),
    ("counts", COUNT_HEADER, counts_csv),
):

    @fact("CSV", f"fields of a row of the {_name}, less those of its header", 0, 0, _RFC + ".4")
    def _(columns: str = _columns, writer=_rows) -> float:
        [size] = {len(row) for row in rows_of(writer(_made()))}
        return size - len(columns.split(","))


for _title, _header, _writer in (
    ("needle table", NEEDLE_HEADER, needles_csv),
    ("counts", COUNT_HEADER, counts_csv),
):

    @fact("CSV", f"line breaks in the {_title} that are not CR LF", 0, 0, _RFC + ".1")
    def _(writer=_writer) -> float:
        data = writer(_made())
        return data.count(b"\n") - data.count(b"\r\n") + data.count(b"\r") - data.count(b"\r\n")


@fact(
    "CSV",
    "a line that begins with an equals sign, in the counts",
    '\'=1+1, "so"',
    0,
    "OWASP, CSV Injection",
)
def _() -> str:
    head, *rows = rows_of(counts_csv(_made()))
    [text] = {
        r[head.index("text")] for r in rows if r[0] == "line" and r[head.index("line")] == "2"
    }
    return text


@fact("CSV", "sum of the stitches of all columns, less the whole", 0, 0, "addition")
def _() -> float:
    head, *rows = rows_of(counts_csv(_made()))
    by_scope = {"column": 0, "whole": 0}
    for row in rows:
        if row[0] in by_scope:
            by_scope[row[0]] += int(row[head.index("stitches")])
    return by_scope["column"] - by_scope["whole"]


@fact(
    "CSV",
    "longest distance of the table's points from the plan's, mm",
    0,
    0.00071,
    "rounding to 0.001 mm, both ways",
)
def _() -> float:
    _, *rows = rows_of(needles_csv(_made()))
    read = np.array([[float(row[1]), float(row[2])] for row in rows])
    table = _made().needles
    return float(np.hypot(read[:, 0] - table["x_mm"], read[:, 1] - table["y_mm"]).max())
