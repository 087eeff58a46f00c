"""Whatever is given as a text, it is planned or refused in one line, and no file runs anything.

A face that draws every character of Unicode as a box lets any text reach the files.
"""

import io
import json
import struct
import sys
import unicodedata

import pytest
from fontTools.ttLib import TTFont
from hypothesis import example, given
from hypothesis import strategies as st
from lxml import etree
from made_fonts import LETTERS, box, made_font, saved, without
from odd_outlines import font_data
from odd_tables import raw
from rfc4180 import rows_of

from pathgen import plan
from pathgen.errors import PathgenError, TextError
from pathgen.pipeline import plan_files

PLANES = [(plane << 16, (plane << 16) + 0xFFFF) for plane in range(17)]
HOSTILE = [
    '<script>alert("1")</script>',
    "]]><!-- --><svg onload=alert(1)>",
    '<!DOCTYPE a [<!ENTITY b SYSTEM "file:///etc/passwd">]><a>&b;</a>',
    "&lt;&#60;&amp;&unknown;",
    '"><image href="http://example.org/a.png"/>',
    "javascript:alert(1)",
    '=HYPERLINK("http://example.org")',
    "@SUM(1+1)*cmd|' /C calc'!A0",
    "\u200f\u05d0\u200e\u061c",
    "a\u0301\u0302\u0303",
    "\U0001f468\u200d\U0001f469\u200d\U0001f467",
    "\ufffe\uffff\ufdd0",
]


@pytest.fixture(scope="module")
def any_face(tmp_path_factory):
    """A face with a box for every character: its map is of format 13, many to one."""
    font = without(TTFont(io.BytesIO(font_data(made_font({**LETTERS, "H": box})))))
    group = struct.pack(">HHIIIIII", 13, 0, 28, 0, 1, 0, 0x10FFFF, 2)
    font["cmap"] = raw("cmap", struct.pack(">HHHHI", 0, 1, 3, 10, 12) + group)
    return saved(font, tmp_path_factory.mktemp("any") / "any.ttf")


def check_inert(files):
    """Well-formed SVG without anything that acts or is fetched; CSV after its grammar."""
    for name, data in files.items():
        if name.endswith(".svg"):
            parser = etree.XMLParser(resolve_entities=False, no_network=True, load_dtd=False)
            root = etree.fromstring(data, parser)
            assert root.getroottree().docinfo.doctype == ""
            for element in root.iter():
                assert isinstance(element.tag, str)
                assert etree.QName(element).localname not in (
                    "script",
                    "foreignObject",
                    "image",
                    "a",
                )
                for key, value in element.attrib.items():
                    assert not etree.QName(key).localname.startswith("on")
                    assert "url(http" not in value
                    assert not key.endswith("href") or value.startswith("#")
        elif name.endswith(".csv"):
            head, *rows = rows_of(data)
            texts = [row[head.index("text")] for row in rows] if "text" in head else []
            assert not [t for t in texts if t.startswith(("=", "+", "-", "@", "\t", "\r"))]


def files_or_refusal(text, face):
    """Files of a plan, or the one line that refuses it."""
    try:
        return plan_files(plan(text, face=face), "any")
    except PathgenError as error:
        message = str(error)
        assert len(message.splitlines()) == 1
        assert message.encode("utf-8")
        assert len(message) < 400
        return None


@given(data=st.data())
def test_text_of_any_plane_is_planned_or_refused_and_inert(data, any_face):
    first, last = data.draw(st.sampled_from(PLANES))
    signs = st.characters(min_codepoint=first, max_codepoint=last)
    text = data.draw(st.text(signs, max_size=6))

    files = files_or_refusal(text, any_face)

    if files is not None:
        check_inert(files)


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_is_inert_in_every_file(text, any_face):
    files = files_or_refusal(text, any_face)

    assert files is not None
    check_inert(files)


def test_what_would_be_found_is_found():
    """The check itself: a handler, a script, a link and a formula fail it."""
    svg = '<svg xmlns="http://www.w3.org/2000/svg">{}</svg>'
    for bad in ("<g onload='1'/>", "<script/>", "<use href='http://example.org/a'/>"):
        with pytest.raises(AssertionError):
            check_inert({"a.svg": svg.format(bad).encode()})
    with pytest.raises(AssertionError):
        check_inert({"a.csv": b"text\r\n=1+1\r\n"})
    check_inert({"a.svg": svg.format("<g/>").encode(), "a.csv": b"text\r\n'=1+1\r\n"})


@given(
    text=st.text(
        st.characters(categories=["Cs", "Cc", "Cf", "Zs", "Zl", "Zp", "Mn", "Me"]), max_size=9
    )
)
@example(text="\0")
@example(text="\ud800")
@example(text=" " * 50)
@example(text="\u202e")
def test_text_of_unseen_signs_is_refused_or_blank(text, any_face):
    files_or_refusal(text, any_face)


@pytest.mark.parametrize("char", [c for c in map(chr, range(0x20)) if c not in "\n\r"])
def test_a_control_character_is_never_printed(char, any_face):
    with pytest.raises(TextError) as caught:
        plan(f"a{char}", face=any_face)

    assert char not in str(caught.value)
    assert unicodedata.category(char) == "Cc"


LONG = {
    "100,000 letters": ["H" * 100_000],
    "200,000 marks": ["a" + "\u0301" * 200_000],
    "letters with 31 marks each": [("a" + "\u0301" * 31) * 20],
    "200 lines of spaces": [" " * 200 + "\n"] * 200,
    "a letter after 5,000 empty lines": ["\n" * 5000 + "H"],
    "a letter after 400 empty lines": ["\n" * 400 + "H"],
    "10,000 spaces": ["a" + " " * 10_000 + "b"],
    "10,000 joiners": ["a" + "\u200d" * 10_000 + "b"],
    "emoji": ["\U0001f956\U0001f9c1" * 20],
    "brackets in brackets": ["(" * 150 + "\u05d0" + ")" * 150],
    "right to left and back": ["\u05d0a" * 150],
    "flags": ["\U0001f1e9" * 5000],
    "NUL": ["a\0b"],
    "half a pair": ["a\ud83d"],
    "line of direction controls": ["\u202e" * 1000],
}


@pytest.fixture(scope="module")
def ends(tmp_path_factory):
    if sys.platform == "win32":
        pytest.skip("processes are bounded by POSIX means")
    from bounded_runs import bounded_runs
    from outside import font_file

    home = tmp_path_factory.mktemp("long")
    cases = {
        name: [
            "plot",
            "--face",
            str(font_file("DejaVuSans.ttf")),
            "--json",
            "--out",
            str(n),
            *texts,
        ]
        for n, (name, texts) in enumerate(LONG.items())
    }
    return bounded_runs(cases, home), home


@pytest.mark.parametrize("name", LONG)
def test_long_and_odd_texts_end_soon(name, ends):
    found, home = ends
    end = found[name]

    assert end.cpu_s < 5.0
    if end.code == 0:
        assert json.loads(end.out)["stitches"] > 0
    else:
        assert (end.code, end.out, end.err.count("\n")) == (1, "", 1)
        assert len(end.err) < 400
        assert not (home / str(list(LONG).index(name))).exists()
