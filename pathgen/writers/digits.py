"""Many numbers as text at once: a column of numbers becomes an array of signs, four to a word.

A table or a path is mostly numbers. Formatted one by one they take longer than all else that is
done to write them; looked up, a whole column at once, they take a tenth of that. A column is an
array of 32-bit words, each of four ASCII signs or fewer, the places left over empty. Columns side
by side are rows of text once the empty places are taken out.
"""

from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

__all__ = ["Words", "decimals", "joined", "led", "looked_up", "text_of", "thousandths", "whole"]

Words = NDArray[np.uint32]
"""Signs of a column, (N, K): K words a row, empty places 0."""

SIGNS = 4
"""Signs of a word."""

HELD = 10**SIGNS
"""Whole numbers up to here fit one word, and are looked up."""


def thousandths(values: NDArray[np.float64]) -> NDArray[np.int64]:
    """Values in whole thousandths, as `numpy.round` to three decimals has them."""
    return np.rint(values * 1000.0).astype(np.int64)


def joined(*columns: Words) -> Words:
    """Columns of equal length side by side."""
    return np.concatenate(columns, axis=1)


def text_of(rows: Words) -> bytes:
    """All rows one after the other."""
    return rows.tobytes().translate(None, b"\0")


def looked_up(texts: Sequence[str], codes: NDArray[np.integer]) -> Words:
    """For each code the text in that place, such as the word of an enumeration."""
    return _held(tuple(texts)).take(codes, axis=0)


def led(before: str, count: int) -> Words:
    """The same text on each of so many rows."""
    return np.repeat(_held((before,)), count, axis=0)


def decimals(numbers: NDArray[np.int64], before: str = "") -> Words:
    """Numbers with three decimals, and up to three signs before each and its minus.

    Parameters
    ----------
    numbers : (N,) int
        In thousandths.
    before : str
        The signs.

    Examples
    --------
    >>> text_of(decimals(np.array([1500, -250]), ","))
    b',1.500,-0.250'
    """
    size = np.abs(numbers)
    most = int(size.max(initial=0))
    if most >= 1000 * HELD:
        return _packed([f"{before}{number / 1000.0:.3f}" for number in numbers.tolist()])
    units, negative = size // 1000, (numbers < 0).view(np.uint8)
    places = SIGNS - 1 - len(before)
    if places and most < 1000 * 10**places:
        out = np.empty((len(size), 2), np.uint32)
        _signed(before).take(2 * units + negative, out=out[:, 0])
    else:
        out = np.empty((len(size), 3), np.uint32)
        _held((before, before + "-"))[:, 0].take(negative, out=out[:, 0])
        _numbers("").take(units, out=out[:, 1])
    _fractions().take(size - 1000 * units, out=out[:, -1])
    return out


def whole(numbers: NDArray[np.integer], before: str = "") -> Words:
    """Whole numbers from 0 on, and up to three signs before each.

    Examples
    --------
    >>> text_of(whole(np.array([7, 12345]), ","))
    b',7,12345'
    """
    most = int(numbers.max(initial=0))
    if most < 10 ** (SIGNS - len(before)):
        return _numbers(before).take(numbers)[:, None]
    if most < HELD:
        return joined(led(before, len(numbers)), _numbers("").take(numbers)[:, None])
    return _packed([f"{before}{number}" for number in numbers.tolist()])


def _packed(texts: Sequence[str]) -> Words:
    """Texts as words, each as many as the longest takes."""
    size = SIGNS * max(1, -(-max(map(len, texts), default=0) // SIGNS))
    rows = np.array([text.encode("ascii") for text in texts], f"S{size}")
    return rows.view(np.uint32).reshape(len(texts), size // SIGNS)


@lru_cache(maxsize=64)
def _held(texts: tuple[str, ...]) -> Words:
    """Texts that come again, as words."""
    return _packed(texts)


@lru_cache(maxsize=8)
def _numbers(before: str) -> NDArray[np.uint32]:
    """The word of each number that fits one, behind the signs before it."""
    places = SIGNS - len(before)
    return _digits(np.arange(10**places), before, places, padded=False)


@lru_cache(maxsize=8)
def _signed(before: str) -> NDArray[np.uint32]:
    """The word of each number that fits one behind those signs and a minus: without it, with it."""
    places = SIGNS - 1 - len(before)
    led_by = (before, before + "-")
    both = [_digits(np.arange(10**places), lead, places, padded=False) for lead in led_by]
    return np.stack(both, axis=1).ravel()


@lru_cache(maxsize=1)
def _fractions() -> NDArray[np.uint32]:
    """The word of each number of thousandths below one, with its dot."""
    return _digits(np.arange(1000), ".", 3, padded=True)


def _digits(
    numbers: NDArray[np.int64], before: str, places: int, *, padded: bool
) -> NDArray[np.uint32]:
    """Each number as one word; in the places that it does not need zeros, or nothing."""
    out = np.zeros((len(numbers), SIGNS), np.uint8)
    out[:, : len(before)] = np.frombuffer(before.encode("ascii"), np.uint8)
    for place in range(places):
        size = 10 ** (places - 1 - place)
        shown = (numbers >= size) | (padded or size == 1)
        out[:, len(before) + place] = np.where(shown, ord("0") + numbers // size % 10, 0)
    return out.view(np.uint32)[:, 0]
