"""The index of a names run: every name on some page, each page whole in itself."""

import re

import pytest

from pathgen.writers.contact_sheet import NAMES_A_PAGE, Card, sheet_pages
from pathgen.writers.totals_csv import TOTAL_HEADER, Sums, TotalRow, measured, totals_csv

SHAPES = {"aa": "M0.00 0.00 2.00 0.00 2.00 -5.00Z", "bb": "M0.00 0.00 1.00 -1.00 3.00 1.00Z"}
FIGURES = ",".join(str(n) for n in (20, 6, 2, 3, 100, 3, 10, 7, 77, 3, 1, 0, 200, 500, 60, 1, 2, 0))


def cards(count):
    for n in range(count):
        drawing = f"0 aa {n}.00 0.00 1 bb 4.00 3.00"
        yield Card(n + 2, f"Name {n}", "", f"names/name-{n}.svg", n + 2, FIGURES, drawing)


def pages(count, colours=("#000080", "")):
    made = sheet_pages("Crew", lambda: cards(count), SHAPES, colours)
    return {name: data.decode() for name, data in made}


def test_thousands_are_on_pages_that_link_to_one_another():
    made = pages(2 * NAMES_A_PAGE + 1)

    assert list(made) == ["index.html", "index-2.html", "index-3.html"]
    assert [page.count("<figure>") for page in made.values()] == [NAMES_A_PAGE, NAMES_A_PAGE, 1]
    for page in made.values():
        assert set(re.findall(r'href="(index[^"]*)"', page)) == set(made)
    assert f"Name 0 – Name {NAMES_A_PAGE - 1}" in made["index-3.html"]


def test_each_shape_is_on_a_page_once_and_used_by_every_letter():
    (page,) = pages(50).values()

    assert page.count('<path id="saa"') == page.count('<path id="sbb"') == 1
    assert page.count('href="#saa"') == page.count('href="#sbb"') == 50
    assert not re.search(r"(src|href)=.https?:", page)


def test_a_drawing_holds_all_its_ink_in_the_colours_of_its_lines():
    """Ink from 0 to 7 across and -5 to 4 down; a free edge of 1 mm; four times sewn size."""
    (page,) = pages(1).values()

    assert 'viewBox="-1.00 -6.00 9.00 11.00"' in page
    assert 'width="36.0mm" height="44.0mm"' in page
    assert re.findall(r'<g fill="(#[0-9a-f]+)">', page)[0] == "#000080"


def test_findings_that_stop_or_want_a_look_are_on_the_card():
    (page,) = pages(1).values()

    assert '<b class="stop">1 stop</b><b class="check">2 check</b>' in page


def test_no_name_at_all_is_a_page_that_says_so():
    (page,) = pages(0).values()

    assert "0 names" in page


def test_totals_sum_counts_and_tell_the_greatest_size():
    rows = [
        TotalRow(2, "a", "a", "", FIGURES),
        TotalRow(3, "b", "", "lacks it", ""),
        TotalRow(4, '=c "d"', "c", "", FIGURES),
    ]
    sums = Sums()
    lines = b"".join(totals_csv(rows, sums)).decode().split("\r\n")

    assert lines[0] == ",".join(TOTAL_HEADER)
    assert lines[2] == "3,b,,lacks it" + "," * (len(TOTAL_HEADER) - 4)
    assert lines[3].startswith('4,"\'=c ""d""",c,,')
    assert lines[4].startswith("all,,,,20.000,6.000,4,6,200,6,20,14,154,6,2,0,400.000,1000.000,")
    assert lines[5:] == [""]
    assert lines[4] == f"all,,,,{sums.cells}"


def test_figures_are_told_by_name():
    assert measured(FIGURES)["stitches"] == 100
    assert measured(FIGURES)["sew_s"] == 60
    with pytest.raises(ValueError, match="shorter"):
        measured("1,2")
