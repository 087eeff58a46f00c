"""Filled forms and logs: cells as people write them become samples; what cannot be used is named.

Lengths may be mm (the default), cm or inches, with a point or a comma: ``1.35``, ``1,35``,
``0.053 in``, ``0.053"``. Yes and no may be written in several ways. A missing date is that of the
row above.
"""

import datetime
import math
import re
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from pathgen.errors import SettingsError, one_of
from pathgen.orders.table import NamesTable, open_table
from pathgen.trials import Fault, Grade, Sample

__all__ = ["COLUMNS", "FILLED", "Reading", "bare_cell", "read_samples"]

COLUMNS = (
    "number",
    "kind",
    "direction_deg",
    "drawn_mm",
    "text",
    "height_mm",
    "edge",
    "holes",
    "counter",
    "read",
    "remark",
    "date",
    "panel",
    "thread",
    "tex",
    "cloth",
    "underlay",
    "needle_mm",
    "margin",
    "spacing_mm",
    "pull_mm",
    "face",
    "face_index",
    "axes",
)
"""All columns of a form and of a log: what it is, what is filled in, how it was planned."""

FILLED = ("edge", "holes", "counter", "read", "remark", "date")
"""Columns that are filled in by hand."""

_NEEDED = ("kind", "thread", "tex", "cloth", "date")

_MEASURED = ("edge", "holes", "counter", "read")

_KINDS = ("bar", "ring", "letter")

WIDEST_MM = 30.0
"""No bar or ring of a panel is wider; a larger figure is a slip."""

_LENGTH = re.compile(r"(\d*[.,]?\d+|\d+[.,])\s*(mm|cm|in|inch|inches|\"|″|'')?", re.IGNORECASE)
_MM = {"mm": 1.0, "cm": 10.0, "in": 25.4, "inch": 25.4, "inches": 25.4}

_YES = {"yes", "y", "1", "true", "read", "ok", "ja", "oui", "si", "sí", "sim", "✓"}
_NO = {"no", "n", "0", "false", "not read", "nein", "non", "não", "nao"}
_PLANNED = ("drawn_mm", "height_mm", "tex", "needle_mm", "margin")
"""Figures that the form comes with: where they have commas, commas are no guess."""
_CLOSED = {"closed", "shut", "c", "none", "zu"}

NAN = math.nan


class Reading(NamedTuple):
    """What forms held.

    Attributes
    ----------
    samples : tuple of Sample
        With something measured.
    rows : tuple of tuple of str
        The cells of each sample as they stand in the file, by `COLUMNS`.
    faults : tuple of Fault
        Cells and rows that were left out, or read with a guess.
    blank : int
        Rows in which nothing was filled in.
    """

    samples: tuple[Sample, ...]
    rows: tuple[tuple[str, ...], ...]
    faults: tuple[Fault, ...]
    blank: int


def read_samples(paths: Sequence[Path]) -> Reading:
    """Samples of filled forms and logs, joined.

    A row that stands in several files, or twice in one, word for word, counts once.

    Raises
    ------
    SettingsError
        If a file is no table, or lacks a column that is needed.
    """
    samples: list[Sample] = []
    rows: list[tuple[str, ...]] = []
    faults: list[Fault] = []
    seen: dict[tuple[str, ...], tuple[str, int]] = {}
    blank = 0
    for path in paths:
        table = open_table(path)
        _check_columns(table)
        faults += _notes(table)
        date, file = "", str(path)
        for row in table.rows():
            if row.fault:
                faults.append(Fault(file=file, row=row.number, field="", said="", rule=row.fault))
                continue
            cells = {name: bare_cell(cell) for name, cell in row.cells.items()}
            date = cells["date"] or date
            cells["date"] = date
            if not any(cells.get(name) for name in _MEASURED):
                blank += 1
                continue
            key = tuple(cells.get(name, "") for name in COLUMNS)
            if key in seen:
                where = f"row {seen[key][1]} of {seen[key][0]}"
                rule = f"the same as {where}; counted once"
                faults.append(Fault(file=file, row=row.number, field="", said="", rule=rule))
                continue
            seen[key] = (file, row.number)
            made, found = _Cells(file, row.number, cells).sample()
            faults += found
            if made is not None:
                samples.append(made)
                rows.append(key)
    return Reading(tuple(samples), tuple(rows), tuple(faults), blank)


def bare_cell(cell: str) -> str:
    """A cell without the apostrophe that keeps a spreadsheet from running it as a formula."""
    return cell[1:] if cell[:1] == "'" and cell[1:2] in ("=", "+", "-", "@") else cell


def _notes(table: NamesTable) -> list[Fault]:
    """How a file had to be read, where that was not plain."""
    return [
        Fault(
            file=str(table.path),
            row=0,
            field="",
            said="",
            rule=note.removeprefix(f"table {table.path} "),
            grade=Grade.READ,
        )
        for note in table.notes
    ]


def _check_columns(table: NamesTable) -> None:
    """Every column that is read is there once, and at least one of those to be filled in.

    Raises
    ------
    SettingsError
        With the nearest column.
    """
    table.check([*_NEEDED, *(name for name in COLUMNS if name in table.columns)])
    if not set(_MEASURED) & set(table.columns):
        msg = f"table {table.path} has no column to fill in: {', '.join(_MEASURED)}"
        raise SettingsError(msg)


class _Cells:
    """The cells of one row, and the faults found in them."""

    def __init__(self, file: str, number: int, cells: dict[str, str]) -> None:
        self.file, self.number, self.cells = file, number, cells
        self.faults: list[Fault] = []
        self.commas = any("," in cells.get(name, "") for name in _PLANNED)

    def fault(self, field: str, rule: str, grade: Grade = Grade.LEFT_OUT) -> None:
        """Note a cell."""
        said = self.cells.get(field, "")
        shown = said if len(said) <= 40 else f"{said[:37]}..."
        self.faults.append(
            Fault(file=self.file, row=self.number, field=field, said=shown, rule=rule, grade=grade)
        )

    def sample(self) -> tuple[Sample | None, list[Fault]]:
        """The row as a sample; None where it is of no use."""
        kind = self.cells["kind"].lower()
        date, tex = self.date(), self.number_in("tex", 1.0, 500.0)
        if kind not in _KINDS:
            self.fault("kind", f"choose {one_of(_KINDS)}")
        for name in ("thread", "cloth"):
            if not self.cells[name]:
                self.fault(name, "missing")
        if self.faults:
            return None, self.faults
        measured = self.bar() if kind == "bar" else self.ring() if kind == "ring" else self.letter()
        if measured is None:
            return None, self.faults
        made = Sample(
            file=self.file,
            row=self.number,
            kind=kind,
            panel=self.cells.get("panel", ""),
            date=date,
            thread=self.cells["thread"],
            tex=tex,
            cloth=" ".join(self.cells["cloth"].lower().split()),
            underlay=self.cells.get("underlay", "") or "none",
            **measured,  # type: ignore[arg-type]
        )
        return made, self.faults

    def bar(self) -> dict[str, object] | None:
        """A bar with a width or two."""
        needle_mm = self.number_in("needle_mm", 0.05, WIDEST_MM)
        edge_mm, holes_mm = self.length("edge"), self.length("holes")
        if not self.cells.get("edge") and not self.cells.get("holes"):
            self.fault("edge", "missing, as is holes; a bar needs one of the two")
        if math.isnan(needle_mm) or (math.isnan(edge_mm) and math.isnan(holes_mm)):
            return None
        if edge_mm < holes_mm:
            self.fault("holes", "wider than the edges; the two may be swapped", Grade.READ)
        return {
            "needle_mm": needle_mm,
            "drawn_mm": self.number_in("drawn_mm", 0.05, WIDEST_MM, needed=False),
            "direction_deg": self.number_in("direction_deg", 0.0, 360.0, needed=False),
            "edge_mm": edge_mm,
            "holes_mm": holes_mm,
        }

    def ring(self) -> dict[str, object] | None:
        """A ring, open or closed."""
        needle_mm = self.number_in("needle_mm", -WIDEST_MM, WIDEST_MM)
        closed = self.cells.get("counter", "").lower() in _CLOSED
        counter_mm = 0.0 if closed else self.length("counter")
        if not self.cells.get("counter"):
            self.fault("counter", "missing")
        if math.isnan(needle_mm) or math.isnan(counter_mm):
            return None
        drawn_mm = self.number_in("drawn_mm", 0.05, WIDEST_MM, needed=False)
        return {"needle_mm": needle_mm, "drawn_mm": drawn_mm, "counter_mm": counter_mm}

    def letter(self) -> dict[str, object] | None:
        """A letter, read or not."""
        said = self.cells.get("read", "").lower()
        if said not in _YES | _NO:
            self.fault("read", "write yes or no")
            return None
        return {
            "text": self.cells.get("text", ""),
            "height_mm": self.number_in("height_mm", 0.1, 200.0, needed=False),
            "margin": self.number_in("margin", -2.0, 2.0),
            "spacing_mm": self.number_in("spacing_mm", 0.01, 5.0, needed=False),
            "pull_mm": self.number_in("pull_mm", 0.0, 5.0, needed=False),
            "face": self.cells.get("face", ""),
            "face_index": self.face_index(),
            "axes": self.axes(),
            "read": said in _YES,
        }

    def face_index(self) -> int:
        """Which face of a collection; 0 where nothing is said."""
        index = self.number_in("face_index", 0.0, 1000.0, needed=False)
        return 0 if math.isnan(index) else int(index)

    def axes(self) -> str:
        """Places on the axes of a variable font."""
        said = self.cells.get("axes", "")
        if said and not re.fullmatch(r"\S+=-?[\d.]*\d(\s+\S+=-?[\d.]*\d)*", said):
            self.fault("axes", "write tag=value, such as wght=600")
            return ""
        return said

    def date(self) -> str:
        """The day, as 2027-03-01; a fault where it is none."""
        said = self.cells["date"]
        for form in ("%Y-%m-%d", "%d.%m.%Y", "%Y/%m/%d", "%Y%m%d"):
            try:
                return datetime.datetime.strptime(said, form).date().isoformat()
            except ValueError:
                continue
        rule = "write the day as 2027-03-01" if said else "missing; write the day as 2027-03-01"
        self.fault("date", rule)
        return ""

    def number_in(self, name: str, least: float, most: float, *, needed: bool = True) -> float:
        """A planned number; NaN where there is none, and a fault where one is needed."""
        said = self.cells.get(name, "")
        try:
            value = float(said.replace(",", "."))
        except ValueError:
            value = NAN
        if least <= value <= most:
            return value
        if needed or said:
            rule = f"allowed {least:g} to {most:g}" if said else "missing"
            self.fault(name, rule)
        return NAN

    def length(self, name: str) -> float:
        """A measured length in mm; NaN for a missing one."""
        said = self.cells.get(name, "").replace("\xa0", " ")
        if not said:
            return NAN
        match = _LENGTH.fullmatch(said)
        if match is None:
            also = ", or closed" if name == "counter" else ""
            self.fault(name, f"write a length such as 1.35 or 0.053 in{also}")
            return NAN
        unit = (match[2] or "mm").lower()
        value = float(match[1].replace(",", ".")) * _MM.get(unit, 25.4)
        if not 0.0 <= value <= WIDEST_MM:
            self.fault(name, f"allowed 0 to {WIDEST_MM:g} mm")
            return NAN
        how = ["a decimal comma"] if "," in match[1] and not self.commas else []
        how += [] if unit == "mm" else ["inches" if _MM.get(unit, 25.4) == 25.4 else unit]
        if how:
            self.fault(name, f"read as {value:.3f} mm ({', '.join(how)})", Grade.READ)
        return value
