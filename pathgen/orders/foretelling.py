"""What the verdict foretells of each letter, as a form or a log keeps it; and told anew.

A margin depends on how thread is taken to look. Once bars have taught how it does look, the margins
of the same letters are reckoned anew, each planned as it was sewn, so that the limits fit the look
that later plans are judged by.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any, NamedTuple

from pathgen.errors import PathgenError, SettingsError
from pathgen.legibility import read
from pathgen.lettering.bundled import face_name
from pathgen.lines import AskedLine
from pathgen.materials import Cloth
from pathgen.model import Plan
from pathgen.pipeline import plan_lines
from pathgen.shop.look import sewn_look
from pathgen.shop.shelves import Shop
from pathgen.trials import Fault, Grade, Sample

__all__ = ["common_cells", "letter_cells", "told_anew"]


def common_cells(name: str, plan: Plan, number: int) -> dict[str, str]:
    """Cells that every row of a form has."""
    thread = plan.settings.thread
    return {
        "number": f"{number}",
        "panel": name,
        "thread": thread.label,
        "tex": _said(thread.tex),
        "cloth": plan.settings.cloth.name,
    }


def letter_cells(name: str, plan: Plan, before: int = 0) -> Iterator[dict[str, str]]:
    """Cells of each letter of a plan, with the margin foretold and all that it depends on."""
    margins = _margins(plan)
    for number, letter in enumerate(plan.letters, before + 1):
        line = plan.by_line[letter.line - 1]
        settings, face = line.settings, line.face
        yield {
            **common_cells(name, plan, number),
            "kind": "letter",
            "thread": settings.thread.label,
            "tex": _said(settings.thread.tex),
            "underlay": settings.underlay,
            "text": letter.text,
            "height_mm": _said(settings.height_mm),
            "margin": f"{round(margins[letter.line, letter.index], 4) + 0.0:.4f}",
            "spacing_mm": _said(settings.spacing_mm),
            "pull_mm": _said(settings.pull_mm),
            "face": face_name(face.source),
            "face_index": f"{face.index}" if face.index else "",
            "axes": " ".join(f"{tag}={value:g}" for tag, value in face.axes),
        }


def _said(value: float) -> str:
    """At most three decimals, no needless zeros."""
    return f"{round(value, 3) + 0.0:.3f}".rstrip("0").rstrip(".")


def _margins(plan: Plan) -> dict[tuple[int, int], float]:
    """Margin of each letter by line and place."""
    return {(told.line, told.letter): told.margin for told in read(plan).letters}


class _As(NamedTuple):
    """How letters were sewn, as far as their margins depend on it."""

    face: str
    face_index: int
    axes: str
    thread: str
    height_mm: float
    spacing_mm: float
    pull_mm: float
    underlay: str


def told_anew(
    samples: Sequence[Sample], base: Cloth, learnt: Cloth, shop: Shop | None = None
) -> tuple[list[Sample], list[Fault]]:
    """Samples with the margins of letters reckoned with what was learnt of a cloth.

    Parameters
    ----------
    samples : sequence of Sample
        All of one cloth.
    base : Cloth
        What the letters were sewn on, as it is listed.
    learnt : Cloth
        The same with what its samples have shown.
    shop : Shop, optional
        Where threads are looked up.

    Returns
    -------
    list of Sample, list of Fault
        As many samples in the same order; a fault where a letter keeps the margin of its form,
        because its face cannot be opened or what it was sewn with is not written there.
    """
    letters = [s for s in samples if s.kind == "letter"]
    groups: dict[_As, list[Sample]] = {}
    for one in letters:
        groups.setdefault(_as_sewn(one), []).append(one)
    margins: dict[tuple[_As, str], float] = {}
    faults = []
    for how, group in groups.items():
        try:
            margins |= _of_group(how, group, base, learnt, shop)
        except PathgenError as error:
            rule = f"keeps the margin of the form ({len(group)} letters): {error}"
            first = group[0]
            faults.append(
                Fault(
                    file=first.file,
                    row=first.row,
                    field="margin",
                    said=f"{first.margin:.4f}",
                    rule=rule,
                    grade=Grade.READ,
                )
            )
    out = []
    for one in samples:
        key = (_as_sewn(one), one.text)
        out.append(replace(one, margin=margins[key]) if key in margins else one)
    return out, faults


def _as_sewn(one: Sample) -> _As:
    return _As(
        one.face,
        one.face_index,
        one.axes,
        one.thread,
        one.height_mm,
        one.spacing_mm,
        one.pull_mm,
        one.underlay,
    )


def _of_group(
    how: _As, group: Sequence[Sample], base: Cloth, learnt: Cloth, shop: Shop | None
) -> dict[tuple[_As, str], float]:
    """Margins of letters that were sewn alike; none where nothing was learnt of their thread."""
    if math.isnan(how.height_mm + how.spacing_mm + how.pull_mm):
        msg = "height_mm, spacing_mm and pull_mm say how a letter was sewn; one is missing"
        raise SettingsError(msg)
    asked: dict[str, Any] = {
        "thread": how.thread,
        "cloth": base.name,
        "height_mm": how.height_mm,
        "spacing_mm": how.spacing_mm,
        "pull_mm": how.pull_mm,
        "underlay": how.underlay,
        "shop": shop,
    }
    signs = "".join(dict.fromkeys(one.text for one in group))
    axes = dict(pair.split("=", 1) for pair in how.axes.split())
    line = AskedLine(
        text=signs,
        face=how.face or None,
        index=how.face_index,
        axes={tag: float(value) for tag, value in axes.items()},
        asked=asked,
    )
    made = plan_lines([line])
    settings = made.settings
    if learnt.sewn_with(settings.thread) is None:
        return {}
    look = sewn_look(settings.thread, learnt)
    rows = tuple(replace(r, settings=replace(r.settings, sewn_look=look)) for r in made.by_line)
    told = read(replace(made, settings=replace(settings, sewn_look=look), by_line=rows))
    return {(how, one.text): one.margin for one in told.letters}
