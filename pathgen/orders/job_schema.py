"""Which fields a job file may have, and what each may hold.

Names are those of the settings, as the summary's data and `pathgen.plan` call them. Ranges are
those of `Settings`; here only the kind of a value is checked.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from pathgen.shop.schema import Field, Flag, Named, Number, Rows, Table, Text, Texts

__all__ = ["JOB_FIELDS", "LAYOUT", "LENGTHS", "SETTINGS"]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Amount(Field):
    """A number of any size: its range is the setting's own."""

    def fault(self, value: Any) -> str:
        """Not a number, or none that is finite."""
        right = isinstance(value, int | Decimal) and not isinstance(value, bool)
        return "" if right and Decimal(value).is_finite() else "write a number"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Name(Field):
    """A name that may be a number, such as a thread's weight."""

    def fault(self, value: Any) -> str:
        """Neither a text on one line nor a whole number."""
        if isinstance(value, int) and not isinstance(value, bool):
            return ""
        return Text(about=self.about).fault(value)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Lettering(Field):
    """A text to be sewn; line ends make lines."""

    def fault(self, value: Any) -> str:
        """Not a text, or an empty one."""
        right = isinstance(value, str) and value.strip()
        return "" if right else 'write the text in quotes, such as "Harbour Bakery"'


def _amounts(**about: str) -> dict[str, Field]:
    return {name: _Amount(about=said, needed=False) for name, said in about.items()}


LENGTHS = _amounts(
    height_mm="height of capitals",
    x_height_mm="height of the small x instead",
    spacing_mm="between needle points on one side",
    pull_mm="pull allowance on each side",
    run_mm="longest stitch of underlay and travel",
    join_mm="longest bare travel",
    on_top_mm="longest travel on top of sewn columns",
    least_column_mm="narrower columns are widened",
    least_stitch_mm="needle points keep apart",
    longest_stitch_mm="longer stitches are split",
    longest_jump_mm="farthest move at once",
    tracking_mm="added between letters",
    speed_spm="stitches a minute",
)
SETTINGS: Mapping[str, Field] = {
    "face": Text(about="bundled face or font file", needed=False),
    "face_index": Number(about="face of a collection", least=0, most=999, whole=True, needed=False),
    "axes": Named(about="places of a variable font", needed=False, each=_Amount(about="a place")),
    "thread": _Name(about="weight or count of the thread", needed=False),
    "colour": Text(about="what the thread is drawn in", needed=False),
    "needle": _Name(about="needle size", needed=False),
    "underlay": Text(about="kind of underlay", needed=False),
    "sewing": Text(about="order of the letters", needed=False),
    "ligatures": Flag(about="whether letters may join", needed=False),
    **LENGTHS,
}
LAYOUT: Mapping[str, Field] = {
    "align": Text(about="left, centre or right", needed=False),
    "arc_side": Text(about="above or below", needed=False),
    **_amounts(arc_mm="radius of the baseline", line_spacing_mm="baseline to baseline"),
}
_FIELD: Mapping[str, Field] = {
    "name": Text(about="what the shop calls it", needed=False),
    **_amounts(width_mm="its width", height_mm="its height", diameter_mm="of a round one"),
}

JOB_FIELDS: Mapping[str, Field] = {
    "title": Text(about="what the job is called", needed=False),
    "cloth": Text(about="what it is sewn on, or a cloth file", needed=False),
    "shop": Texts(about="shop files", needed=False),
    "field": Table(about="the sewing field", needed=False, fields=_FIELD),
    "layout": Table(about="how lines are set", needed=False, fields=LAYOUT),
    "defaults": Table(about="settings of all lines", needed=False, fields=SETTINGS),
    "line": Rows(
        about="at least one [[line]] with a text",
        fields={
            "text": _Lettering(about="what is sewn"),
            **SETTINGS,
            "arc_mm": LAYOUT["arc_mm"],
            "arc_side": LAYOUT["arc_side"],
            "align": LAYOUT["align"],
            "line_spacing_mm": LAYOUT["line_spacing_mm"],
        },
    ),
}
