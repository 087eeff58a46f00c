"""What can be wrong with an input. Each message says thing, value, rule and remedy in one line."""

__all__ = ["FontError", "OutputError", "PathgenError", "SettingsError", "TextError"]


class PathgenError(Exception):
    """An input could not be used; the message is one line for the person who gave it."""


class FontError(PathgenError):
    """The font file is missing, malformed, or has nothing that can be sewn."""


class TextError(PathgenError):
    """The text is empty, has a control character, or a letter that the face lacks."""


class SettingsError(PathgenError):
    """A setting is out of its range or not one of its choices."""


class OutputError(PathgenError):
    """The results could not be written; nothing was left half-written."""
