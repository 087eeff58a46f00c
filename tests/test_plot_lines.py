"""Plot and summary of a plan whose lines differ: each line and thread is told right."""

import json
import re

import pytest
from lxml import etree

from pathgen.pipeline import AskedLine, plan_lines
from pathgen.writers.plot_svg import plot_svg
from pathgen.writers.plot_threads import thread_looks
from pathgen.writers.setting_rows import setting_rows
from pathgen.writers.summary import summary_data, summary_lines

BAKERY = AskedLine(text="Harbour Bakery", asked={"height_mm": 6.0, "colour": "navy"})
SINCE = AskedLine(text="since 1974", face="tholepin", asked={"height_mm": 3.0, "thread": "60"})


@pytest.fixture(scope="module")
def made():
    return plan_lines([BAKERY, SINCE])


@pytest.fixture(scope="module")
def page(made):
    return etree.fromstring(plot_svg(made).encode())


def by_id(page, name):
    (found,) = page.xpath(f"//*[@id='{name}']")
    return found


def shown(page):
    return ["".join(text.itertext()) for text in page.iter("{*}text")]


def test_each_thread_has_its_zigzag_in_its_colour(made, page):
    lines = [by_id(page, name) for name in ("zigzag-line", "zigzag-line-2")]
    looks = thread_looks(made)

    assert [line.getparent().get("stroke") for line in lines] == [look.line for look in looks]
    assert looks[0].true == looks[0].line == "#000080"
    assert looks[1].line != looks[0].line


def test_every_needle_point_is_drawn_once(made, page):
    group = by_id(page, "needle-points")
    drawn = sum(len(re.findall("M", path.get("d"))) for path in group.iter("{*}path"))

    assert drawn == len(made.needles)


def test_key_names_threads_with_their_stitches_and_changes(made, page):
    texts = shown(page)
    threads = [count for count in made.counts if count.scope == "thread"]

    for number, (name, count) in enumerate(zip(["40 wt, navy", "60 wt"], threads, strict=True), 1):
        at = texts.index(f"{number}: {name}")
        assert texts[at + 1] == f"{count.stitches:,}"
    assert texts[texts.index("thread changes") + 1] == "1"


def test_brackets_tell_height_and_thread_of_each_line(page):
    texts = [t for t in shown(page) if re.match("H |thread [0-9]$", t)]

    assert texts == ["H 6 mm", "thread 1", "H 3 mm", "thread 2"]


def test_settings_that_differ_are_told_line_by_line_and_others_once(made):
    rows = [(row.name, row.value, row.origin) for row in setting_rows(made)]

    assert ("capital height", "line 1: 6 mm", "option") in rows
    assert ("capital height", "line 2: 3 mm", "option") in rows
    assert ("thread", "line 2: 60 wt", "option") in rows
    assert ("cloth", "backed twill", "default") in rows
    assert sum(name == "longest running stitch" for name, _, _ in rows) == 1


def test_what_is_not_usual_about_the_letters_is_told_among_the_settings():
    asked = {"sewing": "right-to-left", "tracking_mm": 0.4, "ligatures": True}
    unusual = plan_lines([AskedLine(text="Net Loft", asked=asked)])
    usual = plan_lines([AskedLine(text="Net Loft")])
    rows = {
        ("letters sewn", "right to left", "option"),
        ("added between letters", "0.4 mm", "option"),
        ("ligatures", "on", "option"),
    }

    assert rows <= set(setting_rows(unusual))
    assert not {name for name, _, _ in rows} & {row.name for row in setting_rows(usual)}


def test_a_thread_too_light_for_the_page_is_drawn_darker_and_named_true():
    """White on nearly white: 3 to 1 is the least contrast of WCAG 2.1, criterion 1.4.11."""
    (look,) = thread_looks(plan_lines([AskedLine(text="I", asked={"colour": "white"})]))
    level = int(look.line[1:3], 16) / 255.0
    luminance = ((level + 0.055) / 1.055) ** 2.4

    assert look.true == "#ffffff"
    assert 1.03 / (luminance + 0.05) > 3.0
    assert len({look.line[i : i + 2] for i in (1, 3, 5)}) == 1


def test_summary_tells_lines_threads_and_changes(made):
    text = "\n".join(summary_lines(made, ()))

    assert "capitals 6 and 3 mm" in text
    assert re.search(r"trims +\d+, and 1 thread change\n", text)
    assert re.search(r"thread 1 +[\d.]+ m of 40 wt, navy, [\d,]+ stitches in line 1\n", text)
    assert re.search(r"line 2 +since 1974: Tholepin, 3 mm \(option\), thread 2 \(option\)", text)


def test_data_tell_lines_and_threads(made):
    data = json.loads(json.dumps(summary_data(made, ()), allow_nan=False))

    assert data["changes"] == 1
    assert [t["stitches"] for t in data["threads"]] == [
        line["stitches"] for line in data["line_settings"]
    ]
    assert sum(t["stitches"] for t in data["threads"]) == data["stitches"]
    assert data["threads"][0]["colour"] == "#000080"
    assert data["line_settings"][1]["settings"]["thread"]["origin"] == "option"
    assert data["line_settings"][1]["down_mm"] == 7.2  # 0.7 of 6 mm, and capitals of 3 mm


def test_a_plan_of_one_setting_has_none_of_it():
    made = plan_lines([AskedLine(text="Quay"), AskedLine(text="Net")])

    assert not {"changes", "threads", "line_settings"} & set(summary_data(made, ()))
    assert "line 1" not in "\n".join(summary_lines(made, ()))
    assert "thread changes" not in plot_svg(made)
