"""Answers kept for the next time."""

from shapes import plain_settings

from pathgen.kept import Kept


def counting(**limits):
    """A memory whose answers are words, and what it was asked to find."""
    asked = []

    def find(keys, settings):
        asked.append(list(keys))
        return [f"{key} at {settings.spacing_mm:g}" for key in keys]

    return Kept(find, **limits), asked


def test_each_key_is_found_once_and_all_new_ones_together():
    kept, asked = counting()
    settings = plain_settings(spacing_mm=0.5)

    assert kept([1, 2, 1], settings) == ["1 at 0.5", "2 at 0.5", "1 at 0.5"]
    assert kept([2, 3], settings) == ["2 at 0.5", "3 at 0.5"]
    assert asked == [[1, 2], [3]]


def test_other_settings_are_other_answers():
    kept, asked = counting()
    kept([1], plain_settings(spacing_mm=0.5))

    assert kept([1], plain_settings(spacing_mm=0.6)) == ["1 at 0.6"]
    assert asked == [[1], [1]]


def test_oldest_answers_and_settings_go_first():
    kept, asked = counting(most=2, settings=1)
    settings = plain_settings(spacing_mm=0.5)
    kept([1, 2, 3], settings)
    kept([3, 2], settings)
    assert asked == [[1, 2, 3]]
    kept([1], settings)
    kept([1], plain_settings(spacing_mm=0.6))
    kept([1], settings)
    kept.forget()
    kept([1], settings)
    assert asked[1:] == [[1]] * 4
