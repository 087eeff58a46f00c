"""The stages joined: from a text and a face to a plan ready for review.

text -> letters -> shaped layout -> outlines -> columns -> needle path -> findings -> counts
"""

from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from itertools import groupby
from pathlib import Path
from typing import NamedTuple

from pathgen.columns.split import split_glyph
from pathgen.errors import FontError, TextError
from pathgen.geometry import placed
from pathgen.lettering.bundled import face_path
from pathgen.lettering.fontfile import Face, open_face
from pathgen.lettering.layout import lay_out
from pathgen.lettering.outlines import glyph_rings
from pathgen.lettering.text import checked_lines, is_blank
from pathgen.model import Column, Layout, Letter, LetterShape, Plan
from pathgen.polygons import (
    Polygon,
    Shape,
    area,
    band,
    joined,
    moved,
    outside_area,
    simplified,
)
from pathgen.review.checks import reviewed
from pathgen.settings import Settings
from pathgen.shop.count import counted
from pathgen.shop.recipes import settings_for
from pathgen.shop.time import sew_s
from pathgen.stitching.route import route
from pathgen.writers.files import checked_name, safe_name, write_together
from pathgen.writers.plot_svg import plot_svg
from pathgen.writers.tables_csv import counts_csv, needles_csv

__all__ = ["plan", "write_plan"]


def plan(
    text: str | Sequence[str],
    *,
    face: str | Path | None = None,
    index: int = 0,
    axes: Mapping[str, float] | None = None,
    height_mm: float | None = None,
    x_height_mm: float | None = None,
    thread: str | None = None,
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
    least_column_mm: float | None = None,
    least_stitch_mm: float | None = None,
    longest_stitch_mm: float | None = None,
    sewing: str | None = None,
    speed_spm: float | None = None,
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
        By name: ``40``, ``60`` or a count such as ``27tex``; ``75/11``; ``backed twill``.
    spacing_mm, pull_mm, underlay, run_mm, join_mm, speed_spm : optional
    least_column_mm, least_stitch_mm, longest_stitch_mm, sewing : optional
        Fields of `Settings`; the recipe for height and thread decides what is left out.
    tracking_mm, line_spacing_mm, align, arc_mm, arc_side, ligatures : optional
        Fields of `Settings` for the layout.

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
    opened = _face(face_path(face), index, axes or {})
    settings = settings_for(
        height_mm=_height_mm(opened, height_mm, x_height_mm),
        thread=thread,
        needle=needle,
        cloth=cloth,
        options={
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
            "least_column_mm": least_column_mm,
            "least_stitch_mm": least_stitch_mm,
            "longest_stitch_mm": longest_stitch_mm,
            "sewing": sewing,
            "speed_spm": speed_spm,
        },
    )
    return _planned(lines, opened, settings)


def write_plan(
    made: Plan, folder: Path, name: str | None = None, *, tables: bool = True
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

    Returns
    -------
    tuple of Path
        The files, plot first.

    Raises
    ------
    SettingsError
        If the name would not be a plain file name.
    OutputError
        If a file cannot be written; then none is, and earlier files stay as they were.
    """
    stem = safe_name(" ".join(made.lines)) if name is None else checked_name(name)
    files = {f"{stem}.svg": plot_svg(made).encode()}
    if tables:
        files[f"{stem}.needles.csv"] = needles_csv(made)
        files[f"{stem}.counts.csv"] = counts_csv(made)
    return write_together(folder, files)


def _planned(lines: Sequence[Sequence[str]], face: Face, settings: Settings) -> Plan:
    """The stages, top to bottom."""
    layout = lay_out(lines, face, settings)
    letters = tuple(_letters(layout, face))
    needles = route(letters, settings)
    texts = tuple("".join(line) for line in lines)
    findings = reviewed(letters, needles, settings)
    counts = counted(texts, letters, needles, findings, settings)
    return Plan(
        lines=texts,
        face=face.facts,
        settings=settings,
        letters=letters,
        needles=needles,
        counts=counts,
        findings=findings,
        sew_s=sew_s(counts[-1], settings),
    )


def _height_mm(face: Face, height_mm: float | None, x_height_mm: float | None) -> float | None:
    """Capital height for an asked x-height."""
    if x_height_mm is None:
        return height_mm
    if face.facts.x_height_fu <= 0.0:
        msg = f"font {face.facts.source} has no small x; give the capital height instead"
        raise FontError(msg)
    return x_height_mm * face.facts.cap_height_fu / face.facts.x_height_fu


def _face(path: Path, index: int, axes: Mapping[str, float]) -> Face:
    """Open face, kept while its file stays as it is."""
    try:
        state = path.stat()
        stamp = (state.st_mtime_ns, state.st_size)
    except OSError:
        stamp = (0, 0)
    return _opened(path, stamp, index, tuple(sorted(axes.items())))


@lru_cache(maxsize=16)
def _opened(
    path: Path, stamp: tuple[int, int], index: int, axes: tuple[tuple[str, float], ...]
) -> Face:
    return open_face(path, index=index, axes=dict(axes))


# Covers are what travel is weighed against; this much of an em off, they have a third of the
# points.
COVER_EM = 1.0 / 1000.0


class _GlyphColumns(NamedTuple):
    """Ink and columns of a glyph in font units, with what `LetterShape` says of them."""

    ink: tuple[Polygon, ...]
    columns: tuple[Column, ...]
    covers: tuple[Shape, ...]
    ink_fu2: float
    bare_fu2: float


@lru_cache(maxsize=4096)
def _split(face: Face, glyph_id: int) -> _GlyphColumns:
    """Split a glyph: once for all sizes and settings."""
    ink, columns = split_glyph(glyph_rings(face, glyph_id), float(face.facts.units_per_em))
    covers = tuple(band(c.left, c.right, closed=c.closed) for c in columns)
    inked = joined(ink)
    bare = outside_area(inked, joined(covers))
    tolerance = COVER_EM * face.facts.units_per_em
    plain = tuple(simplified(cover, tolerance) for cover in covers)
    return _GlyphColumns(ink, columns, plain, area(inked), bare)


def _letters(layout: Layout, face: Face) -> Iterator[Letter]:
    """Letters with ink, each in its place."""
    for (line, index), group in groupby(layout.glyphs, key=lambda g: (g.line, g.letter)):
        text = layout.lines[line - 1][index - 1]
        glyphs = tuple(group)
        at_mm = (glyphs[0].x_mm, glyphs[0].y_mm)
        parts = tuple(
            (
                glyph.glyph_id,
                round(glyph.x_mm - at_mm[0], PART_DECIMALS),
                round(glyph.y_mm - at_mm[1], PART_DECIMALS),
            )
            for glyph in glyphs
        )
        shape = _shape(face, parts, glyphs[0].turn_rad, layout.mm_per_fu)
        if shape.ink:
            yield Letter(line=line, index=index, text=text, shape=shape, at_mm=at_mm)
        elif not is_blank(text):
            msg = f"face has no outline for {text!r}, letter {index} of line {line}"
            raise TextError(msg)


# Offsets of a letter's parts are rounded to this many decimals of a mm, so that a mark sits the
# same on its letter wherever that stands in the line.
PART_DECIMALS = 9


@lru_cache(maxsize=4096)
def _shape(
    face: Face, parts: tuple[tuple[int, float, float], ...], turn_rad: float, scale: float
) -> LetterShape:
    """What a letter made of glyphs at offsets (glyph, x mm, y mm) looks like."""
    glyphs = [(_split(face, glyph_id), (scale, turn_rad, x, y)) for glyph_id, x, y in parts]
    inked = sum(split.ink_fu2 for split, _ in glyphs)
    bare = sum(split.bare_fu2 for split, _ in glyphs)
    return LetterShape(
        ink=tuple(moved(shape, *where) for split, where in glyphs for shape in split.ink),
        columns=tuple(_placed(c, where) for split, where in glyphs for c in split.columns),
        covers=tuple(moved(shape, *where) for split, where in glyphs for shape in split.covers),
        bare_share=bare / inked if inked > 0.0 else 0.0,
    )


def _placed(column: Column, where: tuple[float, float, float, float]) -> Column:
    return Column(
        left=placed(column.left, *where),
        right=placed(column.right, *where),
        closed=column.closed,
    )
