"""The plot, judged by tools from outside: a DTD, an SVG reader, two renderers."""

import csv
import io
import math
import re
import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest
from lxml import etree
from plan_specimen import specimen
from svgelements import SVG
from svgelements import Path as SvgPath

from pathgen.model import Finding, Level, Part, Plan, needle_table
from pathgen.writers.plot_page import SCALES, SHEETS, text_width, wrapped
from pathgen.writers.plot_svg import plot_svg
from pathgen.writers.tables_csv import needles_csv

NS = {"s": "http://www.w3.org/2000/svg"}

# Debian's copy of the W3C's DTD of SVG 1.1, second edition (package w3c-sgml-lib).
DTD_FILES = sorted(Path("/usr/share/xml/w3c-sgml-lib").glob("**/REC-SVG11-20110816/svg11.dtd"))

AWKWARD = "<b>&\"'\x00\x1b\u202e]]>港\U0001f9f5"


def case(name: str) -> Plan:
    """Plans of every extent, made on demand."""
    return {
        "one letter": lambda: specimen(("O",)),
        "fourteen letters": lambda: specimen(("TITOTIT OTTOIT",)),
        "three lines": lambda: specimen(("TITO OTTO", "IOTIOTTTO", "OTTI")),
        "sixty letters": lambda: specimen(("TITO" * 15,)),
        "arc": lambda: specimen(("TITO",), arc_mm=30.0),
        "tall": lambda: specimen(("TIO",), height_mm=60.0),
        "huge": lambda: specimen(("TITO" * 15,), height_mm=60.0),
        "awkward text": lambda: specimen((AWKWARD,), written=dict.fromkeys(AWKWARD, AWKWARD)),
        "nothing": nothing,
        "many findings": lambda: specimen(("TITO",), findings=many_findings(30)),
    }[name]()


CASES = [
    "one letter",
    "fourteen letters",
    "three lines",
    "sixty letters",
    "arc",
    "tall",
    "huge",
    "awkward text",
    "nothing",
    "many findings",
]


def nothing() -> Plan:
    """A plan of a space: no letters, needles or findings."""
    full = specimen(("I",), findings=())
    whole = full.whole
    return Plan(
        lines=(" ",),
        face=full.face,
        settings=full.settings,
        letters=(),
        needles=needle_table(0),
        counts=(whole,),
        findings=(),
        sew_s=0.0,
    )


def many_findings(kinds: int) -> list[Finding]:
    """Findings of many codes, some with figures that are no numbers."""
    return [
        Finding(
            code=f"kind-{k}",
            level=Level(2 - k * 3 // kinds),
            at_mm=(1.0 + k % 5, 2.0),
            line=1,
            letter=1 + k % 4,
            measured=math.nan if k == 3 else 0.1 * k,
            limit=1.0,
            unit="" if k % 2 else "mm",
            advice="a piece of advice that goes on for long enough to need a second line" * (k % 3),
        )
        for k in range(kinds)
    ]


def tree_of(plan: Plan) -> etree._Element:
    """The plot, parsed."""
    return etree.fromstring(plot_svg(plan).encode("utf-8"))


def needle_points(svg: str) -> dict[str, list[tuple[float, float]]]:
    """Points of each path of needle points, untransformed, as svgelements reads them."""
    out = {}
    for element in SVG.parse(io.StringIO(svg), reify=False).elements():
        if isinstance(element, SvgPath) and str(element.id).startswith("dots-"):
            starts = [
                s.end for s in element.segments(transformed=False) if type(s).__name__ == "Move"
            ]
            out.setdefault(element.id[5:], [(p.x, p.y) for p in starts])
    return out


@pytest.mark.skipif(not DTD_FILES, reason="w3c-sgml-lib is not installed")
@pytest.mark.parametrize("name", CASES)
def test_plot_is_valid_against_the_dtd_of_svg_1_1(name):
    dtd = etree.DTD(str(DTD_FILES[0]))

    valid = dtd.validate(tree_of(case(name)))

    assert valid, dtd.error_log.filter_from_errors()


@pytest.mark.skipif(not DTD_FILES, reason="w3c-sgml-lib is not installed")
def test_dtd_refuses_what_is_not_svg_1_1():
    dtd = etree.DTD(str(DTD_FILES[0]))
    tree = tree_of(case("one letter"))

    tree[-1].set("data-line", "1")

    assert not dtd.validate(tree)


@pytest.mark.parametrize("name", CASES)
def test_page_has_its_real_size_in_mm(name):
    tree = tree_of(case(name))
    width, height = (float(tree.get(side).removesuffix("mm")) for side in ("width", "height"))

    assert tree.get("viewBox").split()[:2] == ["0", "0"]
    assert [float(v) for v in tree.get("viewBox").split()[2:]] == [width, height]
    assert width >= SHEETS[0].width_mm


@pytest.mark.parametrize("name", ["one letter", "fourteen letters", "three lines", "huge"])
def test_svg_reader_gets_the_points_of_the_needle_table(name):
    plan = case(name)
    rows = list(csv.DictReader(io.StringIO(needles_csv(plan).decode("ascii"))))
    expected: dict[str, list[tuple[float, float]]] = {}
    for row in rows:
        spot = (float(row["x_mm"]), -float(row["y_mm"]) + 0.0)
        expected.setdefault(row["part"], []).append(spot)

    read = needle_points(plot_svg(plan))

    assert read == expected
    assert sum(map(len, read.values())) == len(plan.needles)


def test_svg_reader_gets_the_zigzag_line_stitch_by_stitch():
    plan = case("one letter")
    zigzag = plan.needles["part"] == Part.ZIGZAG
    first = np.flatnonzero(zigzag)[0]
    through = [first - 1, *np.flatnonzero(zigzag)]
    expected = [
        (round(x, 3), round(-y, 3))
        for x, y in zip(
            plan.needles["x_mm"][through].tolist(),
            plan.needles["y_mm"][through].tolist(),
            strict=True,
        )
    ]

    for element in SVG.parse(io.StringIO(plot_svg(plan)), reify=False).elements():
        if isinstance(element, SvgPath) and element.id == "zigzag-line":
            read = [(s.end.x, s.end.y) for s in element.segments(transformed=False)]
            break

    assert np.allclose(read, expected, rtol=0.0, atol=1e-9)


def test_groups_are_named_and_titled():
    tree = tree_of(case("fourteen letters"))

    names = {g.get("id"): g.find("s:title", NS) for g in tree.iterfind(".//s:g[@id]", NS)}

    drawn = {"outline", "columns", "underlay", "zigzag", "travel", "needle-points"}
    told = {"sewing-order", "findings", "dimensions", "notes", "legend", "settings"}
    for name in drawn | told | {"findings-key", "true-size", "scale-bar", "caution"}:
        assert names[name].text, name


def test_ids_are_unique():
    ids = [e.get("id") for e in tree_of(case("three lines")).iter() if e.get("id")]

    assert len(ids) == len(set(ids))


def test_sewing_order_numbers_every_column_once():
    plan = case("three lines")
    columns = sum(len(letter.columns) for letter in plan.letters)

    texts = tree_of(plan).findall(".//s:g[@id='sewing-order']//s:text", NS)

    # Each number is written twice: a light edge, then the figure on it.
    assert sorted(int(t.text) for t in texts) == sorted(2 * list(range(1, columns + 1)))


def test_every_letter_and_kind_of_finding_has_a_marker():
    plan = case("fourteen letters")
    concerned = {(f.code, f.line, f.letter) for f in plan.findings if f.letter}

    texts = tree_of(plan).findall(".//s:g[@id='findings']//s:text", NS)

    assert len(texts) == len(concerned)


def test_every_kind_of_finding_is_in_the_key():
    tree = tree_of(case("many findings"))

    texts = [t.text for t in tree.findall(".//s:g[@id='findings-key']//s:text", NS)]

    for kind in range(30):
        assert any(t.endswith(f": kind {kind}") for t in texts), kind


@pytest.mark.parametrize("name", CASES)
def test_nothing_is_written_outside_the_page(name):
    tree = tree_of(case(name))
    width, height = (float(v) for v in tree.get("viewBox").split()[2:])

    for text in tree.iterfind(".//s:text", NS):
        x, y, size = (float(text.get(k)) for k in ("x", "y", "font-size"))
        wide = text_width(text.text or "", size)
        anchor = text.get("text-anchor") or text.getparent().get("text-anchor") or "start"
        start = x - {"start": 0.0, "middle": wide / 2, "end": wide}[anchor]
        if "rotate" not in (text.get("transform") or ""):
            assert start >= 0.0, text.text
            assert start + wide <= width, text.text
        assert size <= y <= height, text.text


def text_boxes(tree: etree._Element, group: str) -> list[tuple[float, float, float, float]]:
    """Left, top, right and foot of each line of text in a group; turned ones left out."""
    boxes = []
    for text in tree.iterfind(f".//s:g[@id='{group}']//s:text", NS):
        x, y, size = (float(text.get(k)) for k in ("x", "y", "font-size"))
        wide = text_width(text.text or "", size)
        anchor = text.get("text-anchor") or text.getparent().getparent().get("text-anchor")
        start = x - {"middle": wide / 2, "end": wide}.get(anchor, 0.0)
        if "rotate" not in (text.get("transform") or ""):
            boxes.append((start, y - 0.75 * size, start + wide, y + 0.2 * size))
    return boxes


@pytest.mark.parametrize("name", CASES)
def test_words_of_the_page_do_not_overlap(name):
    tree = tree_of(case(name))
    groups = ("head", "dimensions", "rulers", "legend", "settings", "findings-key", "caution")
    boxes = {group: text_boxes(tree, group) for group in groups}
    fixed = [box for group in groups for box in boxes[group]]
    movable = text_boxes(tree, "sewing-order") + text_boxes(tree, "findings")

    def overlap(a, b):
        return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]

    for index, box in enumerate(fixed):
        for other in fixed[:index] + movable:
            assert not overlap(box, other), (box, other)


@pytest.mark.parametrize("name", CASES)
def test_notes_stand_below_the_drawing(name):
    tree = tree_of(case(name))
    drawn = text_boxes(tree, "sewing-order") + text_boxes(tree, "dimensions")
    notes, caution = text_boxes(tree, "notes"), text_boxes(tree, "caution")

    assert max((box[3] for box in drawn), default=0.0) < min(box[1] for box in notes)
    assert max(box[3] for box in notes) < min(box[1] for box in caution)


@pytest.mark.parametrize("name", CASES)
def test_scale_is_one_of_the_stated_and_fits_the_page(name):
    plan = case(name)
    tree = tree_of(plan)
    move, scale = re.fullmatch(
        r"translate\((.*)\) scale\((\d+)\)",
        tree.find(".//s:g[@id='lettering']", NS).get("transform"),
    ).groups()
    x0, y0 = map(float, move.split())
    width, height = (float(v) for v in tree.get("viewBox").split()[2:])

    assert int(scale) in SCALES
    for x, y in zip(plan.needles["x_mm"], plan.needles["y_mm"], strict=True):
        assert 0.0 < x0 + x * int(scale) < width
        assert 0.0 < y0 - y * int(scale) < height


def test_caution_is_on_every_plot():
    tree = tree_of(case("nothing"))

    said = " ".join(t.text for t in tree.iterfind(".//s:g[@id='caution']/s:text", NS))

    for word in ("estimate", "eye protection", "broken needle parts", "manual", "operator"):
        assert word in said


def test_text_from_the_user_cannot_become_markup_or_control_the_page():
    svg = plot_svg(case("awkward text"))

    assert "<b>" not in svg
    assert not re.search("[\x00-\x08\x0b-\x1f]", svg)
    assert "港" in etree.fromstring(svg.encode("utf-8")).find("s:title", NS).text


def test_same_plan_gives_the_same_bytes():
    assert plot_svg(case("three lines")) == plot_svg(case("three lines"))


def test_no_element_a_stitch():
    plan = case("fourteen letters")

    count = sum(1 for _ in tree_of(plan).iter())

    assert count < len(plan.needles)


def test_negative_zero_is_never_written():
    assert not re.search(r"-0(\.0+)?[ hML\"Z)]", plot_svg(case("one letter")))


def test_wrapped_words_are_all_there_and_fit():
    text = "net mender and sailmaker at the Old Customs Quay " + "x" * 80

    lines = wrapped(text, 3.0, 60.0)

    assert "".join(lines).replace(" ", "") == text.replace(" ", "")
    assert all(text_width(line, 3.0) <= 60.0 for line in lines)


def test_cut_words_say_so():
    assert wrapped("net mender and sailmaker", 3.0, 20.0, 2)[-1].endswith("…")


# The renderers: rsvg (Debian librsvg2-bin) and Chromium.


def by_rsvg(svg: Path, png: Path, width: int, _height: int) -> None:
    subprocess.run(["rsvg-convert", "-w", str(width), str(svg), "-o", str(png)], check=True)


def by_chromium(svg: Path, png: Path, width: int, height: int) -> None:
    page = svg.with_suffix(".html")
    page.write_text(f'<body style="margin:0"><img src="{svg.name}" width="{width}">')
    options = [
        "--headless",
        "--no-sandbox",
        "--disable-gpu",
        "--disable-background-networking",
        "--disable-sync",
        "--no-first-run",
        f"--user-data-dir={svg.parent / 'profile'}",
        f"--window-size={width},{height}",
        f"--screenshot={png}",
    ]
    subprocess.run(
        ["chromium", *options, page.as_uri()],
        check=True,
        capture_output=True,
        timeout=120,
    )


RENDERERS = [
    pytest.param(
        by_rsvg,
        marks=pytest.mark.skipif(not shutil.which("rsvg-convert"), reason="no rsvg-convert"),
    ),
    pytest.param(
        by_chromium, marks=pytest.mark.skipif(not shutil.which("chromium"), reason="no chromium")
    ),
]


@pytest.mark.parametrize("render", RENDERERS)
def test_every_needle_point_is_seen_as_a_dark_spot(render, tmp_path):
    image = pytest.importorskip("PIL.Image")
    plan = specimen(("TO",), findings=())
    svg, png = tmp_path / "plot.svg", tmp_path / "plot.png"
    text = plot_svg(plan)
    tree = etree.fromstring(text.encode("utf-8"))
    # Only the dots are left standing, so that no line or figure can pass for one.
    lettering = tree.find(".//s:g[@id='lettering']", NS)
    for part in list(tree):
        if part is not lettering and part.get("id") != "page":
            tree.remove(part)
    for part in list(lettering):
        if part.get("id") != "needle-points":
            lettering.remove(part)
    svg.write_bytes(etree.tostring(tree))
    px_per_mm = 10
    wide, high = (math.ceil(float(v) * px_per_mm) for v in tree.get("viewBox").split()[2:])

    render(svg, png, wide, high)

    grey = np.asarray(image.open(png).convert("L")).astype(int)
    scale = grey.shape[1] / float(tree.get("viewBox").split()[2])
    x0, y0, k = map(float, re.findall(r"-?[\d.]+", lettering.get("transform")))
    dark = 0
    for x, y in zip(plan.needles["x_mm"], plan.needles["y_mm"], strict=True):
        col, row = round((x0 + x * k) * scale), round((y0 - y * k) * scale)
        spot = grey[row - 4 : row + 5, col - 4 : col + 5]
        assert spot.min() < 140, (x, y)
        dark += 1
    assert dark == len(plan.needles)
    # Most of the page stays light: the dots are dots.
    assert (grey < 140).mean() < 0.02
