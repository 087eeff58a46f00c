"""How large the page of a written plot is, so that nobody sends a poster to an office printer."""

import re
from pathlib import Path

from pathgen.model import Plan
from pathgen.writers.wording import sewn_size_mm

__all__ = ["on_paper"]

_OFFICE_MM = (297.0, 216.0)
"""Long and short side of what A4 and Letter can hold."""

_HEAD_BYTES = 4096
"""A drawing's first element, with its size, stands within."""


_HIGHEST_MM = 110.0
"""A lettering higher than about this has no place on such a sheet beside its head and caution."""


def on_paper(plot: Path, made: Plan) -> str:
    """What to do about a page that is larger than A4 and Letter; empty where it is not."""
    with plot.open("rb") as file:
        head = file.read(_HEAD_BYTES).decode(errors="replace")
    sides = [re.search(rf'<svg [^>]*\b{side}="([\d.]+)mm"', head) for side in ("width", "height")]
    wide, high = (float(side[1]) if side else 0.0 for side in sides)
    if max(wide, high) <= _OFFICE_MM[0] and min(wide, high) <= _OFFICE_MM[1]:
        return ""
    size = f"{wide:.0f} x {high:.0f} mm"
    if sewn_size_mm(made)[1] > _HIGHEST_MM:
        return f"{size}; the lettering is too high for sheets of A4 or Letter"
    return f"{size}; --page-size a4 or letter makes sheets of it"
