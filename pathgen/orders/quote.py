"""A quote on disk: as text, and as a page to print."""

from collections.abc import Sequence
from pathlib import Path

from pathgen.model import Plan
from pathgen.pricing import Quote
from pathgen.writers.files import checked_name, safe_name, write_together
from pathgen.writers.quote_page import quote_page
from pathgen.writers.quote_rows import QuoteHead
from pathgen.writers.quote_text import quote_lines

__all__ = ["write_quote"]


def write_quote(
    quote: Quote, head: QuoteHead, plans: Sequence[Plan], folder: Path, name: str | None = None
) -> tuple[Path, ...]:
    """Write a quote as text and as a page to print, both or neither.

    Parameters
    ----------
    quote, head : Quote, QuoteHead
        What to write.
    plans : sequence of Plan
        Drawn on the page at true size.
    folder : Path
        Where to; made if missing.
    name : str, optional
        Stem of the file names; made from the title if left out.

    Returns
    -------
    tuple of Path
        Text, then page.

    Raises
    ------
    SettingsError
        If the name would not be a plain file name.
    OutputError
        If a file cannot be written; then none is.
    """
    stem = safe_name(quote.work.title) if name is None else checked_name(name)
    return write_together(
        folder,
        {
            f"{stem}.quote.txt": ("\n".join(quote_lines(quote, head)) + "\n").encode(),
            f"{stem}.quote.html": quote_page(quote, head, plans).encode(),
        },
    )
