"""Every setting of a plan in words, with where its value came from."""

from functools import lru_cache
from typing import NamedTuple

from pathgen.model import Plan
from pathgen.writers.field_words import field_named
from pathgen.writers.wording import all_of, amount, lines_named

__all__ = ["SettingRow", "setting_rows"]


class SettingRow(NamedTuple):
    """One setting as a reader sees it, with where the value came from."""

    name: str
    value: str
    origin: str


@lru_cache(maxsize=1)
def setting_rows(plan: Plan) -> tuple[SettingRow, ...]:
    """Every setting that bears on this plan; those of lines and arcs only if there are any.

    Where lines differ in a setting, it has a row for each of its values.
    """
    told: dict[str, dict[tuple[str, str], list[int]]] = {}
    for number, line in enumerate(plan.by_line, 1):
        for field, name, value in () if line.is_label else _settings_of(plan, number):
            origin = line.settings.origins.get(field, "default")
            told.setdefault(name, {}).setdefault((value, origin), []).append(number)
    rows = []
    for name, values in told.items():
        for (value, origin), lines in values.items():
            where = f"{lines_named(lines)}: " if len(values) > 1 else ""
            rows.append(SettingRow(name=name, value=f"{where}{value}", origin=origin))
    if plan.field is not None:
        rows.append(
            SettingRow(name="field", value=field_named(plan.field), origin=plan.field.origin)
        )
    labels = [line.settings.height_mm for line in plan.by_line if line.is_label]
    if labels:
        said = f"{all_of(amount(height, '') for height in labels)} mm"
        rows.append(SettingRow(name="labels of rows", value=said, origin="panel"))
    return tuple(rows)


def _settings_of(plan: Plan, number: int) -> list[tuple[str, str, str]]:
    """Field, name and value of every setting that bears on a line, numbered from 1."""
    line = plan.by_line[number - 1]
    s = line.settings
    tex = amount(round(s.thread.tex, 1), "tex")
    thread = s.thread.name if len(plan.threads) > 1 else f"{s.thread.name}, {tex}"
    rows = [
        ("height_mm", "capital height", amount(s.height_mm)),
        ("thread", "thread", thread),
        ("needle", "needle", s.needle.label),
        ("cloth", "cloth", s.cloth.name),
        ("spacing_mm", "spacing, same side", amount(s.spacing_mm)),
        ("pull_mm", "pull allowance, each side", amount(s.pull_mm)),
        ("underlay", "underlay", s.underlay.replace("-", " ")),
        ("run_mm", "longest running stitch", amount(s.run_mm)),
        ("least_column_mm", "least column", amount(s.least_column_mm)),
        ("join_mm", "gaps joined up to", amount(s.join_mm)),
        ("on_top_mm", "runs on top up to", amount(s.on_top_mm)),
        ("least_stitch_mm", "points keep apart", amount(s.least_stitch_mm)),
        ("speed_spm", "speed", f"{amount(s.speed_spm, '')} stitches a minute"),
    ]
    if s.sewing != "reading":
        rows.append(("sewing", "letters sewn", s.sewing.replace("-", " ")))
    if s.tracking_mm:
        rows.append(("tracking_mm", "added between letters", amount(s.tracking_mm)))
    if s.ligatures:
        rows.append(("ligatures", "ligatures", "on"))
    if len(plan.lines) > 1:
        if not plan.is_mixed:
            rows.append(("line_spacing_mm", "baseline to baseline", amount(s.line_spacing_mm)))
        elif number > 1:
            step = line.down_mm - plan.by_line[number - 2].down_mm
            rows.append(("line_spacing_mm", "from the line above", amount(step)))
        rows.append(("align", "lines set", s.align))
    if s.arc_mm is not None:
        rows.append(("arc_mm", "arc radius", f"{amount(s.arc_mm)}, {s.arc_side}"))
    return rows
