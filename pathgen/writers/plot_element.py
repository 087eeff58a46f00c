"""An SVG element that is written straight away as text.

A plot has hundreds of elements; through a tree of general ones, each checked and copied twice,
they would take longer than planning the lettering. What is written is the same.
"""

import re

__all__ = ["SvgElement", "SvgFragment"]

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
    look : dict of str to str
        Attributes.
    text : str
        What stands in it.
    title : str
        What pointing devices show; empty for none.
    """

    __slots__ = ("_inner", "_look", "_tag", "_text", "_title")

    def __init__(self, tag: str, look: dict[str, str], text: str = "", title: str = "") -> None:
        self._tag = tag
        self._look = look
        self._text = text
        self._title = title
        self._inner: list[SvgElement] = []

    def __setitem__(self, name: str, value: str) -> None:
        """Set an attribute."""
        self._look[name] = value

    def __getitem__(self, name: str) -> str:
        """Value of an attribute."""
        return self._look[name]

    def update(self, look: dict[str, str]) -> None:
        """Set several attributes."""
        for name, value in look.items():
            self._look[name.replace("_", "-")] = value

    def add(self, element: "SvgElement") -> "SvgElement":
        """Put another element into it, after those that it has."""
        self._inner.append(element)
        return element

    def renamed(self, prefix: str) -> "SvgElement":
        """Begin its id, those in it, and references to ids with a prefix.

        So that two drawings of one kind can stand in one document.
        """
        for name in ("id", "xlink:href", "clip-path"):
            value = self._look.get(name, "")
            if value:
                hash_at = value.find("#") + 1
                self._look[name] = value[:hash_at] + prefix + value[hash_at:]
        for element in self._inner:
            element.renamed(prefix)
        return self

    def write(self, out: list[str]) -> None:
        """Append its text, piece by piece; attributes by name, empty ones left out."""
        values = self._look
        if _IN_ATTRIBUTE.search("".join(values.values())):
            values = {name: _escaped(_IN_ATTRIBUTE, value) for name, value in values.items()}
        look = "".join([f' {name}="{value}"' for name, value in sorted(values.items()) if value])
        if not (self._inner or self._text or self._title):
            out.append(f"<{self._tag}{look} />")
            return
        out.append(f"<{self._tag}{look}>{_escaped(_IN_TEXT, self._text)}")
        if self._title:
            out.append(f"<title>{_escaped(_IN_TEXT, self._title)}</title>")
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

    __slots__ = ()

    def __init__(self, written: str) -> None:
        super().__init__("", {}, written)

    def write(self, out: list[str]) -> None:
        """Append the text as it is."""
        out.append(self._text)


def _escaped(signs: re.Pattern[str], text: str) -> str:
    """Text without the signs that mean something in XML (XML 1.0, section 2.4)."""
    return signs.sub(lambda sign: _ESCAPED[sign[0]], text) if signs.search(text) else text
