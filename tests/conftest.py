"""Hypothesis draws the same examples on every machine, and a slow machine fails none of them.

``PATHGEN_EXAMPLES=500`` asks for so many examples of each property, as CI does; by night 10,000
that are drawn anew each time: ``PATHGEN_EXAMPLES=10000 PATHGEN_ANEW=1 python -m pytest -q``.
"""

import os

from hypothesis import settings

settings.register_profile(
    "same",
    derandomize=not os.environ.get("PATHGEN_ANEW"),
    deadline=None,
    max_examples=int(os.environ.get("PATHGEN_EXAMPLES", "100")),
)
settings.load_profile("same")
