"""Plans whose plots are looked at, and how a plot is read back."""

import math
import re
from typing import NamedTuple

from lxml import etree
from plan_specimen import specimen

from pathgen.model import Finding, Level, Plan
from pathgen.needles import needle_table
from pathgen.pipeline import plan
from pathgen.writers.plot_page import text_width
from pathgen.writers.plot_svg import plot_sheets, plot_svg

NS = {"s": "http://www.w3.org/2000/svg"}


AWKWARD = "<b>&\"'\x00\x1b\u202e]]>港\U0001f9f5"


CASES = [
    "harbour bakery",
    "one letter",
    "fourteen letters",
    "three lines",
    "sixty letters",
    "arc",
    "tall",
    "huge",
    "awkward text",
    "nothing",
    "many findings",
]


def case(name: str) -> Plan:
    """Plans of every extent, made on demand."""
    return {
        "harbour bakery": lambda: plan("Harbour Bakery", height_mm=5.0),
        "one letter": lambda: specimen(("O",)),
        "fourteen letters": lambda: specimen(("TITOTIT OTTOIT",)),
        "three lines": lambda: specimen(("TITO OTTO", "IOTIOTTTO", "OTTI")),
        "sixty letters": lambda: specimen(("TITO" * 15,)),
        "arc": lambda: specimen(("TITO",), arc_mm=30.0),
        "tall": lambda: specimen(("TIO",), height_mm=60.0),
        "huge": lambda: specimen(("TITO" * 15,), height_mm=60.0),
        "awkward text": lambda: specimen((AWKWARD,), written=dict.fromkeys(AWKWARD, AWKWARD)),
        "nothing": nothing,
        "many findings": lambda: specimen(("TITO",), findings=many_findings(30)),
    }[name]()


def nothing() -> Plan:
    """A plan of a space: no letters, needles or findings."""
    full = specimen(("I",), findings=())
    whole = full.whole
    return Plan(
        lines=(" ",),
        face=full.face,
        settings=full.settings,
        letters=(),
        needles=needle_table(0),
        counts=(whole,),
        findings=(),
        sew_s=0.0,
    )


def many_findings(kinds: int) -> list[Finding]:
    """Findings of many codes, some with figures that are no numbers."""
    return [
        Finding(
            code=f"kind-{k}",
            level=Level(2 - k * 3 // kinds),
            at_mm=(1.0 + k % 5, 2.0),
            line=1,
            letter=1 + k % 4,
            measured=math.nan if k == 3 else 0.1 * k,
            limit=1.0,
            unit="" if k % 2 else "mm",
            advice="a piece of advice that goes on for long enough to need a second line" * (k % 3),
        )
        for k in range(kinds)
    ]


def tree_of(plan: Plan) -> etree._Element:
    """The plot, parsed."""
    return etree.fromstring(plot_svg(plan).encode("utf-8"))


def sheets_of(plan: Plan, size: str) -> list[etree._Element]:
    """The plot on sheets of a size, parsed."""
    return [etree.fromstring(plot.encode("utf-8")) for plot in plot_sheets(plan, size)]


class Window(NamedTuple):
    """What the page shows of the lettering in one place: a box on paper, and the way to it."""

    left: float
    top: float
    right: float
    foot: float
    x: float
    y: float
    scale: int

    def place(self, x_mm: float, y_mm: float) -> tuple[float, float]:
        """Where a place of the plan would lie on paper."""
        return self.x + x_mm * self.scale, self.y - y_mm * self.scale

    def shows(self, x: float, y: float) -> bool:
        """Whether a place on paper lies in the window."""
        return self.left <= x <= self.right and self.top <= y <= self.foot


def windows(tree: etree._Element) -> list[Window]:
    """The windows on the lettering; the whole page where it stands in one piece."""
    lettering = tree.find(".//s:g[@id='lettering']", NS).get("transform")
    x, y, scale = map(float, re.findall(r"-?[\d.]+", lettering))
    parts = [g for g in tree.iterfind("s:g", NS) if (g.get("id") or "").startswith("stretch-")]
    if not parts:
        width, height = map(float, tree.get("viewBox").split()[2:])
        return [Window(0.0, 0.0, width, height, x, y, int(scale))]
    out = []
    for part in parts:
        name = re.fullmatch(r"url\(#(.*)\)", part.get("clip-path"))[1]
        box = tree.find(f".//s:clipPath[@id='{name}']/s:rect", NS)
        left, top, wide, high = (float(box.get(k)) for k in ("x", "y", "width", "height"))
        copy = part.find("s:use", NS)
        moved = re.findall(r"-?[\d.]+", copy.get("transform")) if copy is not None else (0, 0)
        here = (x + float(moved[0]), y + float(moved[1]))
        out.append(Window(left, top, left + wide, top + high, *here, int(scale)))
    return out


def text_boxes(tree: etree._Element, group: str) -> list[tuple[float, float, float, float]]:
    """Left, top, right and foot of each line of text in a group; turned ones left out."""
    boxes = []
    for text in tree.iterfind(f".//s:g[@id='{group}']//s:text", NS):
        x, y, size = (float(text.get(k)) for k in ("x", "y", "font-size"))
        wide = text_width(text.text or "", size)
        anchor = text.get("text-anchor") or text.getparent().getparent().get("text-anchor")
        start = x - {"middle": wide / 2, "end": wide}.get(anchor, 0.0)
        if "rotate" not in (text.get("transform") or ""):
            boxes.append((start, y - 0.75 * size, start + wide, y + 0.2 * size))
    return boxes
