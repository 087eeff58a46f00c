"""File names for texts, kept apart on every system.

A name is made of small ASCII letters, digits and hyphens (`safe_name`), so no system folds,
normalises or reserves it. Texts that would have the same name are told apart by digits of their
SHA-256; the first keeps the plain one.
"""

import hashlib

from pathgen.writers.files import safe_name

__all__ = ["Namer"]

DIGITS = 6


class Namer:
    """Gives each text a name of its own; the same text has the same name each time."""

    def __init__(self) -> None:
        self._owner: dict[str, bytes] = {}

    def name(self, text: str) -> str:
        """Stem of a text's files."""
        plain = safe_name(text)
        digest = hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()
        mine = bytes.fromhex(digest[:32])
        name, digits = plain, DIGITS
        while self._owner.setdefault(name, mine) != mine:
            name, digits = f"{plain}-{digest[:digits]}", digits + DIGITS
        return name
