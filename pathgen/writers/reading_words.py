"""Words and data for the reading verdict."""

import math
from typing import Any

from pathgen.verdicts import LetterReading, Reading, Verdict

__all__ = ["VERDICT_WORDS", "reading_data", "reading_facts", "reading_short"]

VERDICT_WORDS = {
    Verdict.READS_WELL: "reads well",
    Verdict.BORDERLINE: "borderline",
    Verdict.WILL_NOT_READ: "will not read",
}

MOST_NAMED = 8
"""Letters named of each verdict; further ones are only counted."""


def reading_short(reading: Reading) -> str:
    """Verdict and what it rests on, in one line."""
    return "; ".join([VERDICT_WORDS[reading.verdict], *reading_facts(reading)])


def reading_facts(reading: Reading) -> list[str]:
    """What a verdict rests on, one clause each, the weightiest first."""
    facts = []
    for verdict in (Verdict.WILL_NOT_READ, Verdict.BORDERLINE):
        named = list(dict.fromkeys(r.text for r in reading.letters if r.verdict is verdict))
        if named:
            more = f" and {len(named) - MOST_NAMED} more" if len(named) > MOST_NAMED else ""
            how = "fails in" if verdict is Verdict.WILL_NOT_READ else "borderline in"
            facts.append(f"{how} {' '.join(named[:MOST_NAMED])}{more}")
    worst = reading.worst
    if worst is not None and worst.looks_like:
        facts.append(f"{_closest(worst)}, margin {worst.margin:.3f}")
    facts.append(f"likeness {reading.likeness:.2f}")
    if math.isfinite(reading.gap_threads):
        facts.append(f"smallest gap {reading.gap_threads:.1f} threads")
    facts.append(f"large enough up to {reading.farthest_mm / 1000.0:.1f} m")
    return [*facts, reading.origin]


def _closest(worst: LetterReading) -> str:
    how = "looks more like" if worst.margin < 0.0 else "looks most like"
    return f"{worst.text} {how} {worst.looks_like}"


def reading_data(reading: Reading) -> dict[str, Any]:
    """A reading as plain data."""
    return {
        "compared_with": list(reading.compared_with),
        "farthest_mm": _rounded(reading.farthest_mm),
        "gap_threads": _rounded(reading.gap_threads),
        "letters": [_letter_data(letter) for letter in reading.letters],
        "likeness": _rounded(reading.likeness),
        "origin": reading.origin,
        "verdict": reading.verdict.word,
        "worst": None if reading.worst is None else _letter_data(reading.worst),
    }


def _letter_data(letter: LetterReading) -> dict[str, Any]:
    return {
        "drawn_margin": _rounded(letter.drawn_margin),
        "gap_threads": _rounded(letter.gap_threads),
        "letter": letter.letter,
        "likeness": _rounded(letter.likeness),
        "line": letter.line,
        "looks_like": letter.looks_like,
        "margin": _rounded(letter.margin),
        "text": letter.text,
        "verdict": letter.verdict.word,
    }


def _rounded(value: float) -> float | None:
    return round(value, 3) + 0.0 if math.isfinite(value) else None
