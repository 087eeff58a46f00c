"""The bundled faces: they let a text be planned with no font file at hand.

Each is drawn as centre lines in a TOML file and built by ``build_face.py``; both the drawing
and the built font are under the SIL Open Font License 1.1 (``OFL.txt``).
"""

__all__ = ["DEFAULT_FACE", "FACES", "MEANT_MM"]

FACES = {"Fairlead Plain": "fairlead-plain.ttf", "Tholepin": "tholepin.ttf"}
"""File beside this module, by the plain name of the face."""

DEFAULT_FACE = "Fairlead Plain"
"""The face of a plan that asks for none."""

MEANT_MM = {"Fairlead Plain": (4.0, 8.0, 26.667), "Tholepin": (2.0, 4.0, 16.667)}
"""Least and greatest height of capitals that each was drawn for, and in a thread of which tex."""
