"""How long the machine sews: stitches at its speed, and the time that each trim takes."""

from pathgen.model import Count
from pathgen.settings import Settings

__all__ = ["TRIM_S", "sew_s"]

# Slow down, cut, move, tie in, speed up (common practice, 5 to 8 s, no published source).
TRIM_S = 6.0


def sew_s(whole: Count, settings: Settings) -> float:
    """Machine time in seconds. Uses ``speed_spm``."""
    return 60.0 * whole.stitches / settings.speed_spm + TRIM_S * whole.trims
