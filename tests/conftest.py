"""Hypothesis draws the same examples on every machine, and a slow machine fails none of them."""

from hypothesis import settings

settings.register_profile("same", derandomize=True, deadline=None)
settings.load_profile("same")
