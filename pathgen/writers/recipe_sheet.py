"""A recipe told on the terminal, or as data: every value with where it is from."""

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from pathgen.model import Finding
from pathgen.settings import Settings
from pathgen.writers.wording import CAUTION, amount

__all__ = ["sheet_data", "sheet_lines"]

Reasons = Mapping[str, tuple[str, tuple[str, ...]]]
"""By field: a clause, and where its figures are from."""

_NAME_WIDTH = 16


class Row(NamedTuple):
    """One value of a recipe.

    Attributes
    ----------
    field, name : str
        What it is called in data, and by people.
    said : str
        The value in words.
    value : object
        The value as data.
    origin : str
        ``default``, ``recipe``, ``recipe, cloth``, ``cloth file``, ``option``, ...
    because : str
        How it came about; may be empty.
    sources : tuple of str
        Where the figures are from.
    """

    field: str
    name: str
    said: str
    value: Any
    origin: str
    because: str
    sources: tuple[str, ...]


def sheet_lines(settings: Settings, why: Reasons, findings: Sequence[Finding]) -> list[str]:
    """Lines for a terminal; sources are numbered and stand once, below.

    Parameters
    ----------
    settings : Settings
        What the recipe gives.
    why : mapping of str to (str, tuple of str)
        Reason of each value and its sources, by field.
    findings : sequence of Finding
        What is out of range.
    """
    rows = list(_rows(settings, why))
    sources = list(dict.fromkeys(source for row in rows for source in row.sources if source))
    wide = max(len(row.said) for row in rows)
    lines = [f"{settings.thread.label} at {amount(settings.height_mm)} on {settings.cloth.name}"]
    for row in rows:
        told = ": ".join(part for part in (row.origin, row.because) if part)
        own = dict.fromkeys(source for source in row.sources if source)
        marks = ", ".join(str(sources.index(source) + 1) for source in own)
        told += f" [{marks}]" if marks else ""
        lines.append(f"  {row.name:<{_NAME_WIDTH}}{row.said:<{wide}}  {told}")
    lines += [_finding_line(found) for found in findings] or ["    nothing is out of range"]
    lines += [f"  [{number}] {source}" for number, source in enumerate(sources, 1)]
    return [*lines, " ".join(CAUTION)]


def _finding_line(found: Finding) -> str:
    """What is out of range, and what would help."""
    figures = ""
    if math.isfinite(found.measured):
        figures = f"{amount(found.measured, found.unit)}, limit {amount(found.limit, '')}; "
    return f"    {found.level.word:<6}{found.code.replace('-', ' ')}: {figures}{found.advice}"


def sheet_data(settings: Settings, why: Reasons, findings: Sequence[Finding]) -> dict[str, Any]:
    """The same as plain data for JSON; NaN and infinity as None."""
    return {
        "caution": list(CAUTION),
        "findings": [
            {
                "advice": f.advice,
                "code": f.code,
                "level": f.level.word,
                "limit": _plain(f.limit),
                "measured": _plain(f.measured),
                "unit": f.unit,
            }
            for f in findings
        ],
        "values": {
            row.field: {
                "because": row.because,
                "origin": row.origin,
                "sources": list(row.sources),
                "value": _plain(row.value),
            }
            for row in _rows(settings, why)
        },
    }


def _rows(s: Settings, why: Reasons) -> Iterator[Row]:
    """Material, what is set on the machine, and what follows from both."""

    def row(field: str, name: str, said: str, value: Any) -> Row:
        because, sources = why.get(field, ("", ()))
        return Row(field, name, said, value, s.origins.get(field, "default"), because, sources)

    yield row("height_mm", "height", amount(s.height_mm), s.height_mm)
    thread = row("thread", "thread", s.thread.label, s.thread.label)
    yield thread._replace(sources=(s.thread.origin_of("label"),))
    yield from _thread_rows(s)
    yield row("needle", "needle", s.needle.label, s.needle.label)
    yield from _needle_rows(s)
    yield row("cloth", "cloth", s.cloth.name, s.cloth.name)
    yield from _cloth_rows(s)
    yield row("spacing_mm", "spacing", f"{amount(s.spacing_mm)} on one side", s.spacing_mm)
    yield row("pull_mm", "allowance", f"{amount(s.pull_mm)} a side", s.pull_mm)
    yield row("underlay", "underlay", s.underlay.replace("-", " "), s.underlay)
    yield row("speed_spm", "speed", f"{amount(s.speed_spm, '')} stitches a minute", s.speed_spm)
    if s.sewing != "reading":
        yield row("sewing", "letters sewn", s.sewing.replace("-", " "), s.sewing)
    yield row("least_column_mm", "least column", amount(s.least_column_mm), s.least_column_mm)
    yield row("least_height_mm", "least height", amount(s.least_height_mm), s.least_height_mm)
    cover = s.thread.cover(s.spacing_mm)
    close = f"round threads close it at {amount(s.thread.ideal_spacing_mm)}"
    said = f"{100.0 * cover:.0f} % of the ground"
    yield Row("cover", "  cover", said, cover, "two diameters over the spacing", close, ())


def _thread_rows(s: Settings) -> Iterator[Row]:
    """Counts, fibre and thickness."""
    of = s.thread.counts()
    counts = f"{amount(round(of['tex'], 1), 'tex')}, {amount(round(of['den'], 1), 'den')}"
    others = (
        f"{amount(round(of['dtex'], 1), 'dtex')}, Nm {of['nm']:.1f}, Ne {of['ne']:.1f},"
        f" ticket {of['tkt']:.0f}"
    )
    origin = s.thread.origin_of
    yield Row("tex", "  count", counts, s.thread.tex, others, "", (origin("tex"),))
    thick = amount(s.thread.diameter_mm)
    fibre = f"round, of {s.thread.fibre}, {amount(s.thread.density_g_cm3, 'g/cm3')}"
    packed = f"{100.0 * s.thread.packing:.0f} % packed"
    sources = (origin("density_g_cm3"), origin("packing"))
    yield Row("diameter_mm", "  thickness", thick, s.thread.diameter_mm, fibre, packed, sources)


def _needle_rows(s: Settings) -> Iterator[Row]:
    """Blade and eye, and how the thread fits."""
    blade = amount(s.needle.blade_mm)
    yield Row("blade_mm", "  blade", blade, s.needle.blade_mm, "the size over 100", "", ())
    if s.needle.eye_mm is not None:
        eye, fits = amount(s.needle.eye_mm), f"{s.needle.eye_threads(s.thread):.2f} threads wide"
        source = s.needle.origin_of("eye_mm")
        yield Row("eye_mm", "  eye", eye, s.needle.eye_mm, fits, "", (source,))


def _cloth_rows(s: Settings) -> Iterator[Row]:
    """What kind of cloth it is, and how many holes it bears."""
    of, origin = s.cloth, s.cloth.origin_of
    pile = f", pile {amount(of.pile_mm)}" if of.pile_mm else ""
    kind = f"{of.stability}, {amount(of.thickness_mm)}{pile}"
    sources = (origin("stability"), origin("thickness_mm"))
    yield Row("stability", "  kind", kind, of.stability, of.remark, "", sources)
    limit = of.holes_per_mm2(s.needle)
    holes = f"{amount(of.holes_limit, '')} penetrations in the blade's own disc"
    said = f"{amount(round(limit, 1), '')} holes/mm2"
    source = (origin("holes_limit"),)
    yield Row("crowding_limit_per_mm2", "  bears", said, limit, holes, "", source)


def _plain(value: Any) -> Any:
    """Numbers to three decimals, none where there is no number."""
    if not isinstance(value, float):
        return value
    return round(value, 3) + 0.0 if math.isfinite(value) else None
