import pytest

from pathgen.errors import TextError
from pathgen.lettering.text import MOST_LETTERS, checked_lines, is_blank, named, quoted

_LINE_ENDS = "\n\r\u0085"
_CONTROLS = [chr(c) for c in (*range(0x20), *range(0x7F, 0xA0)) if chr(c) not in _LINE_ENDS]
_DIRECTIONS = [*"\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"]


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("Quay", ("Quay",)),
        ("Harbour\nBakery", ("Harbour", "Bakery")),
        ("a\r\nb\rc\u2028d\u2029e\u0085f", (*"abcdef",)),
        (["Harbour", "Bakery\nRolls"], ("Harbour", "Bakery", "Rolls")),
        ("\n\nRye", ("", "", "Rye")),
        ("Rye\n\nRolls", ("Rye", "", "Rolls")),
        ("Rye\n\n \n", ("Rye",)),
        ("Rye\n\u200b\u00ad\n", ("Rye",)),
        ("  Rye  ", ("  Rye",)),
        ("Rye\u00a0\u3000", ("Rye",)),
    ],
)
def test_text_is_cut_at_its_line_ends(text: str | list[str], lines: tuple[str, ...]) -> None:
    assert tuple("".join(line) for line in checked_lines(text)) == lines


@pytest.mark.parametrize(
    "text", ["", " ", "\n", " \n\u00a0\r\n", "\u200b", "\u00ad\ufeff", "\u3164", "\ufe0f", [], [""]]
)
def test_text_without_a_letter_is_refused(text: str | list[str]) -> None:
    with pytest.raises(TextError, match=r"^text is empty; give at least one letter$"):
        checked_lines(text)


@pytest.mark.parametrize("char", _CONTROLS, ids=lambda c: f"{ord(c):02X}")
@pytest.mark.parametrize("around", ["{}Rye", "R{}ye", "Rye{}", "{}"])
def test_every_control_character_is_named_with_its_place(char: str, around: str) -> None:
    place = around.index("{") + 1
    remedy = "write spaces instead" if char == "\t" else "leave it out"

    with pytest.raises(TextError) as caught:
        checked_lines(["Harbour", around.format(char)])

    assert str(caught.value) == (
        f"text line 2, character {place} is U+{ord(char):04X}, a control character; {remedy}"
    )


@pytest.mark.parametrize("char", [*"\ud800\udbff\udc00\udfff"], ids=lambda c: f"{ord(c):X}")
def test_half_a_surrogate_pair_is_named_and_never_printed(char: str) -> None:
    with pytest.raises(TextError) as caught:
        checked_lines(f"Rye{char}")

    message = str(caught.value)
    assert message == (
        f"text line 1, character 4 is U+{ord(char):04X}, half a surrogate pair; leave it out"
    )
    assert message.encode("ascii")


@pytest.mark.parametrize("char", _DIRECTIONS, ids=lambda c: f"{ord(c):X}")
def test_direction_controls_are_refused(char: str) -> None:
    with pytest.raises(TextError) as caught:
        checked_lines(f"ab{char}c")

    assert str(caught.value) == (
        f"text line 1, character 3 is U+{ord(char):04X}, a direction control; leave it out"
    )


@pytest.mark.parametrize("char", [*"\u200e\u200f\u061c\u200b\u200c\u200d\u00ad\ufeff"])
def test_invisible_marks_are_allowed(char: str) -> None:
    assert len(checked_lines(f"a{char}b")) == 1


def test_text_of_the_most_letters_passes_and_one_more_is_refused() -> None:
    assert len(checked_lines("a" * MOST_LETTERS)[0]) == MOST_LETTERS

    with pytest.raises(TextError, match=rf"^text has {MOST_LETTERS + 1} letters; allowed 1 to "):
        checked_lines("a" * (MOST_LETTERS + 1))
    with pytest.raises(TextError, match=r"^text has 160001 characters; allowed 1 to 160000; "):
        checked_lines("\u0301" * 160_001)


@pytest.mark.parametrize(
    ("letter", "blank"),
    [
        (" ", True),
        ("\u00a0", True),
        ("\u3000", True),
        ("\u200d", True),
        ("\u3164", True),
        ("\u2800", True),
        (" \ufe0f", True),
        ("\ufe00", True),
        ("\ufe10", False),
        ("\U000e0100\U000e01ef", True),
        ("\U000e01f0", False),
        ("a", False),
        ("\u0301", False),
        (" \u0301", False),
        ("a\u200d", False),
        (".", False),
    ],
)
def test_letters_without_ink_are_blank(letter: str, blank: bool) -> None:
    assert is_blank(letter) is blank


@pytest.mark.parametrize(
    ("letter", "name"),
    [
        ("\u0142", "'\u0142' (U+0142)"),
        ("e\u0301", "'e\u0301' (U+0065 U+0301)"),
        ("\u200d", "U+200D"),
        ("\U0001f956", "'\U0001f956' (U+1F956)"),
    ],
)
def test_a_letter_is_named_by_its_code_points(letter: str, name: str) -> None:
    assert named(letter) == name


@pytest.mark.parametrize(
    ("line", "place", "shown"),
    [
        ("Rye", 2, "'Rye'"),
        ("a" * 50 + "Z", 51, "'..." + "a" * 20 + "Z'"),
        ("Z" + "a" * 50, 1, "'Z" + "a" * 20 + "...'"),
        ("a\u2028b", 1, r"'a\u2028b'"),
    ],
)
def test_long_lines_are_quoted_around_the_place(line: str, place: int, shown: str) -> None:
    assert quoted(line, place) == shown
