"""A quote on disk: as text, and as a page to print."""

from collections.abc import Sequence
from pathlib import Path

from pathgen.model import Plan
from pathgen.writers.files import checked_name, write_together
from pathgen.writers.quote_page import quote_page
from pathgen.writers.quote_paper import Paper
from pathgen.writers.quote_rows import QuoteHead
from pathgen.writers.quote_text import quote_lines
from pathgen.writers.tables_csv import table_csv

__all__ = ["write_quote"]


def write_quote(
    paper: Paper,
    head: QuoteHead,
    folder: Path,
    name: str,
    *,
    plans: Sequence[Plan] = (),
) -> tuple[Path, ...]:
    """Write a quote as text and as a page to print, and names as a table; all or none.

    Parameters
    ----------
    paper, head : Paper, QuoteHead
        What to write.
    folder : Path
        Where to; made if missing.
    name : str
        Stem of the file names.
    plans : sequence of Plan
        Drawn on the page at true size.

    Returns
    -------
    tuple of Path
        Text, then page, then table.

    Raises
    ------
    SettingsError
        If the name would not be a plain file name.
    OutputError
        If a file cannot be written; then none is.
    """
    stem = checked_name(name)
    files = {
        f"{stem}.quote.txt": ("\n".join(quote_lines(paper, head)) + "\n").encode(),
        f"{stem}.quote.html": quote_page(paper, head, plans).encode(),
    }
    if paper.names:
        columns, *rows = paper.names
        # Figures are written for reading, with commas; a table has them bare.
        table = [
            dict(zip(columns, (row[0], *(c.replace(",", "") for c in row[1:])), strict=True))
            for row in rows
        ]
        files[f"{stem}.quote.csv"] = table_csv(columns, table)
    return write_together(folder, files)
