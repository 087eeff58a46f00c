"""Outside check: the ``regex`` package's ``\\X``, an independent reading of UAX 29."""

import unicodedata

import pytest
import regex
from hypothesis import given
from hypothesis import strategies as st

from pathgen.lettering.graphemes import letters

_CLUSTER = regex.compile(r"\X")

_TAGS = range(0xE0000, 0xE0200)

_SCRIPTS = {
    "Latin": "Harbour Bakery & Sons, est. 1921",
    "Latin with marks": "Ma\u0142a\u0301 ka\u0328\u0301wa e\u0302\u0323 na\u00efve",
    "Greek": "\u0391\u0301\u03c1\u03c4\u03bf\u03c2 \u1fb7\u0345",
    "Cyrillic": "\u0411\u0443\u043b\u043e\u0447\u043d\u0430\u044f \u0438\u0306\u0304",
    "Hebrew with points": "\u05e9\u05b8\u05c1\u05dc\u05d5\u05b9\u05dd",
    "Arabic with points": "\u0645\u064e\u062e\u0652\u0628\u064e\u0632\u064c \u0644\u0627",
    "Devanagari": "\u0915\u094d\u0937\u0947\u0924\u094d\u0930 \u0939\u093f\u0928\u094d\u0926\u0940",
    "Devanagari held apart": "\u0915\u094d\u200c\u0937 \u0915\u094d\u200d\u0937",
    "Bengali": "\u09ac\u09be\u0982\u09b2\u09be \u0995\u09cd\u09b7",
    "Tamil": "\u0ba4\u0bae\u0bbf\u0bb4\u0bcd \u0b95\u0bcd\u0bb7",
    "Malayalam": "\u0d2e\u0d32\u0d2f\u0d3e\u0d33\u0d02 \u0d28\u0d4d\u0d24",
    "Thai": "\u0e01\u0e33\u0e44\u0e23 \u0e19\u0e49\u0e33",
    "Lao": "\u0e99\u0ec9\u0eb3",
    "Myanmar": "\u1019\u103c\u1014\u103a\u1019\u102c",
    "Hangul syllables": "\ud55c\uad6d\uc5b4 \uac00\u11a8",
    "Hangul jamo": "\u1112\u1161\u11ab\u1100\u1173\u11af \u1100\u1100\u1161",
    "Kana": "\u304b\u3099\u304d\u309a \uff76\uff9e\uff8a\uff9f",
    "Han": "\u6e2f\u753a \u845b\U000e0100\u57ce",
    "flags": "\U0001f1f3\U0001f1f4\U0001f1eb\U0001f1ee \U0001f1f3\U0001f1f4\U0001f1eb",
    "flag of a region": "\U0001f3f4\U000e0067\U000e0062\U000e0077\U000e006c\U000e0073\U000e007f!",
    "family": "\U0001f468\u200d\U0001f469\u200d\U0001f467\u200d\U0001f466x",
    "skin tones": "\U0001f44b\U0001f3fd\U0001f44b \U0001f469\U0001f3fd\u200d\U0001f373",
    "nodding head": "\U0001f642\u200d\u2194\ufe0f\u2764\ufe0f\u200d\U0001f525",
    "key cap": "1\ufe0f\u20e3#\ufe0f\u20e3",
    "format signs": "a\u00ad\u0301b\u200b\u0301c\u200e\u0301\ufeff",
    "joiner between letters": "a\u200db a\u200d\U0001f469",
    "joiner after a picture and a mark": "\U0001f469\u0301\u200d\U0001f469",
    "joiner after a picture and a spacing mark": "\U0001f469\u093e\u200d\U0001f469",
    "mark first": "\u0301a",
    "line ends": "a\r\nb\r\rc\n\u0301",
    "nothing": "",
}

_SIGNS = [
    *"abeo \u00e9\u0142.1",
    *"\u0301\u0323\u0328\ufe0f\u20e3\u0345",
    *"\u200d\u200c\u00ad\u200e",
    *"\u1100\u1112\u1161\u11a8\uac00\uac01\ud55c\ua960\ud7b0\ud7cb",
    *"\U0001f1f3\U0001f1f4\U0001f1eb\U0001f469\U0001f3fd\U0001f373\u2764\u2194\U000e0067\U000e007f",
    *"\u0915\u0937\u093e\u093c\u0bcd",
    *"\u05e9\u05c1\u0628\u064e\u0e01\u0e33\uff76\uff9e\u1019\u102c",
]


@pytest.mark.parametrize("text", _SCRIPTS.values(), ids=_SCRIPTS.keys())
def test_letters_of_many_scripts_are_the_clusters_of_uax_29(text: str) -> None:
    assert letters(text) == tuple(_CLUSTER.findall(text))


@given(st.lists(st.sampled_from(_SIGNS), max_size=12).map("".join))
def test_letters_of_any_mixture_are_the_clusters_of_uax_29(text: str) -> None:
    assert letters(text) == tuple(_CLUSTER.findall(text))


@given(st.text(st.characters(exclude_categories=["Cs"]), max_size=20))
def test_letters_together_are_the_line(text: str) -> None:
    found = letters(text)

    assert "".join(found) == text
    assert all(found)


def test_every_assigned_character_joins_its_neighbours_as_in_uax_29() -> None:
    """But for the few prepended marks (GB9b), which are a documented limit."""
    prepended = regex.compile(r"\p{Grapheme_Cluster_Break=Prepend}")
    wrong = []
    for code in (*range(0x3400), *range(0xA000, 0x17000), *range(0x1D000, 0x1FC00), *_TAGS):
        char = chr(code)
        if unicodedata.category(char) in ("Cn", "Co", "Cs") or prepended.match(char):
            continue
        text = f"x{char}\u0301x{char}x\u1100{char}\u11a8x\u1161{char}"
        if letters(text) != tuple(_CLUSTER.findall(text)):
            wrong.append(f"{code:04X}")

    assert wrong == []
