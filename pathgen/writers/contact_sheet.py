"""All names of a table drawn on a few pages, to be looked through before anything is sewn.

Each page is one HTML file that needs nothing else. A letter's shape is in it once and used
wherever it comes again, so that a page of hundreds of names stays small. All names have the same
scale, so that sizes can be compared.
"""

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import lru_cache
from html import escape
from itertools import islice
from typing import NamedTuple

from pathgen.writers.plot_style import ALARM, FAINT, PAPER, QUIET, TEXT
from pathgen.writers.plot_threads import shown_colour
from pathgen.writers.totals_csv import figure, measured
from pathgen.writers.wording import CAUTION, amount, duration, grouped_thousands, plural

__all__ = ["Card", "sheet_pages"]

NAMES_A_PAGE = 240
SCALES = (4.0, 3.0, 2.0, 1.5, 1.0)
"""Times sewn size; the largest that keeps every card within `MOST_WIDE_MM`."""

MOST_WIDE_MM = 120.0
EDGE_MM = 1.0
"""Free around each drawing, as sewn."""


class Card(NamedTuple):
    """One row of the table.

    Attributes
    ----------
    row, same : int
        Its number, and that of the first row with the same text.
    text : str
        What is sewn.
    fault : str
        Why it could not be planned; empty if it was.
    link : str
        Its plot.
    cells : str
        Its figures, as in the totals table.
    drawing : str
        Line of the job, shape, place and place of each letter, parted by spaces.
    """

    row: int
    text: str
    fault: str = ""
    link: str = ""
    same: int = 0
    cells: str = ""
    drawing: str = ""


class _Page(NamedTuple):
    """What the list of pages tells of one."""

    file: str
    first: str
    last: str


class _Sheet(NamedTuple):
    """What all pages share."""

    title: str
    shapes: Mapping[str, str]
    colours: Sequence[str]
    scale: float
    pages: Sequence[_Page]
    names: int


def sheet_pages(
    title: str,
    cards: Callable[[], Iterator[Card]],
    shapes: Mapping[str, str],
    colours: Sequence[str],
) -> Iterator[tuple[str, bytes]]:
    """File name and content of each page: ``index.html``, then ``index-2.html`` and on.

    Parameters
    ----------
    title : str
        What the job is called.
    cards : function
        Gives the cards anew each time; those with a fault are listed on the first page.
    shapes : mapping of str to str
        Path data of each shape, y down.
    colours : sequence of str
        Of the thread of each line of the job; empty for none chosen.
    """
    bad: list[Card] = []
    pages, widest, names = [], 0.0, 0
    for number, group in enumerate(_grouped(_drawn(cards(), bad)), 1):
        file = "index.html" if number == 1 else f"index-{number}.html"
        pages.append(_Page(file, group[0].text, group[-1].text))
        widest = max(widest, *(figure(card.cells, "width_mm") for card in group))
        names += len(group)
    pages = pages or [_Page("index.html", "", "")]
    room = widest + 2.0 * EDGE_MM
    scale = next((s for s in SCALES if room * s <= MOST_WIDE_MM), SCALES[-1])
    sheet = _Sheet(title, shapes, colours, scale, pages, names)
    groups = _grouped(_drawn(cards(), []))
    for number, page in enumerate(pages, 1):
        group = next(groups, [])
        wide = min(MOST_WIDE_MM, room * scale)
        yield page.file, "\n".join(_page(sheet, number, group, bad, wide)).encode()


def _drawn(cards: Iterator[Card], bad: list[Card]) -> Iterator[Card]:
    """Those that could be planned; the others are put aside."""
    for card in cards:
        if card.fault:
            bad.append(card)
        else:
            yield card


def _grouped(cards: Iterator[Card]) -> Iterator[list[Card]]:
    """Cards by the page."""
    return iter(lambda: list(islice(cards, NAMES_A_PAGE)), [])


def _page(
    sheet: _Sheet, number: int, group: Sequence[Card], bad: Sequence[Card], wide: float
) -> Iterator[str]:
    """One page, line by line."""
    title = escape(sheet.title)
    which = f", page {number} of {len(sheet.pages)}" if len(sheet.pages) > 1 else ""
    yield '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">'
    yield f"<title>{title}{which}</title>"
    yield '<meta name="viewport" content="width=device-width">'
    yield f"<style>{_STYLE}\n.cards {{ --wide: {wide:.1f}mm }}</style>\n</head>\n<body>"
    yield f"<header>\n<h1>{title}</h1>"
    drawn = f"{amount(sheet.scale, '')} times sewn size" if sheet.scale != 1.0 else "sewn size"
    told = [plural(sheet.names, "name"), f"drawn at {drawn}"]
    if bad:
        told.append(f"{plural(len(bad), 'row')} could not be planned")
    yield f"<p>{', '.join(told)}</p>"
    yield from _pages_list(sheet, number)
    if bad and number == 1:
        yield from _bad_list(bad)
    yield '</header>\n<svg class="shapes" aria-hidden="true"><defs>'
    used = dict.fromkeys(name for card in group for name in card.drawing.split()[1::4])
    yield from (f'<path id="s{name}" d="{sheet.shapes.get(name, "")}"/>' for name in used)
    yield '</defs></svg>\n<main class="cards">'
    yield from (_figure(sheet, card) for card in group)
    yield f"</main>\n<footer>{escape(' '.join(CAUTION))}</footer>\n</body>\n</html>\n"


def _pages_list(sheet: _Sheet, number: int) -> Iterator[str]:
    """Links to the other pages, each with its first and last name."""
    if len(sheet.pages) == 1:
        return
    near = [(number - 1, "previous page"), (number + 1, "next page")]
    links = [
        f'<a href="{sheet.pages[n - 1].file}">{said}</a>'
        for n, said in near
        if 1 <= n <= len(sheet.pages)
    ]
    yield f"<nav>{' '.join(links)}\n<details><summary>all {len(sheet.pages)} pages</summary><ol>"
    for page in sheet.pages:
        yield f'<li><a href="{page.file}">{escape(page.first)} – {escape(page.last)}</a></li>'
    yield "</ol></details></nav>"


def _bad_list(bad: Sequence[Card]) -> Iterator[str]:
    """Rows that could not be planned, with the reason."""
    yield f'<details class="bad" open><summary>{plural(len(bad), "bad row")}</summary><ul>'
    for card in bad:
        yield f"<li>row {card.row}: {escape(card.fault)}</li>"
    yield "</ul></details>"


def _figure(sheet: _Sheet, card: Card) -> str:
    """A name drawn, with what to know of it; the drawing leads to its plot."""
    figures = measured(card.cells)
    said = [
        f"row {card.row}" + (f", as row {card.same}" if card.same != card.row else ""),
        f"{grouped_thousands(int(figures['stitches']))} stitches",
        duration(figures["sew_s"]),
        f"{amount(round(figures['width_mm'], 1), '')} x {amount(round(figures['height_mm'], 1))}",
    ]
    marks = "".join(
        f'<b class="{level}">{int(figures[level + "s"])} {level}</b>'
        for level in ("stop", "check")
        if figures[level + "s"]
    )
    return (
        f'<figure><a href="{escape(card.link)}">{_drawing(sheet, card.drawing)}</a><figcaption>'
        f"<strong>{escape(card.text)}</strong>{marks}<br>{', '.join(said)}</figcaption></figure>"
    )


def _drawing(sheet: _Sheet, drawing: str) -> str:
    """Letters in their places, in the colours of their threads."""
    words = drawing.split()
    lines: dict[str, list[str]] = {}
    boxes = []
    for line, name, x, y in zip(*(words[k::4] for k in range(4)), strict=True):
        lines.setdefault(line, []).append(f'<use href="#s{name}" x="{x}" y="{y}"/>')
        x0, y0, x1, y1 = _bounds(sheet.shapes.get(name, ""))
        at_x, at_y = float(x), float(y)
        boxes.append((at_x + x0, at_y + y0, at_x + x1, at_y + y1))
    lefts, tops, rights, feet = zip(*boxes, strict=True) if boxes else ((0.0,),) * 4
    left, top = min(lefts) - EDGE_MM, min(tops) - EDGE_MM
    wide, high = max(rights) + EDGE_MM - left, max(feet) + EDGE_MM - top
    groups = "".join(
        f'<g fill="{_colour(sheet, line)}">{"".join(uses)}</g>' for line, uses in lines.items()
    )
    size = f'width="{wide * sheet.scale:.1f}mm" height="{high * sheet.scale:.1f}mm"'
    return f'<svg {size} viewBox="{left:.2f} {top:.2f} {wide:.2f} {high:.2f}">{groups}</svg>'


def _colour(sheet: _Sheet, line: str) -> str:
    colour = sheet.colours[int(line)] if int(line) < len(sheet.colours) else ""
    return shown_colour(colour) if colour else TEXT


@lru_cache(maxsize=4096)
def _bounds(data: str) -> tuple[float, float, float, float]:
    """Box around path data of straight lines."""
    numbers = [float(number) for number in re.findall(r"-?[\d.]+", data)] or [0.0, 0.0]
    xs, ys = numbers[::2], numbers[1::2]
    return min(xs), min(ys), max(xs), max(ys)


_STYLE = f"""
body {{ margin: 8mm; background: {PAPER}; color: {TEXT}; font: 3.4mm/1.4 sans-serif }}
h1 {{ margin: 0; font-size: 7mm }}
header p, figcaption, footer {{ color: {QUIET} }}
header p {{ margin: 1mm 0 3mm }}
nav {{ margin-bottom: 3mm }}
nav > a {{ margin-right: 4mm }}
nav ol {{ columns: 60mm; font-size: 3mm }}
a {{ color: inherit }}
.bad {{ margin-bottom: 3mm; padding: 2mm 4mm; border: 0.4mm solid {ALARM}; border-radius: 1mm }}
.bad ul {{ margin: 1mm 0 0; padding-left: 5mm; max-height: 60mm; overflow: auto }}
.shapes {{ position: absolute; width: 0; height: 0 }}
.cards {{ display: grid; gap: 4mm;
  grid-template-columns: repeat(auto-fill, minmax(min(100%, max(var(--wide), 48mm)), 1fr)) }}
figure {{ margin: 0; padding: 2mm; border: 0.2mm solid {FAINT}; border-radius: 1mm;
  background: #fff; display: flex; flex-direction: column; justify-content: space-between;
  overflow: hidden;
  break-inside: avoid }}
figure > a {{ display: block; overflow-x: auto }}
figure svg {{ display: block; fill-rule: evenodd }}
figcaption {{ margin-top: 1mm; font-size: 2.9mm; overflow-wrap: anywhere }}
figcaption strong {{ color: {TEXT} }}
figcaption b {{ margin-left: 1.5mm; padding: 0 1mm; border-radius: 0.8mm; white-space: nowrap }}
.stop {{ background: {ALARM}; color: #fff }}
.check {{ background: #f2c14e; color: {TEXT} }}
footer {{ margin-top: 5mm; font-size: 2.9mm }}
@media print {{ body {{ margin: 0 }} nav {{ display: none }}
  figure svg {{ max-width: 100%; height: auto }} }}"""
