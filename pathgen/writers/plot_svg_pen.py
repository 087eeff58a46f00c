"""The pens that the plot is drawn with: the only file that uses svgwrite, for the page itself.

Elements are plain SVG 1.1. Page units are mm on paper, y down. Texts are freed of what XML
cannot hold (XML 1.0, section 2.2).
"""

import re
from collections.abc import Iterable
from functools import lru_cache
from typing import Any
from xml.etree import ElementTree

import svgwrite

from pathgen.writers.plot_element import SvgElement, SvgFragment

__all__ = [
    "Element",
    "circle",
    "copy_of",
    "document",
    "fragment",
    "group",
    "path",
    "rectangle",
    "sheet",
    "short",
    "short4",
    "window",
    "words",
    "written",
    "xml_text",
]

Element = SvgElement
"""What the pens make."""

_NOT_XML = re.compile("[\0-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")

_TURNING = re.compile("[\u202a-\u202e\u2066-\u2069]")
"""Signs that make what follows read the other way (Unicode UAX #9): no use on a plot."""


def short(value: float) -> str:
    """A number for an attribute: at most three decimals, no trailing zeros, no minus zero."""
    text = f"{value:.3f}".rstrip("0").removesuffix(".")
    return text if text != "-0" else "0"


def short4(value: float) -> str:
    """Four decimals at most: line widths inside an enlarged group are small."""
    return f"{value:.4f}".rstrip("0").rstrip(".")


@lru_cache(maxsize=1024)
def xml_text(text: str) -> str:
    """Text that XML can hold, on one line: what it cannot hold becomes U+FFFD."""
    return " ".join(_NOT_XML.sub("\ufffd", _TURNING.sub("", text)).split())


def _look(look: dict[str, str | float]) -> dict[str, str]:
    """Attributes as text; underscores in names stand for hyphens."""
    return {
        k.replace("_", "-"): short(v) if isinstance(v, float) else str(v) for k, v in look.items()
    }


class Page:
    """A page that elements are put on."""

    def __init__(self, drawing: Any) -> None:
        self._drawing = drawing
        self._inner: list[Element] = []

    def add(self, element: Element) -> None:
        """Put an element on top of those that are there."""
        self._inner.append(element)

    def written(self) -> str:
        """The page as an XML document."""
        root = self._drawing.get_xml()
        # svgwrite declares a namespace that the DTD of SVG 1.1 does not know and nothing uses.
        root.attrib.pop("xmlns:ev", None)
        frame = ElementTree.tostring(root, encoding="unicode")
        out = ['<?xml version="1.0" encoding="UTF-8"?>\n', frame.removesuffix("</svg>")]
        for element in self._inner:
            element.write(out)
        return "".join([*out, "</svg>\n"])


def sheet(width_mm: float, height_mm: float, title: str, about: str) -> Page:
    """An empty page in real size, 1 user unit = 1 mm."""
    page = svgwrite.Drawing(
        size=(f"{short(width_mm)}mm", f"{short(height_mm)}mm"), debug=False, profile="full"
    )
    page["viewBox"] = f"0 0 {short(width_mm)} {short(height_mm)}"
    page["font-family"] = "sans-serif"
    page.set_desc(title=xml_text(title), desc=xml_text(about))
    return Page(page)


def document(page: Page) -> str:
    """The finished page as an XML document."""
    return page.written()


def written(elements: Iterable[Element]) -> str:
    """The text of elements, to be kept and put on pages as a `fragment`."""
    out: list[str] = []
    for element in elements:
        element.write(out)
    return "".join(out)


def fragment(text: str) -> Element:
    """Elements without ids that were `written` before."""
    return SvgFragment(text)


def group(name: str, title: str, **look: str | float) -> Element:
    """A group with an id (left out when empty) and a title that pointing devices show."""
    return SvgElement("g", {**_look(look), "id": name}, title=xml_text(title))


def path(data: str, name: str = "", **look: str | float) -> Element:
    """A path from path data that is known to be right."""
    return SvgElement("path", {**_look(look), "d": data, "id": name})


def copy_of(name: str, **look: str | float) -> Element:
    """The element of that id drawn once more; it takes its look from the group around."""
    return SvgElement("use", {"xlink:href": f"#{name}", **_look(look)})


def rectangle(x: float, y: float, width: float, height: float, **look: str | float) -> Element:
    """An upright rectangle."""
    place = {"x": short(x), "y": short(y), "width": short(width), "height": short(height)}
    return SvgElement("rect", {**place, **_look(look)})


def window(name: str, left: float, top: float, right: float, foot: float) -> Element:
    """A box that a group may be cut to, by ``clip-path``."""
    out = SvgElement("clipPath", {"id": name})
    out.add(rectangle(left, top, right - left, foot - top))
    return out


def circle(x: float, y: float, radius: float, **look: str | float) -> Element:
    """A circle."""
    place = {"cx": short(x), "cy": short(y), "r": short(radius)}
    return SvgElement("circle", {**place, **_look(look)})


def words(text: str, x: float, y: float, size: float, **look: str | float) -> Element:
    """One line of text, its baseline starting (or ending, or centred) at a point."""
    place = {"x": short(x), "y": short(y), "font-size": short(size)}
    return SvgElement("text", {**place, **_look(look)}, text=xml_text(text))
