"""The plot as a page: sizes, places, words and colours."""

import re

import pytest
from lxml import etree
from plan_specimen import specimen
from plot_cases import CASES, NS, case, text_boxes, tree_of, windows

from pathgen.model import Level
from pathgen.needles import Part
from pathgen.pipeline import plan
from pathgen.writers.plot_page import SCALES, SHEETS, text_width, wrapped
from pathgen.writers.plot_style import COLUMN_TINTS, LEVEL_LOOK, PAPER, PART_LOOK


@pytest.mark.parametrize("name", CASES)
def test_page_has_its_real_size_in_mm(name):
    tree = tree_of(case(name))
    width, height = (float(tree.get(side).removesuffix("mm")) for side in ("width", "height"))

    assert tree.get("viewBox").split()[:2] == ["0", "0"]
    assert [float(v) for v in tree.get("viewBox").split()[2:]] == [width, height]
    assert width >= SHEETS[0].width_mm


def test_a_plain_first_plot_is_a_sheet_that_an_office_printer_takes():
    """README's first command on A4 lying (ISO 216): 5 mm drawn at least four times, so that
    penetrations 0.5 mm apart are 2 mm apart on paper, and no type under 1.75 mm (5 points)."""
    tree = tree_of(case("harbour bakery"))
    sizes = [float(size) for size in tree.xpath("//s:text/@font-size", namespaces=NS)]

    assert (tree.get("width"), tree.get("height")) == ("297mm", "210mm")
    assert "Drawn 4 times sewn size" in tree.xpath("//s:text/text()", namespaces=NS)
    assert min(sizes) >= 1.75


@pytest.mark.parametrize("height_mm", [5.0, 5.04])
def test_dimensions_keep_to_the_margins_of_a_drawing_that_fills_the_width(height_mm):
    """A4 is 297 mm wide, its margins 13 mm; 5.04 mm needs three signs more than 5 mm."""
    tree = tree_of(plan("Harbour Bakery", height_mm=height_mm))

    assert tree.get("width") == "297mm"
    for left, _, right, _ in text_boxes(tree, "dimensions"):
        assert left >= 13.0
        assert right <= 297.0 - 13.0


@pytest.mark.parametrize("name", ["one letter", "fourteen letters", "tall"])
def test_labels_in_the_drawing_do_not_cover_one_another(name):
    tree = tree_of(case(name))
    # Each number of the sewing order is written twice, edge and face, at the same place.
    labels = [*set(text_boxes(tree, "sewing-order")), *text_boxes(tree, "findings")]

    for index, (left, top, right, foot) in enumerate(labels):
        for other in labels[:index]:
            apart = right <= other[0] or other[2] <= left or foot <= other[1] or other[3] <= top
            assert apart, (labels[index], other)


def strokes(tree: etree._Element, group: str) -> list[list[tuple[float, float]]]:
    """Points of each path right inside a group."""
    out = []
    for path in tree.iterfind(f".//s:g[@id='{group}']/s:path", NS):
        spots = re.findall(r"(-?[\d.]+) (-?[\d.]+)", path.get("d"))
        out.append([(float(x), float(y)) for x, y in spots])
    return out


def test_dimension_lines_are_as_long_as_what_they_measure():
    """An I of 5 mm, its column 0.8 mm and 0.2 mm allowance a side: 1.2 by 5 mm; H 5 mm."""
    plan = specimen(("I",), findings=())
    tree = tree_of(plan)
    transform = tree.find(".//s:g[@id='lettering']", NS).get("transform")
    x0, y0, scale = map(float, re.findall(r"-?[\d.]+", transform))

    width, height, capital = strokes(tree, "dimensions")
    said = [t.text for t in tree.iterfind(".//s:g[@id='dimensions']/s:text", NS)]

    assert width[1][0] - width[0][0] == pytest.approx(1.2 * scale, abs=0.002)
    assert width[0][0] == pytest.approx(x0 + 0.4 * scale, abs=0.002)  # from 1.0 - 0.6 mm
    assert height[1][1] - height[0][1] == pytest.approx(5.0 * scale, abs=0.002)
    assert capital[1][1] == pytest.approx(y0, abs=0.002)  # stands on the baseline
    assert capital[1][1] - capital[0][1] == pytest.approx(5.0 * scale, abs=0.002)
    assert said == ["1.2 mm", "5.0 mm", "H 5 mm"]


@pytest.mark.parametrize("name", ["one letter", "sixty letters", "tall", "huge"])
def test_scale_bar_is_as_long_as_it_says(name):
    tree = tree_of(case(name))
    bar = tree.find(".//s:g[@id='scale-bar']", NS)
    scale = int(re.search(r"scale\((\d+)\)", etree.tostring(tree).decode())[1])

    length = sum(float(r.get("width")) for r in bar.iterfind("s:rect", NS))
    told = " ".join(t.text for t in bar.iterfind("s:text", NS))
    sewn, paper = map(float, re.search(r"(\d+) mm sewn = (\d+) mm on paper", told).groups())

    assert length == pytest.approx(paper, abs=0.01)
    assert paper == sewn * scale


def contrast(colour: str, other: str) -> float:
    """Contrast of two colours (Web Content Accessibility Guidelines 2.1, relative luminance)."""

    def luminance(code):
        channels = [int(code[i : i + 2], 16) / 255.0 for i in (1, 3, 5)]
        linear = [c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    light, dark = sorted((luminance(colour), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize("part", list(Part))
def test_lines_stand_out_from_page_and_columns(part):
    """At least 3 : 1 for graphics on the tints, 4.5 : 1 on the page (WCAG 2.1, 1.4.11, 1.4.3)."""
    colour = PART_LOOK[part].colour

    assert contrast(colour, PAPER) >= 4.5
    assert all(contrast(colour, tint) >= 3.0 for tint in COLUMN_TINTS)


def test_parts_and_levels_differ_without_colour():
    parts = {(p.dash_mm, p.cap, p.core_mm > 0.0, p.dot_mm) for p in PART_LOOK.values()}
    levels = {look.corners for look in LEVEL_LOOK.values()}

    assert len(parts) == len(Part)
    assert len(levels) == len(Level)


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
def test_scale_is_one_of_the_stated_and_every_point_is_seen_on_the_page(name):
    plan = case(name)
    tree = tree_of(plan)
    width, height = (float(v) for v in tree.get("viewBox").split()[2:])
    seen = windows(tree)

    assert {window.scale for window in seen} <= set(SCALES)
    for x, y in zip(plan.needles["x_mm"], plan.needles["y_mm"], strict=True):
        places = [(window, *window.place(x, y)) for window in seen]
        shown = [(a, b) for window, a, b in places if window.shows(a, b)]
        assert shown
        assert all(0.0 < a < width and 0.0 < b < height for a, b in shown)


def test_wrapped_words_are_all_there_and_fit():
    text = "net mender and sailmaker at the Old Customs Quay " + "x" * 80

    lines = wrapped(text, 3.0, 60.0)

    assert "".join(lines).replace(" ", "") == text.replace(" ", "")
    assert all(text_width(line, 3.0) <= 60.0 for line in lines)


def test_cut_words_say_so():
    assert wrapped("net mender and sailmaker", 3.0, 20.0, 2)[-1].endswith("…")
