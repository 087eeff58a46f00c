"""A spreadsheet opens the tables with the right types: LibreOffice Calc reads them, and its own
file is read here.

LibreOffice is large and not part of CI; where it is missing these tests are skipped.
"""

import csv
import shutil
import subprocess
from itertools import chain

import pytest
from lxml import etree

from pathgen import plan, write_plan

SOFFICE = shutil.which("soffice")
pytestmark = pytest.mark.skipif(SOFFICE is None, reason="LibreOffice is not on this machine")

# Comma, double quote, UTF-8, from the first line (LibreOffice's filter options for CSV).
CSV_FILTER = "CSV:44,34,76,1"
WORDS = {
    "needles": {"part", "arrive", "side"},
    "counts": {"scope", "text"},
}
OFFICE = "{urn:oasis:names:tc:opendocument:xmlns:office:1.0}"
TABLE = "{urn:oasis:names:tc:opendocument:xmlns:table:1.0}"


@pytest.fixture(scope="module")
def opened(tmp_path_factory):
    """Of each table: its rows as written, and its rows of cells as Calc holds them."""
    folder = tmp_path_factory.mktemp("opened")
    made = plan(['=1+1, "so"', "+Quay @Zoë"], height_mm=5.0)
    files = [path for path in write_plan(made, folder, "opened") if path.suffix == ".csv"]
    profile = f"-env:UserInstallation=file://{folder}/profile"
    asked = ["--headless", profile, f"--infilter={CSV_FILTER}", "--convert-to", "fods"]
    subprocess.run(
        [SOFFICE, *asked, "--outdir", str(folder), *map(str, files)],
        check=True,
        capture_output=True,
        timeout=180,
    )
    return {
        path.name.split(".")[1]: (
            list(csv.reader(path.read_text(encoding="utf-8").splitlines())),
            cells(path.with_suffix(".fods")),
        )
        for path in files
    }


def cells(path):
    """Rows of (type, value, formula) of the first sheet."""
    sheet = next(etree.parse(path).iter(f"{TABLE}table"))
    rows = []
    for row in sheet.iter(f"{TABLE}table-row"):
        spread = (
            [one] * int(one.get(f"{TABLE}number-columns-repeated", 1))
            for one in row
            if one.get(f"{OFFICE}value-type") or one.tail is not None
        )
        rows.append(
            [
                (
                    one.get(f"{OFFICE}value-type"),
                    one.get(f"{OFFICE}value") or "".join(one.itertext()).strip(),
                    one.get(f"{TABLE}formula"),
                )
                for one in chain.from_iterable(spread)
            ]
        )
    return rows


@pytest.mark.parametrize("name", ["needles", "counts"])
def test_numbers_are_numbers_and_words_are_words(opened, name):
    written, read = opened[name]
    head = written[0]

    assert len(read) >= len(written) > 20
    for row, found in zip(written[1:], read[1:], strict=False):
        for column, text, (kind, value, _) in zip(head, row, found, strict=False):
            if not text:
                assert kind is None, column
            elif column in WORDS[name] and not text.isdigit():
                assert (kind, value) == ("string", text), column
            else:
                assert kind == "float", (column, text)
                assert float(value) == float(text)


@pytest.mark.parametrize("name", ["needles", "counts"])
def test_no_cell_is_a_formula(opened, name):
    _, read = opened[name]

    assert [cell for row in read for cell in row if cell[2]] == []


def test_letters_come_through_as_written(opened):
    written, read = opened["counts"]
    at = written[0].index("text")
    texts = {row[at][1] for row in read[1:] if len(row) > at}

    assert {"Q", "u", "ë", "'="} <= texts
