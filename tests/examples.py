"""How many examples a slow property tries: its own few by day and in CI, more by night."""

import os

__all__ = ["many"]

# What CI asks of the quick properties (see conftest.py); the slow ones keep to their own number.
_BY_DAY = 500


def many(usual: int) -> int:
    """The usual number; by night, when more is asked than CI does, as many as of all others."""
    asked = int(os.environ.get("PATHGEN_EXAMPLES", "100"))
    return usual if asked <= _BY_DAY else asked
