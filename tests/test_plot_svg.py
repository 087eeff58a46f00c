"""The plot as a document, judged by a DTD and an SVG reader from outside."""

import csv
import io
import re
from pathlib import Path

import numpy as np
import pytest
from lxml import etree
from plot_cases import CASES, NS, case, tree_of
from svgelements import SVG
from svgelements import Path as SvgPath

from pathgen.needles import Arrive, Part
from pathgen.writers.plot_svg import plot_svg, plots_encoded
from pathgen.writers.tables_csv import needles_csv

# Debian's copy of the W3C's DTD of SVG 1.1, second edition (package w3c-sgml-lib).
DTD_FILES = sorted(Path("/usr/share/xml/w3c-sgml-lib").glob("**/REC-SVG11-20110816/svg11.dtd"))


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


@pytest.mark.parametrize("name", ["harbour bakery", "one letter", "three lines", "huge"])
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


@pytest.mark.parametrize("name", CASES)
def test_bytes_of_a_plot_are_its_text_in_utf_8(name):
    assert plots_encoded(case(name)) == (plot_svg(case(name)).encode("utf-8"),)


def test_thread_at_true_size_lies_along_every_stitch_also_from_letter_to_letter():
    """Each stitch has an edge and a back, which are as far from its one end as from its other."""
    plan = case("harbour bakery")
    table = plan.needles
    ends = np.column_stack([table["x_mm"], -table["y_mm"]])
    sewn = (table["arrive"][1:] == Arrive.SEW) & (np.diff(ends, axis=0) != 0.0).any(axis=1)
    assert (np.diff(table["letter"])[sewn] != 0).sum() > 5
    expected = (ends[1:][sewn] + ends[:-1][sewn]) / 2.0

    drawn = []
    for letter in tree_of(plan).find(".//s:g[@id='true-size-lettering']/s:g", NS):
        at = np.array(re.findall(r"-?[\d.]+", letter.get("transform")), dtype=float)
        for data in letter.iterfind("s:path", NS):
            for x, y, dx, dy in re.findall(r"M(\S+) (\S+)l(\S+) (-?[\d.]+)", data.get("d")):
                way = np.array([x, y], dtype=float) + np.array([dx, dy], dtype=float) / 2.0
                drawn.append(at + way)

    assert len(drawn) == 2 * len(expected)
    apart = np.hypot(*(np.array(drawn)[:, None] - expected[None]).T)
    assert ((apart < 0.012).sum(axis=1) >= 2).all()
