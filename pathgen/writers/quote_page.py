"""A quote as a page to print: HTML that is also XML, complete in itself.

The lettering stands on it at true size. The page flows over as many sheets as it needs; no line of
the working is torn from its heading.
"""

from collections.abc import Iterator, Sequence
from html import escape

from pathgen.model import Plan
from pathgen.writers.plot_page import drawing_bounds
from pathgen.writers.plot_style import QUIET, TEXT
from pathgen.writers.plot_svg_pen import document, sheet, short, xml_text
from pathgen.writers.quote_paper import Paper
from pathgen.writers.quote_rows import ESTIMATE, QuoteHead, Step
from pathgen.writers.sewn_thread import sewn_lettering
from pathgen.writers.wording import heights_named

__all__ = ["quote_page"]

_STYLE = f"""
@page {{ size: A4; margin: 16mm; }}
body {{ font: 10.5pt/1.4 sans-serif; color: {TEXT}; max-width: 178mm; margin: 8mm auto; }}
h1 {{ font-size: 18pt; margin: 10mm 0 1mm; }}
h2 {{ font-size: 11.5pt; margin: 7mm 0 1mm; break-after: avoid; }}
table {{ border-collapse: collapse; width: 100%; }}
td, th {{ padding: 0.7mm 2mm; text-align: right; font-variant-numeric: tabular-nums;
  font-weight: normal; white-space: nowrap; }}
thead th {{ color: {QUIET}; border-bottom: 0.3mm solid {TEXT}; vertical-align: bottom; }}
tbody tr {{ border-bottom: 0.1mm solid #d8d4ca; break-inside: avoid; }}
.working th, .working td.how {{ text-align: left; }}
.working td.how {{ color: {QUIET}; width: 60%; white-space: normal; }}
.offer td:nth-child(2) {{ font-weight: bold; }}
.shop {{ break-before: page; }}
.names {{ font-size: 9pt; }}
.names td:first-child, .names th:first-child {{ text-align: left; white-space: normal; }}
.working {{ font-size: 9pt; }}
.order {{ break-inside: avoid; }}
.quiet, figcaption {{ color: {QUIET}; font-size: 9pt; }}
figure {{ margin: 6mm 0; overflow-x: auto; }}
p {{ margin: 0.6mm 0; }}
.estimate {{ border: 0.3mm solid {TEXT}; padding: 1.5mm 2.5mm; margin: 5mm 0; }}
@media screen {{ body {{ padding: 0 4mm; }} }}
@media screen and (max-width: 178mm) {{
  .offer, .names {{ display: block; overflow-x: auto; }}
  .working th {{ white-space: normal; }}
}}
"""


def quote_page(paper: Paper, head: QuoteHead, plans: Sequence[Plan] = ()) -> str:
    """The whole quote; ``plans`` are drawn at true size, in order."""
    body = [
        *(f'<p class="quiet">{_safe(line)}</p>' for line in paper.shop),
        f"<h1>{_safe(paper.title)}</h1>",
        *_given(head),
        *map(_figure, plans),
        f'<p class="estimate">{_safe(ESTIMATE)}</p>',
        _table(paper.offer, "offer"),
        "<h2>Terms</h2>",
        *(f"<p>{_safe(line)}</p>" for line in paper.terms),
        '<h1 class="shop">The working, for the shop</h1>',
        *(f"<p>{_safe(line)}</p>" for line in paper.shop_remarks),
    ]
    for heading, steps in paper.sections:
        said = heading[:1].upper() + heading[1:]
        body.append(f'<div class="order"><h2>{_safe(said)}</h2>\n{_working(steps)}</div>')
    if paper.names:
        body += ["<h2>Every name</h2>", _table(paper.names, "names")]
    lines = "\n".join(body)
    return (
        '<!DOCTYPE html>\n<html xmlns="http://www.w3.org/1999/xhtml" lang="en">\n<head>'
        '<meta charset="utf-8"/><meta name="viewport" content="width=device-width"/>'
        f"<title>{_safe(paper.title)}</title><style>{_STYLE}</style></head>"
        f"\n<body>\n{lines}\n</body>\n</html>\n"
    )


def _safe(text: str) -> str:
    """Text that neither HTML nor XML takes for anything else."""
    return escape(xml_text(text))


def _given(head: QuoteHead) -> Iterator[str]:
    """Paragraphs for what the user gave."""
    said = {"For": head.customer, "Number": head.number, "Date": head.date}
    yield from (f"<p>{name}: {_safe(value)}</p>" for name, value in said.items() if value)


def _table(rows: Sequence[tuple[str, ...]], kind: str) -> str:
    """A table, its head first."""
    top = "".join(f'<th scope="col">{_safe(name)}</th>' for name in rows[0])
    body = "\n".join(
        "<tr>" + "".join(f"<td>{_safe(cell)}</td>" for cell in row) + "</tr>" for row in rows[1:]
    )
    return f'<table class="{kind}"><thead><tr>{top}</tr></thead>\n<tbody>{body}</tbody></table>'


def _working(steps: Sequence[Step]) -> str:
    """Steps as a table: name, working, result."""
    rows = "\n".join(
        f'<tr><th scope="row">{_safe(step.name)}</th><td class="how">{_safe(step.working)}</td>'
        f"<td>{_safe(step.result)}</td></tr>"
        for step in steps
    )
    return f'<table class="working"><tbody>{rows}</tbody></table>'


EDGE_MM = 1.0
"""Free room around the drawing."""


def _figure(plan: Plan) -> str:
    """The lettering as thread, at true size."""
    bounds = drawing_bounds(plan)
    width, height = bounds.width + 2.0 * EDGE_MM, bounds.height + 2.0 * EDGE_MM
    text = " / ".join(plan.lines)
    out = sheet(width, height, text, "The lettering as sewn, at true size.")
    thread = sewn_lettering(plan, shine=False)
    thread.move(short(EDGE_MM - bounds.x0), short(EDGE_MM + bounds.y1))
    out.add(thread)
    drawn = document(out).split("\n", 1)[1].strip()
    said = (
        f"As it may look once sewn, at true size: {bounds.width:.1f} x {bounds.height:.1f} mm,"
        f" capitals {heights_named(plan)}"
    )
    return f"<figure>{drawn}<figcaption>{_safe(said)}</figcaption></figure>"
