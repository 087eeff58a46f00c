"""How long the machine sews: stitches at their speed, and the time of each trim and change."""

from collections.abc import Sequence

from pathgen.model import Count
from pathgen.settings import Settings

__all__ = ["CHANGE_S", "TRIM_S", "sew_s", "sew_together_s"]

# Slow down, cut, move, tie in, speed up (common practice, 5 to 8 s, no published source).
TRIM_S = 6.0
# Cut, go to another needle, tie in (common practice, 8 to 12 s on a machine with a needle a
# thread, no published source). Where one needle must be threaded anew, it is a minute or more.
CHANGE_S = 10.0


def sew_s(whole: Count, settings: Settings) -> float:
    """Machine time in seconds. Uses ``speed_spm``."""
    return 60.0 * whole.stitches / settings.speed_spm + TRIM_S * whole.trims


def sew_together_s(
    lines: Sequence[Count], settings: Sequence[Settings], changes: int, jumps: int = 0
) -> float:
    """Machine time in seconds of lines with their settings, and changes of thread between.

    The first jump after a trim or change is part of its time; each of the further ``jumps``
    that a long way takes is a turn of the machine, like a stitch.
    """
    stitches: dict[float, int] = {}
    for count, by in zip(lines, settings, strict=True):
        stitches[by.speed_spm] = stitches.get(by.speed_spm, 0) + count.stitches
    trims = sum(count.trims for count in lines)
    slowest = min(stitches, default=1.0)
    stitches[slowest] = stitches.get(slowest, 0) + max(0, jumps - trims - changes)
    sewn = sum(60.0 * n / speed for speed, n in stitches.items())
    return sewn + TRIM_S * trims + CHANGE_S * changes
