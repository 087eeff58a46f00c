"""Which way each character of a line runs, and in which order its runs stand.

The implicit part of the Unicode Bidirectional Algorithm (UAX 9, revision 50: rules P2 to P3,
W1 to W7, N0 to N2, I1 to L2). Explicit embeddings never get here, as the text check refuses
them.

limit: the paired brackets of rule N0 are those of `_OPENING`.
"""

import unicodedata
from collections.abc import Iterator, Sequence

__all__ = ["levels", "visual_order"]

_NEUTRAL = {"B", "S", "WS", "ON"}
_NUMBERS = {"EN", "AN"}
_OPENING = "([{\u2045\u2329\u3008\u27e8\u300c\u300e\u3010"
_CLOSING = ")]}\u2046\u232a\u3009\u27e9\u300d\u300f\u3011"
_PAIRS = dict(zip(_OPENING, _CLOSING, strict=True))
_MOST_OPEN = 63  # brackets open at once (UAX 9, BD16)


def levels(line: str) -> list[int]:
    """Embedding level of each character: even runs left to right, odd right to left.

    Invisible signs of class BN, such as joiners, take the level of the character before them.
    """
    classes = [unicodedata.bidirectional(char) or "L" for char in line]
    strong = next((c for c in classes if c in ("L", "R", "AL")), "L")
    base = int(strong != "L")
    kept = [i for i, c in enumerate(classes) if c != "BN"]  # X9: as if BN were not there
    found = _levels([line[i] for i in kept], [classes[i] for i in kept], base)
    out = [base] * len(line)
    for k, i in enumerate(kept):
        end = kept[k + 1] if k + 1 < len(kept) else len(line)
        out[i:end] = [found[k]] * (end - i)
    return out


def _levels(chars: Sequence[str], original: Sequence[str], base: int) -> list[int]:
    """Levels of characters of the given classes, none of them BN."""
    side = "R" if base else "L"
    classes = list(original)
    _weak(classes, side)
    _brackets(chars, original, classes, side)
    _neutrals(classes, side)
    found = [_level(c, base) for c in classes]
    for i in reversed(range(len(found))):  # L1: spaces at the end run with the line
        if original[i] not in ("WS", "S", "B"):
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
    for i, c in enumerate(classes):  # W1, W2
        now = before if c == "NSM" else c
        if now in ("L", "R", "AL"):
            strong = now
        before = "AN" if now == "EN" and strong == "AL" else now
        classes[i] = before
    classes[:] = ["R" if c == "AL" else c for c in classes]  # W3
    for i in range(1, len(classes) - 1):  # W4
        left, c, right = classes[i - 1 : i + 2]
        if left == right and ((c == "ES" and left == "EN") or (c == "CS" and left in _NUMBERS)):
            classes[i] = left
    for a, b in _stretches(classes, {"ET"}):  # W5
        if (a and classes[a - 1] == "EN") or (b < len(classes) and classes[b] == "EN"):
            classes[a:b] = ["EN"] * (b - a)
    strong = side
    for i, c in enumerate(classes):  # W6, W7
        if c in ("ES", "ET", "CS"):
            classes[i] = "ON"
        elif c in ("L", "R"):
            strong = c
        elif c == "EN" and strong == "L":
            classes[i] = "L"


def _brackets(chars: Sequence[str], original: Sequence[str], classes: list[str], side: str) -> None:
    """Rule N0, in place: a pair runs with the text inside it, or else before it."""
    for start, end in _bracket_pairs(chars, classes):
        inside = {_strong(c) for c in classes[start + 1 : end]} - {""}
        if not inside:
            continue
        way = side
        if side not in inside:
            before = next((s for s in map(_strong, reversed(classes[:start])) if s), side)
            way = before  # the other side if text before the pair agrees, else the line's
        for i in (start, end):
            classes[i] = way
            for j in range(i + 1, len(chars)):  # marks go with their bracket
                if original[j] != "NSM":
                    break
                classes[j] = way


def _bracket_pairs(chars: Sequence[str], classes: Sequence[str]) -> list[tuple[int, int]]:
    """Places of paired brackets, by their openings (BD16)."""
    pairs = []
    waiting: list[tuple[str, int]] = []
    for i, (char, c) in enumerate(zip(chars, classes, strict=True)):
        if c != "ON":
            continue
        if char in _PAIRS:
            if len(waiting) == _MOST_OPEN:
                return []
            waiting.append((_PAIRS[char], i))
        elif any(close == char for close, _ in waiting):
            while waiting[-1][0] != char:
                waiting.pop()
            pairs.append((waiting.pop()[1], i))
    return sorted(pairs)


def _strong(char_class: str) -> str:
    """L or R of a class, numbers counting as right to left; nothing for neutrals."""
    if char_class in _NUMBERS:
        return "R"
    return char_class if char_class in ("L", "R") else ""


def _neutrals(classes: list[str], side: str) -> None:
    """Rules N1 and N2, in place."""
    for a, b in _stretches(classes, _NEUTRAL):
        left = _strong(classes[a - 1]) if a else side
        right = _strong(classes[b]) if b < len(classes) else side
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
