"""One plan has one set of figures: summary, tables, price, comparison, panel, names, page.

Each command plans the same lettering by itself; stitches, trims, time and thread must be the same
numbers wherever they are told.
"""

import csv
import json
from decimal import Decimal

import pytest
from click.testing import CliRunner

from pathgen.cli import main

TEXT = "Net Loft"


def run(*args):
    result = CliRunner().invoke(main, [str(a) for a in args])
    assert result.exit_code == 0, result.output
    return result.stdout


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    folder = tmp_path_factory.mktemp("figures")
    (folder / "rates.toml").write_text(run("price", "--template"))
    (folder / "names.csv").write_text(f"name\n{TEXT}\n")
    (folder / "job.toml").write_text('[[line]]\ntext = "{name}"\nheight_mm = 5\n')
    return folder


@pytest.fixture(scope="module")
def summary(folder):
    return json.loads(run("plot", TEXT, "--page", "--json", "--out", folder / "plot"))


def rows(path):
    with open(path, encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_tables_agree_with_the_summary(folder, summary):
    needles = rows(folder / "plot" / "net-loft.needles.csv")
    whole = next(r for r in rows(folder / "plot" / "net-loft.counts.csv") if r["scope"] == "whole")

    assert len(needles) == int(whole["stitches"]) == summary["stitches"]
    assert sum(row["arrive"] == "trim" for row in needles) == int(whole["trims"])
    assert int(whole["trims"]) == summary["trims"]
    assert float(whole["thread_mm"]) == pytest.approx(summary["thread_mm"], abs=0.05)


def test_price_agrees_with_the_summary(folder, summary):
    said = json.loads(
        run("price", TEXT, "--rates", folder / "rates.toml", "--quantity", "12", "--json")
    )
    piece = said["piece"]
    needle_mm = sum(Decimal(metres) for metres in piece["needle_m"].values()) * 1000

    assert (piece["stitches"], piece["trims"]) == (summary["stitches"], summary["trims"])
    assert float(needle_mm) == pytest.approx(summary["thread_mm"], abs=0.5)  # whole mm
    assert float(piece["run_s"]) == pytest.approx(summary["sew_s"], abs=0.05)


def test_comparison_and_panel_agree_with_the_summary(folder, summary):
    ways = json.loads(
        run("compare", TEXT, "--thread", "40", "--thread", "60", "--json", "--out", folder / "c")
    )["ways"]
    panel = json.loads(run("panel", TEXT, "--heights", "5", "--json", "--out", folder / "p"))

    assert ways[0]["stitches"] == panel["rows"][0]["stitches"] == summary["stitches"]
    assert ways[1]["stitches"] == panel["rows"][1]["stitches"]
    assert ways[0]["sew_s"] == summary["sew_s"]
    assert ways[0]["thread_mm"] == summary["thread_mm"]
    assert panel["rows"][0]["reading"] == summary["reading"]


def test_totals_of_names_agree_with_the_summary(folder, summary):
    run("names", folder / "names.csv", "--job", folder / "job.toml", "--out", folder / "n")
    one, whole = rows(folder / "n" / "totals.csv")

    assert int(one["stitches"]) == int(whole["stitches"]) == summary["stitches"]
    assert int(one["trims"]) == summary["trims"]
    assert float(one["thread_mm"]) == pytest.approx(summary["thread_mm"], abs=0.05)
    assert float(one["sew_s"]) == pytest.approx(summary["sew_s"], abs=0.05)


def test_review_page_agrees_with_the_summary(folder, summary):
    page = (folder / "plot" / "net-loft.review.html").read_text(encoding="utf-8")
    start = page.index('id="plan">') + len('id="plan">')
    plan = json.loads(page[start : page.index("</script>", start)])
    figures = dict(plan["figures"])

    assert len(plan["needles"]["x"]) == int(figures["stitches"].replace(",", ""))
    assert figures["stitches"] == f"{summary['stitches']:,}"
    assert figures["trims"] == str(summary["trims"])
