"""The review page as it is written: its data, its policy, and what it may never hold."""

import html
import json
import re
from base64 import b64encode
from hashlib import sha256

import pytest
from lxml import html as lxml_html
from plan_specimen import specimen
from plot_cases import AWKWARD, CASES, case

from pathgen.cli import main
from pathgen.model import Level
from pathgen.needles import Part
from pathgen.writers.plot_style import PART_LOOK
from pathgen.writers.review_data import review_data
from pathgen.writers.review_page import SCRIPTS, _piece, review_page


def embedded(page: str) -> dict:
    """The plan's data, found as a browser finds it: up to the first end of its element."""
    start = page.index('id="plan">') + len('id="plan">')
    return json.loads(page[start : page.index("</script", start)])


@pytest.mark.parametrize("name", CASES)
def test_embedded_data_come_back_whole(name):
    plan = case(name)
    data = embedded(review_page(plan))

    assert len(data["needles"]["x"]) == len(plan.needles)
    assert data == json.loads(json.dumps(review_data(plan)))


def test_places_are_the_needle_table_in_thousandths():
    """The I of 5 mm: its column runs at x = 1 mm, 0.8 mm wide, allowance 0.2 mm: 0.4 and 1.6."""
    data = review_data(specimen(("I",), findings=()))
    zigzag = [i for i, part in enumerate(data["needles"]["part"]) if part == Part.ZIGZAG]

    assert {data["needles"]["x"][i] for i in zigzag} == {400, 1600}
    assert min(data["needles"]["y"]) == 0
    assert max(data["needles"]["y"]) == 5000


def test_rows_of_letters_sum_to_the_whole():
    data = review_data(case("three lines"))
    stitches = {"letter": 0, "line": 0, "thread": 0, "whole": 0}
    for row in data["counts"]:
        stitches[row["scope"]] += int(row["cells"][0].replace(",", ""))

    assert len(set(stitches.values())) == 1
    assert stitches["whole"] == len(data["needles"]["x"])


def test_every_finding_keeps_its_place():
    plan = case("many findings")
    data = review_data(plan)

    assert sum(len(f["places"]) for f in data["findings"]) == len(plan.findings)
    assert {f["level"] for f in data["findings"]} == {level.word for level in Level}


@pytest.mark.parametrize(
    "text",
    [
        AWKWARD,
        "</script><script>alert(1)</script>",
        "<!--<script>",
        "{{script}}{{data}}",
        "\u2028\u2029\\",
        "\ud800",
    ],
)
def test_no_text_ends_the_element_it_stands_in(text):
    """HTML Standard 4.12.1.3: neither ``</script`` nor ``<!--`` may stand in a script element."""
    plan = specimen((text,), written=dict.fromkeys(text, text))
    page = review_page(plan)
    tree = lxml_html.document_fromstring(page)
    data = page[page.index('id="plan">') + 10 :]
    data = data[: data.index("</script")]

    assert not set("<>&\u2028\u2029") & set(data)
    assert embedded(page)["title"] == text.replace("\ud800", "\ufffd")
    assert len(tree.findall(".//script")) == 2
    title = html.unescape(re.search(r"<title>(.*?): needle plan", page, re.DOTALL)[1])
    assert title == re.sub("[\0\x1b\ud800]", "\ufffd", text)


def test_policy_allows_this_script_and_style_and_nothing_else():
    """Hashes worked out anew (CSP Level 3, section 6.6.2.4)."""
    page = review_page(specimen(("I",)))
    policy = re.search(r'Content-Security-Policy" content="([^"]*)"', page)[1]
    rules = dict(rule.split(" ", 1) for rule in policy.split("; "))
    script = re.findall(r"<script>(.*?)</script>", page, re.DOTALL)
    style = re.findall(r"<style>(.*?)</style>", page, re.DOTALL)

    def allowed(text):
        return f"'sha256-{b64encode(sha256(text.encode()).digest()).decode()}'"

    assert len(script) == len(style) == 1
    assert rules["default-src"] == "'none'"
    assert rules["script-src"] == allowed(script[0])
    assert rules["style-src"] == allowed(style[0])
    assert "unsafe" not in policy


def test_page_names_no_address_and_makes_no_html_from_text():
    source = "".join(map(_piece, (*SCRIPTS, "page.html", "page.css")))

    for barred in ("http:", "https:", "//cdn", "url(", "@import", " src=", "<link", "fetch("):
        assert barred not in source, barred
    for barred in ("innerHTML", "outerHTML", "insertAdjacentHTML", "document.write", "eval("):
        assert barred not in source, barred


def test_colours_of_the_parts_are_those_of_the_plot():
    light = _piece("page.css").split("@media", 1)[0]
    for part, look in PART_LOOK.items():
        assert f"--{part.word}: {look.colour};" in light


def test_same_plan_gives_the_same_page():
    assert review_page(specimen(("ITO",))) == review_page(specimen(("ITO",)))


def test_option_writes_the_page_beside_the_plot_and_only_on_request(tmp_path):
    from click.testing import CliRunner

    def written(*more):
        args = ["plot", "Quay", "--json", "--out", str(tmp_path), *more]
        return [
            name.rsplit("/", 1)[1]
            for name in json.loads(CliRunner().invoke(main, args).stdout)["files"]
        ]

    plain = written()
    assert "quay.review.html" not in plain
    assert written("--page") == [*plain, "quay.review.html"]
    assert (tmp_path / "quay.review.html").read_text(encoding="utf-8").startswith("<!DOCTYPE html>")
