"""Score of the stroke splitter on open faces, and on some that nobody has looked at.

    python tests/bench/score_unseen.py [--folder FOLDER] [--letters] [--face NAME ...] [--worst N]
    python tests/bench/score_unseen.py --fresh

The faces are those of unseen_faces.toml, fetched by fetch_faces.py: its parts "seen" and "held",
or with ``--fresh`` the part "fresh". A row a face, then one a kind, one a part and one for all:

- count: letters and digits whose number of columns a person would accept (serif_table.py);
- cover, spill, |cos|, slant, out and cross: as in score_columns.py, over letters and digits;
- kinks: sharp turns of centre lines, a letter; a count may be right by the wrong strokes, but a
  stroke that wanders off its way has to turn;
- err, swept: over all glyphs of the face, those that raised, and the pieces of ink
  that did not resolve into strokes; left out with ``--letters``;
- ms: processor milliseconds a letter, median, of the better of two runs.

Which letters are wrong is never told of the part "fresh": a letter that has been looked at is no
longer unseen. ``--worst`` lists the letters with the largest faults: a wrong count, then what is
bare or spilt.
"""

import argparse
import logging
import statistics
import sys
import time
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from fetch_faces import FOLDER, Entry, entries
from score_columns import Score, mean_cosine, scored, slant
from serif_table import accepted

from pathgen.columns.split import split_glyph
from pathgen.geometry import Points, turns_deg
from pathgen.lettering.fontfile import Face, open_face
from pathgen.lettering.outlines import glyph_rings
from pathgen.model import Column
from pathgen.polygons import Polygon

LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789"

HEAD = (
    f"{'face':22} {'kind':12} part  count  cover  least   spill  most    |cos| slant     out cross"
    "  kinks  err swept  glyphs     ms  wrong"
)

# The parts of unseen_faces.toml; the letters of the last are never shown.
FRESH = "fresh"
PARTS = ("seen", "held", FRESH)

# A turn of the centre line from one rung to the next that is a kink, degrees.
KINK_DEG = 45.0


@dataclass(frozen=True, slots=True, kw_only=True)
class LetterScore:
    """One letter of one face."""

    entry: Entry
    letter: str
    score: Score
    accepted: tuple[int, ...] | None
    kinks: int
    ms: float

    @property
    def right(self) -> bool:
        """Whether a person would accept its number of columns."""
        return self.accepted is None or self.score.columns in self.accepted

    @property
    def fault(self) -> float:
        """How bad: 1 for a wrong count, and the shares of ink bare and spilt."""
        return (not self.right) + (1.0 - self.score.cover) + self.score.spill


@dataclass(frozen=True, slots=True, kw_only=True)
class FaceScore:
    """One face: its letters, and what became of all of its glyphs."""

    entry: Entry
    letters: list[LetterScore]
    glyphs: int
    errors: int
    swept: int


class _Swept(logging.Handler):
    """Counts the splitter's notes that it swept what it could not split."""

    def __init__(self) -> None:
        super().__init__(logging.DEBUG)
        self.count = 0

    def emit(self, record: logging.LogRecord) -> None:
        self.count += record.getMessage().startswith("swept")


def counters(ink: Iterable[Polygon]) -> int:
    """Holes in the ink."""
    return sum(len(piece.interiors) for piece in ink)


def kinks(column: Column) -> int:
    """Sharp turns of a column's centre line."""
    centre = column.centre
    step = np.hypot(*np.diff(centre, axis=0).T)
    moved = centre[np.concatenate([[True], step > 1e-9])]
    return int((np.abs(turns_deg(moved)) > KINK_DEG).sum())


def letter_score(entry: Entry, letter: str, rings: Sequence[Points], em: float) -> LetterScore:
    """Split and score one letter."""
    times = []
    for _ in range(2):
        start = time.process_time()
        ink, columns = split_glyph(rings, em)
        times.append(1e3 * (time.process_time() - start))
    counts = accepted(entry.kind, letter, counters(ink), entry.forms)
    return LetterScore(
        entry=entry,
        letter=letter,
        score=scored(ink, columns),
        accepted=counts,
        kinks=sum(map(kinks, columns)),
        ms=min(times),
    )


def face_score(entry: Entry, folder: Path, *, whole: bool) -> FaceScore:
    """Score a face's letters and, if ``whole``, try all of its glyphs."""
    faces = [open_face(path) for path in entry.paths(folder)]
    face = faces[0]
    em = float(face.facts.units_per_em)
    letters = []
    for letter in LETTERS:
        rings = glyph_rings(face, face.hb_font.get_nominal_glyph(ord(letter)))
        letters.append(letter_score(entry, letter, rings, em))
    tried = [tried_glyphs(each) for each in faces] if whole else []
    glyphs, errors, swept = (sum(part) for part in zip(*tried, strict=True)) if tried else (0, 0, 0)
    return FaceScore(entry=entry, letters=letters, glyphs=glyphs, errors=errors, swept=swept)


def tried_glyphs(face: Face) -> tuple[int, int, int]:
    """All glyphs of a font file: how many, how many raised, how many pieces were swept."""
    log, counter, errors = logging.getLogger("pathgen.columns.split"), _Swept(), 0
    log.addHandler(counter)
    level, log.propagate = log.level, False
    log.setLevel(logging.DEBUG)
    em, count = float(face.facts.units_per_em), face.hb_font.face.glyph_count
    for glyph in range(count):
        try:
            split_glyph(glyph_rings(face, glyph), em)
        except Exception as error:
            errors += 1
            print(f"{face.facts.name}, glyph {glyph}: {error!r}", file=sys.stderr)
    log.removeHandler(counter)
    log.setLevel(level)
    log.propagate = True
    return count, errors, counter.count


def row(name: str, kind: str, part: str, faces: Sequence[FaceScore], *, show: bool) -> str:
    """One line of the table."""
    letters = [letter for face in faces for letter in face.letters]
    scores = [letter.score for letter in letters]
    judged = [letter for letter in letters if letter.accepted is not None]
    right = sum(letter.right for letter in judged)
    wrong = [f"{item.letter}:{item.score.columns}" for item in judged if not item.right]
    count = f"{right}/{len(judged)}" if judged else "-"
    rungs = sum(score.rungs for score in scores)
    return (
        f"{name[:22]:22} {kind:12} {part:5} {count:>7}"
        f"  {statistics.mean(s.cover for s in scores):.4f} {min(s.cover for s in scores):.4f}"
        f"  {statistics.mean(s.spill for s in scores):.4f} {max(s.spill for s in scores):.4f}"
        f"  {mean_cosine(scores):.3f} {slant(scores):.3f}"
        f"  {100.0 * sum(s.out for s in scores) / rungs:5.2f} %"
        f" {sum(s.crossings for s in scores):4d}"
        f"  {sum(letter.kinks for letter in letters) / len(letters):5.2f}"
        f"  {sum(f.errors for f in faces):4d} {sum(f.swept for f in faces):5d}"
        f"  {sum(f.glyphs for f in faces):6d}"
        f"  {statistics.median(letter.ms for letter in letters):5.2f}"
        f"  {' '.join(wrong) if show else ''}"
    ).rstrip()


def sums(faces: Sequence[FaceScore]) -> list[str]:
    """A row a kind in each part, a row a part, a row for all."""
    rows = []
    for kind in dict.fromkeys(face.entry.kind for face in faces):
        for part in PARTS:
            some = [f for f in faces if (f.entry.kind, f.entry.part) == (kind, part)]
            if some:
                rows.append(row(f"{len(some)} of kind", kind, part, some, show=False))
    for part in PARTS:
        some = [face for face in faces if face.entry.part == part]
        if some:
            rows.append(row(f"{len(some)} faces", "all", part, some, show=False))
    return [*rows, row(f"{len(faces)} faces", "all", "all", faces, show=False)]


def worst(faces: Sequence[FaceScore], count: int) -> list[str]:
    """The letters with the largest faults, largest first."""
    letters = sorted(
        (letter for face in faces for letter in face.letters), key=lambda item: -item.fault
    )
    return [
        f"{item.entry.name:22} {item.letter}  columns {item.score.columns}"
        f" (accepted {'any' if item.accepted is None else item.accepted})"
        f"  cover {item.score.cover:.4f}  spill {item.score.spill:.4f}  out {item.score.out}"
        f"  kinks {item.kinks}"
        for item in letters[:count]
    ]


def _options() -> argparse.Namespace:
    """Options of the command line."""
    parser = argparse.ArgumentParser(description="Score the splitter on unseen faces.")
    parser.add_argument("--folder", type=Path, default=FOLDER)
    parser.add_argument("--letters", action="store_true", help="not all glyphs, letters only")
    parser.add_argument("--fresh", action="store_true", help="the faces nobody has looked at")
    parser.add_argument("--face", nargs="+", metavar="NAME", help="of the open faces only these")
    parser.add_argument("--worst", type=int, default=0, metavar="N", help="list the worst letters")
    return parser.parse_args()


def _chosen(options: argparse.Namespace) -> list[Entry]:
    """The faces asked for."""
    faces = [entry for entry in entries() if (entry.part == FRESH) == options.fresh]
    return [face for face in faces if not options.face or face.name in options.face]


def main() -> None:
    """Print the table."""
    options = _options()
    print(HEAD)
    faces = []
    for entry in _chosen(options):
        if not all(path.is_file() for path in entry.paths(options.folder)):
            print(f"{entry.name[:22]:22} is missing; python tests/bench/fetch_faces.py gets it")
            continue
        face = face_score(entry, options.folder, whole=not options.letters)
        faces.append(face)
        show = entry.part != FRESH
        print(row(entry.name, entry.kind, entry.part, [face], show=show), flush=True)
    if faces:
        print("\n".join(sums(faces)))
    if not options.fresh:
        print("\n".join(worst(faces, options.worst)))


if __name__ == "__main__":
    main()
