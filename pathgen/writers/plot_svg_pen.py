"""The pens that the plot is drawn with: the only file that uses svgwrite, for the page itself.

Elements are plain SVG 1.1. Page units are mm on paper, y down. Texts are freed of what XML
cannot hold (XML 1.0, section 2.2).
"""

import re
from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import chain
from xml.etree import ElementTree

import svgwrite

from pathgen.writers.plot_element import SvgElement, SvgFragment, escaped, opened

__all__ = [
    "Element",
    "Page",
    "circle",
    "circles",
    "copy_of",
    "document",
    "encoded",
    "filled",
    "form",
    "fragment",
    "group",
    "labels",
    "moved",
    "path",
    "rectangle",
    "sheet",
    "short",
    "short4",
    "shorts",
    "window",
    "words",
    "written",
    "xml_text",
]

Element = SvgElement
"""What the pens make."""

_NOT_XML = re.compile("[\0-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")

_HERE = "%"
"""Holds the place of a page's title and of its description."""

_TURNING = re.compile("[\u202a-\u202e\u2066-\u2069]")
"""Signs that make what follows read the other way (Unicode UAX #9): no use on a plot."""


def short(value: float) -> str:
    """A number for an attribute: at most three decimals, no trailing zeros, no minus zero."""
    text = f"{value:.3f}".rstrip("0").removesuffix(".")
    return text if text != "-0" else "0"


def shorts(*values: float) -> list[str]:
    """Several numbers, each as `short` writes it.

    Examples
    --------
    >>> shorts(1.5, -0.0001, 10.0)
    ['1.5', '0', '10']
    """
    text = "%.3f " * len(values) % values
    for _ in range(3):
        text = text.replace("0 ", " ")
    return text.replace(". ", " ").replace("-0 ", "0 ").split()


def short4(value: float) -> str:
    """Four decimals at most: line widths inside an enlarged group are small."""
    return f"{value:.4f}".rstrip("0").rstrip(".")


@lru_cache(maxsize=1024)
def xml_text(text: str) -> str:
    """Text that XML can hold, on one line: what it cannot hold becomes U+FFFD."""
    return " ".join(_NOT_XML.sub("\ufffd", _TURNING.sub("", text)).split())


class Page:
    """A page that elements are put on: what stands before them, and after."""

    def __init__(self, frame: str) -> None:
        self._frame = frame
        self._inner: list[Element] = []

    def add(self, element: Element) -> None:
        """Put an element on top of those that are there."""
        self._inner.append(element)

    def written(self) -> list[str]:
        """The page as an XML document, in pieces."""
        out = [self._frame]
        for element in self._inner:
            element.write(out)
        return [*out, "</svg>\n"]


def sheet(width_mm: float, height_mm: float, title: str, about: str) -> Page:
    """An empty page in real size, 1 user unit = 1 mm."""
    before, between, after = _frame(*shorts(width_mm, height_mm))
    told, described = escaped(xml_text(title)), escaped(xml_text(about))
    return Page(f"{before}{told}{between}{described}{after}")


@lru_cache(maxsize=64)
def _frame(width: str, height: str) -> tuple[str, ...]:
    """An empty page up to its title, from there to its description, and from there on."""
    page = svgwrite.Drawing(size=(f"{width}mm", f"{height}mm"), debug=False, profile="full")
    page["viewBox"] = f"0 0 {width} {height}"
    page["font-family"] = "sans-serif"
    page.set_desc(title=_HERE, desc=_HERE)
    root = page.get_xml()
    # svgwrite declares a namespace that the DTD of SVG 1.1 does not know and nothing uses.
    root.attrib.pop("xmlns:ev", None)
    frame = ElementTree.tostring(root, encoding="unicode").removesuffix("</svg>")
    return tuple(f'<?xml version="1.0" encoding="UTF-8"?>\n{frame}'.split(_HERE))


def document(page: Page) -> str:
    """The finished page as an XML document."""
    return "".join(page.written())


def encoded(page: Page) -> bytes:
    """The same in UTF-8: piece by piece, as few of them hold what is not ASCII."""
    return b"".join(map(str.encode, page.written()))


def written(elements: Iterable[Element]) -> str:
    """The text of elements, to be kept and put on pages as a `fragment`."""
    out: list[str] = []
    for element in elements:
        element.write(out)
    return "".join(out)


def filled(text: str, *values: str) -> Element:
    """Elements without ids that were `written` before, texts put where they have ``%s``."""
    return SvgFragment(text % tuple(escaped(xml_text(value)) for value in values))


def fragment(text: str) -> Element:
    """Elements without ids that were `written` before."""
    return SvgFragment(text)


def moved(texts: Sequence[str], places: Iterable[tuple[float, float]]) -> Element:
    """Elements that were `written` before, the origin of each text of them at its own point."""
    at = shorts(*chain.from_iterable(places))
    out: list[str] = []
    for x, y, text in zip(at[::2], at[1::2], texts, strict=True):
        out += f'<g transform="translate({x} {y})">', text, "</g>"
    return SvgFragment(*out)


def group(name: str, title: str, **look: str | float) -> Element:
    """A group with an id (left out when empty) and a title that pointing devices show."""
    start = _form("g", (), (*look.items(), ("id", name)))
    return SvgElement("g", start, escaped(xml_text(title)) if title else "")


def path(data: str, name: str = "", **look: str | float) -> Element:
    """A path from path data that is known to be right."""
    if name:
        start = _form("path", ("d",), (*look.items(), ("id", name)))
        return SvgElement("path", start % data)
    return SvgFragment(f"{_form('path', ('d',), tuple(look.items())) % data} />")


def copy_of(name: str, **look: str | float) -> Element:
    """The element of that id drawn once more; it takes its look from the group around."""
    return SvgElement("use", _form("use", (), (("xlink:href", f"#{name}"), *look.items())))


def rectangle(x: float, y: float, width: float, height: float, **look: str | float) -> Element:
    """An upright rectangle."""
    start = _form("rect", ("height", "width", "x", "y"), tuple(look.items()))
    return SvgFragment(f"{start % tuple(shorts(height, width, x, y))} />")


def window(name: str, left: float, top: float, right: float, foot: float) -> Element:
    """A box that a group may be cut to, by ``clip-path``."""
    out = SvgElement("clipPath", _form("clipPath", (), (("id", name),)))
    out.add(rectangle(left, top, right - left, foot - top))
    return out


def circle(x: float, y: float, radius: float, **look: str | float) -> Element:
    """A circle."""
    start = _form("circle", ("cx", "cy", "r"), tuple(look.items()))
    return SvgFragment(f"{start % tuple(shorts(x, y, radius))} />")


def circles(places: Sequence[Sequence[float]], radius: float) -> list[Element]:
    """Circles of one size."""
    start, wide = _form("circle", ("cx", "cy", "r"), ()), short(radius)
    at = shorts(*chain.from_iterable(places))
    return [
        SvgFragment(f"{start % (x, y, wide)} />") for x, y in zip(at[::2], at[1::2], strict=True)
    ]


def words(text: str, x: float, y: float, size: float, **look: str | float) -> Element:
    """One line of text, its baseline starting (or ending, or centred) at a point."""
    start = _form("text", ("font-size", "x", "y"), tuple(look.items()))
    said = escaped(xml_text(text))
    start %= tuple(shorts(size, x, y))
    return SvgFragment(f"{start}>{said}</text>" if said else f"{start} />")


def form(tag: str, slots: tuple[str, ...], text: str = "", **look: str | float) -> Element:
    """An element with a ``%s`` for the value of each slot, to be filled in when it is `written`.

    Slots stand in the order of their names.
    """
    start = _form(tag, slots, tuple(look.items()))
    return SvgFragment(f"{start}>{escaped(xml_text(text))}</{tag}>" if text else f"{start} />")


def labels(
    texts: Sequence[str], places: Sequence[tuple[float, float]], size: float, **look: str | float
) -> Element:
    """Lines of text of one size, each at its own point."""
    start = _form("text", ("font-size", "x", "y"), tuple(look.items())) + ">%s</text>"
    at, high = shorts(*chain.from_iterable(places)), short(size)
    said = [escaped(xml_text(text)) for text in texts]
    drawn = zip(at[::2], at[1::2], said, strict=True)
    return SvgFragment("".join([start % (high, *label) for label in drawn]))


@lru_cache(maxsize=2048)
def _form(tag: str, slots: tuple[str, ...], look: tuple[tuple[str, str | float], ...]) -> str:
    """An element up to its attributes, with places for the values of slots.

    Underscores in names of attributes stand for hyphens.
    """
    values = ((k.replace("_", "-"), short(v) if isinstance(v, float) else str(v)) for k, v in look)
    return opened(tag, values, slots)
