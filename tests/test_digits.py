"""Many numbers as text at once: each as Python's own formatting writes it."""

import numpy as np
from hypothesis import example, given
from hypothesis import strategies as st

from pathgen.writers.digits import decimals, joined, led, looked_up, text_of, thousandths, whole

NUMBERS = st.lists(st.integers(-20_000_000, 20_000_000), max_size=30)
COUNTS = st.lists(st.integers(0, 2**32 - 1) | st.integers(0, 20), max_size=30)
BEFORE = st.sampled_from(["", ",", " ", "M", "L "])


@given(NUMBERS, BEFORE)
@example([-1, 0, 999, 1000, -1000], ",")
@example([9_999_999, -9_999_999], "M")
@example([10_000_000, -1, -10_000_000], "M")
def test_thousandths_are_written_as_python_writes_them(numbers, before):
    expected = "".join(f"{before}{number / 1000:.3f}" for number in numbers)

    assert text_of(decimals(np.array(numbers, dtype=np.int64), before)).decode() == expected


@given(COUNTS, BEFORE)
@example([0, 9, 10, 99, 100, 999], ",")
@example([1000, 9999], "")
@example([1000, 9999], ",")
@example([10_000, 0], ",")
def test_whole_numbers_are_written_as_python_writes_them(numbers, before):
    expected = "".join(f"{before}{number}" for number in numbers)

    assert text_of(whole(np.array(numbers, dtype=np.int64), before)).decode() == expected


@given(st.lists(st.floats(-1e6, 1e6), max_size=30))
@example([-0.0, -0.0004, 0.0005, 2.0005])
def test_values_are_rounded_as_numpy_rounds_them_and_lose_a_minus_before_zero(values):
    expected = "".join(f"{round_ + 0.0:.3f} " for round_ in np.round(np.array(values), 3).tolist())

    columns = decimals(thousandths(np.array(values))), led(" ", len(values))

    assert text_of(joined(*columns)).decode() == expected


def test_columns_of_any_width_stand_side_by_side():
    words = looked_up(["a", "much longer", ""], np.array([2, 1, 0, 1]))

    assert text_of(joined(words, led("|\r\n", 4))) == b"|\r\nmuch longer|\r\na|\r\nmuch longer|\r\n"
