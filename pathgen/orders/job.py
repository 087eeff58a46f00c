"""A job file: lines of lettering, each with its face, height, thread and settings (TOML).

The README documents it field by field. Settings of a line go before those of ``[defaults]`` and
``[layout]``, and an option that is typed goes before all. Files that a job names are looked for
beside it.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from pathlib import Path
from typing import Any

from pathgen.errors import FontError, PathgenError, SettingsError
from pathgen.lettering.bundled import bundled_faces, face_path
from pathgen.lettering.text import MOST_LINES
from pathgen.lines import FIELD_MM, FIELD_NAME, AskedLine, SewingField
from pathgen.model import Plan
from pathgen.orders.filling import fields_in, filled, key_of
from pathgen.orders.job_schema import JOB_FIELDS, LAYOUT, SETTINGS
from pathgen.pipeline import plan_lines
from pathgen.ready import ready_line
from pathgen.shop.schema import Place, checked, located, read_toml
from pathgen.shop.shopfile import shop_with

__all__ = ["Job", "plan_job", "read_job"]

KIND = "job file"
_NO_SETTINGS = ("face", "face_index", "axes", "text")
# A line's own height takes the place of a common x-height, and the other way round.
_INSTEAD = {"height_mm": "x_height_mm", "x_height_mm": "height_mm"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """What is to be sewn.

    Attributes
    ----------
    source : str
        The file as the user named it.
    title : str
        What the job is called; the file's stem if it does not say.
    lines : tuple of AskedLine
        From top to bottom; their texts may have fields in braces.
    field : SewingField or None
        What the lettering must fit into.
    files : tuple of Path
        Every file that it rests on: the job itself, fonts, shop and cloth files.
    """

    source: str
    title: str
    lines: tuple[AskedLine, ...]
    field: SewingField | None = None
    files: tuple[Path, ...] = ()

    @property
    def fields(self) -> tuple[str, ...]:
        """Fields that its texts ask for, each once."""
        return tuple(dict.fromkeys(name for line in self.lines for name in fields_in(line.text)))

    def with_options(
        self,
        asked: Mapping[str, Any],
        *,
        face: str | Path | None = None,
        index: int = 0,
        axes: Mapping[str, float] | None = None,
        field: SewingField | None = None,
    ) -> "Job":
        """The job with options that go before what it says itself; None stands for not asked."""
        given = {name: value for name, value in asked.items() if value is not None}
        dropped = {_INSTEAD[name] for name in given if name in _INSTEAD}
        lines = []
        for line in self.lines:
            kept = {n: v for n, v in line.asked.items() if n not in dropped}
            origins = {n: o for n, o in line.origins.items() if n not in given}
            line = replace(line, asked={**kept, **given}, origins=origins)
            if face is not None:
                line = replace(line, face=face, index=index, axes=axes or {})
            elif axes:
                line = replace(line, axes=axes)
            lines.append(line)
        return replace(self, lines=tuple(lines), field=field or self.field)


def plan_job(job: Job, row: Mapping[str, str] | None = None) -> Plan:
    """Plan of a job, its fields filled from a row of values by name.

    Raises
    ------
    PathgenError
        If an input cannot be used, or the row lacks a field.
    """
    values = {key_of(name): value for name, value in (row or {}).items()}
    lines = [replace(line, text=filled(line.text, values)) for line in job.lines]
    return plan_lines([line for line in lines if line.text.strip()], job.field)


def read_job(path: Path) -> Job:
    """Job of a file.

    Raises
    ------
    SettingsError
        If the file cannot be read or a field breaks its rule; the one line of the message names
        file, line, field, value and rule.
    """
    text = read_toml(path, KIND)
    found = checked(text, JOB_FIELDS, KIND, str(path))
    return _Reading(path, text, found).job()


class _Reading:
    """A job file whose fields are known to be of the right kind."""

    def __init__(self, path: Path, text: str, found: Mapping[str, Any]) -> None:
        self.path, self.text = path, text
        self.found = {name: _plain(value) for name, value in found.items()}
        self.files = [path]

    def job(self) -> Job:
        """The job, each line of it tried."""
        count = len(self.found["line"])
        if count > MOST_LINES:
            msg = f"{KIND} {self.path} has {count} lines; allowed 1 to {MOST_LINES}"
            raise SettingsError(msg)
        common = self._common()
        lines = tuple(self._line(number, common) for number in range(len(self.found["line"])))
        return Job(
            source=str(self.path),
            title=self.found.get("title", self.path.stem),
            lines=lines,
            field=self._field(),
            files=tuple(dict.fromkeys(self.files)),
        )

    def _fault(self, place: Place, fault: str) -> SettingsError:
        return located(self.text, place, KIND, str(self.path), fault)

    def _beside(self, name: str) -> str:
        """A file that the job names, looked for beside the job."""
        path = self.path.parent / name
        self.files.append(path)
        return str(path)

    def _common(self) -> dict[str, tuple[Any, Place]]:
        """What holds for all lines, with the place where it is said."""
        out: dict[str, tuple[Any, Place]] = {}
        if "shop" in self.found:
            files = [self._beside(name) for name in self.found["shop"]]
            out["shop"] = (shop_with(files), ("shop",))
        if "cloth" in self.found:
            cloth = self.found["cloth"]
            is_file = cloth.lower().endswith(".toml")
            out["cloth"] = (self._beside(cloth) if is_file else cloth, ("cloth",))
        for table, names in (("layout", LAYOUT), ("defaults", SETTINGS)):
            for name, value in self.found.get(table, {}).items():
                if name in names:
                    out[name] = (value, (table, name))
        return out

    def _line(self, number: int, common: Mapping[str, tuple[Any, Place]]) -> AskedLine:
        """One line, tried: its face opens and its settings are allowed."""
        row = self.found["line"][number]
        said = dict(common)
        for name, value in row.items():
            said.pop(_INSTEAD.get(name, ""), None)
            said[name] = (value, ("line", number, name))
        places = {name: place for name, (_, place) in said.items()}
        values = {name: value for name, (value, _) in said.items()}
        asked = {n: _named(n, v) for n, v in values.items() if n not in _NO_SETTINGS}
        try:
            fields_in(row["text"])
            line = AskedLine(
                text=row["text"],
                face=self._face(values.get("face")),
                index=values.get("face_index", 0),
                axes=values.get("axes", {}),
                asked=asked,
                origins=dict.fromkeys(asked, KIND),
            )
            ready_line(line)
        except PathgenError as error:
            raise self._fault(self._place_of(error, places, number), str(error)) from error
        return line

    def _face(self, face: str | None) -> str | None:
        """A bundled face by its name, or a font file beside the job."""
        if face is None or face in bundled_faces():
            return face
        beside = self.path.parent / face
        name = str(beside) if beside.exists() or Path(face).suffix else face
        self.files.append(face_path(name))
        return name

    def _place_of(self, error: PathgenError, places: Mapping[str, Place], number: int) -> Place:
        """Where the field is written that an error is about."""
        name = "face" if isinstance(error, FontError) else str(error).split(" ", 1)[0]
        name = {"face_index": "face"}.get(name, name)
        return places.get(name, ("line", number))

    def _field(self) -> SewingField | None:
        """The sewing field."""
        said = self.found.get("field")
        if said is None:
            return None
        for name in ("width_mm", "height_mm", "diameter_mm"):
            if name in said and not FIELD_MM[0] <= said[name] <= FIELD_MM[1]:
                fault = (
                    f"field.{name} is {said[name]:g}; allowed {FIELD_MM[0]:g} to {FIELD_MM[1]:g}"
                )
                raise self._fault(("field", name), fault)
        sides = [said.get(name) for name in ("width_mm", "height_mm")]
        across = said.get("diameter_mm")
        if (across is None) == (None in sides) or (across is not None and any(sides)):
            fault = "field needs width_mm and height_mm, or diameter_mm alone where it is round"
            raise self._fault(("field",), fault)
        wide, high = (across, across) if across is not None else (sides[0], sides[1])
        return SewingField(
            name=said.get("name", FIELD_NAME),
            width_mm=wide,
            height_mm=high,
            is_round=across is not None,
            origin="job file",
        )


def _plain(value: Any) -> Any:
    """Decimal numbers as floats, through tables and lists."""
    if isinstance(value, Decimal):
        return float(value)
    if isinstance(value, dict):
        return {name: _plain(inner) for name, inner in value.items()}
    return [_plain(inner) for inner in value] if isinstance(value, list) else value


def _named(name: str, value: Any) -> Any:
    """A value as `plan` takes it: threads and needles by name, lengths as float."""
    if name in ("thread", "needle"):
        return str(value)
    is_count = isinstance(value, int) and not isinstance(value, bool)
    return float(value) if is_count else value
