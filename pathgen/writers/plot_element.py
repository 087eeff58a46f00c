"""An SVG element that is written straight away as text.

A plot has hundreds of elements; through a tree of general ones, each checked and copied twice,
they would take longer than planning the lettering. What is written is the same. Most elements are
alike but for a few values, so what does not change of them is put together once.
"""

import re
from functools import lru_cache

__all__ = ["Look", "SvgElement", "SvgFragment", "escaped", "opened"]

Look = tuple[tuple[str, str], ...]
"""Attributes with their values; empty ones are left out."""

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
    """An element with attributes, a title, a text and elements in it.

    Parameters
    ----------
    tag : str
        Its name.
    look : Look
        Attributes.
    data : str
        Path data, known to be right; empty for none.
    title : str
        What pointing devices show; empty for none.
    """

    __slots__ = ("_data", "_inner", "_look", "_tag", "_title")

    def __init__(self, tag: str, look: Look, data: str = "", title: str = "") -> None:
        self._tag = tag
        self._look = look
        self._data = data
        self._title = title
        self._inner: list[SvgElement] = []

    def __setitem__(self, name: str, value: str) -> None:
        """Set an attribute."""
        self._look = (*(item for item in self._look if item[0] != name), (name, value))

    def add(self, element: "SvgElement") -> "SvgElement":
        """Put another element into it, after those that it has."""
        self._inner.append(element)
        return element

    def renamed(self, prefix: str) -> "SvgElement":
        """Begin its id, those in it, and references to ids with a prefix.

        So that two drawings of one kind can stand in one document.
        """
        for name, value in self._look:
            if value and name in ("id", "xlink:href", "clip-path"):
                hash_at = value.find("#") + 1
                self[name] = value[:hash_at] + prefix + value[hash_at:]
        for element in self._inner:
            element.renamed(prefix)
        return self

    def write(self, out: list[str]) -> None:
        """Append its text, piece by piece; attributes by name, empty ones left out."""
        start = opened(self._tag, self._look, ("d",) if self._data else ())
        out.append(start % self._data if self._data else start)
        if not (self._inner or self._title):
            out.append(" />")
            return
        out.append(f"><title>{escaped(self._title)}</title>" if self._title else ">")
        for element in self._inner:
            element.write(out)
        out.append(f"</{self._tag}>")


class SvgFragment(SvgElement):
    """Elements that were written before; none of them has an id.

    Parameters
    ----------
    written : str
        Their text.
    """

    __slots__ = ("_written",)

    def __init__(self, written: str) -> None:
        self._written = written

    def renamed(self, prefix: str) -> SvgElement:
        """Itself."""
        return self

    def write(self, out: list[str]) -> None:
        """Append the text as it is."""
        out.append(self._written)


@lru_cache(maxsize=2048)
def opened(tag: str, look: Look, slots: tuple[str, ...] = ()) -> str:
    """An element up to its attributes, by name; where there are slots, a form to be filled.

    Parameters
    ----------
    tag : str
        Its name.
    look : Look
        Attributes that are known.
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
