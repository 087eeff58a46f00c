"""Whether a plan can be read once sewn: beside the pipeline, so that bulk runs can skip it."""

from functools import lru_cache
from itertools import groupby
from pathlib import Path

from pathgen.lettering.alphabet import alphabet_rings, scripts_of
from pathgen.lettering.bundled import face_path
from pathgen.lettering.fontfile import Face
from pathgen.lettering.kept import kept_face
from pathgen.model import FaceFacts, Plan
from pathgen.review.alphabet import Drawing, alphabet_of
from pathgen.review.reading import joined_readings, read_letters
from pathgen.verdicts import Reading

__all__ = ["read"]


def read(made: Plan) -> Reading:
    """Whether the letters of a plan can be read once sewn; fitted, not measured.

    Each letter's thread, as it will lie, is held against the letters of its own face: A to Z, a
    to z and 0 to 9, those of other alphabets of the text, and the text's own.

    Parameters
    ----------
    made : Plan
        Its face is opened again if it was closed since.

    Raises
    ------
    FontError
        If the face's file is gone.

    Examples
    --------
    >>> from pathgen import plan
    >>> read(plan("Quay", height_mm=5.0)).verdict.word
    'reads-well'
    """
    readings = []
    lines = enumerate(made.by_line, 1)
    for (facts, settings), group in groupby(lines, key=lambda row: (row[1].face, row[1].settings)):
        numbers = {number for number, _ in group}
        letters = [letter for letter in made.letters if letter.line in numbers]
        scripts = scripts_of(letter.text for letter in letters)
        names = ("Latin", *(script.capitalize() for script in scripts))
        drawings = _alphabet(_face(facts), scripts)
        readings.append(read_letters(letters, made.needles, settings, drawings, names))
    return joined_readings(readings)


def _face(facts: FaceFacts) -> Face:
    return kept_face(face_path(Path(facts.source)), facts.index, dict(facts.axes))


@lru_cache(maxsize=64)
def _alphabet(face: Face, scripts: tuple[str, ...]) -> tuple[Drawing, ...]:
    """Drawings of all letters of Latin and of some scripts that a face has."""
    return alphabet_of(alphabet_rings(face, scripts), face.facts.cap_height_fu)
