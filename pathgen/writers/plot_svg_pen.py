"""The pens that the plot is drawn with: the only file that uses svgwrite.

Elements are plain SVG 1.1. Page units are mm on paper, y down. Texts are freed of what XML
cannot hold (XML 1.0, section 2.2); svgwrite's serialiser escapes the rest.
"""

import re
from typing import Any
from xml.etree import ElementTree

import svgwrite
import svgwrite.container
import svgwrite.masking
import svgwrite.path
import svgwrite.shapes
import svgwrite.text

__all__ = [
    "Element",
    "circle",
    "copy_of",
    "document",
    "group",
    "path",
    "rectangle",
    "sheet",
    "short",
    "window",
    "words",
    "xml_text",
]

Element = Any
"""An svgwrite element; svgwrite ships no types."""

_NOT_XML = re.compile("[\0-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")

_TURNING = re.compile("[\u202a-\u202e\u2066-\u2069]")
"""Signs that make what follows read the other way (Unicode UAX #9): no use on a plot."""


def short(value: float) -> str:
    """A number for an attribute: at most three decimals, no trailing zeros, no minus zero."""
    text = f"{round(value, 3) + 0.0:.3f}".rstrip("0")
    return text.removesuffix(".")


def xml_text(text: str) -> str:
    """Text that XML can hold, on one line: what it cannot hold becomes U+FFFD."""
    return " ".join(_NOT_XML.sub("\ufffd", _TURNING.sub("", text)).split())


def _dressed(element: Element, look: dict[str, str | float]) -> Element:
    """An element with attributes; underscores in names stand for hyphens."""
    element.update({k: short(v) if isinstance(v, float) else v for k, v in look.items()})
    return element


def sheet(width_mm: float, height_mm: float, title: str, about: str) -> Element:
    """An empty page in real size, 1 user unit = 1 mm."""
    page = svgwrite.Drawing(
        size=(f"{short(width_mm)}mm", f"{short(height_mm)}mm"), debug=False, profile="full"
    )
    page["viewBox"] = f"0 0 {short(width_mm)} {short(height_mm)}"
    page["font-family"] = "sans-serif"
    page.set_desc(title=xml_text(title), desc=xml_text(about))
    return page


def document(page: Element) -> str:
    """The finished page as an XML document."""
    root = page.get_xml()
    # svgwrite declares a namespace that the SVG 1.1 DTD does not know and the plot does not use.
    root.attrib.pop("xmlns:ev", None)
    body = ElementTree.tostring(root, encoding="unicode")
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{body}\n'


def group(name: str, title: str, **look: str | float) -> Element:
    """A group with an id (left out when empty) and a title that pointing devices show."""
    out = _dressed(svgwrite.container.Group(debug=False), look)
    if name:
        out["id"] = name
    if title:
        out.set_desc(title=xml_text(title))
    return out


def path(data: str, name: str = "", **look: str | float) -> Element:
    """A path from path data that is known to be right."""
    out = _dressed(svgwrite.path.Path(debug=False), look)
    out.push(data)
    if name:
        out["id"] = name
    return out


def copy_of(name: str, **look: str | float) -> Element:
    """The element of that id drawn once more; it takes its look from the group around."""
    out = svgwrite.container.Use(f"#{name}", debug=False)
    return _dressed(out, look)


def rectangle(x: float, y: float, width: float, height: float, **look: str | float) -> Element:
    """An upright rectangle."""
    out = svgwrite.shapes.Rect((short(x), short(y)), (short(width), short(height)), debug=False)
    return _dressed(out, look)


def window(name: str, left: float, top: float, right: float, foot: float) -> Element:
    """A box that a group may be cut to, by ``clip-path``."""
    out = svgwrite.masking.ClipPath(id=name, debug=False)
    out.add(rectangle(left, top, right - left, foot - top))
    return out


def circle(x: float, y: float, radius: float, **look: str | float) -> Element:
    """A circle."""
    out = svgwrite.shapes.Circle((short(x), short(y)), short(radius), debug=False)
    return _dressed(out, look)


def words(text: str, x: float, y: float, size: float, **look: str | float) -> Element:
    """One line of text, its baseline starting (or ending, or centred) at a point."""
    out = svgwrite.text.Text(xml_text(text), insert=(short(x), short(y)), debug=False)
    out["font-size"] = short(size)
    return _dressed(out, look)
