"""Which way each character of a line runs, and in which order its runs stand.

The implicit part of the Unicode Bidirectional Algorithm (UAX 9, rules P2 to P3, W1 to W7, N1 to
N2, I1 to L2). Explicit embeddings never get here, as the text check refuses them.

limit: brackets are resolved like other neutrals (N1, N2), not in pairs (N0).
"""

import unicodedata
from collections.abc import Iterator, Sequence

__all__ = ["levels", "visual_order"]

_NEUTRAL = {"B", "S", "WS", "ON", "BN"}
_NUMBERS = {"EN", "AN"}


def levels(line: str) -> list[int]:
    """Embedding level of each character: even runs left to right, odd right to left."""
    classes = [unicodedata.bidirectional(char) or "L" for char in line]
    strong = next((c for c in classes if c in ("L", "R", "AL")), "L")
    base = int(strong != "L")
    side = "R" if base else "L"
    spaces = [c in ("WS", "S", "B") for c in classes]
    _weak(classes, side)
    _neutrals(classes, side)
    found = [_level(c, base) for c in classes]
    for i in reversed(range(len(found))):  # L1: spaces at the end run with the line
        if not spaces[i]:
            break
        found[i] = base
    return found


def _level(char_class: str, base: int) -> int:
    """Rules I1 and I2."""
    if base % 2 == 0:
        return base + {"L": 0, "R": 1}.get(char_class, 2)
    return base + (0 if char_class == "R" else 1)


def _weak(classes: list[str], side: str) -> None:
    """Rules W1 to W7, in place."""
    before, strong = side, side
    for i, c in enumerate(classes):  # W1, W2, W3
        now = before if c == "NSM" else c
        if now in ("L", "R", "AL"):
            strong = now
        before = "AN" if now == "EN" and strong == "AL" else now
        classes[i] = before
    classes[:] = ["R" if c == "AL" else c for c in classes]
    for i in range(1, len(classes) - 1):  # W4
        left, c, right = classes[i - 1 : i + 2]
        if left == right and ((c == "ES" and left == "EN") or (c == "CS" and left in _NUMBERS)):
            classes[i] = left
    for a, b in _stretches(classes, {"ET", "BN"}):  # W5
        beside = {classes[a - 1] if a else "", classes[b] if b < len(classes) else ""}
        if "EN" in beside and "ET" in classes[a:b]:
            classes[a:b] = ["EN"] * (b - a)
    strong = side
    for i, c in enumerate(classes):  # W6, W7
        if c in ("ES", "ET", "CS"):
            classes[i] = "ON"
        elif c in ("L", "R"):
            strong = c
        elif c == "EN" and strong == "L":
            classes[i] = "L"


def _neutrals(classes: list[str], side: str) -> None:
    """Rules N1 and N2, in place: numbers count as right to left here."""

    def pull(i: int) -> str:
        if not 0 <= i < len(classes):
            return side
        return "R" if classes[i] in _NUMBERS else classes[i]

    for a, b in list(_stretches(classes, _NEUTRAL)):
        left, right = pull(a - 1), pull(b)
        classes[a:b] = [left if left == right else side] * (b - a)


def _stretches(classes: Sequence[str], members: set[str]) -> Iterator[tuple[int, int]]:
    """Start and end of each unbroken stretch of the given classes."""
    start = None
    for i, c in enumerate([*classes, ""]):
        if c in members and start is None:
            start = i
        elif c not in members and start is not None:
            yield start, i
            start = None


def visual_order(run_levels: Sequence[int]) -> list[int]:
    """Indices of runs from left to right, given their levels in reading order (rule L2)."""
    order = list(range(len(run_levels)))
    highest = max(run_levels, default=0)
    for level in range(highest, 0, -1):
        i = 0
        while i < len(order):
            j = i
            while j < len(order) and run_levels[order[j]] >= level:
                j += 1
            order[i:j] = order[i:j][::-1]
            i = max(j, i + 1)
    return order
