"""Letters, and parts of a letter, that run together when their columns grow.

Two neighbours each grow by the allowance, and by what narrow columns are widened. What the face
itself draws joined, as a script does, is left alone.
"""

from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import combinations, pairwise

from pathgen.kept import Kept
from pathgen.model import Finding, Letter, LetterShape, Level
from pathgen.polygons import moved, shortest_way
from pathgen.review.growth import growth_mm
from pathgen.settings import Settings

__all__ = ["touching_letters", "touching_parts"]

_APART_THREADS = 1.0
"""Letters are to keep this many threads between them as sewn, or they look joined (placeholder
until sewn samples set it)."""

_PLACE_DECIMALS = 6

Way = tuple[float, float, float]
"""Distance, and the middle of the shortest way, from the first letter's origin."""


def touching_parts(letters: Sequence[Letter], settings: Settings) -> Iterator[Finding]:
    """One finding a pair of parts of a letter with too little between."""
    limit = _APART_THREADS * settings.thread.diameter_mm
    for letter in letters:
        for way in _between_parts(letter.shape):
            gap = way[0] - 2.0 * growth_mm(letter.shape, settings)
            if gap < limit:
                yield _finding("parts-touching", letter, way, gap, limit)


def touching_letters(letters: Sequence[Letter], settings: Settings) -> Iterator[Finding]:
    """One finding a pair of neighbours with too little between."""
    limit = _APART_THREADS * settings.thread.diameter_mm
    pairs = [(one, other) for one, other in pairwise(letters) if one.line == other.line]
    asked = [
        (
            one.shape,
            other.shape,
            round(other.at_mm[0] - one.at_mm[0], _PLACE_DECIMALS),
            round(other.at_mm[1] - one.at_mm[1], _PLACE_DECIMALS),
        )
        for one, other in pairs
    ]
    for (one, _), (way, gap) in zip(pairs, _gaps(asked, settings), strict=True):
        if way[0] > 0.0 and gap < limit:
            yield _finding("letters-touching", one, way, gap, limit)


def _finding(code: str, letter: Letter, way: Way, gap: float, limit: float) -> Finding:
    return Finding(
        code=code,
        level=Level.CHECK if gap < 0.0 else Level.NOTE,
        at_mm=(letter.at_mm[0] + way[1], letter.at_mm[1] + way[2]),
        line=letter.line,
        letter=letter.index,
        measured=gap,
        limit=limit,
        advice="add letter spacing" if code == "letters-touching" else "take less allowance",
    )


_Pair = tuple[LetterShape, LetterShape, float, float]
"""Two letters, and how far the origin of the second lies from that of the first."""


def _found_between(pairs: Sequence[_Pair], settings: Settings) -> list[tuple[Way, float]]:
    """Shortest way from a letter to the other as drawn, and what is left of it as sewn."""
    out = []
    for one, other, x, y in pairs:
        way = _between(one, other, x, y)
        growth = growth_mm(one, settings) + growth_mm(other, settings)
        out.append((way, way[0] - growth))
    return out


_gaps: Kept[_Pair, tuple[Way, float]] = Kept(_found_between)


@lru_cache(maxsize=4096)
def _between(one: LetterShape, other: LetterShape, x: float, y: float) -> Way:
    """Shortest way from a letter to another whose origin lies at (x, y) from its own."""
    return shortest_way(one.ink, [moved(shape, 1.0, 0.0, x, y) for shape in other.ink])


@lru_cache(maxsize=1024)
def _between_parts(shape: LetterShape) -> tuple[Way, ...]:
    """Shortest ways between parts of a letter that are drawn apart, such as i and its dot."""
    ways = (shortest_way([a], [b]) for a, b in combinations(shape.ink, 2))
    return tuple(way for way in ways if way[0] > 0.0)
