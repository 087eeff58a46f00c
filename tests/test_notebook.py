"""How a plan shows itself in a notebook and at a prompt."""

import base64
import dataclasses
import re

from lxml import etree, html

from pathgen import Plan, plan
from pathgen.writers.plot_svg import plot_svg


def test_a_plan_shows_its_plot_as_svg():
    made = plan("Quay")
    root = etree.fromstring(made._repr_svg_())

    assert root.tag == "{http://www.w3.org/2000/svg}svg"
    assert "\n" + made._repr_svg_() in plot_svg(made)


def test_a_plan_shows_a_picture_and_a_short_table():
    made = plan("Quay & <b>")
    tree = html.fragments_fromstring(f"<div>{made._repr_html_()}</div>")[0]
    picture = tree.find(".//img")
    rows = {row.find("th").text: row.find("td").text for row in tree.iter("tr")}

    svg = base64.b64decode(picture.get("src").split("base64,")[1])
    assert svg == plot_svg(made).encode()
    assert picture.get("alt") == "Needle plan for Quay & <b>"
    assert rows["stitches"].startswith(f"{made.whole.stitches}: ")
    assert tree.find(".//b") is None
    assert "estimate until it has been sewn" in tree.text_content()


def test_a_plan_at_a_prompt_is_one_line():
    made = plan("Quay")

    assert re.fullmatch(r"<Plan of 'Quay': \d+ stitches, \d+ trims, \d+ findings>", repr(made))


def test_a_shown_plan_is_a_plan_and_stays_one_when_changed():
    made = plan("Quay")
    changed = dataclasses.replace(made, sew_s=1.0)

    assert isinstance(made, Plan)
    assert type(changed) is type(made)
    assert changed.sew_s == 1.0
