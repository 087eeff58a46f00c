"""Imports run one way: a module imports only from rows below its own."""

import ast
import importlib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1] / "pathgen"
ROOMS = ["lettering", "columns", "stitching", "review", "shop", "writers"]
ROWS = [
    ["errors", "interrupts"],
    "units",
    "geometry",
    ["column", "crossings"],
    "polygons",
    "yarncount",
    "materials",
    "sewnlook",
    "settings",
    "needles",
    ["bands", "lines", "verdicts"],
    ["model", "pricing", "trials"],
    ["inks", "kept", "stretches"],
    ["arrivals", "meetings"],
    "near",
    "sewing",
    ROOMS,
    ["bounds", "letters", "ready"],
    ["legibility", "measure", "pipeline"],
    ["advice", "orders"],
    "cli",
]
RANK = {name: i for i, row in enumerate(ROWS) for name in ([row] if isinstance(row, str) else row)}
# The wall of each outside library: the only places that may import it.
WALLS = {
    "brotli": ["lettering"],
    "shapely": ["polygons"],
    "svgwrite": ["writers/plot_svg_pen"],
    "click": ["cli"],
    "fontTools": ["lettering"],
    "uharfbuzz": ["lettering"],
    "tomllib": ["shop"],
}
MODULES = sorted(p for p in ROOT.rglob("*.py") if p.parent != ROOT or p.stem in RANK)


def imported(path):
    """(line, dotted name) of every import, also inside functions."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom):
            yield node.lineno, node.module or ""
        elif isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name) for alias in node.names)


def place(path):
    """Path below pathgen/ without its ending, and the room or file it belongs to."""
    inner = path.relative_to(ROOT).with_suffix("").as_posix()
    return inner, inner.split("/")[0]


@pytest.mark.parametrize("path", MODULES, ids=lambda p: place(p)[0])
def test_imports_run_down_only(path):
    _, here = place(path)
    for line, name in imported(path):
        parts = name.split(".")
        if parts[0] != "pathgen" or len(parts) == 1 or parts[1] == here:
            continue
        assert RANK[parts[1]] < RANK[here], f"line {line}: {here} must not import {parts[1]}"


@pytest.mark.parametrize("path", MODULES, ids=lambda p: place(p)[0])
def test_outside_libraries_stay_behind_their_walls(path):
    inner, here = place(path)
    for line, name in imported(path):
        walls = WALLS.get(name.split(".")[0])
        assert walls is None or here in walls or inner in walls, f"line {line}: {name} in {inner}"


@pytest.mark.parametrize("path", sorted(ROOT.rglob("*.py")), ids=lambda p: place(p)[0])
def test_no_file_is_over_400_lines_and_no_function_over_40(path):
    text = path.read_text(encoding="utf-8")
    assert text.count("\n") <= 400
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.FunctionDef):
            doc = node.body[0] if ast.get_docstring(node) else None
            spoken = doc.end_lineno - doc.lineno + 1 if doc else 0
            size = node.end_lineno - node.body[0].lineno + 1 - spoken
            assert size <= 40, f"{node.name} has {size} lines"


def test_every_room_is_packaged():
    import tomllib

    project = tomllib.loads((ROOT.parent / "pyproject.toml").read_text(encoding="utf-8"))
    rooms = {f"pathgen.{p.parent.name}" for p in ROOT.glob("*/__init__.py")}
    assert set(project["tool"]["setuptools"]["packages"]) == rooms | {
        "pathgen",
        "pathgen.faces",
        "pathgen.writers.page",  # no code: what the review page is made of
    }


@pytest.mark.parametrize(
    "path", sorted((ROOT.parent / "tests/bench").glob("*.py")), ids=lambda p: p.stem
)
def test_benchmarks_import_what_is_there(path):
    """No test runs the benchmarks, and some need libraries that the tests do without."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("pathgen"):
            module = importlib.import_module(node.module)
            for alias in node.names:
                inner = f"{node.module}.{alias.name}"
                assert hasattr(module, alias.name) or importlib.import_module(inner)
