"""What each threshold of the splitter is worth: 30 % less and 30 % more of it, one at a time.

    python tests/bench/thresholds.py [NAME ...] [--folder FOLDER] [--write]

Every named number of pathgen/columns (or those named) is scaled by 0.7 and by 1.3 where it is
defined and where it is imported, and the letters and digits of some open faces are split anew. A
row a number: for either side how many letters are drawn otherwise, how many fewer have the number
of columns that a person would choose, and by how much cover and spill change, means in percent of
the ink. ``--write`` puts that behind each number in the source. It takes some minutes.
"""

import argparse
import ast
import importlib
import re
import statistics
from collections.abc import Iterator, Sequence
from pathlib import Path
from types import ModuleType
from typing import NamedTuple

from fetch_faces import FOLDER, entries
from score_columns import Score, scored
from score_unseen import LETTERS, counters
from serif_table import accepted

import pathgen.columns
from pathgen.columns import split
from pathgen.geometry import Points
from pathgen.lettering.fontfile import open_face
from pathgen.lettering.outlines import glyph_rings
from pathgen.model import Column

FACES = (
    "Fira Sans",
    "Archivo Black",
    "Lato Italic",
    "Source Serif Pro",
    "Playfair Display",
    "Crimson Text Italic",
    "Courier Prime",
    "UnifrakturMaguntia",
)
SIDES = (("-30 %", 0.7), ("+30 %", 1.3))

# Changes of the mean cover and spill below these, in percent of the ink, are not told.
TOLD_COVER = 0.02
TOLD_SPILL = 0.01

_ROOM = Path(pathgen.columns.__file__).parent


class Glyph(NamedTuple):
    """One letter of one face, and what a person would accept."""

    kind: str
    letter: str
    forms: Sequence[str]
    rings: Sequence[Points]
    em: float


class Drawn(NamedTuple):
    """A letter's columns as bytes, whether their number is right, and their score."""

    print: bytes
    right: bool
    score: Score


class Threshold(NamedTuple):
    """A named number: the module that defines it, and all that know it."""

    name: str
    home: ModuleType
    known: list[ModuleType]
    value: float


def glyphs(folder: Path) -> list[Glyph]:
    """Letters and digits of the faces."""
    found = []
    for entry in entries():
        if entry.name not in FACES:
            continue
        face = open_face(entry.paths(folder)[0])
        em = float(face.facts.units_per_em)
        for letter in LETTERS:
            rings = glyph_rings(face, face.hb_font.get_nominal_glyph(ord(letter)))
            found.append(Glyph(entry.kind, letter, entry.forms, rings, em))
    return found


def thresholds() -> Iterator[Threshold]:
    """All named numbers of the room, file by file."""
    modules = {
        path.stem: importlib.import_module(f"pathgen.columns.{path.stem}")
        for path in sorted(_ROOM.glob("*.py"))
        if path.stem != "__init__"
    }
    for stem, module in modules.items():
        for name in numbers(_ROOM / f"{stem}.py"):
            known = [m for other, m in modules.items() if other != stem and _imports(m, stem, name)]
            yield Threshold(name, module, [module, *known], vars(module)[name])


def numbers(path: Path) -> list[str]:
    """Names of the numbers that a file defines."""
    assigned = [node for node in ast.parse(path.read_text()).body if isinstance(node, ast.Assign)]
    names = [node.targets[0].id for node in assigned if isinstance(node.targets[0], ast.Name)]
    module = importlib.import_module(f"pathgen.columns.{path.stem}")
    return [n for n in names if n.isupper() and isinstance(vars(module)[n], int | float)]


def _imports(module: ModuleType, stem: str, name: str) -> bool:
    """Whether a module imports a name from another of the room."""
    wanted = f"pathgen.columns.{stem}"
    return any(
        isinstance(node, ast.ImportFrom)
        and node.module == wanted
        and name in [alias.name for alias in node.names]
        for node in ast.parse(Path(str(module.__file__)).read_text()).body
    )


def drawn(glyph: Glyph, known: Drawn | None = None) -> Drawn:
    """A letter split and scored; what is known of it, if it comes out the same."""
    ink, columns = split.split_glyph(glyph.rings, glyph.em)
    fingerprint = b"".join(_bytes(column) for column in columns)
    if known is not None and known.print == fingerprint:
        return known
    counts = accepted(glyph.kind, glyph.letter, counters(ink), glyph.forms)
    return Drawn(fingerprint, counts is None or len(columns) in counts, scored(ink, columns))


def _bytes(column: Column) -> bytes:
    """A column's points, to a hundredth of a font unit."""
    return b"".join(rail.round(2).tobytes() for rail in (column.left, column.right))


def effect(number: Threshold, scale: float, letters: list[Glyph], usual: list[Drawn]) -> str:
    """What happens if a number is so many times what it is."""
    scaled = number.value * scale
    if isinstance(number.value, int):
        scaled = round(scaled)
    for module in number.known:
        setattr(module, number.name, scaled)
    try:
        changed = [drawn(glyph, known) for glyph, known in zip(letters, usual, strict=True)]
    finally:
        for module in number.known:
            setattr(module, number.name, number.value)
    return told(usual, changed)


def told(usual: list[Drawn], changed: list[Drawn]) -> str:
    """The difference in a few words: letters first, then cover, then spill; two of them."""
    other = sum(a is not b for a, b in zip(usual, changed, strict=True))
    if not other:
        return "same"
    lost = sum(a.right for a in usual) - sum(b.right for b in changed)
    cover, spill = (
        100.0 * (statistics.mean(by(b) for b in changed) - statistics.mean(by(a) for a in usual))
        for by in (lambda d: d.score.cover, lambda d: d.score.spill)
    )
    words = [f"{abs(lost)} {'lost' if lost > 0 else 'won'}"] if lost else []
    words += [f"cover {cover:+.2f}"] if abs(cover) >= TOLD_COVER else []
    words += [f"spill {spill:+.2f}"] if abs(spill) >= TOLD_SPILL else []
    return ", ".join(words[:2]) or "alike"


def write(number: Threshold, words: str) -> None:
    """Put the words behind a number in the source."""
    path = Path(str(number.home.__file__))
    line = re.compile(rf"^({number.name} = [^#\n]*?)(?:  # .*)?$", re.MULTILINE)
    path.write_text(line.sub(lambda found: f"{found[1]}  # {words}", path.read_text(), count=1))


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description="Scale each threshold of the splitter.")
    parser.add_argument("names", nargs="*", metavar="NAME")
    parser.add_argument("--folder", type=Path, default=FOLDER)
    parser.add_argument("--write", action="store_true", help="into the comments")
    options = parser.parse_args()
    letters = glyphs(options.folder)
    usual = [drawn(glyph) for glyph in letters]
    print(f"{len(letters)} letters, {sum(d.right for d in usual)} right")
    for number in list(thresholds()):
        if options.names and number.name not in options.names:
            continue
        sides = [f"{name}: {effect(number, by, letters, usual)}" for name, by in SIDES]
        home = number.home.__name__.rpartition(".")[2]
        print(f"{home:10} {number.name:22} {number.value:<10.4g} {'; '.join(sides)}", flush=True)
        if options.write:
            write(number, "; ".join(sides))


if __name__ == "__main__":
    main()
