"""Whether the lettering fits what the hoop or the cap frame lets the needle reach.

A needle that meets the frame breaks. The lettering is taken to be centred in the field by its
box, as machines do it; the machine's manual says what is kept free of the frame.
"""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from pathgen.lines import SewingField
from pathgen.model import Finding, Level
from pathgen.needles import places_mm

__all__ = ["outside_field"]


def outside_field(needles: NDArray[np.void], field: SewingField | None) -> Iterator[Finding]:
    """One finding if any needle point lies outside the field, at the farthest one.

    What is told is the side that is too long, or for a round field the diameter that the
    lettering takes.
    """
    if field is None or not len(needles):
        return
    xy = places_mm(needles)
    middle = (xy.min(axis=0) + xy.max(axis=0)) / 2.0
    out = np.abs(xy - middle)
    if field.is_round:
        takes = [2.0 * np.hypot(out[:, 0], out[:, 1])]
        limits = [field.width_mm]
    else:
        takes, limits = [2.0 * out[:, 0], 2.0 * out[:, 1]], [field.width_mm, field.height_mm]
    over = [float(size.max()) - limit for size, limit in zip(takes, limits, strict=True)]
    worst = int(np.argmax(over))
    if over[worst] > 1e-9:
        row = int(takes[worst].argmax())
        yield Finding(
            code="outside-field",
            level=Level.STOP,
            at_mm=(float(xy[row, 0]), float(xy[row, 1])),
            measured=float(takes[worst].max()),
            limit=limits[worst],
            advice=f"it does not fit {field.name}; take a larger field or smaller letters",
        )
