"""The review page in Chromium: stepping, layers, jumps, measuring, names, contrast."""

import math
import re
from dataclasses import replace

import numpy as np
import pytest
from plan_specimen import specimen
from plot_cases import AWKWARD, CASES, case

from pathgen.lines import AskedLine
from pathgen.needles import Arrive
from pathgen.pipeline import plan_lines
from pathgen.writers.wording import finding_groups


def needle(browser) -> dict[str, str]:
    """What the page says of the needle."""
    return browser.run(
        "Object.fromEntries([...document.querySelectorAll('#needle div')]"
        ".map(d => [d.children[0].textContent, d.children[1].textContent]))"
    )


def press(browser, name: str) -> None:
    browser.run(f"document.getElementById('{name}').click()")
    browser.settle()


def picture(browser) -> str:
    """The three canvases as they are."""
    return browser.run(
        "['ground', 'thread', 'signs'].map(id => document.getElementById(id).toDataURL()).join()"
    )


@pytest.mark.parametrize("name", CASES)
def test_page_opens_without_complaint_or_request(browser, shown, name):
    plan = shown(case(name))

    said = needle(browser)
    if len(plan.needles):
        assert said["needle point"] == f"1 of {len(plan.needles)}"
    else:
        assert said == {}
        assert browser.run("!document.getElementById('empty').hidden")


def test_keys_step_through_the_points_in_sewing_order(browser, shown):
    plan = shown(specimen(("IT",)))
    total = len(plan.needles)

    places = []
    for key, shift in [("ArrowRight", False), ("ArrowRight", True), ("ArrowLeft", False)]:
        browser.press(key, shift)
        places.append(needle(browser)["needle point"])
    browser.press("End")
    places.append(needle(browser)["needle point"])
    browser.press("ArrowRight")
    places.append(needle(browser)["needle point"])
    browser.press("Home")
    places.append(needle(browser)["needle point"])

    assert places == [f"{n} of {total}" for n in (2, 12, 11, total, total, 1)]


def test_each_step_tells_the_row_of_the_needle_table(browser, shown):
    plan = shown(specimen(("IT",)))
    table = plan.needles

    for row in range(1, 40):
        press(browser, "on")
        said = needle(browser)
        x, y = map(float, re.findall(r"-?[\d.]+(?= mm)", said["place, right and up"]))
        assert x == pytest.approx(table["x_mm"][row], abs=0.0006)
        assert y == pytest.approx(table["y_mm"][row], abs=0.0006)
        assert said["column"].startswith(f"{table['column'][row]}, ")
        if table["arrive"][row] == Arrive.SEW:
            way = math.dist(
                (table["x_mm"][row], table["y_mm"][row]),
                (table["x_mm"][row - 1], table["y_mm"][row - 1]),
            )
            length = float(re.search(r"a stitch of ([\d.]+) mm", said["arrived by"])[1])
            assert length == pytest.approx(way, abs=0.0006)


def test_jumps_go_to_columns_letters_and_trims(browser, shown):
    plan = shown(specimen(("ITO",)))
    table = plan.needles
    second = next(i for i, letter in enumerate(table["letter"]) if letter == 2)
    cut = next(i for i, arrive in enumerate(table["arrive"]) if arrive == Arrive.TRIM)

    press(browser, "on-letter")
    assert needle(browser)["needle point"].startswith(f"{second + 1} of")
    press(browser, "first")
    press(browser, "on-trim")
    assert needle(browser)["needle point"].startswith(f"{cut + 1} of")
    press(browser, "back-column")
    assert needle(browser)["needle point"].startswith("1 of")
    press(browser, "last")
    press(browser, "back-trim")
    cut = max(i for i, arrive in enumerate(table["arrive"]) if arrive == Arrive.TRIM)
    assert needle(browser)["needle point"].startswith(f"{cut + 1} of")


STRIP = """(b => [b.left, b.top, b.width, b.height])
(document.getElementById('strip').getBoundingClientRect())"""


def test_strip_takes_the_needle_to_the_letter_that_is_pressed(browser, shown):
    """Each letter is as wide as it has stitches; the gap of a trim belongs to none."""
    plan = shown(specimen(("ITO",)))
    left, top, wide, high = browser.run(STRIP)
    letters = plan.needles["letter"].tolist()
    gaps = sum(arrive in (Arrive.TRIM, Arrive.CHANGE) for arrive in plan.needles["arrive"])
    unit = (wide - 10 - 7 * gaps) / len(letters)

    for index, text in ((1, "I"), (2, "T"), (3, "O")):
        middle = letters.index(index) + letters.count(index) // 2
        before = sum(
            arrive in (Arrive.TRIM, Arrive.CHANGE)
            for arrive in plan.needles["arrive"][: middle + 1]
        )
        browser.click(left + 5 + (middle + 0.5) * unit + 7 * before, top + high / 2)
        said = needle(browser)
        assert said["letter"] == f"“{text}” in line 1"
        assert abs(int(said["needle point"].split(" of ")[0]) - 1 - middle) <= 1


def test_strip_is_a_slider_for_keys_and_screen_readers(browser, shown):
    plan = shown(specimen(("ITO",)))
    second = plan.needles["letter"].tolist().index(2) + 1
    total = len(plan.needles)
    browser.run("document.getElementById('strip').focus()")

    told = []
    for key in ("PageDown", "ArrowLeft", "End"):
        browser.press(key)
        told.append(browser.run("document.getElementById('strip').getAttribute('aria-valuetext')"))

    assert told == [
        f"needle point {second} of {total}, in T",
        f"needle point {second - 1} of {total}, in I",
        f"needle point {total} of {total}, in O",
    ]
    assert browser.run("document.getElementById('strip').ariaValueNow") == str(total)


def test_a_step_moves_the_needle_in_the_drawing(browser, shown):
    shown(specimen(("ITO",)))

    before = picture(browser)
    browser.press("ArrowRight")
    after = picture(browser)
    browser.press("ArrowLeft")

    assert before != after
    assert picture(browser) == before


@pytest.mark.parametrize(
    "layer", ["outline", "columns", "underlay", "zigzag", "travel", "tie-in", "tie-off", "unsewn"]
)
def test_layers_can_be_switched_off_and_on_again(browser, shown, layer):
    shown(specimen(("ITO",), findings=()))
    press(browser, "last")

    before = picture(browser)
    press(browser, f"layer-{layer}")
    without = picture(browser)
    press(browser, f"layer-{layer}")

    assert without != before
    assert picture(browser) == before


@pytest.mark.parametrize("layer", ["crowding", "threads"])
def test_crowding_and_colours_of_threads_can_be_switched(browser, shown, layer):
    """Small letters in fine thread are crowded; the second line has a colour of its own."""
    lines = [AskedLine(text="Quay"), AskedLine(text="est", asked={"thread": "60", "colour": "red"})]
    shown(plan_lines([replace(line, asked={**line.asked, "height_mm": 4.0}) for line in lines]))
    press(browser, "last")

    before = picture(browser)
    press(browser, f"layer-{layer}")
    without = picture(browser)
    press(browser, f"layer-{layer}")

    assert without != before
    assert picture(browser) == before
    assert needle(browser)["thread"] == "2: 60 wt, red"


def test_finding_brings_the_needle_to_its_place(browser, shown):
    """The specimen's findings stand in the middle of each letter's first column."""
    plan = shown(specimen(("ITO",)))
    finding = next(f for f in plan.findings if f.letter == 3)
    nearest = min(
        math.dist(finding.at_mm, (row["x_mm"], row["y_mm"]))
        for row in plan.needles
        if row["letter"] == 3
    )

    browser.run(
        "[...document.querySelectorAll('.places button')].find("
        "b => b.getAttribute('aria-label').startsWith('O: go to')).click()"
    )
    said = needle(browser)
    x, y = map(float, re.findall(r"-?[\d.]+(?= mm)", said["place, right and up"]))

    assert said["letter"] == "“O” in line 1"
    assert math.dist(finding.at_mm, (x, y)) == pytest.approx(nearest, abs=0.001)


def test_finding_brings_the_needle_to_the_column_that_was_measured(browser, shown):
    """At 2 mm the needle point that lies nearest may be that of another column."""
    plan = shown(plan_lines([AskedLine(text="OHRM", asked={"height_mm": 2.0, "thread": "60"})]))
    found = [f for group in finding_groups(plan) for f in group.members if f.letter]
    columns = [f.column for f in found]
    x, y = plan.needles["x_mm"], plan.needles["y_mm"]
    nearest = [np.hypot(x - f.at_mm[0], y - f.at_mm[1]).argmin() for f in found]
    assert all(columns)
    assert plan.needles["column"][nearest].tolist() != columns

    said = browser.run(
        "[...document.querySelectorAll('.places button')].map(b => { b.click(); return [b.title,"
        " [...document.querySelectorAll('#needle div')].find("
        "d => d.children[0].textContent === 'column').children[1].textContent]; })"
    )

    assert [re.search(r"column (\d+)", title)[1] for title, _ in said] == [*map(str, columns)]
    assert [told.split(",")[0] for _, told in said] == [*map(str, columns)]


def test_row_of_a_letter_brings_the_needle_to_it(browser, shown):
    shown(specimen(("ITO", "TI")))

    browser.run("[...document.querySelectorAll('#counts button')].at(-2).click()")

    assert needle(browser)["letter"] == "“T” in line 2"
    here = "document.querySelector('tr.here th').textContent"
    assert browser.run(here) == "T"


def test_measuring_between_two_needle_points(browser, shown):
    plan = shown(specimen(("I",)))
    table = plan.needles

    press(browser, "mark-a")
    press(browser, "last")
    press(browser, "mark-b")
    said = browser.run("document.getElementById('measured').textContent")

    way = (table["x_mm"][-1] - table["x_mm"][0], table["y_mm"][-1] - table["y_mm"][0])
    assert float(said.split(" mm")[0]) == pytest.approx(math.hypot(*way), abs=0.0006)
    assert said.endswith(f"{abs(way[1]):.3f}".rstrip("0").rstrip(".") + " mm up.")


def test_measuring_with_the_pointer_snaps_to_needle_points(browser, shown):
    """The two outer corners of the I: its zigzag is 1.2 mm wide and 5 mm high."""
    shown(specimen(("I",), findings=()))
    press(browser, "measure")
    # What the scale bar says would do as well; the frame shows the box of the plan, 34 px free.
    left, top, wide, high = browser.run(
        "(b => [b.left, b.top, b.width, b.height])"
        "(document.getElementById('drawing').getBoundingClientRect())"
    )
    scale = min((wide - 68) / 1.2, (high - 68) / 5.0)
    middle = (left + wide / 2, top + high / 2)

    browser.click(middle[0] - 0.6 * scale + 3, middle[1] + 2.5 * scale - 3)
    browser.click(middle[0] - 0.6 * scale - 2, middle[1] - 2.5 * scale + 2)
    said = browser.run("document.getElementById('measured').textContent")

    assert said.startswith("5 mm from A, needle point")
    assert "0 mm to the right, 5 mm up" in said


def test_running_sews_on_by_itself_and_can_be_held(browser, shown):
    shown(specimen(("ITO",)))
    browser.run("document.getElementById('pace').selectedIndex = 0")  # as sewn: 25 s to the end

    press(browser, "run")
    browser.run(
        "new Promise(ok => { const look = () => document.querySelector('#needle dd')"
        ".textContent.startsWith('1 of') ? setTimeout(look, 20) : ok(); look(); })"
    )
    press(browser, "run")
    held = needle(browser)["needle point"]
    browser.settle()

    assert not held.startswith("1 of")
    assert needle(browser)["needle point"] == held


def test_awkward_texts_are_shown_as_they_are_and_run_nothing(browser, shown):
    text = '<img src=x onerror="document.title=1">'
    shown(specimen((text,), written=dict.fromkeys(text, AWKWARD)))

    assert browser.run("document.getElementById('title').textContent") == text
    assert browser.run("document.images.length") == 0
    assert browser.run("document.title").startswith(text)


def test_every_control_has_a_name_for_a_screen_reader(browser, shown):
    shown(specimen(("ITO",)))
    nodes = browser.ask("Accessibility.getFullAXTree")["nodes"]
    controls = ("button", "checkbox", "slider", "combobox", "application", "table", "region")

    found = set()
    for node in nodes:
        role = node.get("role", {}).get("value")
        if role in controls and not node.get("ignored"):
            name = node.get("name", {}).get("value", "")
            assert name.strip() or role == "table", node
            found.add(role)
    assert {"button", "checkbox", "slider", "combobox", "application"} <= found
    assert browser.run("document.documentElement.lang") == "en"


def test_all_controls_are_reached_with_the_tab_key(browser, shown):
    shown(specimen(("I",)))
    wanted = browser.run("document.querySelectorAll('button, input, select, [role=slider]').length")

    browser.run("document.activeElement.blur(); window.seen = new Set()")
    for _ in range(wanted + 10):
        browser.press("Tab")
        browser.run("void window.seen.add(document.activeElement)")

    missing = "[...document.querySelectorAll('button, input, select, [role=slider]')]"
    assert browser.run(f"{missing}.filter(e => !window.seen.has(e)).map(e => e.id)") == []


CONTRASTS = """(() => {
  const parts = text => text.match(/[\\d.]+/g).map(Number);
  const light = text => {
    const [r, g, b] = parts(text).slice(0, 3).map(v => v / 255)
      .map(v => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const ground = e => {
    for (let at = e; at; at = at.parentElement) {
      const colour = getComputedStyle(at).backgroundColor;
      const alpha = parts(colour)[3];
      if (alpha === undefined || alpha > 0) return colour;
    }
    return 'rgb(255, 255, 255)';
  };
  const out = [];
  for (const e of document.querySelectorAll('body *')) {
    const own = [...e.childNodes].some(n => n.nodeType === 3 && n.textContent.trim());
    if (!own || !e.checkVisibility() || e.tagName === 'NOSCRIPT') continue;
    const pair = [light(getComputedStyle(e).color), light(ground(e))].sort((a, b) => b - a);
    out.push([(pair[0] + 0.05) / (pair[1] + 0.05), e.textContent.slice(0, 40)]);
  }
  return out;
})()"""


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_words_stand_out_from_their_ground(browser, shown, scheme):
    """At least 4.5 : 1 (WCAG 2.2, success criterion 1.4.3)."""
    shown(specimen(("ITO",)))
    browser.ask(
        "Emulation.setEmulatedMedia", features=[{"name": "prefers-color-scheme", "value": scheme}]
    )
    browser.settle()
    press(browser, "measure")

    ratios = browser.run(CONTRASTS)
    assert len(ratios) > 60
    for ratio, text in ratios:
        assert ratio >= 4.5, text


def test_printing_shows_the_whole_plan_and_then_the_view_of_before(browser, shown):
    shown(specimen(("ITO",)))
    browser.press("+")
    before = picture(browser)

    printed = browser.ask("Page.printToPDF", printBackground=True)["data"]
    browser.settle()

    assert len(printed) > 10_000
    assert picture(browser) == before
