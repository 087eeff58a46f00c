"""Several ways to sew one text on one page: each enlarged and at true size, and their table.

All ways are drawn at one scale, so that what is larger on paper is larger on cloth.
"""

from collections.abc import Sequence
from typing import NamedTuple

from pathgen.writers.compare_rows import Row, Way, conclusion, outcome_rows, settings_rows
from pathgen.writers.plot_layers import enlarged, true_size
from pathgen.writers.plot_notes import caution, caution_height
from pathgen.writers.plot_page import (
    SCALES,
    SHEETS,
    Bounds,
    Page,
    Sheet,
    Stretch,
    drawing_bounds,
    fitted,
    wrapped,
)
from pathgen.writers.plot_style import FAINT, HAIR_MM, PAPER, QUIET, TEXT
from pathgen.writers.plot_svg_pen import (
    Element,
    document,
    group,
    path,
    rectangle,
    sheet,
    short,
    words,
)
from pathgen.writers.reading_words import VERDICT_WORDS
from pathgen.writers.wording import lettering_as_written

__all__ = ["compare_page"]

MARGIN_MM, HEAD_MM, NAME_MM, TRUE_MM, BETWEEN_MM = 13.0, 18.0, 8.0, 9.0, 6.0
TYPE_MM, ROW_MM, BLOCK_GAP_MM = 2.7, 4.25, 10.0
BESIDE_GAP_MM = 24.0
NAME_WIDTH_MM = 34.0

WANTED_CAPITAL_MM = 14.0
"""Capitals on paper are to be this large, or a larger sheet is taken."""

TAGS = "ABCD"


class _Frame(NamedTuple):
    """The page's size, the factor for its type, and the scale of all drawings.

    Beside a short text there is room for its true size, which else stands below.
    """

    width: float
    height: float
    unit: float
    scale: int
    beside: bool

    @property
    def margin(self) -> float:
        """Free edge all round."""
        return MARGIN_MM * self.unit

    @property
    def inner(self) -> float:
        """Width between the edges."""
        return self.width - 2.0 * self.margin


def compare_page(ways: Sequence[Way]) -> str:
    """The page as an SVG 1.1 document of real size."""
    boxes = [drawing_bounds(way.plan) for way in ways]
    frame = _frame(ways, boxes)
    title = lettering_as_written(ways[0].plan.lines)
    names = ", ".join(way.label for way in ways)
    out = sheet(frame.width, frame.height, f"{title}: {names}", "Several ways to sew one text.")
    out.add(rectangle(0.0, 0.0, frame.width, frame.height, id="page", fill=PAPER))
    out.add(_head(ways, frame))
    y = frame.margin + HEAD_MM * frame.unit
    for tag, way, box in zip(TAGS, ways, boxes, strict=False):
        out.add(_band(tag, way, box, frame, y))
        y += _band_height(box, frame)
    foot = frame.height - frame.margin - caution_height(frame.inner, frame.unit)
    table_top = y + 2.0 * frame.unit
    out.add(_tables(ways, frame, table_top))
    out.add(caution(frame.margin, foot, frame.inner, frame.unit))
    return document(out)


def _frame(ways: Sequence[Way], boxes: Sequence[Bounds]) -> _Frame:
    """The smallest sheet on which all drawings are large enough; else the largest, grown."""
    capital = min(line.settings.height_mm for way in ways for line in way.plan.by_line)
    for on in SHEETS:
        scale = max((s for s in SCALES if _fits(ways, boxes, _on(on, s, boxes))), default=1)
        frame = _on(on, scale, boxes)
        if scale * capital >= WANTED_CAPITAL_MM:
            break
    width = max(frame.width, _widest(boxes) * frame.scale + 2.0 * frame.margin)
    return frame._replace(width=width, height=max(frame.height, _needed(ways, boxes, frame)))


def _on(on: Sheet, scale: int, boxes: Sequence[Bounds]) -> _Frame:
    """A sheet with drawings at a scale."""
    frame = _Frame(on.width_mm, on.height_mm, on.type_scale, scale, beside=False)
    wide = _widest(boxes) * (scale + 1) + BESIDE_GAP_MM * frame.unit
    return frame._replace(beside=scale > 1 and wide <= frame.inner)


def _fits(ways: Sequence[Way], boxes: Sequence[Bounds], frame: _Frame) -> bool:
    """Whether everything stands on the sheet at its scale."""
    wide = _widest(boxes) * frame.scale <= frame.inner
    return wide and _needed(ways, boxes, frame) <= frame.height


def _widest(boxes: Sequence[Bounds]) -> float:
    return max(box.width for box in boxes)


def _needed(ways: Sequence[Way], boxes: Sequence[Bounds], frame: _Frame) -> float:
    """Height of all that stands on the page."""
    rows = max(len(settings_rows(ways)) + 3, len(outcome_rows(ways)))
    tables = (9.0 + rows * ROW_MM) * frame.unit
    below = caution_height(frame.inner, frame.unit) + 6.0 * frame.unit
    bands = sum(_band_height(box, frame) for box in boxes)
    return 2.0 * frame.margin + HEAD_MM * frame.unit + bands + tables + below


def _band_height(box: Bounds, frame: _Frame) -> float:
    """Height of one way: its name, the enlarged drawing, and the true size."""
    if frame.beside:
        return (NAME_MM + BETWEEN_MM) * frame.unit + box.height * frame.scale
    fixed = (NAME_MM + TRUE_MM + BETWEEN_MM) * frame.unit
    return fixed + box.height * (frame.scale + (1 if frame.scale > 1 else 0))


def _head(ways: Sequence[Way], frame: _Frame) -> Element:
    """The text, and which way comes out best."""
    out = group("head", "What is compared", fill=TEXT)
    unit, x, y = frame.unit, frame.margin, frame.margin
    title = fitted(lettering_as_written(ways[0].plan.lines), 7.0 * unit, frame.inner * 0.45)
    out.add(words(title, x, y + 6.0 * unit, 7.0 * unit, font_weight="bold"))
    told = f"{len(ways)} ways, drawn {frame.scale} times sewn size"
    out.add(words(told, x, y + 11.0 * unit, 2.9 * unit, fill=QUIET))
    left, size = x + frame.inner * 0.47, 2.9 * unit
    for row, line in enumerate(wrapped(conclusion(ways), size, frame.inner * 0.53, 3)):
        out.add(words(line, left, y + (2.6 + row * 4.2) * unit, size))
    rule = f"M{short(x)} {short(y + 14.0 * unit)}h{short(frame.inner)}"
    out.add(path(rule, fill="none", stroke=TEXT, stroke_width=0.3 * unit))
    return out


def _band(tag: str, way: Way, box: Bounds, frame: _Frame, y: float) -> Element:
    """One way: name and verdict, the drawing enlarged, and at true size."""
    out = group(f"way-{tag}", f"{tag}: {way.label}", fill=TEXT)
    unit, x = frame.unit, frame.margin
    name = f"{tag}   {fitted(way.label, 3.6 * unit, frame.inner * 0.6)}"
    out.add(words(name, x, y + 4.0 * unit, 3.6 * unit, font_weight="bold"))
    verdict = VERDICT_WORDS[way.reading.verdict]
    right: dict[str, str | float] = {"text_anchor": "end", "font_weight": "bold"}
    out.add(words(verdict, x + frame.inner, y + 4.0 * unit, 3.2 * unit, **right))
    top = y + NAME_MM * unit
    page = _page_of(way, box, frame, top)
    drawn = group("", "")
    drawn.add(enlarged(way.plan, page))
    if frame.beside:
        across = x + frame.inner - box.width
        level = top + box.height * (frame.scale - 1) / 2.0
        drawn.add(true_size(way.plan, across - box.x0, level + box.y1))
        end: dict[str, str | float] = {"text_anchor": "end", "fill": QUIET}
        out.add(words("true size", x + frame.inner, level - 2.0 * unit, TYPE_MM * unit, **end))
    elif frame.scale > 1:
        low = top + box.height * frame.scale + 4.5 * unit
        drawn.add(true_size(way.plan, x + 20.0 * unit - box.x0, low + box.y1))
        base = low + box.height / 2.0 + 1.0 * unit
        out.add(words("true size", x, base, TYPE_MM * unit, fill=QUIET))
    out.add(drawn.renamed(f"{tag}-"))
    return out


def _page_of(way: Way, box: Bounds, frame: _Frame, top: float) -> Page:
    """The page as one drawing sees it, its box beginning at the margin."""
    capital = max(line.settings.height_mm for line in way.plan.by_line)
    return Page(
        width=frame.width,
        height=frame.height,
        unit=frame.unit,
        scale=frame.scale,
        bounds=box,
        stretches=(Stretch(x0=box.x0, x1=box.x1, left=frame.margin, top=top),),
        of_all=(0, 1),
        zone_top=top,
        zone_foot=top + box.height * frame.scale,
        strip_top=top,
        strip_foot=top,
        capital_mm=capital * frame.scale,
    )


def _tables(ways: Sequence[Way], frame: _Frame, y: float) -> Element:
    """What each way is sewn with, and what comes of it, side by side."""
    out = group("table", "The ways beside one another", fill=TEXT)
    wide = (frame.inner - BLOCK_GAP_MM * frame.unit) / 2.0
    right = frame.margin + wide + BLOCK_GAP_MM * frame.unit
    _table(out, "Sewn with", settings_rows(ways), frame, (frame.margin, y, wide))
    _table(out, "What comes of it", outcome_rows(ways), frame, (right, y, wide))
    said = ways[0].reading.origin
    size = TYPE_MM * frame.unit
    rows = len(settings_rows(ways)) + 1
    note = f"Best of a row in bold. Verdict: {said}."
    for row, line in enumerate(wrapped(note, size, wide, 2)):
        base = y + (9.6 + (rows + row) * ROW_MM) * frame.unit
        out.add(words(line, frame.margin, base, size, fill=QUIET))
    return out


def _table(
    out: Element,
    title: str,
    rows: Sequence[Row],
    frame: _Frame,
    place: tuple[float, float, float],
) -> None:
    """A block of rows under its heading, one column a way."""
    (x, y, wide), unit = place, frame.unit
    size = TYPE_MM * unit
    step = (wide - NAME_WIDTH_MM * unit) / len(rows[0].values)
    out.add(words(title, x, y + 3.2 * unit, 3.1 * unit, font_weight="bold"))
    for column, tag in enumerate(TAGS[: len(rows[0].values)]):
        at = x + NAME_WIDTH_MM * unit + (column + 1) * step
        look: dict[str, str | float] = {"text_anchor": "end", "font_weight": "bold"}
        out.add(words(tag, at, y + 3.2 * unit, 3.1 * unit, **look))
    rule = f"M{short(x)} {short(y + 4.9 * unit)}h{short(wide)}"
    out.add(path(rule, fill="none", stroke=FAINT, stroke_width=HAIR_MM))
    for number, row in enumerate(rows):
        base = y + (9.6 + number * ROW_MM) * unit
        out.add(words(row.name, x, base, size, fill=QUIET))
        for column, (value, best) in enumerate(zip(row.values, row.best, strict=True)):
            at = x + NAME_WIDTH_MM * unit + (column + 1) * step
            said = fitted(value, size * (1.1 if best else 1.0), step - 2.0 * unit)
            weight = "bold" if best else "normal"
            out.add(words(said, at, base, size, text_anchor="end", font_weight=weight))
