"""The notes below the drawing: stitches with the key to lines and dots, settings, findings.

Every size is for A4 and is multiplied by the page's unit.
"""

import math
from functools import lru_cache

from pathgen.model import Plan
from pathgen.needles import Part
from pathgen.verdicts import Reading
from pathgen.writers.plot_block import HEADING_MM, ROW_MM, TYPE_MM, heading, row_y
from pathgen.writers.plot_crowding import CROWDING_STEPS
from pathgen.writers.plot_findings_key import findings_height, findings_key
from pathgen.writers.plot_layers import dash
from pathgen.writers.plot_page import fitted, wrapped
from pathgen.writers.plot_signs import LABEL_MM
from pathgen.writers.plot_style import (
    ALARM,
    COLUMN_TINTS,
    EDGE,
    HAIR_MM,
    INK,
    INK_FILL,
    PAPER,
    PART_LOOK,
    QUIET,
    TEXT,
    TRIM_DASH_MM,
    TRIM_LINE_MM,
    PartLook,
)
from pathgen.writers.plot_svg_pen import (
    Element,
    circle,
    filled,
    fragment,
    group,
    path,
    rectangle,
    short,
    words,
    written,
)
from pathgen.writers.plot_threads import thread_looks
from pathgen.writers.reading_words import VERDICT_WORDS, reading_facts
from pathgen.writers.setting_rows import SettingRow, setting_rows
from pathgen.writers.wording import (
    CAUTION,
    crowding_said,
    grouped_thousands,
    narrowest_mm,
    plural,
)

__all__ = ["caution", "caution_height", "notes", "notes_height"]

KEY_WIDTH_MM, SETTINGS_WIDTH_MM, GUTTER_MM = 60.0, 98.0, 9.0
CAUTION_WORD_MM = 35.0
MOST_READING_LINES = 4

PARTS_SHOWN = (Part.ZIGZAG, Part.UNDERLAY, Part.TRAVEL, Part.TIE_IN, Part.TIE_OFF)


def _findings_width(width: float, unit: float) -> float:
    """What the first two blocks leave for the findings."""
    taken = KEY_WIDTH_MM + SETTINGS_WIDTH_MM + 2.0 * GUTTER_MM
    return width - taken * unit


def notes_height(plan: Plan, width: float, unit: float, reading: Reading | None = None) -> float:
    """Height that the notes take in a page's inner width."""
    inner = _findings_width(width, unit)
    rows = max(len(PARTS_SHOWN) + 8 + _thread_rows(plan), len(setting_rows(plan)))
    above = _reading_height(reading, inner, unit)
    return max((HEADING_MM + rows * ROW_MM) * unit, findings_height(plan, inner, unit) + above)


def notes(
    plan: Plan,
    x: float,
    y: float,
    width: float,
    unit: float,
    reading: Reading | None = None,
    most: float = math.inf,
) -> Element:
    """The three blocks of notes, their upper left corner at a point of the page.

    Findings that would go beyond a height of ``most`` are only counted.
    """
    out = group("notes", "Notes", fill=TEXT)
    out.add(_key(plan, x, y, unit))
    left = x + (KEY_WIDTH_MM + GUTTER_MM) * unit
    out.add(_settings(plan, left, y, unit))
    left += (SETTINGS_WIDTH_MM + GUTTER_MM) * unit
    wide = width - (left - x)
    if reading is not None:
        out.add(_reading_note(reading, left, y, wide, unit))
        taken = _reading_height(reading, wide, unit)
        y, most = y + taken, most - taken
    out.add(findings_key(plan, left, y, wide, unit, most))
    return out


def _key(plan: Plan, x: float, y: float, unit: float) -> Element:
    """Stitches by part with a sample of each line and dot; then the other signs."""
    out = group("legend", "Stitches by part, and the key to the drawing")
    zigzag = thread_looks(plan)[0].line
    by_part, whole = plan.whole.by_part, plan.whole
    count = sum(len(letter.shape.columns) for letter in plan.letters)
    least = narrowest_mm(plan)
    values = (
        *(grouped_thousands(by_part[part]) for part in PARTS_SHOWN),
        grouped_thousands(whole.stitches),
        plural(whole.trims, "trim"),
        plural(len(plan.letters), "letter"),
        grouped_thousands(count),
        f"1 to {count}" if count else "none",
        crowding_said(plan) or "not known",
        f"{least:.2f} mm" if math.isfinite(least) else "none",
    )
    out.add(filled(_key_form(x, y, unit, zigzag), *values))
    if _thread_rows(plan):
        for item in _threads_key(plan, x, row_y(y, len(values), unit), unit):
            out.add(item)
    return out


@lru_cache(maxsize=64)
def _key_form(x: float, y: float, unit: float, zigzag: str) -> str:
    """What is the same in the keys of all plans on the same sheet, with places for their values."""
    width, size = KEY_WIDTH_MM * unit, TYPE_MM * unit
    out = heading("Stitches", x, y, width, unit)
    names = ["not sewn: trim or jump", "outline", "columns", "sewing order", "crowded"]
    rows = [*(part.word for part in PARTS_SHOWN), "all stitches", *names, "narrowest column"]
    for row, name in enumerate(rows):
        base, weight = row_y(y, row, unit), "bold" if name == "all stitches" else "normal"
        out.append(words(name, x + 13.0 * unit, base, size, font_weight=weight))
        out.append(words("%s", x + width, base, size, text_anchor="end", font_weight=weight))
        out += _sample(row, x, base - size * 0.35, unit, zigzag)
    return written(out)


def _thread_rows(plan: Plan) -> int:
    """Rows that threads take in the key: none for one thread without a chosen colour."""
    several = len(plan.threads) > 1
    return len(plan.threads) + 1 if several else int(bool(plan.settings.thread.colour))


def _threads_key(plan: Plan, x: float, y: float, unit: float) -> list[Element]:
    """Each thread with its colour and stitches, and how often it is changed; from a row on."""
    out: list[Element] = []
    size, right = TYPE_MM * unit, x + KEY_WIDTH_MM * unit
    counts = [count for count in plan.counts if count.scope == "thread"]
    rows = [
        (f"{look.number}: {look.name}" if len(counts) > 1 else look.name, count)
        for look, count in zip(thread_looks(plan), counts, strict=True)
    ]
    for row, ((name, count), look) in enumerate(zip(rows, thread_looks(plan), strict=True)):
        base = y + row * ROW_MM * unit
        out.append(words(fitted(name, size, 34.0 * unit), x + 13.0 * unit, base, size))
        out.append(words(grouped_thousands(count.stitches), right, base, size, text_anchor="end"))
        swatch: dict[str, str | float] = {
            "fill": look.true,
            "stroke": look.line,
            "stroke_width": 0.3 * unit,
        }
        out.append(rectangle(x, base - 2.1 * unit, 9.0 * unit, 2.4 * unit, **swatch))
    if len(rows) > 1:
        base = y + len(rows) * ROW_MM * unit
        out.append(words("thread changes", x + 13.0 * unit, base, size))
        out.append(words(grouped_thousands(plan.changes), right, base, size, text_anchor="end"))
    return out


def _sample(row: int, x: float, y: float, unit: float, zigzag: str) -> list[Element]:
    """What a row of the key looks like in the drawing; the zigzag has the first thread's colour."""
    if row < len(PARTS_SHOWN):
        part = PARTS_SHOWN[row]
        drawn = PART_LOOK[part]
        drawn = drawn._replace(colour=zigzag) if part == Part.ZIGZAG else drawn
        return _part_sample(part, drawn, x, y, unit)
    wide, high, low = 9.0 * unit, 2.4 * unit, y - 1.2 * unit
    after = row - len(PARTS_SHOWN)
    if after == 1:
        line = f"M{short(x)} {short(y)}h{short(wide)}"
        return [
            path(line, fill="none", stroke=TEXT, stroke_width=TRIM_LINE_MM, **dash(TRIM_DASH_MM))
        ]
    if after == 2:
        return [rectangle(x, low, wide, high, fill=INK_FILL, stroke=INK, stroke_width=HAIR_MM)]
    if after == 3:
        look: dict[str, str | float] = {"stroke": EDGE, "stroke_width": HAIR_MM}
        share = wide / len(COLUMN_TINTS)
        return [
            rectangle(x + i * share, low, share, high, fill=tint, **look)
            for i, tint in enumerate(COLUMN_TINTS)
        ]
    if after == 5:
        return _crowding_sample(x, y, unit)
    if after == 6:
        return _narrow_sample(x, y, unit)
    if after == 4:
        size = LABEL_MM * unit
        return [words("1  2  3", x, y + size * 0.36, size, font_weight="bold")]
    return []


def _crowding_sample(x: float, y: float, unit: float) -> list[Element]:
    """The shades of crowding, from half of the limit on."""
    radius = 1.3 * unit
    return [
        circle(
            x + (1.5 + 3.0 * number) * unit,
            y,
            radius,
            fill=step.colour,
            fill_opacity=step.opacity,
        )
        for number, step in enumerate(CROWDING_STEPS)
    ]


def _narrow_sample(x: float, y: float, unit: float) -> list[Element]:
    """A dimension of a narrow place."""
    tick = 0.7 * unit
    ends = "".join(f"M{short(x + a * unit)} {short(y - tick)}v{short(2.0 * tick)}" for a in (0, 4))
    line = f"M{short(x)} {short(y)}h{short(4.0 * unit)}{ends}"
    size = 2.1 * unit
    return [
        path(line, fill="none", stroke=ALARM, stroke_width=1.6 * HAIR_MM),
        words("0.8", x + 5.2 * unit, y + size * 0.36, size, fill=ALARM),
    ]


def _part_sample(part: Part, look: PartLook, x: float, y: float, unit: float) -> list[Element]:
    """Line and dots of a part."""
    step, rise = 3.0 * unit, 0.0
    if part == Part.ZIGZAG:
        step, rise = 1.5 * unit, 0.95 * unit
    count = round(9.0 * unit / step) + 1
    spots = [(short(x + i * step), short(y + rise * (1 - i % 2 * 2))) for i in range(count)]
    line = "M" + "L".join(" ".join(spot) for spot in spots)
    dots = "".join(f"M{a} {b}h0" for a, b in spots)
    out = [
        path(
            line,
            fill="none",
            stroke=look.colour,
            stroke_width=look.line_mm,
            stroke_linecap="round",
            **dash(look.dash_mm),
        )
    ]
    sizes = [(look.colour, look.dot_mm)] + ([(PAPER, look.core_mm)] if look.core_mm else [])
    for colour, dot in sizes:
        out.append(
            path(dots, fill="none", stroke=colour, stroke_width=dot, stroke_linecap=look.cap)
        )
    return out


def _settings(plan: Plan, x: float, y: float, unit: float) -> Element:
    """Each setting, its value and where that came from."""
    out = group("settings", "Settings, and where each value came from")
    out.add(fragment(_settings_written(setting_rows(plan), x, y, unit)))
    return out


@lru_cache(maxsize=64)
def _settings_written(rows: tuple[SettingRow, ...], x: float, y: float, unit: float) -> str:
    """What stands in the settings: the same for all plans of a run on the same sheet."""
    width, size = SETTINGS_WIDTH_MM * unit, TYPE_MM * unit
    items = heading("Settings", x, y, width, unit)
    before = ""
    for row, setting in enumerate(rows):
        base = row_y(y, row, unit)
        if setting.name != before:
            items.append(words(setting.name, x, base, size, fill=QUIET))
        before = setting.name
        value = fitted(setting.value, size, 40.0 * unit)
        items.append(words(value, x + 43.0 * unit, base, size))
        items.append(words(setting.origin, x + width, base, size, text_anchor="end", fill=QUIET))
    return written(items)


def _reading_lines(reading: Reading, width: float, unit: float) -> list[str]:
    """What the reading verdict rests on, broken to a width."""
    return wrapped("; ".join(reading_facts(reading)), TYPE_MM * unit, width, MOST_READING_LINES)


def _reading_height(reading: Reading | None, width: float, unit: float) -> float:
    """Height that the reading verdict takes above the findings; 0 where there is none."""
    if reading is None:
        return 0.0
    return (HEADING_MM + len(_reading_lines(reading, width, unit)) * ROW_MM + 3.0) * unit


def _reading_note(reading: Reading, x: float, y: float, width: float, unit: float) -> Element:
    """Whether the letters can be read once sewn."""
    out = group("reading", "Whether the letters can be read once sewn")
    for item in heading(f"Reading: {VERDICT_WORDS[reading.verdict]}", x, y, width, unit):
        out.add(item)
    for row, line in enumerate(_reading_lines(reading, width, unit)):
        out.add(words(line, x, row_y(y, row, unit), TYPE_MM * unit, fill=QUIET))
    return out


def _caution_lines(width: float, unit: float) -> list[str]:
    """The caution broken to its box."""
    return wrapped(" ".join(CAUTION), TYPE_MM * unit, width - (CAUTION_WORD_MM + 4.0) * unit)


def caution_height(width: float, unit: float) -> float:
    """Height of the caution's box."""
    return (len(_caution_lines(width, unit)) * ROW_MM + 3.4) * unit


def caution(x: float, y: float, width: float, unit: float) -> Element:
    """The caution in its own box."""
    out = group("caution", "Caution", fill=TEXT)
    out.add(fragment(_caution_written(x, y, width, unit)))
    return out


@lru_cache(maxsize=64)
def _caution_written(x: float, y: float, width: float, unit: float) -> str:
    """What stands in the caution: the same for all plans on the same sheet."""
    size = TYPE_MM * unit
    box = rectangle(
        x,
        y,
        width,
        caution_height(width, unit),
        rx=1.2 * unit,
        fill="#fff6dc",
        stroke=TEXT,
        stroke_width=0.25 * unit,
    )
    base = y + 4.7 * unit
    items = [box, words("Before you sew", x + 4.0 * unit, base, size * 1.1, font_weight="bold")]
    for row, line in enumerate(_caution_lines(width, unit)):
        items.append(words(line, x + CAUTION_WORD_MM * unit, base + row * ROW_MM * unit, size))
    return written(items)
