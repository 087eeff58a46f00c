"""A plan that shows itself: in a notebook as its plot with a short table, else as one line.

Notebooks ask an object for ``_repr_html_`` and ``_repr_svg_`` (IPython, "Rich display"). The
model knows nothing of pictures, so this is a plan of a richer kind, and the one that
`pathgen.plan` gives back.
"""

from base64 import b64encode
from dataclasses import dataclass

from pathgen.model import Plan
from pathgen.writers.plot_svg import plot_svg
from pathgen.writers.summary import one_line, summary_rows
from pathgen.writers.wording import CAUTION, grouped_thousands, lettering_of

__all__ = ["ShownPlan"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False, repr=False)
class ShownPlan(Plan):
    """A `Plan` with the same fields, and with a look.

    Examples
    --------
    >>> from pathgen import plan
    >>> plan("Quay", height_mm=5.0)._repr_svg_().startswith("<svg")
    True
    """

    def __repr__(self) -> str:
        """Text, stitches, trims and findings in one line."""
        text, whole = one_line(lettering_of(self)), self.whole
        return (
            f"<Plan of {text!r}: {grouped_thousands(whole.stitches)} stitches,"
            f" {whole.trims} trims, {len(self.findings)} findings>"
        )

    def _repr_svg_(self) -> str:
        """The plot, without the XML declaration that has no place inside a page."""
        return plot_svg(self).split("\n", 1)[1]

    def _repr_html_(self) -> str:
        """The plot as a picture of its own, and a short table under it.

        Inside a picture the plot's ids cannot meet those of another plot in the same notebook.
        """
        import html

        picture = b64encode(plot_svg(self).encode()).decode()
        title = html.escape(one_line(lettering_of(self)))
        rows = "".join(
            f'<tr><th style="text-align:left">{html.escape(name)}</th>'
            f'<td style="text-align:left">{html.escape(value)}</td></tr>'
            for name, value in summary_rows(self)
        )
        return (
            f'<img alt="Needle plan for {title}" style="max-width:100%"'
            f' src="data:image/svg+xml;base64,{picture}">'
            f"<table>{rows}</table><p>{html.escape(' '.join(CAUTION))}</p>"
        )
