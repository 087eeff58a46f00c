"""The stages joined: from a text and a face to a plan ready for review.

text -> letters -> shaped layout -> outlines -> columns -> needle path -> findings -> counts
"""

from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby
from pathlib import Path

import numpy as np

from pathgen.bounds import check_bounds
from pathgen.errors import TextError
from pathgen.lettering.layout import lay_out_lines
from pathgen.lettering.text import checked_lines
from pathgen.letters import letters_of
from pathgen.lines import AskedLine, SewingField, numbered_threads
from pathgen.model import Finding, Letter, LineSettings, Plan
from pathgen.needles import Arrive, Crowding, jumps_made
from pathgen.ready import ReadyLine, ready_line
from pathgen.review.checks import of_all_lines, reviewed
from pathgen.review.field import outside_field
from pathgen.review.holes import crowding_together, holes_in
from pathgen.sewing import Sewing
from pathgen.shop.colours import colour_hex
from pathgen.shop.count import counted
from pathgen.shop.shelves import Shop
from pathgen.shop.time import sew_together_s
from pathgen.stitching.joined import one_table
from pathgen.stitching.route import Ends, sew
from pathgen.verdicts import Reading
from pathgen.writers.files import checked_name, safe_name, write_together
from pathgen.writers.leftovers import left_over
from pathgen.writers.notebook import ShownPlan
from pathgen.writers.plot_svg import plots_encoded
from pathgen.writers.tables_csv import counts_csv, needles_csv

__all__ = [
    "AskedLine",
    "plan",
    "plan_files",
    "plan_letters",
    "plan_lines",
    "plan_ready",
    "set_lines",
    "write_plan",
]


def plan(
    text: str | Sequence[str],
    *,
    face: str | Path | None = None,
    index: int = 0,
    axes: Mapping[str, float] | None = None,
    height_mm: float | None = None,
    x_height_mm: float | None = None,
    thread: str | None = None,
    colour: str | None = None,
    needle: str | None = None,
    cloth: str | None = None,
    spacing_mm: float | None = None,
    pull_mm: float | None = None,
    underlay: str | None = None,
    run_mm: float | None = None,
    tracking_mm: float | None = None,
    line_spacing_mm: float | None = None,
    align: str | None = None,
    arc_mm: float | None = None,
    arc_side: str | None = None,
    ligatures: bool | None = None,
    join_mm: float | None = None,
    on_top_mm: float | None = None,
    least_column_mm: float | None = None,
    least_stitch_mm: float | None = None,
    longest_stitch_mm: float | None = None,
    longest_jump_mm: float | None = None,
    sewing: str | None = None,
    speed_spm: float | None = None,
    shop: Shop | None = None,
    field: SewingField | None = None,
) -> Plan:
    """Plan an embroidered lettering.

    Parameters
    ----------
    text : str or sequence of str
        One or more lines.
    face : str or Path, optional
        A bundled face's name or a font file; the default bundled face if left out.
    index : int
        Which face of a font collection, from 0.
    axes : mapping of str to float, optional
        Places on the axes of a variable font.
    height_mm : float, optional
        Height of the capital H as sewn before allowance; 5 if left out.
    x_height_mm : float, optional
        Height of the small x, in place of ``height_mm``.
    thread, needle, cloth : str, optional
        By name: ``40``, ``60`` or a count such as ``27tex``; ``75/11``; ``backed twill`` or a
        cloth file.
    colour : str, optional
        What the thread is drawn in: a plain name or ``#rrggbb``.
    spacing_mm, pull_mm, underlay, run_mm, join_mm, on_top_mm, speed_spm : optional
    least_column_mm, least_stitch_mm, longest_stitch_mm, longest_jump_mm, sewing : optional
        Fields of `Settings`; the recipe for height and thread decides what is left out.
    tracking_mm, line_spacing_mm, align, arc_mm, arc_side, ligatures : optional
        Fields of `Settings` for the layout.
    shop : Shop, optional
        Threads, needles, cloths and recipes (`shop_with` adds the user's own); the bundled
        ones if left out.
    field : SewingField, optional
        What the lettering must fit into; a finding says where it does not.

    Returns
    -------
    Plan
        Letters, columns, needle points, counts and findings.

    Raises
    ------
    FontError, TextError, SettingsError
        If an input cannot be used; the message is one line.

    Examples
    --------
    >>> made = plan("Quay", height_mm=5.0)
    >>> len(made.needles) == made.whole.stitches
    True
    """
    lines = checked_lines(text)
    asked = {
        "height_mm": height_mm,
        "x_height_mm": x_height_mm,
        "thread": thread,
        "colour": colour,
        "needle": needle,
        "cloth": cloth,
        "spacing_mm": spacing_mm,
        "pull_mm": pull_mm,
        "underlay": underlay,
        "run_mm": run_mm,
        "tracking_mm": tracking_mm,
        "line_spacing_mm": line_spacing_mm,
        "align": align,
        "arc_mm": arc_mm,
        "arc_side": arc_side,
        "ligatures": ligatures,
        "join_mm": join_mm,
        "on_top_mm": on_top_mm,
        "least_column_mm": least_column_mm,
        "least_stitch_mm": least_stitch_mm,
        "longest_stitch_mm": longest_stitch_mm,
        "longest_jump_mm": longest_jump_mm,
        "sewing": sewing,
        "speed_spm": speed_spm,
        "shop": shop,
    }
    ready = ready_line(AskedLine(text="", face=face, index=index, axes=axes or {}, asked=asked))
    return plan_letters(*set_lines([(line, ready) for line in lines]), field)


def plan_lines(lines: Sequence[AskedLine], field: SewingField | None = None) -> Plan:
    """Plan lines that each have a face, a height, a thread and settings.

    All lines of a thread are sewn before the machine changes to the next one; threads are
    numbered in the order of their first lines. Threads of one kind and different colours are
    different threads.

    Parameters
    ----------
    lines : sequence of AskedLine
        From top to bottom.
    field : SewingField, optional
        What the lettering must fit into; a finding says where it does not.

    Raises
    ------
    FontError, TextError, SettingsError
        If an input cannot be used; the message is one line.

    Examples
    --------
    >>> asked = [AskedLine(text="Quay"), AskedLine(text="1974", asked={"thread": "60"})]
    >>> plan_lines(asked).changes
    1
    """
    return plan_ready([(line.text, ready_line(line)) for line in lines], field)


def plan_ready(lines: Sequence[tuple[str, ReadyLine]], field: SewingField | None = None) -> Plan:
    """Plan texts with what is ready for each; else as `plan_lines`."""
    rows = [(letters, by) for text, by in lines for letters in checked_lines(text)]
    if not rows:
        msg = "text is empty; give at least one letter"
        raise TextError(msg)
    return plan_letters(*set_lines(rows), field)


def write_plan(
    made: Plan,
    folder: Path,
    name: str | None = None,
    *,
    tables: bool = True,
    page_size: str | None = None,
    page: bool = False,
    reading: Reading | None = None,
    sewn: bool = False,
    cloth_colour: str | None = None,
) -> tuple[Path, ...]:
    """Write plot, needle table and counts of a plan, all together or not at all.

    Parameters
    ----------
    made : Plan
        What to write.
    folder : Path
        Where to; made if missing.
    name : str, optional
        Stem of the file names; made from the text if left out.
    tables : bool
        Whether needle table and counts are written too, or the plot alone.
    page_size : str, optional
        ``a4`` or ``letter``: the plot takes as many sheets of it as it needs, the further ones
        as ``NAME.sheet-2.svg`` and so on. Else it takes one page of its own size. Further sheets
        of an earlier plot of this name that are not needed any more are taken away.
    page : bool
        Whether to write the review page as well.
    reading : Reading, optional
        Whether it can be read, for the plot's notes; see `pathgen.read`.
    sewn : bool
        Whether to write the lettering as thread as well, at true size and enlarged.
    cloth_colour : str, optional
        What the cloth is drawn in there: a plain name or ``#rrggbb``; undyed if left out.

    Returns
    -------
    tuple of Path
        The files, plot first.

    Raises
    ------
    SettingsError
        If the name would not be a plain file name, a page size is none or too small, or there
        is no such colour.
    OutputError
        If a file cannot be written; then none is, and earlier files stay as they were.
    """
    stem = safe_name(" ".join(made.lines)) if name is None else checked_name(name)
    files = plan_files(
        made,
        stem,
        tables=tables,
        page_size=page_size,
        page=page,
        reading=reading,
        sewn=sewn,
        cloth_colour=cloth_colour,
    )
    sheets = sum(name.endswith(".svg") for name in files) - int(sewn)
    return write_together(folder, files, without=left_over(folder, stem, "sheet", "sheet", sheets))


def plan_files(
    made: Plan,
    stem: str,
    *,
    tables: bool = True,
    page_size: str | None = None,
    page: bool = False,
    reading: Reading | None = None,
    sewn: bool = False,
    cloth_colour: str | None = None,
) -> dict[str, bytes]:
    """Names and contents of a plan's files, plot first; else as `write_plan`."""
    plots = plots_encoded(made, page_size, reading)
    endings = ("svg", *(f"sheet-{n}.svg" for n in range(2, len(plots) + 1)))
    files = {f"{stem}.{e}": plot for e, plot in zip(endings, plots, strict=True)}
    if tables:
        files[f"{stem}.needles.csv"] = needles_csv(made)
        files[f"{stem}.counts.csv"] = counts_csv(made)
    if page:
        from pathgen.writers.review_page import review_page

        files[f"{stem}.review.html"] = review_page(made, reading).encode()
    if sewn:
        from pathgen.writers.sewn_page import sewn_page

        cloth = colour_hex(cloth_colour, "cloth_colour") if cloth_colour else ""
        files[f"{stem}.sewn.svg"] = sewn_page(made, reading, cloth).encode()
    return files


def set_lines(
    rows: Sequence[tuple[Sequence[str], ReadyLine]],
) -> tuple[tuple[LineSettings, ...], tuple[Letter, ...]]:
    """Lines with their settings, and letters in their places: all that is known before sewing."""
    texts, faces, settings = (
        [text for text, _ in rows],
        [by.face for _, by in rows],
        [by.settings for _, by in rows],
    )
    layout = lay_out_lines(texts, faces, settings)
    by_line = tuple(
        LineSettings(
            text="".join(text),
            face=by.face.facts,
            settings=by.settings,
            thread=thread,
            down_mm=down,
        )
        for (text, by), thread, down in zip(
            rows, numbered_threads(settings), layout.downs_mm, strict=True
        )
    )
    return by_line, tuple(letters_of(layout, faces))


def plan_letters(
    by_line: tuple[LineSettings, ...],
    letters: tuple[Letter, ...],
    field: SewingField | None = None,
    ends: Ends = (None, None),
) -> Plan:
    """Plan letters that stand in their places, whatever they were made from.

    Parameters
    ----------
    by_line : tuple of LineSettings
        One for each line that the letters count.
    letters : tuple of Letter
        In reading order, lines from 1.
    field : SewingField, optional
        What it must fit into.
    ends : Ends
        How the first and the last letter of each run must be begun and ended.
    """
    check_bounds(letters, [line.settings for line in by_line])
    runs = list(_runs(by_line))
    parts = [tuple(p for p in letters if p.line - 1 in run) for run in runs]
    first = [by_line[run[0]] for run in runs]
    sewn = [sew(part, line.settings, ends) for part, line in zip(parts, first, strict=True)]
    sewing = one_table(sewn, [line.thread for line in first])
    holes = [holes_in(each, line.settings) for each, line in zip(sewn, first, strict=True)]
    findings = of_all_lines(
        [
            reviewed(part, each.needles, line.settings, line.face, each, near)
            for part, each, line, near in zip(parts, sewn, first, holes, strict=True)
        ],
        [(run[0] + 1, (0.0, -by_line[run[0]].down_mm)) for run in runs],
    )
    findings = (*outside_field(sewing.needles, field), *findings)
    return _counted(by_line, letters, sewing, findings, crowding_together(holes), field)


def _runs(by_line: Sequence[LineSettings]) -> Iterator[list[int]]:
    """Lines that are sewn in one go, from 0: neighbours of one thread, face and setting."""
    for thread in dict.fromkeys(line.thread for line in by_line):
        lines = [n for n, line in enumerate(by_line) if line.thread == thread]
        for _, run in groupby(lines, key=lambda n: (by_line[n].face, by_line[n].settings)):
            yield list(run)


def _counted(
    by_line: tuple[LineSettings, ...],
    letters: tuple[Letter, ...],
    sewing: Sewing,
    findings: tuple[Finding, ...],
    crowding: Crowding,
    field: SewingField | None,
) -> Plan:
    """A plan with its counts and its time."""
    first, needles = by_line[0], sewing.needles
    texts = tuple(line.text for line in by_line)
    threads = [line.thread for line in by_line]
    labels = {line.thread: line.settings.thread.name for line in by_line}
    called = tuple(labels.values()) if len(labels) > 1 else ("",)
    counts = counted(
        texts, letters, needles, findings, first.settings, threads, called, crowding, sewing
    )
    changes = int(np.count_nonzero(needles["arrive"] == int(Arrive.CHANGE)))
    jumps = jumps_made(needles, first.settings.longest_jump_mm)
    rows = [count for count in counts if count.scope == "line"]
    return ShownPlan(
        lines=texts,
        face=first.face,
        settings=first.settings,
        letters=letters,
        needles=needles,
        counts=counts,
        findings=findings,
        sew_s=sew_together_s(rows, [line.settings for line in by_line], changes, jumps),
        crowding=crowding,
        by_line=by_line,
        field=field,
    )
