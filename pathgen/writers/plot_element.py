"""An SVG element that is written straight away as text.

A plot has hundreds of elements; through a tree of general ones, each checked and copied twice,
they would take longer than planning the lettering. What is written is the same. Most elements are
alike but for a few values, so what does not change of them is put together once.
"""

import re
from collections.abc import Iterable

__all__ = ["SvgElement", "SvgFragment", "escaped", "opened"]

_OF_IDS = re.compile(' (?:id="|xlink:href="#|clip-path="url\\(#)')
"""What stands before an id, in attributes."""

_IN_TEXT = re.compile("[&<>]")
_IN_ATTRIBUTE = re.compile('[&<>"\r\n\t]')
_ESCAPED = {
    "&": "&amp;",
    "<": "&lt;",
    ">": "&gt;",
    '"': "&quot;",
    "\r": "&#13;",
    "\n": "&#10;",
    "\t": "&#09;",
}


class SvgElement:
    """An element with a title and elements in it.

    Parameters
    ----------
    tag : str
        Its name.
    start : str
        Its text up to its attributes, as `opened` gives it.
    title : str
        What pointing devices show, without signs that mean something in XML; empty for none.
    """

    __slots__ = ("_inner", "_start", "_tag", "_title")

    def __init__(self, tag: str, start: str, title: str = "") -> None:
        self._tag = tag
        self._start = start
        self._title = title
        self._inner: list[SvgElement] = []

    def add(self, element: "SvgElement") -> "SvgElement":
        """Put another element into it, after those that it has."""
        self._inner.append(element)
        return element

    def move(self, x: str, y: str) -> None:
        """Put its origin at a point."""
        self._start += f' transform="translate({x} {y})"'

    def renamed(self, prefix: str) -> "SvgElement":
        """Begin its id, those in it, and references to ids with a prefix.

        So that two drawings of one kind can stand in one document.
        """
        self._start = _OF_IDS.sub(rf"\g<0>{prefix}", self._start)
        for element in self._inner:
            element.renamed(prefix)
        return self

    def write(self, out: list[str]) -> None:
        """Append its text, piece by piece."""
        if not (self._inner or self._title):
            out += self._start, " />"
            return
        out += self._start, f"><title>{self._title}</title>" if self._title else ">"
        for element in self._inner:
            element.write(out)
        out.append(f"</{self._tag}>")


class SvgFragment(SvgElement):
    """Elements that were written before; none of them has an id.

    Parameters
    ----------
    written : str
        Their text, whole or in pieces: long texts that are kept need not be copied for it.
    """

    __slots__ = ("_written",)

    def __init__(self, *written: str) -> None:
        self._written = written

    def renamed(self, prefix: str) -> SvgElement:
        """Itself."""
        return self

    def write(self, out: list[str]) -> None:
        """Append the text as it is."""
        out += self._written


def opened(tag: str, look: Iterable[tuple[str, str]], slots: tuple[str, ...] = ()) -> str:
    """An element up to its attributes, by name; where there are slots, a form to be filled.

    Parameters
    ----------
    tag : str
        Its name.
    look : pairs of str
        Attributes that are known, and their values; empty ones are left out.
    slots : tuple of str
        Attributes whose values are filled in, in the order of their names.
    """
    values = [(name, _in_attribute(value)) for name, value in look if value]
    if slots:
        values = [(name, value.replace("%", "%%")) for name, value in values]
        values += [(name, "%s") for name in slots]
    return f"<{tag}" + "".join(f' {name}="{value}"' for name, value in sorted(values))


def escaped(text: str) -> str:
    """Text without the signs that mean something in XML (XML 1.0, section 2.4)."""
    return _IN_TEXT.sub(_reference, text) if _IN_TEXT.search(text) else text


def _in_attribute(value: str) -> str:
    """The same for the value of an attribute."""
    return _IN_ATTRIBUTE.sub(_reference, value) if _IN_ATTRIBUTE.search(value) else value


def _reference(sign: re.Match[str]) -> str:
    return _ESCAPED[sign[0]]
