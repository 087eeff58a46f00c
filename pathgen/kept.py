"""Answers kept for the next time, and found many at once where they are not known yet."""

from collections.abc import Callable, Hashable, Sequence
from typing import Generic, TypeVar

from pathgen.settings import Settings

__all__ = ["Kept"]

Key = TypeVar("Key", bound=Hashable)
Answer = TypeVar("Answer")


class Kept(Generic[Key, Answer]):
    """What `find` answers for keys and settings; oldest first thrown away.

    Parameters
    ----------
    find : callable
        Answers for several keys, each key once, and the settings.
    most : int
        How many answers are kept for the same settings.
    settings : int
        For how many settings answers are kept.
    """

    def __init__(
        self,
        find: Callable[[Sequence[Key], Settings], Sequence[Answer]],
        *,
        most: int = 4096,
        settings: int = 8,
    ) -> None:
        self._find, self._most, self._settings = find, most, settings
        self._known: dict[Settings, dict[Key, Answer]] = {}

    def __call__(self, keys: Sequence[Key], settings: Settings) -> list[Answer]:
        """Answers for all keys, in their order."""
        known = self._known.pop(settings, {})
        self._known[settings] = known
        if len(self._known) > self._settings:
            del self._known[next(iter(self._known))]
        new = list(dict.fromkeys([key for key in keys if key not in known]))
        known.update(zip(new, self._find(new, settings) if new else (), strict=True))
        answers = [known[key] for key in keys]
        while len(known) > self._most:
            del known[next(iter(known))]
        return answers

    def forget(self) -> None:
        """Keep nothing."""
        self._known.clear()
