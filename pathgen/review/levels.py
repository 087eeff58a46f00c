"""How grave a gap that closes is: shut, nearly shut, or just under its limit."""

from pathgen.model import Level

__all__ = ["NEARLY_OPEN", "SHUT_THREADS", "gap_level"]

SHUT_THREADS = 1.0
"""A gap thinner than this many threads is shut (placeholder until sewn samples set it)."""

NEARLY_OPEN = 0.9
"""A gap of at least this share of its limit is only noted."""


def gap_level(gap_mm: float, limit_mm: float, thread_mm: float) -> Level:
    """Level of a gap, as sewn, that is under its limit."""
    if gap_mm < SHUT_THREADS * thread_mm:
        return Level.STOP
    return Level.NOTE if gap_mm >= NEARLY_OPEN * limit_mm else Level.CHECK
