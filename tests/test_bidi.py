"""Outside check: python-bidi 0.6, a wrapper of the Rust crate unicode-bidi."""

import pytest
from bidi.algorithm import get_display
from hypothesis import given
from hypothesis import strategies as st

from pathgen.lettering.bidi import levels, visual_order

_ALEF, _BET, _GIMEL = "\u05d0\u05d1\u05d2"
_BEH, _TEH = "\u0628\u062a"
# Left out: brackets, as the crate sometimes pairs them against rule N0, and mirrors them.
_SIGNS = [*"abc 12.,:+-$%!?/'", *"\u05d0\u05d1\u0628\u062a\u0663\u0664", *"\u0301\u05b8\u064e"]


def _shown(line: str) -> str:
    return "".join(line[i] for i in visual_order(levels(line)))


@pytest.mark.parametrize(
    "line",
    [
        "Harbour Bakery",
        "\u05de\u05d0\u05e4\u05d9\u05d9\u05d4",
        "\u0645\u062e\u0628\u0632 \u0627\u0644\u0645\u064a\u0646\u0627\u0621",
        "\u05de\u05d0\u05e4\u05d9\u05d9\u05d4 1921",
        "\u0645\u062e\u0628\u0632 1921",
        "\u0645\u062e\u0628\u0632 \u0661\u0669\u0662\u0661",
        "Bakery \u05de\u05d0\u05e4\u05d9\u05d9\u05d4 1921",
        "\u05de\u05d0\u05e4\u05d9\u05d9\u05d4 Bakery 1921",
        "\u05de\u05d0\u05e4\u05d9\u05d9\u05d4 12.50$ Rye",
        "12:30-13:45 \u05de\u05d0\u05e4\u05d9\u05d9\u05d4",
        "\u05de\u05d0\u05e4\u05d9\u05d9\u05d4, 3-4, Rye!",
        "\u0645\u062e\u0628\u0632 3-4, 5%",
        "1,2 \u05d0",
        "\u05d0 1%",
        "\u05d0 %1",
        "\u05e9\u05b8\u05c1\u05dc\u05d5\u05b9\u05dd Rye",
        "Rye... \u05d0!",
        "1921",
        "...",
        "",
    ],
)
def test_lines_of_hebrew_arabic_and_digits_stand_as_python_bidi_puts_them(line: str) -> None:
    assert _shown(line) == get_display(line)


@given(st.lists(st.sampled_from(_SIGNS), min_size=1, max_size=14).map("".join))
def test_any_mixture_stands_as_python_bidi_puts_it(line: str) -> None:
    assert _shown(line) == get_display(line)


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        # N0 b: the text inside runs with the line.
        (f"{_ALEF}({_BET})", [1, 1, 1, 1]),
        (f"a({_ALEF}b)", [0, 0, 1, 0, 0]),
        # N0 c1: inside and before run against the line.
        (f"{_ALEF} a(b)c", [1, 1, 2, 2, 2, 2, 2]),
        (f"a {_ALEF}({_BET})", [0, 0, 1, 1, 1, 1]),
        # N0 c2: inside runs against the line, before does not: the year stays apart.
        (f"{_ALEF} (ab) 1", [1, 1, 1, 2, 2, 1, 1, 2]),
        (f"a ({_ALEF}) {_BET}", [0, 0, 0, 1, 0, 0, 1]),
        # N0 d: nothing strong inside, so the pair is like other neutrals.
        (f"{_ALEF}(!){_BET}", [1, 1, 1, 1, 1]),
        ("a(!)b", [0, 0, 0, 0, 0]),
        # Numbers inside count as right to left.
        (f"a {_BEH}(\u0663)", [0, 0, 1, 1, 2, 1]),
        # Nested, crossing and lone brackets (BD16).
        (f"{_ALEF}([a])b", [1, 1, 1, 2, 1, 1, 2]),
        (f"{_ALEF}(a]b)", [1, 1, 2, 2, 2, 1]),
        (f"{_ALEF}(a", [1, 1, 2]),
        (f"{_ALEF})a(b", [1, 1, 2, 2, 2]),
        # A mark goes with the bracket before it.
        (f"a {_ALEF}({_BET})\u0301b", [0, 0, 1, 1, 1, 1, 1, 0]),
        # Up to 63 may be open at once; with more there are no pairs at all.
        (_ALEF + "(" * 63 + "a" + ")" * 63 + "b", [1] * 64 + [2] + [1] * 63 + [2]),
        (_ALEF + "(" * 64 + "a" + ")" * 64 + "b", [1] * 65 + [2] + [2] * 64 + [2]),
    ],
)
def test_brackets_pair_up_by_rule_n0(line: str, expected: list[int]) -> None:
    """Worked by hand from UAX 9, section 3.3.5."""
    assert levels(line) == expected


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        (f"{_ALEF}\u200d{_BET}", [1, 1, 1]),
        (f"a\u200d{_ALEF}", [0, 0, 1]),
        (f"\u200d{_ALEF}", [1, 1]),
        (f"{_TEH}\u200c\u064e", [1, 1, 1]),
        (f"{_ALEF}1\u200d,\u200d2", [1, 2, 2, 2, 2, 2]),
        (f"{_ALEF} a \u200d", [1, 1, 2, 1, 1]),
        ("\u200d", [0]),
    ],
)
def test_invisible_signs_run_with_the_character_before_them(line: str, expected: list[int]) -> None:
    """UAX 9, rule X9 and section 5.2: as if they were not there."""
    assert levels(line) == expected


@pytest.mark.parametrize(
    ("run_levels", "order"),
    [
        ([], []),
        ([0, 0], [0, 1]),
        ([1, 1, 1], [2, 1, 0]),
        ([0, 1, 1, 0], [0, 2, 1, 3]),
        ([1, 2, 2, 1], [3, 1, 2, 0]),
        ([0, 1, 2, 1, 0], [0, 3, 2, 1, 4]),
    ],
)
def test_runs_are_reversed_level_by_level(run_levels: list[int], order: list[int]) -> None:
    """UAX 9, rule L2."""
    assert visual_order(run_levels) == order


@given(st.lists(st.integers(0, 3), max_size=12))
def test_visual_order_keeps_every_run_once(run_levels: list[int]) -> None:
    assert sorted(visual_order(run_levels)) == list(range(len(run_levels)))
