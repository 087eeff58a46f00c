"""Whether the lettering fits what the hoop or the cap frame lets the needle reach.

A needle that meets the frame breaks; the machine's manual says what is kept free of it.
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
    takes, limits = field.takes_mm(xy), field.limits_mm
    worst = int((takes.max(axis=0) - limits).argmax())
    row = int(takes[:, worst].argmax())
    if takes[row, worst] - limits[worst] > 1e-9:
        yield Finding(
            code="outside-field",
            level=Level.STOP,
            at_mm=(float(xy[row, 0]), float(xy[row, 1])),
            measured=float(takes[row, worst]),
            limit=limits[worst],
            advice=f"it does not fit {field.name}; take a larger field or smaller letters",
        )
